"""The run sheet of a batch across the week."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import datetime

from corebath.bath.warm_up import warm_up
from corebath.plan.clock import after, elapsed_s, floor_to
from corebath.plan.data import defaults
from corebath.plan.menu.answer import MenuTask
from corebath.plan.run_sheet import clocks_note
from corebath.safety.cooling import COLD_C
from corebath.units import mark

from .answer import BatchPlan, Run, Stored, Way
from .say import bag_list, bag_name

_FROM_RUN = ("top-up", "check")
_BATH = "bath"


def run_sheet(plan: BatchPlan) -> tuple[MenuTask, ...]:
    """Every task in order of time, elapsed from the first."""
    tasks = sorted(_tasks(plan), key=lambda task: (task[1], _ORDER.index(task[0])))
    first = tasks[0][1]
    return tuple(MenuTask(key, at, elapsed_s(first, at), dishes, where, what) for key, at, dishes, where, what in tasks)


_Timed = tuple[str, datetime, tuple[str, ...], str, str]
_ORDER = (
    "buy-ice", "preheat", "pull", "chill", "change", "drop-in", "top-up", "check", "fridge", "freeze", "thaw",
    "reheat", "reheat-out", "serve",
)  # fmt: skip


def _tasks(plan: BatchPlan) -> Iterator[_Timed]:
    if plan.ice is not None:
        names = _names(s for s in plan.bags if s.chill is not None)
        low, high = mark(round(plan.ice.plan_low_kg, 1), "kg"), mark(round(plan.ice.plan_high_kg, 1), "kg")
        yield "buy-ice", plan.starts, names, "", f"Have {low} to {high} of ice ready for the chill."
    for run in plan.runs:
        yield from _bath(run)
    for run in plan.runs:
        yield from _cold(plan, run)
    yield from _week(plan)


def _bath(run: Run) -> Iterator[_Timed]:
    names = tuple(dict.fromkeys(c.bag.lot.name for c in run.bags))
    if run.change is None:
        what = f"Fill the vessel, set the bath to {mark(run.set_point_C, 'C')} and start it."
        yield "preheat", run.begins, names, _BATH, what
    else:
        yield "change", run.begins, names, _BATH, run.change.what
    for at in sorted({c.enters for c in run.bags}):
        bags = [c for c in run.bags if c.enters == at]
        which = _low(bag_list(c.bag.number for c in bags))
        hot = f"Check that the bath holds {mark(run.set_point_C, 'C')}, then drop in {which}"
        how = "as bagged" if any(c.bag.layers > 1 for c in bags) else "flat and apart"
        what = f"{hot if at == run.drop_in else f'Drop in {which}'}, {how}, wholly under water."
        yield "drop-in", at, tuple(dict.fromkeys(c.bag.lot.name for c in bags)), _BATH, what
    governing = next(c for c in run.bags if c.bag.number == run.governing)
    for task in governing.plan.run_sheet:
        if task.key in _FROM_RUN:
            yield task.key, task.at, names, _BATH, task.what


def _cold(plan: BatchPlan, run: Run) -> Iterator[_Timed]:
    """The pull of one run, its chill, and when what was chilled goes on."""
    numbers = {c.bag.number for c in run.bags}
    out = [s for s in plan.bags if s.bag.number in numbers]
    long = mark(elapsed_s(run.drop_in, run.ends), "s")
    first = "drop-in" if len({c.enters for c in run.bags}) == 1 else "the first drop-in"
    note = clocks_note(run.drop_in, run.ends, plan.batch.zone)
    yield "pull", run.ends, _names(out), _BATH, f"Pull {_low(bag_list(numbers))}: {long} after {first}." + note
    cold = [s for s in out if s.chill is not None]
    if cold:
        which = bag_list(s.bag.number for s in cold)
        what = f"{which} into ice water at once, sealed, hanging apart, ice floating all the while."
        yield "chill", run.ends, _names(cold), "", what
    table = [s for s in out if s.way is Way.TABLE]
    if table:
        what = f"{bag_list(s.bag.number for s in table)} to the table: finish, serve."
        yield "serve", run.ends, _names(table), "", what
    for moment in sorted({s.cold_at for s in cold if s.cold_at is not None}):
        for key, way, where in (("fridge", Way.FRIDGE, "fridge"), ("freeze", Way.FREEZER, "freezer")):
            on = [s for s in cold if s.cold_at == moment and s.way is way and s.may_wait]
            if on:
                which = bag_list(s.bag.number for s in on)
                what = f"{which} into the {where}, labelled and dry: the core is at {mark(COLD_C, 'C')} by now."
                yield key, moment, _names(on), "", what


def _week(plan: BatchPlan) -> Iterator[_Timed]:
    zone = plan.batch.zone
    again = [(s, s.warmed) for s in plan.bags if s.warmed is not None and s.warmed.ready_s is not None]
    for moment in sorted({w.thaw_from for _, w in again if w.thaw_from is not None}):
        out = [s for s, w in again if w.thaw_from == moment]
        what = f"Move {_low(bag_list(s.bag.number for s in out))} from the freezer to the fridge, on a plate."
        yield "thaw", moment, _names(out), "", what
    for day in sorted({w.served for _, w in again}):
        todays = [(s, w) for s, w in again if w.served == day]
        for bath_C in sorted({w.bath_C for _, w in todays}):
            first = min(w.into for _, w in todays if w.bath_C == bath_C)
            names = _names(s for s, w in todays if w.bath_C == bath_C)
            what = f"Set the bath to {mark(bath_C, 'C')} and start it, for reheating."
            yield "preheat", floor_to(after(first, -_preheat_s(plan, bath_C), zone), 300.0, zone), names, _BATH, what
        for stored, warmed in todays:
            long = mark(elapsed_s(warmed.into, warmed.out), "s")
            start = ", still frozen," if warmed.state == "frozen" else ""
            what = f"{bag_name(stored.bag)}{start} into the bath at {mark(warmed.bath_C, 'C')} for {long}."
            yield "reheat", warmed.into, (stored.bag.lot.name,), _BATH, what
            core = f"its core is at {mark(warmed.reheat.to_C, 'C')} by now"
            what = f"Pull {_low(bag_name(stored.bag))}: {core}. Finish it."
            yield "reheat-out", warmed.out, (stored.bag.lot.name,), _BATH, what
        yield (
            "serve",
            day,
            _names(s for s, _ in todays),
            "",
            f"Serve {_low(bag_list(s.bag.number for s, _ in todays))}.",
        )


def _preheat_s(plan: BatchPlan, bath_C: float) -> float:
    gear = plan.batch.equipment
    usual_s = float(defaults()["preheat"]["seconds"])
    if gear is None:
        return usual_s
    try:
        heated = warm_up(gear.filled(0.0, bath_C), bath_C, gear.fill_C).time_s.high
    except ValueError:
        return usual_s
    return 60.0 * round(heated / 60.0) + 60.0 if heated < 86_400.0 else usual_s


def _names(stored: Iterable[Stored]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(s.bag.lot.name for s in stored))


def _low(text: str) -> str:
    return text[:1].lower() + text[1:]
