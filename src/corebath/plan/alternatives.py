"""When a wish fails: the nearest plans that work, each computed like any other."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from math import ceil, isfinite
from typing import Any

import numpy as np

from corebath.heat.body import Shape
from corebath.outcome.results import results_for
from corebath.units import mark

from .choose import STEP_C
from .clock import after, ceil_to
from .data import defaults, pace_of
from .plan import Alternative, Part, Plan
from .request import BadRequest, Request, State

MakePlan = Callable[..., Plan]
# What would be different, and the answers of the request that say so.
Change = tuple[str, dict[str, Any]]
_MOST = 4
_HOTTEST_C = 90.0


def alternatives(plan: Plan, make_plan: MakePlan) -> tuple[Alternative, ...]:
    """Up to four neighbouring requests that work, nearest first; `make_plan` is handed in to stay acyclic."""
    found: list[Alternative] = []
    for change, answers in _neighbours(plan, make_plan):
        try:
            other = make_plan(replace(plan.request, **answers), offer=False)
        except BadRequest:
            continue
        if other.works:
            found.append(Alternative(change, other.request, other.drop_in))
        if len(found) == _MOST:
            break
    return tuple(found)


def _neighbours(plan: Plan, make_plan: MakePlan) -> Iterator[Change]:
    request, parts = plan.request, {f.part for f in plan.failures}
    if request.bath_s is not None:
        yield from _let_it_stay(plan)
    if "parasites" in request.food.hazards and not request.parasites_frozen and Part.SAFETY in parts:
        yield "Use fish that was frozen against parasites by the rule.", {"parasites_frozen": True}
    if Part.SAFETY in parts or Part.RESULT in parts:
        yield from _hotter(plan, make_plan)
    if Part.TIME in parts:
        yield from _later(plan)
        yield from _other_results(plan)
    if request.layers > 1:
        yield "Bag every piece flat and apart.", {"layers": 1}
    yield from _thinner(request)
    if request.state is State.FROZEN:
        yield "Thaw it in the fridge first.", {"state": State.FRIDGE, "start_C": None}


def _let_it_stay(plan: Plan) -> Iterator[Change]:
    if isfinite(plan.window.ready_s):
        ready_s = 60.0 * ceil(plan.window.ready_s / 60.0)
        yield f"Leave it in the bath for {mark(ready_s, 's')}.", {"bath_s": ready_s}


def _hotter(plan: Plan, make_plan: MakePlan) -> Iterator[Change]:
    """The lowest hotter set point at which every rule is met in time, by halving: lethality only grows with heat."""
    low = plan.set_point_C
    steps = np.arange(low + STEP_C, _HOTTEST_C + 1e-6, STEP_C)

    def works(i: int) -> bool:
        return make_plan(replace(plan.request, **at(i)), offer=False).works

    def at(i: int) -> dict[str, Any]:
        return {"set_point_C": float(steps[i]), "result": None, "bath_s": None}

    if steps.size == 0 or not works(steps.size - 1):
        return
    first, last = 0, steps.size - 1
    while first < last:
        middle = (first + last) // 2
        if works(middle):
            last = middle
        else:
            first = middle + 1
    yield f"Set the bath to {mark(float(steps[first]), 'C')}.", at(first)


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
    if body.shape is Shape.SLAB and body.thickness_m >= 0.03:
        half = replace(body, thickness_m=body.thickness_m / 2)
        mass = None if request.piece_mass_kg is None else request.piece_mass_kg / 2
        yield (
            f"Cut it into two slices {mark(half.thickness_m, 'm')} thick, bagged apart.",
            {"body": half, "pieces": request.pieces * 2, "layers": 1, "piece_mass_kg": mass},
        )
