"""A schedule turned back into food: every dish planned and judged again at the bath and time given to it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import ceil

from corebath.plan.clock import after, elapsed_s
from corebath.plan.data import pace_of
from corebath.plan.equipment import Equipment
from corebath.plan.make import make_plan
from corebath.plan.plan import Part, Plan
from corebath.plan.request import Request

from .ahead import COLD_C, broken, chilled, earliest_pull, is_pasteurised, keeping_of, warmed
from .answer import CookedAhead
from .laid_out import LaidOut
from .options import trial
from .problem import Placed, Schedule

_ROUNDED_s = 60.0


@dataclass(frozen=True, slots=True)
class Made:
    """One dish as it came out. wrong : why this cannot stand, "" when it can

    short_min : minutes that it lacks in its bath, 0 when time is not what is wrong [min]
    cold : what is wrong comes of cooking it ahead
    """

    placed: Placed
    plan: Plan
    ahead: CookedAhead | None
    wrong: str
    short_min: int = 0
    cold: bool = False


def filled(laid: LaidOut, schedule: Schedule) -> tuple[Equipment, ...]:
    """Every bath with the litres it is filled with: so many that the most food it holds at once finds room."""
    return tuple(_filled(laid, schedule, b) for b in range(len(laid.menu.baths)))


def _filled(laid: LaidOut, schedule: Schedule, bath: int) -> Equipment:
    equipment = laid.menu.baths[bath].equipment
    spans = list(stays(schedule, bath))
    if equipment.litres is not None or not spans:
        return equipment
    volumes = {i: trial(laid.wants[i].request, laid.wants[i].usual_C, equipment).food_m3 for i, _, _ in spans}
    most_m3 = max(sum(volumes[i] for i, start, end in spans if start <= t < end) for _, t, _ in spans)
    hottest_C = max(laid.points_C[run.point] for run in schedule.runs if run.bath == bath)
    water = equipment.filled(most_m3, hottest_C)
    return replace(equipment, litres=round(water.volume_m3(equipment.fill_C) * 1000 - 0.05, 1))


def stays(schedule: Schedule, bath: int) -> list[tuple[int, int, int]]:
    """Dish, drop-in and pull of everything in one bath [min], in time order."""
    found = []
    for dish in schedule.placed:
        if dish.bath == bath:
            found.append((dish.item, dish.drop_in, dish.pull))
        if dish.reheat_bath == bath and dish.reheat_in is not None:
            found.append((dish.item, dish.reheat_in, dish.finish))
    return sorted(found, key=lambda s: (s[1], s[0]))


def point_C(laid: LaidOut, placed: Placed) -> float:
    """Set point a dish is cooked at [degC]."""
    return laid.points_C[laid.problem.items[placed.item].cooks[placed.cook].point]


def make(laid: LaidOut, placed: Placed, equipment: tuple[Equipment, ...]) -> Made:
    """Plan one placed dish."""
    dish = laid.menu.dishes[placed.item]
    drop_in, pull = laid.at(placed.drop_in), laid.at(placed.pull)
    request = replace(
        dish.request,
        now=laid.menu.now,
        zone=laid.menu.zone,
        set_point_C=point_C(laid, placed),
        bath_s=elapsed_s(drop_in, pull),
        table_time=after(pull, pace_of(dish.request.food.texture).finishing_s, laid.menu.zone),
        equipment=equipment[placed.bath],
    )
    plan = make_plan(request, offer=False)
    wrong, short = _wrong(plan, fixed=dish.request.bath_s is not None)
    ahead, cold = None, False
    if placed.ahead and not wrong:
        try:
            ahead = _ahead(laid, placed, plan)
        except ValueError as error:
            wrong = str(error)
        else:
            wrong = _wrong_ahead(laid, placed, ahead)
        cold = bool(wrong)
    return Made(placed, plan, ahead, wrong, short, cold)


def _wrong(plan: Plan, *, fixed: bool) -> tuple[str, int]:
    for failure in plan.failures:
        if failure.part is not Part.TIME:
            short_s = plan.window.ready_s - plan.bath_s
            return failure.why, ceil(short_s / 60.0) if 0 < short_s < 86400 else 0
    if fixed:
        return "", 0
    if plan.bath_s < plan.window.ready_s - _ROUNDED_s:
        return "it is not ready in this time", ceil((plan.window.ready_s - plan.bath_s) / 60.0)
    if plan.bath_s > plan.window.latest_s + _ROUNDED_s:
        return "it stays longer than it is good", 0
    return "", 0


def _ahead(laid: LaidOut, placed: Placed, plan: Plan) -> CookedAhead:
    request = laid.menu.dishes[placed.item].request
    pasteurised = is_pasteurised(plan)
    chill = chilled(request, plan.set_point_C)
    keeping = keeping_of(request, plan.set_point_C, pasteurised=pasteurised)
    cold_s = chill.runs.reach(COLD_C).cautious_s
    assert cold_s is not None
    from_, by = laid.at(placed.pull), after(laid.at(placed.pull), ceil(cold_s / 60.0) * 60.0, laid.menu.zone)
    if placed.reheat is None or placed.reheat_bath is None or placed.reheat_in is None:
        return CookedAhead(chill, keeping, from_, by, None, None, None, None, None)
    before = laid.problem.items[placed.item].before
    assert before is not None
    bath_C = laid.points_C[before.reheats[placed.reheat].point]
    again = warmed(request, bath_C, plan.set_point_C, keeping, pasteurised=pasteurised)
    return CookedAhead(
        chill, keeping, from_, by, again, laid.menu.baths[placed.reheat_bath].name, bath_C,
        laid.at(placed.reheat_in), laid.at(placed.finish),
    )  # fmt: skip


def _wrong_ahead(laid: LaidOut, placed: Placed, ahead: CookedAhead) -> str:
    dish = laid.menu.dishes[placed.item]
    at = next(c.at for c in laid.menu.courses if c.name == dish.course)
    first = earliest_pull(ahead.keep, at, laid.menu.zone)
    if first is None or elapsed_s(first, ahead.chill_from) < -_ROUNDED_s:
        return "it may not be kept so long"
    if broken(ahead.chill.findings):
        return "it does not cool as its rule wants"
    if ahead.reheat is not None and ahead.reheat_in is not None and ahead.reheat_out is not None:
        warm_s = ahead.reheat.runs.reach(ahead.reheat.to_C).cautious_s
        if warm_s is None or elapsed_s(ahead.reheat_in, ahead.reheat_out) < warm_s - _ROUNDED_s:
            return "it is not warm in this time"
        if broken(ahead.reheat.findings):
            return "it is not warmed as its rule wants"
    return ""


def usual_plan(request: Request, usual_C: float, ready_s: float) -> Plan:
    """The same dish at its usual set point, pulled when ready."""
    bath_s = max(60.0 * ceil(ready_s / 60.0), 60.0)
    return make_plan(replace(request, set_point_C=usual_C, bath_s=bath_s), offer=False)
