"""Named dinners for the tests of the menu."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, time
from typing import Any
from zoneinfo import ZoneInfo

from corebath.bath.cover import Cover
from corebath.bath.heater import Heater
from corebath.bath.vessel import Vessel
from corebath.food.naming import find
from corebath.heat.body import Body, Shape
from corebath.outcome.results import find_result
from corebath.plan.equipment import Equipment
from corebath.plan.menu.menu import Ahead, Course, Dish, Menu, MenuBath
from corebath.plan.request import Request

PARIS = ZoneInfo("Europe/Paris")
POT = Equipment(Vessel.round(0.26, 0.24), Heater(1100.0, 0.06, 0.20), Cover.named("loose-lid"), litres=10.0)
TUB = Equipment(Vessel.rectangular(0.5, 0.3, 0.25), Heater(1100.0, 0.08, 0.20), Cover.named("loose-lid"))
MORNING = datetime(2027, 5, 3, 9, 0, tzinfo=PARIS)
EVENING = datetime(2027, 5, 3, 20, 0, tzinfo=PARIS)


def slab(thickness_m: float) -> Body:
    return Body(Shape.SLAB, thickness_m)


def dish(
    name: str, food: str, body: Body, want: str | float, *, at: datetime = EVENING, now: datetime = MORNING,
    course: str = "main", ahead: Ahead = Ahead.MAY, **answers: Any,
) -> Dish:  # fmt: skip
    """One dish. want : a result in words, or a set point [degC]"""
    thing = find(food)
    if isinstance(want, str):
        answers["result"] = find_result(thing.texture, want)
    else:
        answers["set_point_C"] = want
    return Dish(name, course, Request(thing, body, at, now, PARIS, **answers), ahead)


def carrots(**more: Any) -> Dish:
    return dish("carrots", "carrot", Body(Shape.CYLINDER, 0.02), "tender", **({"piece_mass_kg": 0.5} | more))


def ribeye(**more: Any) -> Dish:
    return dish("ribeye", "beef-ribeye", slab(0.035), 54.0, piece_mass_kg=0.35, pieces=2, **more)


def menu(*dishes: Dish, bath: Equipment = TUB, now: datetime = MORNING, at: datetime = EVENING, **kitchen: Any) -> Menu:
    return Menu((Course("main", at),), dishes, (MenuBath("tub", bath),), now, PARIS, **kitchen)


def steak_and_carrots(**kitchen: Any) -> Menu:
    """One bath of 10 L, 1.1 kW, tap water at 15 degC, dinner at eight."""
    return menu(carrots(), ribeye(), bath=POT, **kitchen)


def twelve_covers() -> Menu:
    return menu(
        dish("chicken", "chicken-breast", slab(0.03), "soft", piece_mass_kg=0.18, pieces=12),
        carrots(piece_mass_kg=0.3, pieces=4),
        dish("pork", "pork-loin", slab(0.035), "just-set", piece_mass_kg=0.2, pieces=6),
        pans=2,
        hands=2,
    )


def long_weekend() -> Menu:
    """Thirty-six hours over the night in which the clocks go back, and a vegetable in the same bath."""
    now = datetime(2027, 10, 29, 17, 0, tzinfo=PARIS)
    at = datetime(2027, 10, 31, 18, 30, tzinfo=PARIS)
    ribs = dish(
        "short ribs", "beef-short-rib", Body(Shape.BRICK, 0.04, 0.08, 0.12), 57.0, at=at, now=now,
        bath_s=36 * 3600.0, piece_mass_kg=0.4, pieces=4,
    )  # fmt: skip
    roots = dish("celeriac", "celeriac", slab(0.02), "tender", at=at, now=now, piece_mass_kg=0.3, pieces=2)
    return menu(ribs, roots, now=now, at=at, asleep=(time(23), time(7)))


def roast_and_carrots(hours: int | None = None) -> Menu:
    """A brick of chuck that no cooling rule lets be chilled from 57 degC, carrots at 85 degC, one pot, a night."""
    now = datetime(2026, 11, 25, 17, 30, tzinfo=PARIS)
    at = datetime(2027, 10, 31, 12, 30, tzinfo=PARIS)
    fixed_s = None if hours is None else hours * 3600.0
    brick = Body(Shape.BRICK, 0.08, 0.12, 0.2)
    roast = dish("roast", "beef-chuck", brick, 57.0, at=at, now=now, piece_mass_kg=2.0, bath_s=fixed_s)
    roots = dish("carrots", "carrot", Body(Shape.CYLINDER, 0.025), 85.0, at=at, now=now, piece_mass_kg=0.08, pieces=8)
    bath = Equipment(Vessel.round(0.26, 0.18), Heater(1100.0, 0.08, 0.145), Cover.named("loose-lid"))
    return menu(roast, roots, bath=bath, now=now, at=at, asleep=(time(23), time(7)))


def pork_and_chicken() -> Menu:
    return menu(
        dish("pork", "pork-loin", slab(0.035), "pink", piece_mass_kg=0.2, pieces=2),
        dish("chicken", "chicken-breast", slab(0.03), "soft", piece_mass_kg=0.18, pieces=2),
    )


def never_ahead(asked: Menu) -> Menu:
    return replace(asked, dishes=tuple(replace(d, ahead=Ahead.NEVER) for d in asked.dishes))
