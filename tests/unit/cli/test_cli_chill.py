"""`corebath chill`."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.unit.cli.ends_runs import TYPED, charts, data_of, refused, run, sound

STEAK = ("ribeye", "--thick", "30 mm", "--start", "57 C")


def reached(data: dict[str, object], core_C: float, case: str = "nominal_s") -> float:
    reaches = data["reaches"]
    assert isinstance(reaches, list)
    return float(next(r[case] for r in reaches if r["core_C"] == core_C))


def test_the_text_runs_in_cooking_order() -> None:
    text = run("chill", *STEAK).stdout
    headings = [
        "The question",
        "The answer",
        "Rules that bind here",
        "Reported, not binding",
        "What the numbers rest on",
    ]
    places = [text.index(heading) for heading in headings]
    assert places == sorted(places)
    assert "In ice water left alone the core is at 21 °C (70 °F)" in text
    assert "Say the mass of one piece" in text


def test_the_json_follows_its_schema() -> None:
    data = data_of("chill", *STEAK, "--mass", "400 g", "--water", "4 L", "--ice", "2 kg")
    assert data["ice"]["melts_kg"] == pytest.approx(0.90, abs=0.02)
    assert data["ice"]["plan_low_kg"] < 2 < data["ice"]["plan_high_kg"]
    assert {f["rule"]: f["verdict"] for f in data["findings"]}["chill-ice"] == "met"
    assert data["limits"][0]["stages"][0] == {"from_C": 57.0, "to_C": 21.0, "limit_s": 7200.0}  # 3-501.14


def test_the_counter_is_refused_for_a_thick_piece() -> None:
    data = data_of("chill", "beef chuck", "--thick", "90 mm", "--start", "60 C", "--medium", "counter", leaves=1)
    assert {f["rule"]: f["verdict"] for f in data["findings"]}["chill-not-on-the-counter"] == "not met"


def test_stirring_and_a_measured_bath_count() -> None:
    still = data_of("chill", *STEAK)
    stirred = data_of("chill", *STEAK, "--medium", "ice-water-stirred")
    warm = data_of("chill", *STEAK, "--at", "3 C")
    assert reached(stirred, 5.0) < reached(still, 5.0) < reached(warm, 5.0)
    assert warm["medium_C"] == 3.0


def test_layers_cool_as_one_thick_piece() -> None:
    one, two = (reached(data_of("chill", *STEAK, "--layers", n), 5.0) for n in ("1", "2"))
    assert two > 2.5 * one


@pytest.mark.parametrize("rules", ["US", "UK", "AU"])
def test_each_authority_has_its_limits(rules: str) -> None:
    keys = {limit["rule"] for limit in data_of("chill", *STEAK, "--rules", rules)["limits"]}
    assert ("victoria-cooling" in keys) is (rules == "AU")
    assert ("food-code-cooling" in keys) is (rules != "AU")


def test_charts_are_written() -> None:
    for starts, chart in charts("chill", *STEAK):
        assert chart.startswith(starts.encode("latin-1"))


def test_too_little_ice_leads_the_answer_and_no_limit_is_met() -> None:
    words = (*STEAK, "--pieces", "6", "--mass", "300 g", "--ice", "200 g")
    result = run("chill", *words)
    assert result.exit_code == 1
    assert result.stdout.split("The answer\n- ")[1].startswith("These times hold only while ice floats")
    assert "as much water as food" in result.stdout
    findings = data_of("chill", *words, leaves=1)["findings"]
    assert {f["verdict"] for f in findings if "cooling" in f["rule"]} == {"not known"}


def test_ice_without_a_mass_is_not_set_aside() -> None:
    assert "Whether the ice at hand lasts is not known" in run("chill", *STEAK, "--ice", "2 kg").stdout


@pytest.mark.parametrize(
    ("words", "needed"),
    [
        (("ribeye", "--thick", "30 mm"), "how hot it comes out"),
        (("ribeye", "--thick", "30 mm", "--start", "warm"), "temperature"),
        (("ribeye", "--thick", "30 mm", "--start", "300 C"), "100 °C"),
        ((*STEAK, "--medium", "snow"), "ice-water-still"),
        ((*STEAK, "--medium", "freezer"), "accepted are"),
        ((*STEAK, "--at", "80 C"), "between −40 °C (−40 °F) and 50 °C"),
        ((*STEAK, "--water", "1000 L", "--mass", "400 g"), "the water must lie"),
        ((*STEAK, "--water", "4 L", "--mass", "400 g", "--ice", "much"), "mass"),
        ((*STEAK, "--layers", "9"), "between 1 and 6"),
        (("pork loin", "--thick", "80 mm", "--start", "60 C", "--layers", "2"), "round pieces"),
        ((*STEAK, "--rules", "FR"), "US, UK, AU"),
    ],
)
def test_bad_answers_are_refused(words: tuple[str, ...], needed: str) -> None:
    refused(run("chill", *words), needed)


@settings(max_examples=40, deadline=None)
@given(
    st.dictionaries(
        st.sampled_from(["thick", "wide", "start", "medium", "at", "water", "ice", "mass", "layers", "rules"]), TYPED
    )
)
def test_nothing_typed_crashes(answers: dict[str, str]) -> None:
    sound(run("chill", *STEAK, *(f"--{name}={text}" for name, text in answers.items())))


@settings(max_examples=15, deadline=None)
@given(st.floats(10, 60), st.floats(50, 85))
def test_thicker_is_never_sooner_cold(thick_mm: float, start_C: float) -> None:
    times = []
    for mm in (thick_mm, 1.3 * thick_mm):
        result = run("chill", "ribeye", "--thick", f"{mm:.2f} mm", "--start", f"{start_C:.2f} C", "--json")
        data = data_of("chill", "ribeye", "--thick", f"{mm:.2f} mm", "--start", f"{start_C:.2f} C",
                       leaves=result.exit_code)  # fmt: skip
        times.append(reached(data, 5.0))
        assert reached(data, 5.0) <= reached(data, 5.0, "cautious_s")
    assert times[1] > times[0]
