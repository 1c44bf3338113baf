"""The table of times as typed: ranges, the usual ones, and one sentence for each bad answer."""

from __future__ import annotations

from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from corebath.ask.poster import PosterAsked, PosterQuestion, understand_poster
from corebath.ask.understand import Misunderstood
from corebath.food.catalogue import catalogue
from corebath.heat.body import Shape
from corebath.log.gear import Kitchen
from corebath.plan.request import State
from corebath.plan.sweep import settings

KITCHEN = Kitchen(zone=ZoneInfo("Europe/Paris"))


def asked(waits: bool = False, **answers: str) -> PosterAsked:
    return understand_poster(PosterQuestion.of({"food": "pork loin", **answers}), KITCHEN, waits=waits)


def refused(**answers: str) -> dict[str, str]:
    with pytest.raises(Misunderstood) as caught:
        asked(waits=False, **answers)
    return caught.value.sentences


@pytest.mark.parametrize(
    ("typed", "mm"),
    [
        ("10-70 mm step 20", (10, 30, 50, 70)),
        ("10 mm to 3 cm step 1 cm", (10, 20, 30)),
        ("2–5 cm step 15 mm", (20, 35, 50)),
        ("10-20", (10, 15, 20)),
        ("30 mm", (30,)),
        ("1/2-1 1/4 in step 1/4", (12.7, 19.05, 25.4, 31.75)),
        ('1/2" to 1" every 1/2"', (12.7, 25.4)),
        ("10-24 mm by 5", (10, 15, 20)),
        ("1,5-2,5 cm step 0,5", (15, 20, 25)),
    ],
)
def test_sizes(typed: str, mm: tuple[float, ...]) -> None:
    assert asked(thick=typed).sweep.thicknesses_m == pytest.approx([x / 1000 for x in mm])


@pytest.mark.parametrize(
    ("typed", "celsius"),
    [
        ("54-57 C step 1", (54, 55, 56, 57)),
        ("54-57 C", (54, 55, 56, 57)),
        ("57,5 °C", (57.5,)),
        ("130 to 134 F step 2", (54.4444, 55.5556, 56.6667)),
        ("130-132 F", (54.4444, 55, 55.5556)),
        ("54 C - 140 F step 3 C", (54, 57, 60)),
        ("54-55 C step 0.5", (54, 54.5, 55)),
    ],
)
def test_set_points(typed: str, celsius: tuple[float, ...]) -> None:
    assert asked(set=typed).sweep.set_points_C == pytest.approx(celsius, abs=1e-4)


def test_what_is_left_out_is_usual() -> None:
    usual, columns = settings()["thick"], settings()["columns"]
    sweep = asked().sweep
    assert sweep.thicknesses_m[0] == usual["low_m"]
    assert sweep.thicknesses_m[-1] == usual["high_m"]
    assert 2 <= len(sweep.set_points_C) <= columns["table"]["most"]
    waited = asked(waits=True).sweep
    assert len(waited.set_points_C) <= columns["page"]["most"]
    assert waited.count <= waited.most_while_waiting
    assert asked().paper == "a4"
    assert asked(units="us").paper == "letter"


@pytest.mark.parametrize("key", sorted(catalogue()))
def test_every_food_has_a_usual_table(key: str) -> None:
    for answers in ({}, {"units": "us"}, {"state": "frozen"}):
        table = understand_poster(PosterQuestion.of({"food": key, **answers}), KITCHEN).sweep
        assert table.count >= 2
        on_step = [table.like.on_step(x) for x in table.set_points_C]
        assert table.set_points_C == pytest.approx(on_step)


def test_the_rest_of_the_question_is_taken_over() -> None:
    like = asked(shape="brick", wide="80 mm", long="120 mm", state="frozen", guests="risk", rules="UK").sweep.like
    assert like.body.shape is Shape.BRICK
    assert (like.body.width_m, like.body.length_m) == (0.08, 0.12)
    assert like.state is State.FROZEN
    assert like.guests_at_risk
    assert like.authority.value == "UK"


@pytest.mark.parametrize(
    ("answers", "field", "says"),
    [
        ({"food": ""}, "food", "say what it is"),
        ({"food": "unobtainium"}, "food", "No food is called"),
        ({"thick": "70-10 mm"}, "thick", "falls"),
        ({"thick": "10-70 mm step 0 mm"}, "thick", "above 0"),
        ({"thick": "10-70 mm step 5 step 5"}, "thick", "not one value or a range"),
        ({"thick": "10-20-30 mm"}, "thick", "not one value or a range"),
        ({"thick": "10-70 mm step 0.1 mm"}, "thick", "steps of"),
        ({"thick": "1-2 m"}, "thick", "must lie between"),
        ({"thick": "nan mm"}, "thick", "not understood"),
        ({"thick": "10-200 mm step 1"}, "thick", "too many"),
        ({"set": "54-57"}, "set", "54 C or 54 F?"),
        ({"set": "54-57 C step 0.1"}, "set", "steps of"),
        ({"set": "20-60 C step 5"}, "set", "must lie between"),
        ({"set": "60-120 C step 10"}, "set", "must lie between"),
        ({"state": "warm"}, "state", "accepted are"),
        ({"paper": "a0"}, "paper", "accepted are"),
        ({"units": "royal"}, "units", "accepted are"),
        ({"shape": "brick"}, "shape", "needs a width"),
        ({"layers": "6"}, "layers", "thick in all at most"),
        ({"start": "50 C"}, "start", "must start between"),
    ],
)
def test_a_bad_answer_is_told_in_one_sentence(answers: dict[str, str], field: str, says: str) -> None:
    shape = {} if {"shape"} & answers.keys() else {"shape": "slab"}
    sentences = refused(**shape, **answers)
    assert list(sentences) == [field]
    assert says.lower() in sentences[field].lower()


def test_all_bad_answers_are_told_at_once() -> None:
    assert set(refused(food="unobtainium", thick="x", set="y", state="z", paper="b")) == {
        "food", "thick", "set", "state", "paper",
    }  # fmt: skip


def test_a_reader_is_not_kept_waiting() -> None:
    brick = {"shape": "brick", "wide": "80 mm", "long": "120 mm", "state": "frozen"}
    with pytest.raises(Misunderstood, match="too long to wait for"):
        asked(waits=True, **brick)
    assert asked(waits=True, thick="40 mm", set="56-60 C step 2", **brick).sweep.count == 3


@given(st.text(max_size=40), st.text(max_size=40))
def test_any_text_is_a_table_or_sentences(thick: str, set_points: str) -> None:
    try:
        assert asked(thick=thick, set=set_points).sweep.count >= 1
    except Misunderstood as error:
        fields = set(error.sentences)
        assert fields <= {"thick", "set"}
