"""When a wish fails: the nearest plans that work, each computed like any other."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import partial
from math import ceil, isfinite
from typing import Any

import numpy as np

from corebath.bath.warm_up import highest_set_points
from corebath.chill.tables import medium
from corebath.heat.body import Shape
from corebath.heat.engine import simulate
from corebath.heat.stage import Stage
from corebath.outcome.results import results_for
from corebath.safety.finding import Verdict
from corebath.safety.rules import binding_lethality
from corebath.units import mark

from .clock import after, ceil_to, elapsed_s
from .data import defaults, pace_of
from .piece import piece_of
from .plan import Alternative, Governs, Part, Plan
from .request import BadRequest, Request, State
from .water import Water

MakePlan = Callable[..., Plan]
# What would be different, said or to be said of the plan that follows, and the answers that say so.
Change = tuple[str | Callable[[Plan], str], dict[str, Any]]
_MOST = 4
_HOTTEST_C = 90.0
_SHORT_HOLD_s, _NO_GROWTH_C = 1800.0, 55.0


def alternatives(plan: Plan, make_plan: MakePlan) -> tuple[Alternative, ...]:
    """Up to four neighbouring requests that work, nearest first; `make_plan` is handed in to stay acyclic."""
    found: list[Alternative] = []
    for change, answers in _neighbours(plan, make_plan):
        try:
            other = make_plan(replace(plan.request, **answers), offer=False)
        except BadRequest:
            continue
        if other.works:
            said = change if isinstance(change, str) else change(other)
            found.append(Alternative(said, other.request, other.drop_in))
        if len(found) == _MOST:
            break
    return tuple(found)


def _neighbours(plan: Plan, make_plan: MakePlan) -> Iterator[Change]:
    request, parts = plan.request, {f.part for f in plan.failures}
    if request.bath_s is not None:
        yield from _let_it_stay(plan)
    if Part.WATER in parts and plan.water is not None:
        yield from _other_water(plan, plan.water, make_plan)
    worms = request.food.kind in ("fish", "shellfish") and "parasites" in request.food.hazards
    if worms and not request.parasites_frozen and Part.SAFETY in parts:
        what = "fish" if request.food.kind == "fish" else request.food.name
        yield f"Use {what} that was frozen against parasites by the rule.", {"parasites_frozen": True}
    if Part.SAFETY in parts or Part.RESULT in parts:
        yield from _hotter(plan, make_plan)
    if Part.TIME in parts:
        yield from _what_time_there_is(plan)
        yield from _later(plan)
        yield from _other_results(plan)
    if request.layers > 1:
        yield "Bag every piece flat and apart.", {"layers": 1}
    yield from _thinner(request)
    if request.state is State.FROZEN:
        yield from _thawed(plan)


def _other_water(plan: Plan, water: Water, make_plan: MakePlan) -> Iterator[Change]:
    """Enough ice, or none; and the first cover under which the heater holds the set point."""
    request, equipment = plan.request, plan.request.equipment
    if request.ice is not None and water.ice is not None:
        # With a reserve if the vessel has room for it; more ice also leaves less water to chill.
        for wanted_kg in (water.ice.ice_advised_kg, water.ice.ice_needed_kg.high):
            more = replace(request.ice, ice_kg=ceil(10 * min(wanted_kg, 100.0)) / 10)
            if make_plan(replace(request, ice=more), offer=False).works:
                yield f"Put in {mark(more.ice_kg, 'kg')} of ice.", {"ice": more}
                break
        yield "Leave it in the fridge until the bath is hot.", {"ice": None}
    if equipment is not None and not isfinite(water.warm_up.time_s.high):
        limits = highest_set_points(water.bath)
        cover = next((limit.cover for limit in limits if limit.set_point_C.low >= plan.set_point_C), None)
        if cover is not None:
            yield f"Keep the bath under {cover.words}.", {"equipment": replace(equipment, cover=cover)}


def _let_it_stay(plan: Plan) -> Iterator[Change]:
    if isfinite(plan.window.ready_s):
        ready_s = 60.0 * ceil(plan.window.ready_s / 60.0)
        yield f"Leave it in the bath for {mark(ready_s, 's')}.", {"bath_s": ready_s}


def _hotter(plan: Plan, make_plan: MakePlan) -> Iterator[Change]:
    """The lowest hotter set point at which every rule is met in time, by halving: lethality only grows with heat."""
    request = plan.request
    above = request.on_step(plan.set_point_C + request.step_K)
    steps = np.arange(above, min(_HOTTEST_C, request.highest_set_point_C) + 1e-6, request.step_K)

    def works(i: int) -> bool:
        # Without the bath, which may hold the lowest one that serves and none much hotter.
        return make_plan(replace(request, **at(i), equipment=None, ice=None), offer=False).works

    def at(i: int) -> dict[str, Any]:
        return {"set_point_C": request.on_step(float(steps[i])), "result": None, "bath_s": None}

    if request.state is State.FROZEN:
        # Frozen plans are dear: one is tried, where the rules ask for little time beside the thaw.
        rules = binding_lethality(request.subject, request.authority)
        quick = [i for i in range(steps.size) if all(r.hold_s(steps[i]) <= _SHORT_HOLD_s for r in rules)]
        if quick and steps[quick[0]] >= _NO_GROWTH_C:
            yield partial(_hot_enough, plan), at(quick[0])
        return
    if steps.size == 0 or not works(steps.size - 1):
        return
    first, last = 0, steps.size - 1
    while first < last:
        middle = (first + last) // 2
        if works(middle):
            last = middle
        else:
            first = middle + 1
    yield partial(_hot_enough, plan), at(first)


def _hot_enough(plan: Plan, there: Plan) -> str:
    """A hotter bath, the time the piece needs there, and the rules that are met only there."""
    set_C, stay_s = mark(there.set_point_C, "C"), mark(60.0 * ceil(there.bath_s / 60.0), "s")
    broken = {f.rule: f"“{f.title}”" for f in plan.broken}
    met = "; ".join(broken[f.rule] for f in there.findings if f.rule in broken and f.verdict is Verdict.MET)
    if not met:
        return f"Set the bath to {set_C} for {stay_s}."
    return f"Set the bath to {set_C} for {stay_s}; met there: {met}."


def _what_time_there_is(plan: Plan) -> Iterator[Change]:
    """As long as there is until the table, when that heats a piece as measured through."""
    request, step_s = plan.request, defaults()["rounding"]["drop_in_s"]
    drop_in = ceil_to(after(request.now, plan.preheat_s, request.zone), step_s, request.zone)
    left_s = elapsed_s(drop_in, plan.pull)
    if plan.window.governs is Governs.HEAT and left_s >= plan.timing.come_up.nominal_s:
        yield (
            f"Give it the {mark(left_s, 's')} there are: that heats a piece as measured through, a slow one not quite.",
            {"bath_s": left_s},
        )


def _later(plan: Plan) -> Iterator[Change]:
    request = plan.request
    if not isfinite(plan.window.ready_s):
        return
    step_s = defaults()["rounding"]["drop_in_s"]
    stay_s = request.bath_s if request.bath_s is not None else plan.window.ready_s
    # One step more than the sum, since the drop-in is rounded down to a step of the clock.
    needed_s = plan.preheat_s + stay_s + pace_of(request.food.texture).finishing_s + step_s
    table = ceil_to(after(request.now, needed_s, request.zone), step_s, request.zone)
    yield f"Eat at {table:%H:%M} on {table:%A} {table.day} {table:%B}.", {"table_time": table}


def _other_results(plan: Plan) -> Iterator[Change]:
    hotter = [r for r in results_for(plan.request.food.texture) if r.set_point_C > plan.set_point_C]
    for result in hotter[:2]:
        change = f"Cook it {result.words}, at about {mark(result.set_point_C, 'C')}."
        yield change, {"result": result, "set_point_C": None, "bath_s": None}


def _thinner(request: Request) -> Iterator[Change]:
    body = request.body
    if body.shape is Shape.SLAB and body.thickness_m >= 0.03 and request.state is not State.FROZEN:
        half = replace(body, thickness_m=body.thickness_m / 2)
        mass = None if request.piece_mass_kg is None else request.piece_mass_kg / 2
        yield (
            f"Cut it into two slices {mark(half.thickness_m, 'm')} thick, bagged apart.",
            {"body": half, "pieces": request.pieces * 2, "layers": 1, "piece_mass_kg": mass},
        )


def _thawed(plan: Plan) -> Iterator[Change]:
    """From the fridge, when the piece has time to thaw there before it would have to drop in frozen."""
    request, fridge = plan.request, medium("fridge")
    left_s = elapsed_s(request.now, plan.drop_in)
    if left_s <= 0:
        return
    piece = piece_of(request, plan.set_point_C)
    stage = Stage.constant(fridge.words, left_s, fridge.cold_C, fridge.h_low)
    history = simulate(piece.body, piece.thermal, piece.start_C, [stage]).history
    thawed_s = history.first_core_above(request.food.initial_freezing_C)
    if thawed_s is not None:
        yield (
            f"Thaw it in the fridge first, which takes about {mark(3600.0 * ceil(thawed_s / 3600.0), 's')}.",
            {"state": State.FRIDGE, "start_C": None},
        )
