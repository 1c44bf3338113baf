"""`corebath story`."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.unit.cli.ends_runs import TYPED, charts, data_of, refused, run, sound

STEAK = ("ribeye", "--thick", "30 mm", "--want", "57 C", "--bath", "3 h")


def test_the_text_runs_in_cooking_order() -> None:
    text = run("story", *STEAK).stdout
    headings = [
        "The question",
        "1. Salted",
        "2. Bath",
        "3. Ice water",
        "4. Fridge",
        "5. Reheating",
        "6. Dried",
        "7. Sear",
    ]
    places = [text.index(heading) for heading in headings]
    assert places == sorted(places)
    assert "Binding. Met: come-up" in text


def test_the_json_follows_its_schema() -> None:
    data = data_of("story", *STEAK)
    assert [leg["key"] for leg in data["legs"]] == [
        "salted", "bath", "chill", "kept", "reheat", "dried", "sear", "rest"
    ]  # fmt: skip
    assert data["pasteurised_by"] == "fsis-meat-6.5log"
    ends = [leg["end_s"] for leg in data["legs"]]
    assert [leg["start_s"] for leg in data["legs"][1:]] == ends[:-1]
    assert all(0 <= told["at_s"] <= ends[-1] for told in data["told"])


def test_kept_too_long_is_a_broken_rule() -> None:
    data = data_of("story", *STEAK, "--kept", "10 days", leaves=1)
    assert {t["finding"]["rule"]: t["finding"]["verdict"] for t in data["told"]}["keep-food-code-7d"] == "not met"


def test_charts_are_written() -> None:
    for starts, chart in charts("story", *STEAK):
        assert chart.startswith(starts.encode("latin-1"))


@pytest.mark.parametrize(
    ("words", "needed"),
    [
        (("ribeye", "--thick", "30 mm", "--want", "57 C"), "how long it is in the bath"),
        ((*STEAK, "--bath", "1 s"), "1 min"),
        ((*STEAK, "--kept", "1 min"), "time it is kept"),
        ((*STEAK, "--salted", "90 days"), "wait after salting"),
        ((*STEAK, "--medium", "counter"), "never brings this core"),
        ((*STEAK, "--fridge", "80 C"), "between"),
        (("pork loin", "--thick", "80 mm", "--want", "60 C", "--bath", "5 h"), "round piece"),
    ],
)
def test_bad_answers_are_refused(words: tuple[str, ...], needed: str) -> None:
    refused(run("story", *words), needed)


@settings(max_examples=25, deadline=None)
@given(
    st.dictionaries(
        st.sampled_from(["thick", "want", "bath", "salt", "salted", "fridge", "kept", "reheat", "serve", "hot"]), TYPED
    )
)
def test_nothing_typed_crashes(answers: dict[str, str]) -> None:
    sound(run("story", *STEAK, *(f"--{name}={text}" for name, text in answers.items())))
