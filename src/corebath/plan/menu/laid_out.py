"""A menu laid out for the search: whole minutes from its first moment, with what each stands for."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime
from functools import lru_cache
from math import ceil, floor, isfinite

from corebath.bath.balance import march
from corebath.bath.files import number
from corebath.bath.gear import Bath
from corebath.bath.mixing import swap
from corebath.bath.warm_up import warm_up
from corebath.plan.clock import after, elapsed_s
from corebath.plan.data import pace_of
from corebath.plan.equipment import Equipment
from corebath.plan.known import KnownPiece
from corebath.plan.request import Request
from corebath.plan.water import asleep

from .ahead import Cold, cold_of, earliest_pull, keeping_of, reheat_points, warming_of
from .figures import UNITS_PER_POINT, figures, points, wait_min
from .menu import Ahead, Dish, Menu
from .options import (
    SMALL_DIP_K,
    Trial,
    Wanted,
    heat_share,
    hottest,
    other_results,
    set_points,
    timeless,
    trial,
    trial_near,
    wanted,
)
from .problem import Before, Finish, Item, Problem, Seating, Stay, Tub, Weights, Works

_WHOLE = 1000


@dataclass(frozen=True, slots=True)
class LaidOut:
    """A menu with its problem. start : minute 0;  points_C : set points [degC];  wants : of every dish

    reasons : why a dish can be cooked in no bath as it is wanted, by its name
    """

    menu: Menu
    problem: Problem
    start: datetime
    points_C: tuple[float, ...]
    wants: tuple[Wanted, ...]
    reasons: dict[str, str]

    def at(self, minute: int) -> datetime:
        """A minute on the cook's clock."""
        return after(self.start, 60.0 * minute, self.menu.zone)

    def minute(self, moment: datetime) -> int:
        """The last whole minute at or before a moment."""
        return floor(elapsed_s(self.start, moment) / 60.0)


@dataclass(frozen=True, slots=True)
class _Ways:
    """What one dish could do: trials by set point and bath, and by set point for its other results.

    colds : chilling by set point, where it is allowed
    """

    dish: Dish
    want: Wanted
    own: tuple[tuple[float, tuple[Trial, ...]], ...]
    wider: tuple[tuple[float, tuple[Trial, ...]], ...]
    colds: dict[float, Cold]
    why: str

    @property
    def cold(self) -> Cold | None:
        """The longest chill of those that the rules of cooling allow; None when they allow none."""
        return max(self.colds.values(), key=lambda cold: cold.chill_s, default=None)


def lay_out(menu: Menu, *, wider: bool = False) -> LaidOut:
    """A menu in whole minutes.

    wider : also try the other results of every food, for the search of a conflict
    """
    equipment = tuple(bath.equipment for bath in menu.baths)
    wants = tuple(wanted(timeless(dish.request)) for dish in menu.dishes)
    tried = set_points(wants)
    ways = tuple(
        _ways(dish, want, own, equipment, wider=wider)
        for dish, want, own in zip(menu.dishes, wants, tried, strict=True)
    )
    used = {c for way in ways for c, _ in (*way.own, *way.wider)}
    warm = {
        c for way in ways if way.cold is not None and not way.cold.in_pan for own, _ in way.own
        for c in reheat_points(tuple(used), own)
    }  # fmt: skip
    points_C = tuple(sorted(used | warm))
    start, slot = _start(menu, ways)
    laid = LaidOut(menu, _EMPTY, start, points_C, wants, {w.dish.name: w.why for w in ways if not w.own})
    seatings = tuple(
        Seating(
            laid.minute(course.at),
            max(
                (_minutes(pace_of(d.request.food.texture).serve_s) for d in menu.dishes if d.course == course.name),
                default=0,
            ),
        )
        for course in menu.courses
    )
    problem = Problem(
        points=len(points_C),
        items=tuple(_item(laid, way, ways, equipment) for way in ways),
        tubs=tuple(_tub(equipment, b, points_C) for b in range(len(equipment))),
        seatings=seatings,
        works=Works(**{key: figures("work")[key] for key in Works.__slots__}),
        weights=_weights(),
        slot=slot,
        asleep=tuple(_nights(laid, max(s.at for s in seatings))),
        pans=menu.pans,
        hands=menu.hands,
        runs=figures("search")["runs_of_one_bath" if len(equipment) == 1 else "runs_of_each"],
        fridge_within=figures("ahead")["fridge_within_min"],
    )
    return replace(laid, problem=problem)


def _weights() -> Weights:
    def once(key: str) -> int:
        return UNITS_PER_POINT * points("weights", key)

    def each_minute(key: str) -> int:
        return points("weights", key)

    return Weights(
        bath_wait=each_minute("bath_wait_per_h"),
        plate_wait=each_minute("plate_wait_per_h"),
        swap=once("swap"),
        turn=once("turn"),
        ahead=once("ahead"),
        kept=each_minute("kept_per_h"),
        early=each_minute("early_per_h"),
        bath=once("bath"),
        bath_minute=each_minute("bath_per_h"),
        prompt=each_minute("prompt_per_h"),
    )


_EMPTY = Problem(0, (), (), (), Works(*[0] * len(Works.__slots__)), _weights())


def _ways(
    dish: Dish, want: Wanted, own_C: tuple[float, ...], equipment: tuple[Equipment, ...], *, wider: bool
) -> _Ways:
    usual = tuple(trial(want.request, want.usual_C, e) for e in equipment)
    tried = {want.usual_C: usual}
    top = hottest(want, usual[0])
    for c in (*own_C[1:], *(() if top is None else (top,))):
        if want.request.bath_s is not None:
            tried[c] = tuple(trial(want.request, c, e) for e in equipment)
        else:
            tried[c] = tuple(trial_near(want.request, c, t) for t in usual)
    own = tuple((c, t) for c, t in tried.items() if any(x.works for x in t))
    more: list[tuple[float, tuple[Trial, ...]]] = []
    if wider:
        for result in other_results(want):
            other = wanted(replace(want.request, result=result, set_point_C=None))
            found = tuple(trial(other.request, other.usual_C, e) for e in equipment)
            if other.usual_C not in tried and any(x.works for x in found):
                more.append((other.usual_C, found))
    colds: dict[float, Cold] = {}
    if dish.ahead is not Ahead.NEVER or wider:
        # A rule of cooling may allow one set point and not a cooler one: its clock begins where the core passes its
        # upper limit, and a hotter core does so when the rim is cold already. So every set point is tried.
        for c, _ in (*own, *more):
            cold = cold_of(want.request, c)
            if cold is not None:
                colds[c] = cold
    return _Ways(dish, want, own, tuple(more), colds, "" if own else next((t.why for t in usual if not t.works), ""))


def _start(menu: Menu, ways: tuple[_Ways, ...]) -> tuple[datetime, int]:
    """Minute 0, on a step of the clock that the first course lies on too, and the step [min]."""
    first = min(menu.courses, key=lambda c: c.at.timestamp()).at
    last = max(menu.courses, key=lambda c: c.at.timestamp()).at
    begin_s = min(elapsed_s(menu.now, first), _reach_s(ways, wider=True))
    # The step is that of the menu as asked, so that a layout with more in it holds every time that one has.
    asked_s = min(begin_s, _reach_s(ways, wider=False))
    slots = figures("slots")
    span_h = (asked_s + elapsed_s(first, last)) / 3600
    slot = next(
        (m for m, h in zip(slots["step_min"], slots["span_h"], strict=True) if span_h <= h), slots["step_min"][-1]
    )
    return after(first, -60.0 * slot * floor(begin_s / 60.0 / slot + 1e-9), menu.zone), slot


def _reach_s(ways: tuple[_Ways, ...], *, wider: bool) -> float:
    """How long before the first course anything can begin [s]."""
    needs = [t.ready_s for w in ways for _, tried in (*w.own, *(w.wider if wider else ())) for t in tried if t.works]
    ahead = any(w.cold is not None and (wider or w.dish.ahead is not Ahead.NEVER) for w in ways)
    # A day more than anything needs: the night may push a beginning forward.
    return max(needs, default=0.0) + 86400.0 * (1.5 + (figures("ahead")["days"] if ahead else 0))


def _nights(laid: LaidOut, end: int) -> Iterable[tuple[int, int]]:
    if laid.menu.asleep is None:
        return
    # From three days before, since a conflict may look back.
    back = after(laid.start, -4 * 86400.0, laid.menu.zone)
    shift = round(elapsed_s(back, laid.start) / 60.0)
    for start_s, end_s in asleep(back, 60.0 * (shift + end), laid.menu.zone, *laid.menu.asleep):
        yield floor(start_s / 60.0) - shift, ceil(end_s / 60.0) - shift


def _minutes(seconds: float) -> int:
    return ceil(seconds / 60.0 - 1e-6)


def _item(laid: LaidOut, way: _Ways, ways: tuple[_Ways, ...], equipment: tuple[Equipment, ...]) -> Item:
    dish, want = way.dish, way.want
    course = next(i for i, c in enumerate(laid.menu.courses) if c.name == dish.course)
    usual = tuple(trial(want.request, want.usual_C, e) for e in equipment)
    # What the heater carries matters to food that can be in a bath together, or be warmed in it, only.
    shares = len(ways) > 1
    heat = [heat_share(want.request, want.usual_C, e) if shares else 0.0 for e in equipment]
    return Item(
        name=dish.name,
        course=course,
        cooks=tuple(_stay(laid, way, c, tried) for c, tried in way.own),
        wider=tuple(_stay(laid, way, c, tried) for c, tried in way.wider),
        finish=finish_of(want.request),
        direct=dish.ahead is not Ahead.MUST,
        ahead=dish.ahead is not Ahead.NEVER,
        before=_before(laid, way, len(equipment)),
        room=tuple(_share(t.food_m3 / _room_m3(e, want.usual_C)) for t, e in zip(usual, equipment, strict=True)),
        hang=tuple(_share(t.hang) for t in usual),
        heat=tuple(_share(h) for h in heat),
        dip=tuple(_minutes(min(t.dip_s, 86400.0)) if t.dip_K >= SMALL_DIP_K else 0 for t in usual),
        alone=tuple(h > 1.0 for h in heat),
    )


def _share(part: float) -> int:
    return min(ceil(_WHOLE * part - 1e-9), _WHOLE)


def _room_m3(equipment: Equipment, hot_C: float) -> float:
    """What food may take of a bath: half of what stands under the heater's mark, or what the cook's litres leave."""
    vessel = equipment.vessel
    level_m = min(equipment.heater.highest_m, vessel.depth_m - number("fit", "under_rim_m"))
    if equipment.litres is None:
        return vessel.volume_at_m3(level_m) / 2
    rim_m3 = vessel.volume_at_m3(vessel.depth_m - number("fit", "under_rim_m"))
    try:
        return max(rim_m3 - equipment.filled(0.0, hot_C).volume_m3(hot_C), 1e-9)
    except ValueError:
        return 1e-9


def _stay(laid: LaidOut, way: _Ways, set_point_C: float, tried: tuple[Trial, ...]) -> Stay:
    dish = way.dish
    off_K = abs(set_point_C - way.want.usual_C)
    free_K = figures("set_point")["free_K"]
    price = points("weights", "off_usual_per_K") * max(off_K - free_K, 0.0)
    price += points("weights", "near_usual_per_K") * off_K
    keeping = keeping_of(dish.request, set_point_C, pasteurised=all(t.pasteurised for t in tried if t.works))
    at = next(c.at for c in laid.menu.courses if c.name == dish.course)
    pull = earliest_pull(keeping, at, laid.menu.zone)
    return Stay(
        point=laid.points_C.index(set_point_C),
        cost=round(UNITS_PER_POINT * price),
        ready=tuple(_minutes(t.ready_s) if t.works else None for t in tried),
        latest=tuple(max(floor(t.latest_s / 60.0), _minutes(t.ready_s)) if t.works else 0 for t in tried),
        pull_from=laid.minute(at) if pull is None else ceil(elapsed_s(laid.start, pull) / 60.0),
        keeps=set_point_C in way.colds,
    )


def finish_of(request: Request) -> Finish:
    """Drying, searing or glazing in as many pans and turns as the pieces take, and resting."""
    pace = pace_of(request.food.texture)
    sear = _minutes(pace.sear_s) if pace.finish == "glaze" or request.seared else 0
    most_wait = wait_min(request.food.texture)
    pans, turns = 1, 1
    if sear:
        face_m2 = KnownPiece(request.food, request.body, pieces=request.pieces, mass_kg=request.piece_mass_kg).face_m2
        pan = figures("pan")
        batches = max(ceil(face_m2 / (pan["face_m2"] * pan["used_share"])), 1)
        while (ceil(batches / pans) - 1) * sear > most_wait / 2:
            pans += 1
        turns = ceil(batches / pans)
    hands = figures("work")["glaze"] * turns if pace.finish == "glaze" else sear * turns
    # What came out of the pan first waits for the rest.
    return Finish(
        _minutes(pace.dry_s), sear * turns, hands, _minutes(pace.rest_s), pans, most_wait - (turns - 1) * sear
    )


def _before(laid: LaidOut, way: _Ways, baths: int) -> Before | None:
    if way.cold is None or not way.own:
        return None
    request = way.want.request
    chill = _minutes(way.cold.chill_s)
    if way.cold.in_pan:
        return Before(chill, (), finish_of(request).sear + figures("ahead")["pan_from_cold_min"])
    kept = [(c, tried) for c, tried in way.own if c in way.colds] or list(way.own)
    coolest = min(c for c, _ in kept)
    pasteurised = all(t.pasteurised for _, tried in kept for t in tried if t.works)
    reheats = []
    for point_C in reheat_points(laid.points_C, max(c for c, _ in way.own)):
        warming = warming_of(request, point_C, max(coolest, point_C), pasteurised=pasteurised)
        if warming is not None:
            ready = _minutes(warming.ready_s)
            reheats.append(
                Stay(
                    laid.points_C.index(point_C),
                    0,
                    (ready,) * baths,
                    (max(floor(warming.latest_s / 60.0), ready),) * baths,
                )
            )
    return Before(chill, tuple(reheats), 0) if reheats else None


def _tub(equipment: tuple[Equipment, ...], b: int, points_C: tuple[float, ...]) -> Tub:
    heats, rises, no_swap = _heating(equipment[b], points_C)
    like = next((i for i in range(b - 1, -1, -1) if equipment[i] == equipment[b]), None)
    return Tub(heats, rises, no_swap, like)


@lru_cache(maxsize=64)
def _heating(
    equipment: Equipment, points_C: tuple[float, ...]
) -> tuple[tuple[int | None, ...], tuple[int, ...], frozenset[tuple[int, int]]]:
    """Minutes to each set point from the filling water and from the coolest on, and where no swap of water lands."""
    near = number("control", "reached_within_K")
    try:
        bath = equipment.filled(0.0, points_C[0])
    except ValueError:
        return (None,) * len(points_C), (0,) * len(points_C), frozenset()
    from_C = min(equipment.fill_C, points_C[0] - 1.0)
    top = points_C[-1]
    course = march(bath, from_C, 86400.0, set_point_C=top, end="high", until_C=top)
    passed = [course.reaches(c - near) for c in points_C]
    filled_s = course.reaches(min(equipment.fill_C, top - near)) or 0.0
    heats: list[int | None] = []
    for c, s in zip(points_C, passed, strict=True):
        if s is None:
            heats.append(None)
        elif equipment.fill_C <= c:
            heats.append(_minutes(max(s - filled_s, 0.0)))
        else:
            falls_s = warm_up(bath, c, equipment.fill_C).time_s.high
            heats.append(_minutes(falls_s) if isfinite(falls_s) else None)
    rises = tuple(0 if s is None else _minutes(s) for s in passed)
    return tuple(heats), rises, frozenset(_no_swap(bath, points_C, equipment.fill_C))


def _no_swap(bath: Bath, points_C: tuple[float, ...], cold_C: float) -> Iterable[tuple[int, int]]:
    for i, hot_C in enumerate(points_C):
        for j, cool_C in enumerate(points_C[:i]):
            try:
                swap(bath, hot_C, cool_C, cold_C)
            except ValueError:
                yield i, j
