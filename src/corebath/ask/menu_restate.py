"""Restating a menu: a neighbouring menu, or one dish of an answer, put back into the words of a question."""

from __future__ import annotations

from dataclasses import replace

from corebath.bath.heater import Heater
from corebath.bath.vessel import Vessel
from corebath.plan.equipment import Equipment
from corebath.plan.menu.answer import Served
from corebath.plan.menu.menu import Ahead, Dish, Menu, MenuBath
from corebath.plan.request import State

from .menu import NEVER, dish_question
from .menu_question import BATH, DISH, MenuQuestion, Row
from .question import Question
from .restate import restated, spelt

_KEPT = ("eat", "zone", "cover")  # what the course and the bath say, not the dish


def restated_menu(question: MenuQuestion, menu: Menu, asked: Menu) -> MenuQuestion:
    """The question whose answers mean `menu`; answers that it leaves alone stay as typed.

    asked : what the question means now. Covers what ways out change: table times, baths, pans, hands, sleep, and of a
    dish its course, its wish and whether it is cooked ahead.
    """
    dishes = {dish.name: row for dish, row in zip(asked.dishes, question.dishes, strict=True)}
    baths = dict(zip((bath.name for bath in asked.baths), question.baths or (Row(),), strict=True))
    unchanged = menu.baths == asked.baths
    night = menu.asleep
    return replace(
        question,
        zone=menu.zone.key,
        courses=tuple(Row(name=course.name, eat=spelt(course.at.astimezone(menu.zone))) for course in menu.courses),
        dishes=tuple(_dish(dishes.get(dish.name, Row()), dish) for dish in menu.dishes),
        baths=question.baths if unchanged else tuple(_bath(bath, baths.get(bath.name)) for bath in menu.baths),
        pans=question.pans if menu.pans == asked.pans else str(menu.pans),
        hands=question.hands if menu.hands == asked.hands else str(menu.hands),
        asleep=question.asleep
        if night == asked.asleep
        else NEVER
        if night is None
        else f"{night[0]:%H:%M}-{night[1]:%H:%M}",
    )


def served_question(question: MenuQuestion, asked: Menu, served: Served) -> Question:
    """The question of one dish of the answer by itself: its set point and its time fixed, in the bath given to it."""
    at = [dish.name for dish in asked.dishes].index(served.dish.name)
    request = served.plan.request
    fixed = replace(request, result=None, set_point_C=served.plan.set_point_C, bath_s=served.plan.bath_s)
    base = dish_question(question, question.dishes[at], "", request.zone)
    baths = dict(zip((bath.name for bath in asked.baths), question.baths or (Row(),), strict=True))
    row = baths.get(served.bath, Row())
    bath = {name: getattr(row, name) for name in BATH if name in Question.names()}
    if not base.start and request.state is State.FRIDGE:
        bath["start"] = question.fridge
    return restated(base.changed(**bath), fixed)


def _dish(row: Row, dish: Dish) -> Row:
    """The row of a dish; only what differs from a plain reading of it is written anew."""
    said = restated(row, dish.request)
    kept = {name: getattr(row, name) for name in _KEPT}
    answers = {name: getattr(said, name) for name in DISH if name in Question.names()} | kept
    if dish.request.result is not None and row.want:
        answers["want"] = row.want if _same_wish(row, dish) else dish.request.result.key
    ahead = dish.ahead.value if row.ahead or dish.ahead is not Ahead.MAY else ""
    return row.changed(**answers, name=dish.name, course=dish.course, ahead=ahead)


def _same_wish(row: Row, dish: Dish) -> bool:
    assert dish.request.result is not None
    return row.want.casefold() in (dish.request.result.key, dish.request.result.words.casefold())


def _bath(bath: MenuBath, row: Row | None) -> Row:
    """The row of a bath, or the sizes of one that the question does not name yet."""
    return row.changed(name=bath.name) if row is not None else _spelt_bath(bath.name, bath.equipment)


def _spelt_bath(name: str, equipment: Equipment) -> Row:
    return Row(
        name=name,
        vessel=_spelt_vessel(equipment.vessel),
        heater=_spelt_heater(equipment.heater),
        cover=equipment.cover.key,
        litres="" if equipment.litres is None else f"{equipment.litres:g} L",
        sealed=equipment.bagging if equipment.bagging != "displacement" else "",
        weight="" if equipment.weight_kg == 0 else f"{equipment.weight_kg * 1000:g} g",
    )


def _spelt_vessel(vessel: Vessel) -> str:
    sides = (vessel.length_m, vessel.width_m, vessel.depth_m)
    return " x ".join(f"{side * 1000:g} mm" for side in sides if side is not None) + f", {vessel.wall.key}"


def _spelt_heater(heater: Heater) -> str:
    return f"{heater.power_W:g} W, {heater.lowest_m * 1000:g} mm to {heater.highest_m * 1000:g} mm"
