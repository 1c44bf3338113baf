"""`corebath bath`: three kitchens, its JSON by the schema, its chart, and every answer refused in a sentence."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator
from tests.unit.cli.ends_runs import TYPED, refused, run
from tests.unit.show.json_keys import keys_of

from corebath.cli.bath import command
from corebath.show.bath_json import SCHEMA, bath_schema

PAGE = Path(__file__).parents[3] / "docs" / "json-bath.md"
PLAN_PAGE = PAGE.with_name("json.md")
POT = ("--vessel", "24 cm x 14 cm", "--heater", "1.1 kW, 9 cm to 12 cm", "--set", "55 C")
STEAKS = ("--food", "beef striploin", "--thick", "30 mm", "--mass", "280 g", "--pieces", "2")
TOTE = (
    "--vessel", "40 x 30 x 20 cm, plastic", "--litres", "18 L", "--heater", "1.2 kW, 8 cm to 18 cm", "--set", "57 C",
    "--bath", "36 h", "--starts", "2027-10-29 18:00", "--zone", "Europe/Paris", "--food", "beef short rib", "--thick",
    "40 mm", "--mass", "500 g", "--pieces", "4", "--swap-to", "54 C", "--price", "0.30 EUR",
)  # fmt: skip
PARTY = (
    "--vessel", "60 x 40 x 38 cm, plastic", "--litres", "60 L", "--heater", "1.4 kW, 10 cm to 30 cm", "--set", "64 C",
    "--food", "chicken breast", "--thick", "50 mm", "--wide", "200 mm", "--long", "24 cm", "--mass", "2 kg",
    "--pieces", "14",
)  # fmt: skip
ICED = (*POT, *STEAKS, "--litres", "2 L", "--wait", "7 h", "--ice", "2 kg", "--cover", "gasketed")
HUT = (*POT[:4], "--set", "90 C", "--altitude", "2600 m")
KITCHENS = {"pot": (*POT, *STEAKS), "tote": TOTE, "party": PARTY, "iced": ICED, "hut": HUT, "bare": POT}


def data_of(*words: str) -> dict[str, Any]:
    result = run("bath", *words, "--json")
    assert result.exit_code == 0, result.output
    data: dict[str, Any] = json.loads(result.stdout)
    assert [e.message for e in Draft202012Validator(bath_schema()).iter_errors(data)] == []
    return data


def headings(text: str) -> list[str]:
    return re.findall(r"^[A-Z][^\n]*(?=\n- )", text, re.MULTILINE)


def test_the_schema_is_one() -> None:
    Draft202012Validator.check_schema(bath_schema())


@pytest.mark.parametrize("kitchen", KITCHENS)
@pytest.mark.parametrize("units", ["metric", "us"])
def test_sections_stand_in_cooking_order_and_read_well(kitchen: str, units: str) -> None:
    result = run("bath", *KITCHENS[kitchen], "--units", units)
    assert result.exit_code == 0, result.output
    text = result.stdout
    assert not re.search(r"\{[^}]*\||\bnan\b|\binf\b|\bsafe\b|Traceback", text)
    order = [
        "The question",
        "Filling",
        "At this altitude",
        "Waiting in ice",
        "Warming up",
        "What this heater holds here",
    ]
    order += ["When the food goes in", "Over", "If the power goes", "To change the temperature", "What it costs"]
    order += ["What was looked at"]
    found = [next(i for i, name in enumerate(order) if title.startswith(name)) for title in headings(text)]
    assert found == sorted(found)
    assert {0, 1, 4, 5, 7, 8, 11} <= set(found)
    for line in text.split("\n\nlevel,")[0].splitlines():
        if line.startswith("- "):
            assert line[-1] in ".]", line


@pytest.mark.parametrize("kitchen", KITCHENS)
def test_the_json_follows_its_schema_and_its_page(kitchen: str) -> None:
    data = data_of(*KITCHENS[kitchen])
    described = set(re.findall(r"`([a-z_A-Z0-9]+)`", PAGE.read_text() + PLAN_PAGE.read_text()))
    assert sorted(set(keys_of(data)) - described) == []
    assert f"`{SCHEMA}`" in PAGE.read_text()


def test_a_pot_by_the_bands_of_an_independent_model() -> None:
    """Two steaks in a 24 cm pot; bands of an independent balance without losses (jobs, scenario 1)."""
    data = data_of(*KITCHENS["pot"], "--hot-tap", "45 C", "--tap", "15 C")
    assert data["warm_up"]["time_s"]["value"] / 60 == pytest.approx(13, abs=1)
    assert data["from_hot"]["time_s"]["value"] / 60 == pytest.approx(3, abs=0.5)
    fit = data["food"]["fit"]
    assert fit["rise_m"] == pytest.approx(0.012, abs=0.0005)
    assert fit["fill_to_m"] == pytest.approx(0.108, abs=0.0005)
    assert fit["fits"]


def test_carrots_first_then_a_swap_of_water() -> None:
    """10 L from 85 to 54 C with tap water at 15 C takes about 4.4 L; preheat 45 min plus losses (jobs, scenario 3).

    Theirs is 10 (85 - 54)/(85 - 15) = 4.43 kg of water alone. Ours is 4.5 kg, since the pot is cooled too, and
    4.65 L of it as taken out, for at 85 C a litre has 969 g.
    """
    words = ("--vessel", "30 cm x 20 cm", "--heater", "1.1 kW, 5 cm to 18 cm", "--litres", "10 L", "--tap", "15 C")
    data = data_of(*words, "--set", "85 C", "--swap-to", "54 C", "--cover", "film")
    assert data["swap"]["swap_L"] * 0.969 == pytest.approx(4.43, abs=0.1)
    assert 45 <= data["warm_up"]["time_s"]["value"] / 60 <= 55
    open_water = data_of(*words, "--set", "85 C")
    assert open_water["warm_up"]["time_s"]["value"] > data["warm_up"]["time_s"]["value"]


def test_an_open_tote_over_36_hours() -> None:
    """Level falls 1.2 to 2.6 mm/h, bags 40 mm under are bare after 16 to 33 h (jobs, scenario 4).

    Ours is 2.6 mm/h (2.1 to 3.2): the hot end of the band. Their slow end is that of pool correlations, which the
    tables of open tanks exceed at 57 C; ours agrees with those tables within 6 % (tests/published).
    """
    data = data_of(*TOTE)
    fall = data["night"]["fall_m_h"]
    assert fall["low"] < 0.0026
    assert fall["value"] == pytest.approx(0.0026, abs=0.0001)
    hours = 0.040 / fall["value"]
    assert hours == pytest.approx(15.3, abs=0.5)
    assert 0.040 / fall["low"] > 16
    pours = data["schedule"]["top_ups"]
    assert data["schedule"]["possible"]
    assert pours
    for pour in pours:
        hour = (18 + pour["at_s"] / 3600) % 24
        # The clocks go back during the second night, so local time is an hour less after 33 h.
        assert 7 <= hour <= 23 or hour == pytest.approx(23, abs=0.01)
    assert data["cost"]["currency"] == "EUR"
    cold = data_of(*TOTE, "--hot-tap", "15 C")
    assert cold["schedule"]["dip_K"] > data["schedule"]["dip_K"]


def test_two_litres_of_cold_water_dip_the_tote_by_4_to_5_degrees() -> None:
    """Mixing alone, 2 L at 15 C into 16 L at 57 C (jobs, scenario 4: 4 to 5 C)."""
    data = data_of(*TOTE, "--hot-tap", "15 C", "--asleep", "23:00 to 7:00")
    pour = max(data["schedule"]["top_ups"], key=lambda p: p["water_kg"])
    per_2_L = data["schedule"]["dip_K"] * 2.0 / pour["water_kg"]
    assert 4.0 <= per_2_L <= 5.0


def test_an_overloaded_party_tote_is_told_so() -> None:
    data = data_of(*PARTY)
    verdicts = {f["rule"]: f["verdict"] for f in data["findings"]}
    assert verdicts["bath-between-marks"] == "not met"
    assert data["food"]["dip"]["lowest_C"]["value"] < 64 - 5
    assert data["food"]["most"]["count"] < 14


def test_the_hut() -> None:
    """Water boils near 91.4 C at 2600 m (jobs, scenario 6; standard atmosphere)."""
    data = data_of(*HUT)
    assert data["altitude"]["boiling_C"]["value"] == pytest.approx(91.4, abs=0.2)
    assert 85 <= data["altitude"]["highest_set_point_C"] <= 87
    assert {f["rule"]: f["verdict"] for f in data["findings"]}["bath-below-boiling"] == "not met"
    assert "no time is added for altitude" in run("bath", *HUT).stdout


def test_a_wait_in_ice_tells_ice_and_hours() -> None:
    data = data_of(*ICED)
    assert data["ice"]["needed_kg"]["value"] < data["ice"]["advised_kg"]
    assert data["food"]["dip"] is None
    assert {f["rule"] for f in data["findings"]} >= {"bath-cold-until-start"}


@pytest.mark.parametrize("suffix", [".svg", ".png", ".pdf"])
def test_the_chart_is_written(tmp_path: Path, suffix: str) -> None:
    file = tmp_path / f"night{suffix}"
    assert run("bath", *TOTE, "--chart", str(file)).exit_code == 0
    assert file.stat().st_size > 1000
    if suffix == ".svg":
        ElementTree.fromstring(file.read_text(encoding="utf-8"))


@pytest.mark.parametrize(
    ("words", "says"),
    [
        ((), "which vessel"),
        (POT[:4], "Say the temperature"),
        ((*POT[:2], "--set", "55 C"), "which heater"),
        ((*POT, "--set", "150 C"), "must lie between"),
        ((*POT, "--set", "57"), "57 C or 57 F?"),
        ((*POT, "--vessel", "cauldron"), "is no vessel: this kitchen has none yet"),
        ((*POT, "--vessel", "24 cm"), "not a vessel's size"),
        ((*POT, "--vessel", "9 m x 1 m"), "must lie between"),
        ((*POT, "--heater", "big"), "is no heater: this kitchen has none yet"),
        ((*POT, "--heater", "9 kW, 1 cm to 2 cm"), "must lie between"),
        ((*POT, "--heater", "1 kW, 12 cm to 9 cm"), "above its lowest"),
        ((*POT, "--cover", "hat"), "accepted: none"),
        ((*POT, "--litres", "50 L"), "This vessel takes"),
        ((*POT, "--bath", "forever"), "duration"),
        ((*POT, "--bath", "40 days"), "must lie between"),
        ((*POT, "--food", "unicorn", "--thick", "30 mm"), "unicorn"),
        ((*POT, "--food", "carrot", "--thick", "30 mm"), "weighs"),
        ((*POT, "--wait", "7 h"), "--ice"),
        ((*POT, "--wait", "7 h", "--ice", "2 kg"), "needs the food"),
        ((*POT, "--ice", "2 kg"), "no wait in ice"),
        ((*POT, *STEAKS, "--wait", "90 h", "--ice", "2 kg"), "must lie between"),
        ((*POT, *STEAKS, "--start", "30 C", "--litres", "2 L", "--wait", "7 h", "--ice", "1 kg"), "must lie between"),
        ((*POT, *STEAKS, "--pieces", "40"), "too little water"),
        ((*POT, "--mix", "10 C"), "warmer"),
        ((*POT, "--swap-to", "60 C", "--swap-with", "50 C"), "does not land"),
        ((*POT, "--asleep", "late"), "no night"),
        ((*POT, "--humidity", "300 %"), "humidity"),
        ((*POT, "--altitude", "9000 m"), "altitude"),
        ((*HUT, "--set", "95 C"), "must lie between 0 °C (32 °F) and 86.6 °C (188 °F), clear of boiling near 91.3 °C"),
        ((*POT, "--set", "-3 C"), "must lie between 0 °C (32 °F) and 95.4 °C"),
        ((*POT, "--room", "80 C"), "must lie between"),
        ((*POT, "--tap", "99 C"), "must lie between"),
        ((*POT, "--open", "lots"), "share of the water"),
        ((*POT, "--wrap", "paper"), "not an answer for wrap"),
        ((*POT, "--above", "warm"), "not understood"),
        ((*POT, "--chart", "/nowhere/night.svg"), "could not be written"),
        ((*POT, "--chart", "night.gif"), "end the file name"),
    ],
)
def test_what_is_not_clear_is_told_in_a_sentence(words: tuple[str, ...], says: str) -> None:
    result = run("bath", *words)
    refused(result)
    assert says in result.stderr


_NAMES = st.sampled_from(
    sorted(p.name.replace("_", "-") for p in command.params if p.name not in ("chart", "as_json", "help") and p.name)
)


@settings(max_examples=60, deadline=None)
@given(st.dictionaries(_NAMES, TYPED, max_size=3), st.sampled_from(["pot", "tote", "bare"]))
def test_anything_typed_is_reckoned_or_refused(typed: dict[str, str], kitchen: str) -> None:
    words = [word for name, text in typed.items() for word in (f"--{name}", text)]
    result = run("bath", *KITCHENS[kitchen], *words, "--json")
    if result.exit_code != 0:
        refused(result)
