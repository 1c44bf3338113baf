"""Phrases that several texts and charts share."""

from __future__ import annotations

from datetime import datetime

from corebath.bath.heater import Heater
from corebath.bath.vessel import Vessel
from corebath.heat.body import Body, Shape
from corebath.plan.equipment import Equipment
from corebath.plan.known import KnownPiece
from corebath.plan.plan import Plan
from corebath.plan.request import Request
from corebath.units import Preference, show_duration, show_length, show_volume


def body_words(request: Request, preference: Preference) -> str:
    """What one piece measures: "slab, 30 mm thick"."""
    words = sizes_words(request.body, preference)
    return words if request.layers == 1 else f"{words}, {request.layers} against each other"


def piece_words(piece: KnownPiece, preference: Preference) -> str:
    """What a piece is and measures: "beef ribeye steak, slab, 30 mm thick"."""
    words = f"{piece.food.name}, {sizes_words(piece.body, preference)}"
    return words if piece.layers == 1 else f"{words}, {piece.layers} against each other"


def sizes_words(body: Body, preference: Preference) -> str:
    """A body in words: "bar, 30 mm by 60 mm"."""

    def size(value_m: float | None) -> str:
        assert value_m is not None
        return show_length(value_m, preference, both=False)

    thick = size(body.thickness_m)
    match body.shape:
        case Shape.SLAB:
            return f"slab, {thick} thick"
        case Shape.CYLINDER | Shape.BALL:
            return f"{body.shape.value}, {thick} across"
        case Shape.SHORT_CYLINDER:
            return f"short cylinder, {thick} across and {size(body.length_m)} long"
        case Shape.BAR:
            return f"bar, {thick} by {size(body.width_m)}"
        case Shape.BRICK:
            return f"brick, {thick} by {size(body.width_m)} by {size(body.length_m)}"


def food_words(request: Request) -> str:
    """The food with its count: "beef ribeye steak", "2 pieces of beef ribeye steak"."""
    name = request.food.name
    return name if request.pieces == 1 else f"{request.pieces} pieces of {name}"


def vessel_words(vessel: Vessel, preference: Preference) -> str:
    """A vessel in a few words: "round, 240 mm × 140 mm deep, stainless steel pot, 6.3 L to the rim"."""
    sides = [vessel.length_m, vessel.depth_m] if vessel.width_m is None else [vessel.length_m, vessel.width_m]
    sides = sides if vessel.width_m is None else [*sides, vessel.depth_m]
    shown = " × ".join(show_length(side, preference, both=False) for side in sides)
    holds = show_volume(vessel.volume_m3 * 1000, preference, both=False)
    return f"{'round, ' if vessel.width_m is None else ''}{shown} deep, {vessel.wall.words}, {holds} to the rim"


def heater_words(heater: Heater, preference: Preference) -> str:
    """A heater in a few words: "1100 W, water between 90 mm and 120 mm"."""
    low, high = (show_length(m, preference, both=False) for m in (heater.lowest_m, heater.highest_m))
    return f"{heater.power_W:.0f} W, water between {low} and {high}"


def equipment_words(equipment: Equipment, preference: Preference) -> str:
    """Vessel, heater and cover of a plan."""
    return (
        f"vessel {vessel_words(equipment.vessel, preference)}; heater of {heater_words(equipment.heater, preference)}; "
        f"under {equipment.cover.words}"
    )


def day_and_time(moment: datetime) -> str:
    """A moment in words: "17:25 on Tuesday 1 December"."""
    return f"{moment:%H:%M} on {moment:%A} {moment.day} {moment:%B}"


def capital(text: str) -> str:
    """The text with its first letter a capital."""
    return text[:1].upper() + text[1:]


def chart_subject(plan: Plan, preference: Preference) -> str:
    """What a chart is about: "beef ribeye steak, slab, 30 mm thick"."""
    return f"{plan.request.food.name}, {body_words(plan.request, preference)}"


def signed_duration(seconds: float) -> str:
    """A time from drop-in with its sign: "+1 h 5 min", "−30 min", "0"."""
    minutes = round(seconds / 60)
    if minutes == 0:
        return "0"
    return f"{'−' if minutes < 0 else '+'}{show_duration(60.0 * abs(minutes))}"
