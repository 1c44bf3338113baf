"""Gear as cooks type it: vessels, heaters, shares, ice; the gear page; any text parses or is refused in a sentence."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from itertools import product
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from corebath.ask.equipment import equipment_of, parse_ice
from corebath.ask.gear_form import answers_of, understand_gear, walls
from corebath.ask.question import Question
from corebath.ask.sizes import parse_heater, parse_share, parse_vessel
from corebath.ask.understand import Misunderstood
from corebath.bath.gear import Room
from corebath.log.demo import demo_kitchen
from corebath.log.gear import Kitchen
from corebath.safety.authority import Authority
from corebath.units import METRIC, US, NotUnderstood

KITCHEN = demo_kitchen(ZoneInfo("Europe/Paris"))
WHAT = ("vessel", "heater", "usual", "remove")
PARTS = ("name", "size", "wall", "power", "marks", "vessel", "heater")
TYPED = st.one_of(
    st.text(max_size=40),
    st.from_regex(
        r"-?[0-9]{1,3}([.,][0-9]{1,2})? ?(cm|mm|in|m|\"|')?( ?x ?[0-9]{1,3} ?(cm|mm|in)?){0,3}", fullmatch=True
    ),
    st.sampled_from(
        ["", "x", "24 cm x", "1e9 cm x 3", "inf x nan", "{57|C} x 3 cm", "9 to 12 cm", "٣ cm x ٤ cm", "\x00"]
    ),
)


@pytest.mark.parametrize(
    ("text", "sides"),
    [
        ("24 cm x 14 cm", (0.24, None, 0.14)),
        ("24 x 14 cm", (0.24, None, 0.14)),
        ("240x140", (0.24, None, 0.14)),
        ("40 × 30 × 20 cm", (0.4, 0.3, 0.2)),
        ("40 by 30 by 20 cm", (0.4, 0.3, 0.2)),
        ("40,5 cm * 30 cm * 20 cm", (0.405, 0.3, 0.2)),
    ],
)
def test_vessels_are_read(text: str, sides: tuple[float, float | None, float]) -> None:
    got = parse_vessel(text, "plastic", METRIC)
    assert (got.length_m, got.width_m, got.depth_m) == pytest.approx(sides) if sides[1] else got.width_m is None
    assert got.length_m == pytest.approx(sides[0])
    assert got.depth_m == pytest.approx(sides[2])
    assert got.wall.key == "plastic"


def test_bare_sizes_follow_the_cook_s_units() -> None:
    assert parse_vessel("10 x 8", "steel", US).length_m == pytest.approx(0.254)
    assert parse_heater("1100 W", "3 to 5 in", US).lowest_m == pytest.approx(0.0762)


@pytest.mark.parametrize(
    "text", ["9 cm to 12 cm", "9 to 12 cm", "9 cm, 12 cm", "9 cm and 12 cm", "90 to 120", "9 cm; 12 cm"]
)
def test_marks_are_read(text: str) -> None:
    got = parse_heater("1.1 kW", text, METRIC)
    assert (got.power_W, got.lowest_m, got.highest_m) == pytest.approx((1100.0, 0.09, 0.12))


@pytest.mark.parametrize("text", ["7 h, 3 kg", "3 kg, 7 h", "7 h and 3 kg", "7:00; 3000 g", "7 h with 3 kg"])
def test_ice_is_read_in_either_order(text: str) -> None:
    got = parse_ice(text, METRIC)
    assert (got.wait_s, got.ice_kg) == (25_200.0, 3.0)


def _refusal(parse: Callable[[], object]) -> str:
    try:
        parse()
    except NotUnderstood as error:
        return str(error)
    return ""


@given(TYPED, TYPED)
def test_any_text_is_gear_or_is_refused_in_a_sentence(one: str, other: str) -> None:
    for prefer in (METRIC, US):
        for parse in (
            lambda p=prefer: parse_vessel(one, other, p),
            lambda p=prefer: parse_vessel(one, "steel", p),
            lambda p=prefer: parse_heater(one, other, p),
            lambda p=prefer: parse_heater("1 kW", other, p),
            lambda p=prefer: parse_ice(f"{one}, {other}", p),
            lambda: parse_share("a share", one),
        ):
            said = _refusal(parse)
            assert len(said) < 400
            assert not re.search(r"Traceback|Error", said.replace(one, "").replace(other, ""))


@given(st.dictionaries(st.sampled_from(["vessel", "heater", "cover", "litres", "weight", "sealed"]), TYPED))
def test_any_equipment_is_understood_or_told(typed: dict[str, str]) -> None:
    for kitchen in (KITCHEN, Kitchen(zone=KITCHEN.zone)):
        wrong: dict[str, str] = {}
        equipment = equipment_of(Question.of(typed), kitchen, METRIC, wrong)
        assert set(wrong) <= {"vessel", "heater", "cover", "litres", "weight", "sealed"}
        if kitchen is KITCHEN and not wrong:
            assert equipment is not None


def test_a_name_of_the_kitchen_stands_for_its_vessel_and_an_unknown_one_is_told_what_there_is() -> None:
    wrong: dict[str, str] = {}
    got = equipment_of(Question(vessel="Blue Tote"), KITCHEN, METRIC, wrong)
    assert got is not None
    assert got.vessel == KITCHEN.vessels[1].vessel
    equipment_of(Question(vessel="cauldron", heater="fire"), KITCHEN, METRIC, wrong)
    assert "soup pot, blue tote" in wrong["vessel"]
    assert "stick heater" in wrong["heater"]
    plastic = equipment_of(Question(vessel="24 cm x 14 cm, plastic"), KITCHEN, METRIC, {})
    assert plastic is not None
    assert plastic.vessel.wall.key == "plastic"


@settings(max_examples=40, deadline=None)
@given(
    st.builds(
        Kitchen,
        zone=st.just(KITCHEN.zone),
        preference=st.sampled_from([METRIC, US]),
        authority=st.sampled_from(list(Authority)),
        room=st.builds(Room, st.floats(-10, 50), st.floats(0, 1), st.floats(0, 5000)),
        cold_tap_C=st.floats(0, 40),
        hot_tap_C=st.floats(0, 80),
        fridge_C=st.floats(-2, 15),
        freezer_C=st.floats(-40, -5),
        probe_offset_K=st.floats(-5, 5),
        price_per_kWh=st.none() | st.floats(0, 100),
        currency=st.sampled_from(["EUR", "USD", "$"]),
        cover=st.sampled_from(["none", "film"]),
        vessels=st.just(KITCHEN.vessels),
        heaters=st.just(KITCHEN.heaters),
    )
)
def test_a_page_kept_as_it_was_shown_changes_nothing(kitchen: Kitchen) -> None:
    """What is shown is rounded; keeping it must not round the kitchen."""
    assert understand_gear(answers_of(kitchen), kitchen) == kitchen


@settings(max_examples=200, deadline=None)
@given(
    st.dictionaries(
        st.sampled_from(
            [*answers_of(KITCHEN), "ice", "boiling", *(f"{what}-{part}" for what, part in product(WHAT, PARTS))]
        ),
        TYPED | st.sampled_from([wall for wall, _ in walls()]) | st.sampled_from(["soup pot", "57 C", "1.1 kW"]),
    )
)
def test_any_gear_page_is_understood_or_told(answers: dict[str, str]) -> None:
    told: dict[str, str] | None = None
    try:
        understand_gear(answers, KITCHEN)
    except Misunderstood as error:
        told = error.sentences
    assert told is None or told
    assert all(said[-1] in ".?" for said in (told or {}).values())


def test_two_vessels_of_one_name_are_refused() -> None:
    typed = {"vessel-name": "Soup pot", "vessel-size": "24 cm x 14 cm"}
    with pytest.raises(Misunderstood, match="same name"):
        understand_gear(typed, KITCHEN)


def test_readings_in_ice_and_boiling_water_become_an_offset_at_this_altitude() -> None:
    high = replace(KITCHEN, room=Room(altitude_m=2600.0))
    right = understand_gear({"ice": "0 C", "boiling": "91.3 C"}, high)
    assert abs(right.probe_offset_K) < 0.1
    wrong = understand_gear({"ice": "0 C", "boiling": "96 C"}, KITCHEN)
    assert wrong.probe_offset_K == pytest.approx(-2.4, abs=0.05)  # linear: 60 % of 4 K
    with pytest.raises(Misunderstood, match="offset must lie between"):
        understand_gear({"ice": "0 C", "boiling": "91.3 C"}, KITCHEN)
