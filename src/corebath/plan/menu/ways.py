"""Ways out of a menu that cannot work: neighbouring menus, each tried before it is offered."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from math import ceil

from corebath.outcome.results import results_for
from corebath.plan.clock import after, elapsed_s, long_day
from corebath.units import mark

from .answer import WayOut, Wish
from .conflict import conflict_of
from .figures import figures, points
from .menu import Ahead, Course, Dish, Menu, MenuBath

_PAIRS = 2

Works = Callable[[Menu], bool]


def ways_out(menu: Menu, conflict: Sequence[Wish], works: Works) -> tuple[WayOut, ...]:
    """Menus that give up one wish of a conflict and work, the smallest change first.

    works : tries a menu; a later course is looked for by halving between now and the latest one worth naming
    """
    keys = {wish.key for wish in conflict}
    names = {key.partition(":")[2] for key in keys if ":" in key}
    tried = sorted(_single(menu, keys, names), key=lambda way: way.cost)
    most = figures("ways")["most"]
    found: list[WayOut] = []
    later = _later(menu, names, works)
    if later is not None:
        found.append(later)
    wider: set[str] = set()
    for way in tried:
        if len(found) >= most:
            break
        subject = way.change.split(" ")[0]
        if way.cost == points("ways", "wider") and subject in wider:
            continue
        if works(way.menu):
            found.append(way)
            if way.cost == points("ways", "wider"):
                wider.add(subject)
    return tuple(sorted(found, key=lambda way: (way.cost, way.change)))


def two_steps_out(menu: Menu, conflict: Sequence[Wish], works: Works) -> tuple[WayOut, ...]:
    """Where no single step helps: a later course, and one wish more of those that still stand in the way then."""
    names = {wish.key.partition(":")[2] for wish in conflict if ":" in wish.key}
    course = _last_course(menu, names)
    if course is None:
        return ()
    late = _moved(menu, course, 3600.0 * figures("ways")["latest_h"])
    keys = {wish.key for wish in conflict_of(late)[0]}
    also = {key.partition(":")[2] for key in keys if ":" in key}
    found: list[WayOut] = []
    for way in sorted(_single(menu, keys, also), key=lambda w: w.cost):
        later = _later(way.menu, names, works)
        if later is not None:
            found.append(WayOut(f"{way.change} {later.change}", later.menu, round(way.cost + later.cost, 1)))
        if len(found) == _PAIRS:
            break
    return tuple(sorted(found, key=lambda way: (way.cost, way.change)))


def _last_course(menu: Menu, names: set[str]) -> Course | None:
    courses = [d.course for d in menu.dishes if d.name in names]
    return max((c for c in menu.courses if c.name in courses), key=lambda c: c.at.timestamp(), default=None)


def _single(menu: Menu, keys: set[str], names: set[str]) -> Iterator[WayOut]:
    """Menus with one wish given up; whether they work is not known yet."""
    for i, dish in enumerate(menu.dishes):
        if f"fresh:{dish.name}" in keys:
            yield _way(f"Cook {dish.name} ahead: chilled, kept and reheated.", "ahead", _with(menu, i, ahead=Ahead.MAY))
        if f"ahead:{dish.name}" in keys:
            yield _way(f"Cook {dish.name} in time for its table.", "ahead", _with(menu, i, ahead=Ahead.MAY))
    if "pans" in keys and menu.pans < 8:
        yield _way(f"Use {menu.pans + 1} pans.", "pan", replace(menu, pans=menu.pans + 1))
    if "hands" in keys and menu.hands < 4:
        yield _way("Have another pair of hands in the kitchen.", "hands", replace(menu, hands=menu.hands + 1))
    if "baths" in keys:
        first = menu.baths[0]
        second = MenuBath(_free_name(first.name, [b.name for b in menu.baths]), first.equipment)
        yield _way(f"Use another bath like the {first.name}.", "bath", replace(menu, baths=(*menu.baths, second)))
    if "asleep" in keys and menu.asleep is not None:
        yield _way("Get up for it in the night.", "asleep", replace(menu, asleep=None))
    for i, dish in enumerate(menu.dishes):
        if f"result:{dish.name}" in keys and dish.name in names:
            yield from _other_results(menu, i, dish)


def _way(change: str, key: str, menu: Menu) -> WayOut:
    return WayOut(change, menu, float(points("ways", key)))


def _with(menu: Menu, i: int, ahead: Ahead) -> Menu:
    dishes = list(menu.dishes)
    dishes[i] = replace(dishes[i], ahead=ahead)
    return replace(menu, dishes=tuple(dishes))


def _other_results(menu: Menu, i: int, dish: Dish) -> Iterator[WayOut]:
    request = dish.request
    was = request.set_point_C if request.set_point_C is not None else request.result and request.result.set_point_C
    results = [r for r in results_for(request.food.texture) if request.result is None or r.key != request.result.key]
    for result in sorted(results, key=lambda r: abs(r.set_point_C - (was or r.set_point_C))):
        dishes = list(menu.dishes)
        dishes[i] = replace(dish, request=replace(request, result=result, set_point_C=None))
        change = f"{dish.name} {result.words} instead, at about {mark(result.set_point_C, 'C')}."
        yield _way(change, "wider", replace(menu, dishes=tuple(dishes)))


def _free_name(name: str, taken: Sequence[str]) -> str:
    number = 2
    while f"{name} {number}" in taken:
        number += 1
    return f"{name} {number}"


def _later(menu: Menu, names: set[str], works: Works) -> WayOut | None:
    """The earliest later time of the course whose dishes stand in the conflict, on steps of the clock."""
    course = _last_course(menu, names)
    if course is None:
        return None
    step_s = 60.0 * min(figures("slots")["step_min"])
    most = ceil(3600.0 * figures("ways")["latest_h"] / step_s)
    # Doubling finds a time that works without trying the whole day; halving then finds the first.
    reach = 6
    while reach < most and not works(_moved(menu, course, step_s * reach)):
        reach *= 2
    reach = min(reach, most)
    if not works(_moved(menu, course, step_s * reach)):
        return None
    fails = reach // 2 if reach > 6 else 0
    while reach - fails > 1:
        middle = (reach + fails) // 2
        if works(_moved(menu, course, step_s * middle)):
            reach = middle
        else:
            fails = middle
    moved = _moved(menu, course, step_s * reach)
    at = next(c.at for c in moved.courses if c.name == course.name)
    cost = points("ways", "later_per_h") * elapsed_s(course.at, at) / 3600
    change = f"Eat the {course.name} at {at:%H:%M}."
    if at.date() != course.at.astimezone(menu.zone).date():
        change = f"Eat the {course.name} at {at:%H:%M} on {long_day(at)}."
    return WayOut(change, moved, round(cost, 1))


def _moved(menu: Menu, course: Course, seconds: float) -> Menu:
    later = replace(course, at=after(course.at, seconds, menu.zone))
    return replace(menu, courses=tuple(later if c.name == course.name else c for c in menu.courses))
