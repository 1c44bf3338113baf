"""Whose word an answer is: what the cook typed, and what the kitchen's Gear gave."""

from __future__ import annotations

from collections.abc import Iterator

from corebath.log.gear import Kitchen
from corebath.plan.why.why import Told

from .question import Question


def told_of(question: Question, kitchen: Kitchen) -> Told:
    """Names of the answers typed, and of what this kitchen says otherwise than a kitchen nothing is known of."""
    return Told(frozenset(question.given()), frozenset(_of_gear(question, kitchen)))


def _of_gear(question: Question, kitchen: Kitchen) -> Iterator[str]:
    fresh = Kitchen(zone=kitchen.zone)
    room, usual = kitchen.room, fresh.room
    differs = {
        "vessel": bool(kitchen.vessels),
        "heater": bool(kitchen.heaters),
        "cover": kitchen.cover != fresh.cover,
        "tap": kitchen.cold_tap_C != fresh.cold_tap_C,
        "hot_tap": kitchen.hot_tap_C != fresh.hot_tap_C,
        "room": room.air_C != usual.air_C,
        "humidity": room.humidity != usual.humidity,
        "draught": room.draught_m_s != usual.draught_m_s,
        "altitude": room.altitude_m != usual.altitude_m,
        "price": kitchen.price_per_kWh is not None,
        "probe": kitchen.probe_offset_K != 0,
        "fridge": kitchen.fridge_C is not None,
        "rules": kitchen.authority != fresh.authority,
        "units": kitchen.preference != fresh.preference,
        "start": kitchen.freezer_C != fresh.freezer_C
        if question.state == "frozen"
        else kitchen.fridge_C is not None and question.state != "room",
    }
    yield from (name for name, is_said in differs.items() if is_said)
