"""`corebath keep`."""

from __future__ import annotations

import re
from datetime import date, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.unit.cli.ends_runs import TYPED, data_of, refused, run, sound

# A day ahead of today, so that its last day is never over while this runs.
DAY = date.today() + timedelta(days=1)
LAST = DAY + timedelta(days=6)
KEPT = ("ribeye", "--fridge", "4 C", "--pasteurised", "yes", "--day", DAY.isoformat())


def test_the_text_runs_in_cooking_order() -> None:
    text = run("keep", *KEPT, "--cooked", "57 C", "--bath", "2 h", "--thick", "30 mm").stdout
    headings = ["The question", "The answer", "Rules that bind", "Other rules that apply", "On the bag", "What the num"]
    places = [text.index(heading) for heading in headings]
    assert places == sorted(places)
    assert f"use by {LAST}" in text


def test_seven_days_of_the_food_code_count_the_day_of_cooking() -> None:
    """FDA Food Code 3-502.12(D): seven days at 5 degC; day one is the day it is cooked."""
    data = data_of("keep", *KEPT)
    assert data["days"] == 7
    assert date.fromisoformat(data["use_by"]) == LAST
    assert data["rule"]["key"] == "food-code-7d"
    assert data["label"] is None
    assert data["freezing"] is None


def test_nothing_told_is_the_careful_answer() -> None:
    data = data_of("keep", "ribeye", leaves=1)
    assert not data["fridge_measured"]
    assert not data["pasteurised"]
    assert data["days"] == 1
    assert {f["rule"]: f["verdict"] for f in data["findings"]}["keep-cold-us"] == "not known"


def test_a_last_day_that_is_over_says_throw_it_out() -> None:
    day = date.today() - timedelta(days=30)
    result = run("keep", "ribeye", "--fridge", "4 C", "--day", day.isoformat(), "--cooked", "57 C", "--bath", "2 h")
    assert result.exit_code == 1
    assert f"- Its last day was {day + timedelta(days=1)}" in result.stdout
    assert "throw it out" in result.stdout
    assert "Keeps for" not in result.stdout
    assert "On the bag" not in result.stdout


def test_what_is_asked_is_said_again_with_its_guests_and_its_garlic() -> None:
    result = run("keep", *KEPT, "--guests", "risk", "--bag", "garlic")
    assert "garlic, herbs or oil in the bag" in result.stdout
    assert "a guest at higher risk eats of it" in result.stdout
    assert "never keep such a bag or its oil at room temperature" in result.stdout
    assert "who are pregnant" in result.stdout


def test_a_treatment_that_was_given_is_not_said_to_be_checked() -> None:
    text = run("keep", *KEPT, "--cooked", "57 C", "--bath", "2 h").stdout
    assert "- pasteurised as given, not checked here" in text
    assert "taken as given and not checked" in text


def test_what_was_never_hot_gets_no_label() -> None:
    result = run("keep", "egg", "--fridge", "4 C", "--cooked", "45 C", "--bath", "1 h")
    assert result.exit_code == 1
    assert "do not keep leftovers" in result.stdout
    assert "On the bag" not in result.stdout
    assert "Last day" not in result.stdout


def test_no_rule_keeps_an_opened_bag_in_a_warm_fridge() -> None:
    data = data_of("keep", "ribeye", "--fridge", "7 C", "--pasteurised", "yes", "--opened", "yes", leaves=1)
    assert data["days"] == 0
    assert data["rule"] is None


def test_a_size_tells_when_it_is_frozen_and_a_bath_makes_a_label() -> None:
    data = data_of("keep", *KEPT, "--thick", "30 mm", "--cooked", "57 C", "--bath", "2 h")
    assert [r["core_C"] for r in data["freezing"]] == [0.0, -5.0, -12.0]
    assert data["label"][0] == "beef ribeye steak"


@pytest.mark.parametrize(
    ("words", "needed"),
    [
        (("unicorn",), "unicorn"),
        (("ribeye", "--fridge", "40 C"), "between −2 °C (28 °F) and 20 °C"),
        (("ribeye", "--pasteurised", "maybe"), "yes, no"),
        (("ribeye", "--day", "2027-02-30"), "year-month-day"),
        (("ribeye", "--day", "yesterday"), "2027-01-03"),
        (("ribeye", "--thick", "10 m"), "between"),
        (("ribeye", "--cooked", "57 C", "--bath", "0 s"), "above 0 s"),
        (("ribeye", "--guests", "many"), "accepted are risk"),
        (("ribeye", "--bag", "string"), "accepted are garlic"),
        (("chicken breast", "--pasteurised", "yes", "--cooked", "45 C"), "cannot have pasteurised it"),
    ],
)
def test_bad_answers_are_refused(words: tuple[str, ...], needed: str) -> None:
    refused(run("keep", *words), needed)


@settings(max_examples=40, deadline=None)
@given(
    st.dictionaries(
        st.sampled_from(["thick", "fridge", "pasteurised", "opened", "cooked", "day", "bath", "guests", "rules"]), TYPED
    )
)
def test_nothing_typed_crashes(answers: dict[str, str]) -> None:
    sound(run("keep", "ribeye", *(f"--{name}={text}" for name, text in answers.items())))


@settings(max_examples=30, deadline=None)
@given(st.floats(-1.5, 8), st.sampled_from(["US", "UK", "AU"]), st.booleans())
def test_guests_at_risk_never_keep_it_longer(fridge_C: float, rules: str, pasteurised: bool) -> None:
    words = (
        "ribeye",
        "--fridge",
        f"{fridge_C:.1f} C",
        "--rules",
        rules,
        "--pasteurised",
        "yes" if pasteurised else "no",
    )
    days = []
    for guests in ((), ("--guests", "risk")):
        leaves = run("keep", *words, *guests, "--json").exit_code
        days.append(data_of("keep", *words, *guests, leaves=leaves)["days"])
    assert days[1] <= days[0]


@pytest.mark.parametrize("fridge", ["1 C", "2 C", "3 C", "4 C", "6 C", "7 C"])
@pytest.mark.parametrize("pasteurised", ["yes", "no"])
def test_temperatures_in_the_titles_of_rules_are_in_the_cook_s_units(fridge: str, pasteurised: str) -> None:
    words = ("keep", "ribeye", "--fridge", fridge, "--pasteurised", pasteurised, "--cooked", "57 C", "--bath", "2 h")
    for units, sign in (("us", "°F ("), ("metric", "°C (")):
        for told in (run(*words, "--units", units).stdout, run(*words, "--units", units, "--json").stdout):
            assert not re.search(r"\{[^{}|]*\||degC|\d °[CF](?! \(|\))", told), told
            titles = [line for line in told.splitlines() if "review of" in line or "house rule: fridge" in line]
            assert all(sign in line for line in titles), titles


def test_a_fridge_that_breaks_the_rule_leads_the_answer() -> None:
    result = run("keep", "ribeye", "--fridge", "7 C", "--pasteurised", "yes")
    assert result.exit_code == 1
    first = result.stdout.split("The answer\n- ")[1].splitlines()[0]
    assert first.startswith("This fridge is too warm: it is at 7 °C (45 °F) and does not meet the limit of 5 °C")
    assert "too warm" not in run("keep", *KEPT).stdout
