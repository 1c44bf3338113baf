"""`corebath reheat`."""

from __future__ import annotations

from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.unit.cli.ends_runs import TYPED, charts, data_of, refused, run, sound

from corebath.ask.ends import EndQuestion, understand_reheat
from corebath.log.gear import Kitchen
from corebath.plan.alone.reheat import answer_reheat

STEAK = ("ribeye", "--thick", "30 mm", "--cooked", "57 C", "--pasteurised", "yes")


def test_the_text_runs_in_cooking_order() -> None:
    text = run("reheat", *STEAK).stdout.replace("\N{NO-BREAK SPACE}", " ")
    headings = [
        "The question",
        "The answer",
        "Rules that bind here",
        "Reported, not binding",
        "What the numbers rest on",
    ]
    places = [text.index(heading) for heading in headings]
    assert places == sorted(places)
    assert "does not undo toxins" in text
    assert "50 °C to serve" in text  # the chart


def test_the_json_follows_its_schema() -> None:
    data = data_of("reheat", *STEAK)
    assert data["bath_C"] == data["cooked_C"] == 57.0
    assert data["start_C"] == 4.0
    assert data["serve_C"] == 50.0


def test_from_frozen_takes_longer_than_from_the_fridge() -> None:
    fridge, frozen = (data_of("reheat", *STEAK, "--state", state) for state in ("fridge", "frozen"))
    assert frozen["start_C"] == -18.0
    assert frozen["reaches"][0]["nominal_s"] > 1.5 * fridge["reaches"][0]["nominal_s"]


def test_the_thermometers_offset_cools_the_water() -> None:
    asked = EndQuestion(food="ribeye", thick="30 mm", cooked="62 C", reheat="62 C", pasteurised="yes", units="metric")
    right, off = (
        answer_reheat(understand_reheat(asked, Kitchen(zone=ZoneInfo("UTC"), probe_offset_K=offset_K))).reheat
        for offset_K in (0.0, 2.0)
    )
    assert (off.runs.reach(50.0).cautious_s or 0.0) > (right.runs.reach(50.0).cautious_s or 0.0)
    assert "set to {62|C}, in truth at {60|C}" in off.statements[0]


def test_a_bath_that_cannot_have_pasteurised_it_is_not_believed() -> None:
    refused(run("reheat", "chicken breast", "--thick", "30 mm", "--cooked", "50 C", "--pasteurised", "yes"), "57.8 °C")


def test_hot_holding_and_guests_at_risk_bind() -> None:
    """165 F for 15 s within 2 h: FDA Food Code 2022, 3-403.11 (tests/reference/safety_food_code.csv)."""
    for words in (("--hold", "hot"), ("--guests", "risk")):
        data = data_of("reheat", *STEAK, *words, leaves=1)
        found = {f["rule"]: f for f in data["findings"]}["reheat-hot-holding"]
        assert found["binding"]
        assert found["verdict"] == "not met"
    hot = data_of("reheat", "ribeye", "--thick", "20 mm", "--cooked", "57 C", "--reheat", "80 C", "--hold", "hot",
                  "--pasteurised", "yes")  # fmt: skip
    found = {f["rule"]: f for f in hot["findings"]}
    assert found["reheat-hot-holding"]["verdict"] == "met"
    assert found["reheat-no-hotter"]["verdict"] == "not met"


def test_not_told_is_not_pasteurised() -> None:
    data = data_of("reheat", "ribeye", "--thick", "30 mm", "--cooked", "57 C")
    assert {f["rule"]: f["verdict"] for f in data["findings"]}["reheat-pasteurised-before"] == "not met"


def test_charts_are_written() -> None:
    for starts, chart in charts("reheat", *STEAK):
        assert chart.startswith(starts.encode("latin-1"))


@pytest.mark.parametrize(
    ("words", "needed"),
    [
        (("ribeye", "--thick", "30 mm"), "set point it was cooked"),
        ((*STEAK, "--state", "room"), "fridge and frozen"),
        ((*STEAK, "--start", "60 C"), "between −30 °C (−22 °F) and 20 °C"),
        ((*STEAK, "--reheat", "30 C"), "between 40 °C (104 °F) and 95 °C"),
        ((*STEAK, "--serve", "70 C"), "core to serve"),
        ((*STEAK, "--serve", "2 C"), "core to serve"),
        ((*STEAK, "--hold", "cold"), "accepted are hot"),
        ((*STEAK, "--handling", "juggled"), "intact"),
    ],
)
def test_bad_answers_are_refused(words: tuple[str, ...], needed: str) -> None:
    refused(run("reheat", *words), needed)


@settings(max_examples=40, deadline=None)
@given(
    st.dictionaries(
        st.sampled_from(["thick", "start", "state", "cooked", "reheat", "serve", "hold", "layers", "guests", "rules"]),
        TYPED,
    )
)
def test_nothing_typed_crashes(answers: dict[str, str]) -> None:
    sound(run("reheat", *STEAK, *(f"--{name}={text}" for name, text in answers.items())))


@settings(max_examples=12, deadline=None)
@given(st.floats(10, 60), st.floats(52, 85))
def test_a_hotter_bath_is_never_slower(thick_mm: float, bath_C: float) -> None:
    words = ("ribeye", "--thick", f"{thick_mm:.2f} mm", "--cooked", "57 C", "--pasteurised", "yes", "--serve", "50 C")
    times = []
    for warm_C in (bath_C, bath_C + 5):
        leaves = run("reheat", *words, "--reheat", f"{warm_C:.2f} C", "--json").exit_code
        data = data_of("reheat", *words, "--reheat", f"{warm_C:.2f} C", leaves=leaves)
        times.append(data["reaches"][0]["nominal_s"])
    assert times[1] < times[0]
