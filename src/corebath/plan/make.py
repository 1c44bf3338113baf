"""Making a plan: one path from a request to a plan, workable or not."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime
from math import ceil, inf, isfinite

from corebath.bath.altitude import boiling_finding
from corebath.heat.history import History, first_crossing
from corebath.outcome.reading import read_outcome
from corebath.outcome.results import results_for
from corebath.safety.cooling import COLD_C
from corebath.safety.finding import Finding, Verdict
from corebath.safety.rule import Rule
from corebath.safety.rules import binding_lethality, reported_lethality, rules_for
from corebath.units import METRIC, US, mark, snap_set_point

from .alternatives import alternatives
from .choose import Choice, choice_at, choose, in_dipping_bath, judged
from .clock import after, ceil_to, elapsed_s, floor_to
from .data import defaults, pace_of
from .plan import Failure, Governs, Part, Plan
from .request import Request, State
from .run_sheet import run_sheet
from .timing import Span
from .water import Start, Water, start_bath, water_of

_ON_STEP_K = 0.03  # a set point typed to a tenth of a degree is on a step within this
SHOWN = 1.2  # histories run this much past the last time that matters
_CANNOT_BE_MENDED = ("bath-heater-holds", "bath-below-boiling", "bath-below-rim", "bath-load-recovers")
_MUST_BE_KNOWN = ("bath-cold-until-start", "bath-load-recovers")


def make_plan(request: Request, *, offer: bool = True) -> Plan:
    """The plan for a request.

    offer : also look for neighbouring plans when the wish fails (each is a plan of its own, so this costs)

    Returns a plan even when it cannot work: then `failures` says which part of the wish fails and
    `alternatives` holds the nearest ones that work. Raises BadRequest for a request outside what is planned.
    """
    choice = choose(request)
    start, trouble = None, None
    if request.equipment is not None:
        try:
            start = start_bath(request, request.equipment, choice.piece)
        except ValueError as error:
            trouble = str(error)
        else:
            choice = _with_dip(request, choice, start)
    pace = pace_of(request.food.texture)
    step = defaults()["rounding"]["drop_in_s"]
    pull = after(request.table_time, -pace.finishing_s, request.zone)
    bath_s, drop_in, last, first = _times(request, choice, pull, step)
    pull = after(drop_in, bath_s, request.zone)
    water = None
    if start is not None and request.equipment is not None:
        try:
            water = water_of(request, request.equipment, choice.piece, start, drop_in, bath_s)
        except ValueError as error:
            trouble = str(error)
    preheat_s = _preheat_s(water) if request.ice is None else request.ice.wait_s
    shown_s = _shown_s(choice, bath_s)
    nominal = choice.piece.history(shown_s)
    findings = _findings(request, choice, bath_s)
    plan = Plan(
        request=request,
        set_point_C=choice.set_point_C,
        result=choice.result,
        window=choice.window,
        timing=choice.timing,
        bath_s=bath_s,
        preheat_s=preheat_s,
        first_drop_in=first,
        drop_in=drop_in,
        last_drop_in=last,
        pull=pull,
        serve=after(pull, pace.finishing_s, request.zone),
        nominal=nominal,
        cautious=choice.cautious.until(shown_s),
        findings=findings,
        water=water,
        outcome=read_outcome(nominal.until(bath_s), request.food.texture, request.food.kind, choice.result),
        run_sheet=run_sheet(
            request, pace, choice.set_point_C, preheat_s, drop_in, pull,
            tuple(_milestones(choice, findings, nominal)), () if water is None else water.schedule.top_ups,
            eaten_within_s=_eaten_within_s(request, findings),
        ),
        notes=tuple(_notes(request, choice)),
        failures=(
            *_failures(request, choice, findings, drop_in, preheat_s),
            *_water_failures(request, choice, trouble, water),
        ),
        alternatives=(),
    )  # fmt: skip
    if plan.works or not offer:
        return plan
    return replace(plan, alternatives=alternatives(plan, make_plan))


def _with_dip(request: Request, choice: Choice, start: Start) -> Choice:
    nominal, cautious = start.dip_K(cautious=False), start.dip_K(cautious=True)
    if nominal is None or cautious is None:
        return choice
    wait = None if start.ice is None else start.ice.waiting
    dipping = in_dipping_bath(request, choice, nominal, cautious, wait)
    # A bath that may never come back gives no time to plan with: its finding fails the plan.
    return dipping if isfinite(dipping.timing.come_up.cautious_s) else choice


def _preheat_s(water: Water | None) -> float:
    """Time to allow for heating the bath: the long end of the reckoning, or the usual one when nothing is known."""
    usual_s = float(defaults()["preheat"]["seconds"])
    if water is None or not isfinite(water.warm_up.time_s.nominal):
        return usual_s
    high_s = water.warm_up.time_s.high
    return 60.0 * ceil((high_s if isfinite(high_s) else water.warm_up.time_s.nominal) / 60.0)


def _water_failures(request: Request, choice: Choice, trouble: str | None, water: Water | None) -> Iterator[Failure]:
    boiling = boiling_finding(choice.set_point_C, request.altitude_m)
    if water is None and boiling.verdict is Verdict.NOT_MET:
        yield Failure(Part.WATER, f"{boiling.title}: {boiling.verdict}. {boiling.why}")
    if trouble is not None:
        yield Failure(Part.WATER, f"The food does not go into this bath: {trouble}.")
    for finding in water.findings if water is not None else ():
        # A bag that floats is weighed down, a low level is topped up: the cook can mend those on the way.
        wrong = finding.verdict is Verdict.NOT_MET and finding.rule in _CANNOT_BE_MENDED
        if wrong or (finding.verdict is not Verdict.MET and finding.rule in _MUST_BE_KNOWN):
            yield Failure(Part.WATER, f"{finding.title}: {finding.verdict}. {finding.why}")


def _times(
    request: Request, choice: Choice, pull: datetime, step_s: float
) -> tuple[float, datetime, datetime, datetime]:
    """Time in the bath, and the planned, the last and the first moment to drop in."""
    window, zone = choice.window, request.zone
    ready_s = window.ready_s if isfinite(window.ready_s) else window.latest_s
    if not isfinite(ready_s):
        ready_s = choice.timing.come_up.cautious_s
    latest_s = max(ready_s, window.latest_s if isfinite(window.latest_s) else ready_s)
    last = floor_to(after(pull, -ceil(ready_s), zone), step_s, zone)
    first = min(last, ceil_to(after(pull, -latest_s, zone), step_s, zone))
    if request.bath_s is not None:
        return request.bath_s, after(pull, -request.bath_s, zone), last, first
    return elapsed_s(last, pull), last, last, first


def _shown_s(choice: Choice, bath_s: float) -> float:
    """How long the histories run: past the pull and past every time of the window that is finite [s]."""
    window = choice.window
    ends = [bath_s, choice.timing.come_up.cautious_s, window.ready_s, window.latest_s]
    return SHOWN * max(s for s in ends if isfinite(s))


def _findings(request: Request, choice: Choice, bath_s: float) -> tuple[Finding, ...]:
    """Every rule at the planned pull; a rule met only later says when."""
    later: dict[str, float] = {}
    subject, cautious = request.subject, choice.cautious
    authority = request.authority
    for rule in (*binding_lethality(subject, authority), *reported_lethality(subject, authority)):
        met_at_s = rule.met_at_s(cautious.time_s, cautious.core_C)
        if met_at_s is not None and met_at_s > bath_s:
            later[rule.key] = met_at_s
    findings = judged(request, choice.set_point_C, cautious.until(bath_s))
    return tuple(
        replace(f, why=f"{f.why} It would be met {_minutes(later[f.rule])} after drop-in.")
        if f.rule in later and f.verdict is Verdict.NOT_MET
        else f
        for f in findings
    )


def _eaten_within_s(request: Request, findings: tuple[Finding, ...]) -> float | None:
    """The time from drop-in in which food that was never hot has to be eaten [s]; None for food that was hot."""
    limits = {rule.key: rule.figures["limit_s"] for rule in _clocks(request)}
    return next((limits[f.rule] for f in findings if f.binding and f.rule in limits), None)


def _milestones(choice: Choice, findings: tuple[Finding, ...], nominal: History) -> Iterator[tuple[float, str]]:
    come_up = choice.timing.come_up
    within = mark(defaults()["come_up"]["within_K"], "K")
    if isfinite(come_up.cautious_s):
        yield (
            come_up.cautious_s,
            f"Core within {within} of the bath by now ({_range(come_up)} after drop-in).",
        )
    for finding in findings:
        if finding.met_at_s and finding.binding:
            yield finding.met_at_s, f"By now the core has met: {finding.title}."
    clear = first_crossing(nominal.time_s, nominal.core_C, 0.0)
    if choice.piece.start_C < 0 and clear is not None:
        yield clear, "Core thawed about now."


def _clocks(request: Request) -> Iterator[Rule]:
    """The rules that limit the time this food may spend out of the cold."""
    return (rule for rule in rules_for(request.subject, request.authority) if rule.check == "time-control")


def _notes(request: Request, choice: Choice) -> Iterator[str]:
    window, result = choice.window, choice.result
    rounding_K = defaults()["rounding"]["set_point_K"]
    moved = result is not None and abs(choice.set_point_C - result.set_point_C) > rounding_K
    if result is not None and moved and request.set_point_C is None:
        too_hot = result.set_point_C > request.highest_set_point_C
        why = "it keeps clear of boiling at this altitude" if too_hot else "there the binding rules are met in time"
        yield (
            f"The usual set point for {result.words} is {mark(result.set_point_C, 'C')}; "
            f"{mark(choice.set_point_C, 'C')} is used because {why}."
        )
    if result is not None and result.hold_high_s < window.ready_s < inf:
        yield (
            f"This piece needs {_minutes(window.ready_s)}, longer than the {mark(result.hold_high_s, 's')} "
            f"after which {request.food.name} is usually said to lose its texture: a thinner piece would be better."
        )
    asked_C = request.set_point_C
    steps_C = () if asked_C is None else (snap_set_point(asked_C, METRIC), snap_set_point(asked_C, US))
    if asked_C is not None and min(abs(asked_C - step_C) for step_C in steps_C) > _ON_STEP_K:
        yield (
            f"Many heaters are set in steps of {mark(0.5, 'K')}, or of one degree Fahrenheit, and "
            f"{mark(asked_C, 'C')} is on neither: if yours cannot be set to it, plan again with what it can."
        )
    if request.probe_offset_K:
        way = "high" if request.probe_offset_K > 0 else "low"
        yield (
            f"The bath's thermometer reads {mark(abs(request.probe_offset_K), 'K')} too {way}: set to "
            f"{mark(choice.set_point_C, 'C')} the water is in truth at "
            f"{mark(choice.set_point_C - request.probe_offset_K, 'C')}, and every figure here counts with that."
        )
    come_up = choice.timing.come_up
    if request.bath_s is not None and come_up.nominal_s <= request.bath_s < come_up.cautious_s:
        yield (
            f"{mark(request.bath_s, 's')} heat a piece as measured through, but not every such piece: "
            f"the slowest one in twenty needs more than {_minutes(come_up.cautious_s)}."
        )
    if request.bath_s is not None and come_up.nominal_s <= request.bath_s < window.softening_s:
        yield f"Less tender than with the {_minutes(window.softening_s)} that this texture usually asks for."
    if request.layers > 1:
        yield (
            f"{request.layers} pieces against each other heat as one block "
            f"{mark(request.lying_together.thickness_m, 'm')} thick. Bagged flat and apart each would be "
            f"{mark(request.body.thickness_m, 'm')} thick."
        )
        yield from _flat_and_apart(request, choice)
    if request.ice is not None:
        yield (
            "The food waits in ice water, so drop-in stands here for the moment the heater starts: the water warms up "
            "with the food in it, and every time counts from then."
        )
    if request.from_C > COLD_C and any(_clocks(request)):
        yield (
            f"It goes in at {mark(request.from_C, 'C')}. Bacteria grow in raw food above {mark(COLD_C, 'C')}, and the "
            "time it has already spent there is not known here and counts in no figure: if it came out of the cold "
            "more than an hour or so ago, or nobody knows when, do not cook it."
        )
    if request.state is State.FROZEN:
        yield (
            "Computed from frozen by shape and thickness; there is no flat extra. "
            "Bag it so that no ice bridges two pieces."
        )
    yield from request.food.cautions


def _flat_and_apart(request: Request, choice: Choice) -> Iterator[str]:
    """What it costs that pieces lie on each other, without a bath that falls; frozen pieces would take too long."""
    if request.state is State.FROZEN:
        return
    piled, flat = (
        choice_at(one, choice.set_point_C, choice.result).window.ready_s
        for one in (request, replace(request, layers=1))
    )
    if not isfinite(flat):
        return
    saved_s = _round_minutes(piled) - _round_minutes(flat) if isfinite(piled) else 0.0
    sooner = f", {mark(saved_s, 's')} sooner" if saved_s > 0 else ""
    yield f"Flat and apart they are ready after {_minutes(flat)}{sooner}."


def _failures(
    request: Request, choice: Choice, findings: tuple[Finding, ...], drop_in: datetime, preheat_s: float
) -> Iterator[Failure]:
    for finding in findings:
        if finding.binding and finding.verdict is not Verdict.MET:
            yield Failure(Part.SAFETY, f"{finding.title}: {finding.verdict}. {finding.why}")
    lowest = min((r.low_C for r in results_for(request.food.texture)), default=0.0)
    if request.food.kind == "vegetable" and choice.set_point_C < lowest:
        yield Failure(
            Part.RESULT,
            f"{request.food.name.capitalize()}: no softening at {mark(choice.set_point_C, 'C')}; "
            f"vegetables want {mark(lowest, 'C')} or more.",
        )
    if not isfinite(choice.window.ready_s):
        return
    ready = after(request.now, preheat_s, request.zone)
    come_up = choice.timing.come_up
    fixed_s = request.bath_s
    if fixed_s is not None and fixed_s < come_up.nominal_s and choice.window.governs is not Governs.RECIPE:
        yield Failure(
            Part.RESULT,
            f"{mark(fixed_s, 's')} is too short to heat this piece through: that takes {_range(come_up)}.",
        )
    if drop_in < ready:
        short = mark(60.0 * ceil(elapsed_s(drop_in, ready) / 60.0), "s")
        yield Failure(
            Part.TIME,
            f"There is not enough time: the food would have to drop in {short} before the bath can be hot.",
        )


def _range(span: Span) -> str:
    return f"{_minutes(span.nominal_s)}, up to {_minutes(span.cautious_s)}"


def _minutes(seconds: float) -> str:
    return mark(_round_minutes(seconds), "s")


def _round_minutes(seconds: float) -> float:
    return 60.0 * round(seconds / 60.0)
