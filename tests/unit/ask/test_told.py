"""Whose word an answer is."""

from __future__ import annotations

from dataclasses import replace
from zoneinfo import ZoneInfo

from corebath.ask.question import Question
from corebath.ask.told import told_of
from corebath.bath.gear import Room
from corebath.log.demo import demo_kitchen
from corebath.log.gear import Kitchen
from corebath.safety.authority import Authority
from corebath.units import US

FRESH = Kitchen(zone=ZoneInfo("UTC"))


def test_what_is_typed_is_the_cook_s() -> None:
    told = told_of(Question(food="ribeye", thick="30 mm"), FRESH)
    assert told.typed == {"food", "thick"}
    assert told.gear == frozenset()


def test_what_the_kitchen_says_otherwise_is_the_gear_s() -> None:
    kitchen = replace(
        FRESH, preference=US, authority=Authority.UK, room=Room(air_C=25.0, altitude_m=900.0), fridge_C=3.0,
        probe_offset_K=0.4, price_per_kWh=0.3, cover="balls",
    )  # fmt: skip
    named = {"units", "rules", "room", "altitude", "fridge", "start", "probe", "price", "cover"}
    assert told_of(Question(), kitchen).gear == named


def test_a_measured_fridge_says_where_only_food_from_it_starts() -> None:
    kitchen = replace(FRESH, fridge_C=3.0)
    assert "start" in told_of(Question(), kitchen).gear
    assert "start" not in told_of(Question(state="room"), kitchen).gear
    assert "start" not in told_of(Question(state="frozen"), kitchen).gear
    assert "start" in told_of(Question(state="frozen"), replace(FRESH, freezer_C=-22.0)).gear


def test_vessels_and_heaters_owned_are_gear() -> None:
    assert {"vessel", "heater"} <= told_of(Question(), demo_kitchen(FRESH.zone)).gear
