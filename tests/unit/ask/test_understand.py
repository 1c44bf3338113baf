"""Questions as typed: what they mean, and one sentence for each answer that is not clear."""

from __future__ import annotations

from datetime import datetime, timedelta
from urllib.parse import parse_qsl
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from corebath.ask.question import Question
from corebath.ask.restate import restated
from corebath.ask.understand import Misunderstood, understand
from corebath.heat.body import Shape
from corebath.log.gear import Kitchen
from corebath.plan.make import make_plan
from corebath.plan.request import Request, State
from corebath.safety.authority import Authority
from corebath.units import US, render

PARIS = ZoneInfo("Europe/Paris")
NOW = datetime(2027, 5, 3, 8, 0, tzinfo=PARIS)
KITCHEN = Kitchen(zone=PARIS)
STEAK = Question(food="ribeye", thick="30 mm", want="medium rare", eat="19:30")


def read(**answers: str) -> Request:
    return understand(STEAK.changed(**answers), NOW, KITCHEN)


def wrong(**answers: str) -> dict[str, str]:
    with pytest.raises(Misunderstood) as caught:
        read(**answers)
    return caught.value.sentences


def test_a_question_in_four_answers() -> None:
    request = read()
    assert request.food.key == "beef-ribeye"
    assert request.body.shape is Shape.SLAB
    assert request.body.thickness_m == pytest.approx(0.030)
    assert request.table_time == datetime(2027, 5, 3, 19, 30, tzinfo=PARIS)
    assert request.result is not None
    assert request.result.key == "medium-rare"
    assert request.set_point_C is None
    assert request.state is State.FRIDGE
    assert request.authority is Authority.US


def test_every_answer_reaches_the_request() -> None:
    request = read(
        want="57,5 C", bath="2 h 30 min", pieces="4", mass="8 oz", state="frozen", start="-20 C",
        handling="tenderised", guests="risk", rules="uk", layers="2", fish="frozen", bag="garlic", sear="no",
        zone="UTC", wide="10 cm", long="20 cm",
    )  # fmt: skip
    assert request.set_point_C == 57.5
    assert request.bath_s == 9000
    assert request.pieces == 4
    assert request.piece_mass_kg == pytest.approx(0.22679619)  # 8 oz, exact by definition
    assert request.state is State.FROZEN
    assert request.from_C == -20
    assert request.treated_as == "tenderised"
    assert request.guests_at_risk
    assert request.authority is Authority.UK
    assert request.layers == 2
    assert request.parasites_frozen
    assert request.garlic_or_oil
    assert not request.seared
    assert request.zone.key == "UTC"
    assert request.body.shape is Shape.BRICK


@pytest.mark.parametrize(
    ("answers", "shape"),
    [
        ({}, Shape.SLAB),
        ({"wide": "60 mm"}, Shape.BAR),
        ({"long": "60 mm"}, Shape.BAR),
        ({"wide": "60 mm", "long": "90 mm"}, Shape.BRICK),
        ({"food": "beef tenderloin"}, Shape.CYLINDER),
        ({"food": "beef tenderloin", "long": "150 mm"}, Shape.SHORT_CYLINDER),
        ({"food": "beef tenderloin", "wide": "60 mm"}, Shape.BAR),
        ({"food": "beef tenderloin", "shape": "slab"}, Shape.SLAB),
        ({"shape": "ball"}, Shape.BALL),
    ],
)
def test_the_sizes_make_the_body(answers: dict[str, str], shape: Shape) -> None:
    assert read(**answers).body.shape is shape


@pytest.mark.parametrize(
    ("typed", "preference", "set_point_C"),
    [
        ("57 C", "metric", 57.0),
        ("57.5°C", "metric", 57.5),
        ("57.3 C", "metric", 57.3),
        ("135 F", "metric", (135 - 32) / 1.8),
        ("135F", "us", (135 - 32) / 1.8),
        ("58.5 C", "us", 58.5),
        ("134.8 F", "us", (134.8 - 32) / 1.8),
    ],
)
def test_a_set_point_stays_as_typed(typed: str, preference: str, set_point_C: float) -> None:
    assert read(want=typed, units=preference).set_point_C == pytest.approx(set_point_C, abs=1e-9)


def test_a_bare_number_is_asked_about() -> None:
    assert "60 C or 60 F" in wrong(want="60")["want"]


REFUSED = (
    ("food", ""), ("food", "unicorn"), ("food", "🥩"), ("food", "x" * 1000), ("food", "sirloin"),
    ("thick", ""), ("thick", "-3 cm"), ("thick", "10 m"), ("thick", "0 mm"), ("thick", "1 mm"), ("thick", "NaN"),
    ("thick", "inf mm"), ("thick", "1e400 mm"), ("thick", "30 mm\x00"), ("thick", "thick"),
    ("wide", "10 m"), ("wide", "-1 cm"), ("long", "5 m"), ("long", "?"),
    ("want", ""), ("want", "60"), ("want", "101 C"), ("want", "100 C"), ("want", "300 F"), ("want", "20 C"),
    ("want", "crunchy"), ("want", "nan"), ("want", "-5 C"), ("want", "1e99 C"), ("want", "🍖"),
    ("eat", ""), ("eat", "yesterday"), ("eat", "2020-01-01 19:00"), ("eat", "9999-12-31 19:00"),
    ("eat", "2027-03-28 02:30"),
    ("bath", "5"), ("bath", "-1 h"), ("bath", "10 s"), ("bath", "30 days"),
    ("pieces", "0"), ("pieces", "-2"), ("pieces", "two"), ("pieces", "1.5"), ("pieces", "99999"), ("pieces", "²"),
    ("layers", "0"), ("layers", "9"), ("layers", "٣"),
    ("mass", "0 g"), ("mass", "1 t"), ("mass", "50 kg"),
    ("state", "warm"), ("start", "60 C"), ("start", "-30 C"), ("start", "cold"), ("handling", "minced twice"),
    ("shape", "donut"), ("shape", "brick"), ("shape", "bar"), ("zone", "Paris"), ("rules", "Mars"), ("guests", "uncle"),
    ("fish", "fresh"), ("bag", "thyme"), ("sear", "yes"), ("units", "cubits"),
)  # fmt: skip


@pytest.mark.parametrize(("field", "text"), REFUSED, ids=[f"{f}-{i}" for i, (f, _) in enumerate(REFUSED)])
def test_an_answer_that_is_not_clear_gets_one_sentence(field: str, text: str) -> None:
    sentences = wrong(**{field: text})
    assert list(sentences) == [field]
    told = render(sentences[field], US)
    assert told[0] == told[0].upper()
    assert told[-1] in ".?"
    assert told.isprintable()
    assert len(told) < 700
    assert "{" not in told
    assert "Traceback" not in told


def test_all_unclear_answers_are_told_at_once() -> None:
    assert set(wrong(food="unicorn", thick="-3", eat="never", pieces="none", zone="Mars")) == {
        "food", "thick", "eat", "pieces", "zone",
    }  # fmt: skip


def test_near_names_and_choices_are_offered() -> None:
    with pytest.raises(Misunderstood) as caught:
        read(food="ribey")
    assert "beef ribeye steak" in caught.value.choices["food"]
    with pytest.raises(Misunderstood) as caught:
        read(want="crunchy")
    assert "medium rare" in caught.value.choices["want"]
    for words in caught.value.choices["want"]:
        assert read(want=words).result is not None


def test_a_butcher_s_word_is_read_by_country() -> None:
    assert read(food="sirloin", rules="UK").food.key == "beef-striploin"
    assert read(food="sirloin", rules="US").food.key == "beef-rump"
    assert "different foods" in wrong(food="sirloin")["food"]


def test_a_pile_of_round_pieces_is_refused_by_its_answer() -> None:
    assert list(wrong(food="beef tenderloin", layers="2")) == ["layers"]
    assert list(wrong(thick="100 mm", layers="4")) == ["layers"]


NASTY = st.one_of(
    st.text(max_size=60),
    st.sampled_from(
        ["\x00", "a\x00b", "\u202e30 mm", "🍖" * 50, "NaN", "-0", "1e309", "0x10", "½", "30\u00a0mm", "３０ mm",
         "\ud800", "%s%n", "{60|C}", "<script>", "'; drop", "\r\n", "30 mm\n", "−5 C", "1,100 mm", "∞", "..", "1/0 in"]
    ),
)  # fmt: skip


@settings(deadline=None, max_examples=60)
@given(st.sampled_from(Question.names()), NASTY)
def test_nothing_typed_into_any_field_crashes(field: str, text: str) -> None:
    question = Question.of({**STEAK.given(), field: text})
    sentences = {}
    try:
        understand(question, NOW, KITCHEN)
    except Misunderstood as error:
        sentences = error.sentences
        assert sentences
    assert all(s and s[-1] in ".?" for s in sentences.values())


@pytest.mark.parametrize("field", Question.names())
@pytest.mark.parametrize("character", ["9", "x", "🍖", "\x00"])
def test_a_megabyte_in_any_field_is_refused_with_a_short_sentence(field: str, character: str) -> None:
    sentences = wrong(**{field: character * (1_000_000 // len(character.encode()))})
    assert sentences
    assert all(len(s) < 900 for s in sentences.values())


def test_every_offer_restated_means_the_same_request() -> None:
    for typed in (
        {"eat": "09:30"},
        {"want": "54 C", "food": "chicken breast", "units": "us"},
        {"want": "130 F", "food": "chicken breast"},
        {"want": "48 C", "food": "salmon", "guests": "risk"},
        {"food": "chicken breast", "want": "62 C", "thick": "1 1/2 in", "eat": "10:00", "layers": "2", "mass": "7 oz"},
        {"food": "pork loin", "want": "60 C", "state": "frozen", "eat": "11:00", "wide": "8 cm", "thick": "4 cm"},
        {"bath": "20 min", "handling": "tenderised", "rules": "AU", "bag": "garlic"},
    ):
        question = STEAK.changed(**typed)
        plan = make_plan(understand(question, NOW, KITCHEN))
        assert plan.alternatives, typed
        for offer in plan.alternatives:
            again = understand(restated(question, offer.request), NOW, KITCHEN)
            assert _sense(again) == _sense(offer.request), offer.change
            assert again.set_point_C == pytest.approx(offer.request.set_point_C, abs=1e-4)
            assert again.body.thickness_m == pytest.approx(offer.request.body.thickness_m, rel=1e-4)
            assert make_plan(again, offer=False).works, offer.change


def _sense(request: Request) -> tuple[object, ...]:
    return (
        request.food.key, request.body.shape, request.table_time, request.zone.key,
        None if request.result is None else request.result.key, request.bath_s, request.state,
        request.from_C, request.treated_as, request.pieces, request.layers, request.guests_at_risk, request.authority,
        request.subject,
    )  # fmt: skip


@settings(deadline=None, max_examples=40)
@given(
    st.floats(3, 250),
    st.one_of(st.sampled_from(["rare", "medium", "well done"]), st.integers(80, 180).map(lambda n: f"{n / 2} C")),
    st.integers(1, 9),
    st.one_of(st.none(), st.floats(0.1, 5.0)),
    st.sampled_from(list(State)),
    st.timedeltas(timedelta(hours=1), timedelta(days=50)),
)
def test_a_request_restated_means_the_same(
    thick_mm: float, want: str, pieces: int, mass_kg: float | None, state: State, ahead: timedelta
) -> None:
    eat = (NOW + ahead).replace(second=0, microsecond=0)
    question = STEAK.changed(
        thick=f"{thick_mm:.4f} mm", want=want, pieces=str(pieces), mass="" if mass_kg is None else f"{mass_kg:.4f} kg",
        state=state.value, eat=eat.isoformat(),
    )  # fmt: skip
    request = understand(question, NOW, KITCHEN)
    again = understand(restated(question, request), NOW, KITCHEN)
    assert _sense(again) == _sense(request)
    assert again.body.thickness_m == pytest.approx(request.body.thickness_m, rel=1e-5)
    if request.piece_mass_kg is not None:
        assert again.piece_mass_kg == pytest.approx(request.piece_mass_kg, rel=1e-5)
    # Restating is idempotent, so an address does not change under the cook.
    assert restated(restated(question, request), again) == restated(question, request)


def test_a_question_survives_its_address() -> None:
    question = STEAK.changed(thick='1 1/4"', want="58 °C", bag="garlic")
    assert Question.of(parse_qsl(question.query())) == question
    assert Question.of({"nonsense": "x", **question.given()}) == question
