"""Timings of a menu: eight foods in two baths, and what each part of the answer costs.

The guide is 3 s for eight foods in two baths on one free core, without the search for ways out.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, time, timedelta
from functools import partial
from itertools import count
from zoneinfo import ZoneInfo

from corebath.bath.cover import Cover
from corebath.bath.heater import Heater
from corebath.bath.vessel import Vessel
from corebath.food.naming import find
from corebath.heat.body import Body, Shape
from corebath.outcome.results import find_result
from corebath.plan.equipment import Equipment
from corebath.plan.menu.laid_out import lay_out
from corebath.plan.menu.menu import Course, Dish, Menu, MenuBath
from corebath.plan.menu.search import search
from corebath.plan.menu.solve import plan_menu
from corebath.plan.request import Request

from .heat import Row, best

ZONE = ZoneInfo("Europe/Paris")
NOW = datetime(2027, 5, 2, 9, 0, tzinfo=ZONE)
COURSES = tuple(
    Course(name, datetime(2027, 5, 3, 19, 0, tzinfo=ZONE) + timedelta(minutes=m))
    for name, m in (("starter", 0), ("main", 45), ("late", 90))
)
TUB = Equipment(Vessel.rectangular(0.5, 0.3, 0.25), Heater(1100.0, 0.08, 0.20), Cover.named("loose-lid"))
POT = Equipment(Vessel.round(0.26, 0.24), Heater(1100.0, 0.06, 0.20), Cover.named("loose-lid"))
# name, food, shape, thickness [m], result, course, mass of a piece [kg], pieces
FOODS = (
    ("eggs", "egg", Shape.BALL, 0.044, "custard-yolk", 0, None, 6),
    ("salmon", "salmon-farmed", Shape.SLAB, 0.025, "moist", 0, 0.12, 6),
    ("asparagus", "asparagus", Shape.CYLINDER, 0.012, "crisp-tender", 0, 0.3, 2),
    ("chicken", "chicken-breast", Shape.SLAB, 0.030, "soft", 1, 0.18, 6),
    ("pork", "pork-loin", Shape.SLAB, 0.035, "just-set", 1, 0.2, 4),
    ("carrots", "carrot", Shape.CYLINDER, 0.020, "tender", 1, 0.4, 2),
    ("short ribs", "beef-short-rib", Shape.SLAB, 0.040, "braise-like", 2, 0.4, 4),
    ("potatoes", "potato", Shape.CYLINDER, 0.030, "tender", 2, 0.4, 2),
)


def eight_foods(start_C: float = 4.0) -> Menu:
    """Three courses, two baths, two pans, two pairs of hands and a night's sleep. start_C : of all food [degC]"""
    dishes = []
    for name, food, shape, thickness_m, result, course, mass_kg, pieces in FOODS:
        thing = find(food)
        request = Request(
            thing, Body(shape, thickness_m), COURSES[course].at, NOW, ZONE,
            result=find_result(thing.texture, result), piece_mass_kg=mass_kg, pieces=pieces, start_C=start_C,
            parasites_frozen=True,
        )  # fmt: skip
        dishes.append(Dish(name, COURSES[course].name, request))
    baths = (MenuBath("tub", TUB), MenuBath("pot", POT))
    return Menu(COURSES, tuple(dishes), baths, NOW, ZONE, 2, 2, (time(23), time(7)))


def rows() -> Iterator[Row]:
    """Name, seconds and note of every timing; every repeat starts a little warmer, so that nothing is kept."""
    starts = count(4.0, 1e-3)

    def laid() -> None:
        lay_out(eight_foods(next(starts)))

    def whole() -> None:
        plan_menu(eight_foods(next(starts)))

    yield "menu of 8 foods, 2 baths: options", best(laid, 3), ""
    problem = lay_out(eight_foods()).problem
    _, schedule = search(problem)
    proved = "proved the best" if schedule is not None and schedule.proved else "not proved"
    yield "menu of 8 foods, 2 baths: search", best(partial(search, problem), 2), proved
    yield "menu of 8 foods, 2 baths: whole answer", best(whole, 2), "budget 3000 ms"
