"""What each dish could do: set points inside its result in each bath, each tried as a plan of its own."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from functools import lru_cache
from math import isfinite
from zoneinfo import ZoneInfo

from corebath.bath.load import largest_load
from corebath.outcome.results import Result, results_for
from corebath.plan.choose import choice_at, choose, judged, result_at
from corebath.plan.data import defaults
from corebath.plan.equipment import Equipment
from corebath.plan.make import make_plan
from corebath.plan.piece import piece_of
from corebath.plan.plan import Governs
from corebath.plan.request import Request, State
from corebath.plan.tell import pasteurised_by
from corebath.plan.water import load_of, piece_volume_m3
from corebath.safety.finding import Verdict

from .figures import figures

# Options know no clock: they are tried at a fixed moment far from any menu, with days until the table.
SMALL_DIP_K = 0.3  # below it a plan reckons with a steady bath
_NOW = datetime(2001, 1, 1, tzinfo=UTC)
_TABLE = _NOW + timedelta(days=12)


@dataclass(frozen=True, slots=True)
class Trial:
    """One set point in one bath.

    ready_s, latest_s : of its window;  works : nothing of its plan fails;  why : the first that fails
    pasteurised : by the core treatment that counts for keeping, at `ready_s`
    dip_s : how long the bath is colder, 0 when it hardly is [s];  dip_K : how far
    bath_longer_s : what the falling bath adds to `ready_s` [s]
    food_m3, hang : volume of all pieces, and their share of what would hang free; 0 where sizes are not known
    governs : what sets `ready_s`
    """

    set_point_C: float
    works: bool
    why: str
    ready_s: float
    latest_s: float
    pasteurised: bool
    dip_s: float
    dip_K: float
    bath_longer_s: float
    food_m3: float
    hang: float
    governs: Governs


@dataclass(frozen=True, slots=True)
class Wanted:
    """A dish before any bath: its usual set point, and the band it may be moved in [degC]."""

    request: Request
    usual_C: float
    low_C: float
    high_C: float


def timeless(request: Request) -> Request:
    """The request without its clock, so that equal food is tried once."""
    return replace(request, table_time=_TABLE, now=_NOW, zone=ZoneInfo("UTC"), equipment=None)


@lru_cache(maxsize=256)
def wanted(request: Request) -> Wanted:
    """The usual set point of a timeless request and its band on the heater's steps."""
    usual = choose(request)
    usual_C = usual.set_point_C
    if request.set_point_C is not None or request.result is None:
        give = figures("set_point")["typed_K"]
        return Wanted(request, usual_C, usual_C - give, usual_C + give)
    result = request.result
    top = min(result.high_C, request.highest_set_point_C)
    return Wanted(request, usual_C, min(result.low_C, usual_C), max(top, usual_C))


@lru_cache(maxsize=1024)
def trial(request: Request, set_point_C: float, equipment: Equipment) -> Trial:
    """The plan of a timeless request at one set point in one bath."""
    plan = make_plan(replace(request, set_point_C=set_point_C, equipment=equipment), offer=False)
    window, water = plan.window, plan.water
    rule = pasteurised_by(request.subject, request.authority, plan.cautious.until(plan.bath_s))
    dip_K = dip_s = hang = 0.0
    if water is not None and water.dip is not None:
        dip_K = set_point_C - water.dip.lowest_C.low
        dip_s = water.dip.recovery_s.high
    food_m3 = (piece_volume_m3(request, plan.timing.cautious) or 0.0) * request.pieces
    if water is not None and water.fit is not None:
        hang = request.pieces / water.fit.most_free if water.fit.most_free else 1.0
    longer_s = 0.0
    if dip_K >= SMALL_DIP_K:
        longer_s = max(window.ready_s - choice_at(request, set_point_C, plan.result).window.ready_s, 0.0)
    in_time = isfinite(window.ready_s) and window.latest_s >= window.ready_s
    works = plan.works and (in_time or request.bath_s is not None)
    ready_s = latest_s = window.ready_s
    if request.bath_s is not None:
        # A time that the cook fixed is neither shortened nor stretched.
        ready_s = latest_s = request.bath_s
    elif isfinite(window.latest_s):
        latest_s = window.latest_s
    return Trial(
        set_point_C, works, plan.failures[0].why if plan.failures else "", ready_s, latest_s, rule is not None,
        dip_s, dip_K, longer_s if works else 0.0, food_m3, min(hang, 1.0), window.governs,
    )  # fmt: skip


@lru_cache(maxsize=1024)
def trial_near(request: Request, set_point_C: float, usual: Trial) -> Trial:
    """Another set point of a timeless request, with what its bath did to the usual one.

    The bath costs it as much time as it costs the usual one; the plan made of it in the end is reckoned anew.
    """
    if not usual.works:
        return replace(usual, set_point_C=set_point_C)
    if set_point_C > request.highest_set_point_C:
        return replace(usual, set_point_C=set_point_C, works=False, why="this set point is too near to boiling")
    choice = choice_at(request, set_point_C, request.result or result_at(request, set_point_C))
    window, longer_s = choice.window, usual.bath_longer_s
    ready_s = window.ready_s + longer_s
    if not (isfinite(ready_s) and ready_s <= window.latest_s):
        return replace(usual, set_point_C=set_point_C, works=False, why="it is not ready there while it is good")
    treated = choice.cautious.until(ready_s)
    broken = [f for f in judged(request, set_point_C, treated) if f.binding]
    fails = next((f.why for f in broken if f.verdict is not Verdict.MET), "")
    rule = pasteurised_by(request.subject, request.authority, treated)
    return replace(
        usual, set_point_C=set_point_C, works=not fails, why=fails, ready_s=ready_s, latest_s=window.latest_s,
        pasteurised=rule is not None, governs=window.governs,
    )  # fmt: skip


@lru_cache(maxsize=256)
def heat_share(request: Request, set_point_C: float, equipment: Equipment) -> float:
    """All pieces as a share of what goes in at once while the bath stays within the limit of a dip; above 1 when
    they alone take it further down [-]. 0 where their size is not known."""
    piece = piece_of(request, set_point_C)
    load = load_of(request, piece)
    if load is None:
        return 0.0
    try:
        bath = equipment.filled(load.total_m3, piece.bath_C)
    except ValueError:
        return 1.0
    most = largest_load(bath, set_point_C, load, defaults()["load"]["dip_K"])
    if most.by_room and most.count:
        # What the rim forbids is counted as room, not as heat.
        return 0.0
    return load.count / most.count if most.count else 2.0


def set_points(dishes: Sequence[Wanted]) -> list[tuple[float, ...]]:
    """Set points worth trying for every dish, the usual one first.

    Two dishes that can share one do best at the usual set point of one of them, moved no further than the other's
    band reaches; so those, and no others, are tried.
    """
    shared: set[float] = set()
    for one in dishes:
        for other in dishes:
            if one is not other and max(one.low_C, other.low_C) <= min(one.high_C, other.high_C):
                moved = min(max(other.usual_C, one.low_C), one.high_C)
                shared.add(_inside(one.request, moved, max(one.low_C, other.low_C), min(one.high_C, other.high_C)))
    most = figures("search")["set_points_per_dish"]
    found: list[tuple[float, ...]] = []
    for dish in dishes:
        if dish.request.state is State.FROZEN:
            # Every set point of a frozen piece costs a whole thaw: the usual one serves.
            found.append((dish.usual_C,))
            continue
        mine = {c for c in shared if dish.low_C - 1e-6 <= c <= dish.high_C + 1e-6} - {dish.usual_C}
        nearest = sorted(mine, key=lambda c: (abs(c - dish.usual_C), c))
        found.append((dish.usual_C, *nearest[: most - 1]))
    return found


def _inside(request: Request, set_point_C: float, low_C: float, high_C: float) -> float:
    """The nearest step of the heater that stays in a band, where there is one."""
    step = request.on_step(set_point_C)
    if step > high_C + 1e-6:
        lower = request.on_step(step - request.step_K)
        return lower if lower >= low_C - 1e-6 else step
    if step < low_C - 1e-6:
        higher = request.on_step(step + request.step_K)
        return higher if higher <= high_C + 1e-6 else step
    return step


def hottest(dish: Wanted, first: Trial) -> float | None:
    """The hot end of a dish's band, where heat makes it ready sooner; None where it does not."""
    if first.governs is Governs.HEAT or first.governs is Governs.RECIPE:
        return None
    top = dish.request.on_step(dish.high_C)
    if top > dish.high_C + 1e-6:
        top = dish.request.on_step(top - dish.request.step_K)
    return top if top > dish.usual_C else None


def other_results(dish: Wanted) -> Iterator[Result]:
    """Other results of the same food, the nearest first."""
    request = dish.request
    others = [r for r in results_for(request.food.texture) if request.result is None or r.key != request.result.key]
    yield from sorted(others, key=lambda r: abs(r.set_point_C - dish.usual_C))
