"""Restating: a request put back into the words of a question, so that a neighbouring plan has an address."""

from __future__ import annotations

from datetime import datetime

from corebath.food.catalogue import Food
from corebath.food.naming import AmbiguousFood, UnknownFood, find
from corebath.plan.data import defaults
from corebath.plan.request import Request
from corebath.units.factors import fahrenheit

from .question import Question


def restated(question: Question, request: Request) -> Question:
    """The question whose answers mean `request`; answers it leaves alone stay as typed.

    Covers what the plan's alternatives change: wish, fixed time, table time, size, pieces, layers, state,
    fish that was frozen, cover, ice; what the log proposes: salt, pan, its heat, the surface; and a food whose word
    means it only in some countries.
    """
    usual = defaults()["sear"]
    return question.changed(
        food=named_food(question, request.food),
        want=_want(request),
        bath="" if request.bath_s is None else f"{request.bath_s / 60:g} min",
        eat=spelt(request.table_time),
        zone=request.zone.key,
        thick=f"{request.body.thickness_m * 1000:g} mm",
        pieces=str(request.pieces) if request.pieces > 1 else "",
        mass="" if request.piece_mass_kg is None else f"{request.piece_mass_kg * 1000:g} g",
        layers=str(request.layers) if request.layers > 1 else "",
        state=request.state.value,
        fish="frozen" if request.parasites_frozen else "",
        cover="" if request.equipment is None else request.equipment.cover.key,
        ice="" if request.ice is None else f"{request.ice.wait_s / 60:g} min, {request.ice.ice_kg:g} kg",
        salt="" if request.salt_percent is None else f"{request.salt_percent:g} %",
        pan=request.pan if question.pan or request.pan != usual["pan"] else "",
        hot="" if request.pan_C is None else f"{request.pan_C:g} C",
        surface=request.surface if question.surface or request.surface != usual["surface"] else "",
        start=question.start if request.state.value == (question.state or "fridge") else "",
    )


def named_food(question: Question, food: Food) -> str:
    """The food as typed, or its own name where the word means it only by the language of the page."""
    try:
        find(question.food, place=question.rules.upper() or None)
    except AmbiguousFood:
        return food.name
    except UnknownFood:
        return question.food
    return question.food


def spelt(moment: datetime) -> str:
    """A moment as a question carries it: local time, with its offset only where the clock has it twice."""
    once = moment.replace(fold=0).utcoffset() == moment.replace(fold=1).utcoffset()
    return f"{moment:%Y-%m-%dT%H:%M}" if once else moment.isoformat(timespec="minutes")


def _want(request: Request) -> str:
    if request.set_point_C is not None:
        if request.heater_in_F:
            return f"{fahrenheit(request.set_point_C):g} F"
        return f"{request.set_point_C:g} C"
    assert request.result is not None
    return request.result.key
