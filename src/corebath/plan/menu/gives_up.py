"""What a shared bath costs a dish, in sentences."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from corebath.outcome.estimate import Estimate
from corebath.plan.clock import elapsed_s
from corebath.plan.plan import Plan
from corebath.plan.request import Request
from corebath.units import mark

from .answer import CookedAhead
from .figures import figures
from .laid_out import LaidOut
from .problem import Schedule
from .served import Made, usual_plan

_WAIT_TOLD_s = 900.0
_PLATE_TOLD_MIN = 3
_COMPARED = ("doneness", "juiciness", "tenderness", "firmness")
_WORDS = {"juiciness": "juice lost", "tenderness": "tenderness from 0 to 1", "firmness": "firmness from 0 to 1"}


def gives_up(laid: LaidOut, schedule: Schedule, made: Made) -> tuple[str, ...]:
    """One sentence for each thing a dish gives up; none when it is cooked as it would be by itself."""
    return tuple(_sentences(laid, schedule, made))


def _sentences(laid: LaidOut, schedule: Schedule, made: Made) -> Iterator[str]:
    plan, placed = made.plan, made.placed
    usual_C = laid.wants[placed.item].usual_C
    request = replace(plan.request, set_point_C=None if plan.request.result is not None else usual_C)
    moved = abs(plan.set_point_C - usual_C) > figures("set_point")["told_K"]
    waits_s = plan.bath_s - plan.window.ready_s
    if moved:
        other = _usual(request, usual_C, plan)
        yield (
            f"Cooked at {mark(plan.set_point_C, 'C')} instead of {mark(usual_C, 'C')}, {_why(laid, schedule, made)}"
            f"{_differs(other, plan)}."
        )
    if waits_s > _WAIT_TOLD_s:
        ready = _usual(request, plan.set_point_C, plan)
        yield f"Waits {mark(60.0 * round(waits_s / 60.0), 's')} in the bath after it is ready{_differs(ready, plan)}."
    if made.ahead is not None:
        yield _ahead(laid, made, made.ahead)
    wait = _plate_wait(laid, made)
    if wait >= _PLATE_TOLD_MIN:
        yield f"Waits {mark(60.0 * wait, 's')} for the table, on a warm plate or in its pan."


def _why(laid: LaidOut, schedule: Schedule, made: Made) -> str:
    """Whom it shares its set point with, or that it is ready sooner there."""
    mine = (made.placed.bath, made.placed.run)
    others = [
        laid.menu.dishes[p.item].name
        for p in schedule.placed
        if p.item != made.placed.item and mine in ((p.bath, p.run), (p.reheat_bath, p.reheat_run))
    ]
    return f"to share its bath with {', '.join(others)}" if others else "where it is ready in the time there is"


def _usual(request: Request, set_point_C: float, plan: Plan) -> Plan:
    return usual_plan(request, set_point_C, plan.window.ready_s)


def _plate_wait(laid: LaidOut, made: Made) -> int:
    item, placed = laid.problem.items[made.placed.item], made.placed
    seating = laid.problem.seatings[item.course]
    pan_only = placed.ahead and placed.reheat is None
    sear = item.before.pan if pan_only and item.before is not None else item.finish.sear
    return seating.at - seating.plate - placed.sear - sear - item.finish.rest


def _differs(usual: Plan, now: Plan) -> str:
    """What the outcome's estimates say of it, where they say anything."""
    was, told = {e.name: e for e in usual.outcome}, {e.name: e for e in now.outcome}
    parts = [
        _compared(name, was[name], told[name]) for name in _COMPARED if name in was and name in told
    ]  # fmt: skip
    said = [part for part in parts if part]
    return f": {', '.join(said)}" if said else ""


def _compared(name: str, was: Estimate, now: Estimate) -> str:
    if was.value is None or now.value is None:
        return ""
    if was.unit == "C":
        if abs(now.value - was.value) < figures("set_point")["told_K"]:
            return ""
        return f"it looks as at {mark(round(now.value, 1), 'C')} instead of {mark(round(was.value, 1), 'C')}"
    unit = " %" if was.unit == "%" else ""
    before, after = (f"{value:.0f}" if unit else f"{value:.2f}" for value in (was.value, now.value))
    return "" if before == after else f"{_WORDS.get(name, name)} estimated at {after}{unit} instead of {before}{unit}"


def _ahead(laid: LaidOut, made: Made, ahead: CookedAhead) -> str:
    at = laid.menu.courses[laid.problem.items[made.placed.item].course].at
    kept = mark(60.0 * round(elapsed_s(ahead.chill_from, at) / 60.0), "s")
    if ahead.reheat is None:
        return f"Cooked {kept} before the table, chilled, kept cold and warmed in the pan."
    warm = mark(ahead.reheat.to_C, "C")
    return f"Cooked {kept} before the table, chilled, kept cold and warmed to a core of {warm}."
