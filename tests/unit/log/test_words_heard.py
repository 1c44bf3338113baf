"""Plain words about a meal. What they mean is common practice, no source."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from corebath.log.cook import Rating
from corebath.log.learn_drive import QUALITIES
from corebath.log.learn_taste import Loose
from corebath.log.words import hear


@pytest.mark.parametrize(
    ("text", "rating"),
    [
        ("a bit chewy", {"tender": -1}),
        ("tough as leather, leathery", {"tender": None}),
        ("mush", {"tender": 2}),
        ("far too soft", {"tender": 2}),
        ("not tender", {"tender": -1}),
        ("not tender enough", {"tender": -1}),
        ("not quite tender", {"tender": -1}),
        ("could be more tender", {"tender": -1}),
        ("chewy, juicy", {"tender": -1, "juicy": 0}),
        ("very dry", {"juicy": -2}),
        ("not dry", {"juicy": 0}),
        ("too pink", {"done": -1}),
        ("nice and pink", {"done": 0}),
        ("much too grey", {"done": 2}),
        ("not salty enough", {"salt": -1}),
        ("not too salty", {"salt": 0}),
        ("much too salty", {"salt": 2}),
        ("too much salt", {"salt": 1}),
        ("too little salt", {"salt": -1}),
        ("needs more salt", {"salt": -1}),
        ("less salty would be nice", {"salt": 1}),
        ("tender and juicy but a little bland", {"tender": 0, "juicy": 0, "salt": -1}),
        ("no crust", {"crust": -2}),
        ("too little crust", {"crust": -1}),
        ("the crust was burnt", {"crust": 2}),
        ("good crust", {"crust": 0}),
        ("the crust", {"crust": None}),
        ("perfect", dict.fromkeys(QUALITIES, 0)),
        ("Perfect, but a bit salty!", dict.fromkeys(QUALITIES, 0) | {"salt": 1}),
        ("not perfect", {}),
        ("juicy middle, dry edges", {"juicy": 0}),
    ],
)
def test_words_as_ratings(text: str, rating: dict[str, int | None]) -> None:
    heard = hear(text)
    assert {q: getattr(heard.rating, q) for q in QUALITIES} == dict.fromkeys(QUALITIES) | rating
    assert heard.rating.note == text


def test_words_with_two_meanings_leave_room_and_ask() -> None:
    heard = hear("soft but grey")
    assert heard.rating == Rating(done=1, note="soft but grey")
    assert heard.loose == (Loose("tender", 0, 1),)
    assert heard.questions == ("Was it soft as you like it, or too soft?",)


def test_dry_edges_may_be_the_sear() -> None:
    heard = hear("bit dry edges")
    assert heard.rating.juicy is None
    assert heard.loose == (Loose("juicy", -1, 0),)
    assert "it may be the sear" in heard.questions[0]


def test_better_compares_with_the_last_rating() -> None:
    heard = hear("better", Rating(tender=-1, juicy=0))
    assert heard.loose == (Loose("tender", -1, 0),)
    assert hear("worse", Rating(tender=-1)).loose == (Loose("tender", -2, -1),)
    assert hear("softer", Rating(tender=-1)).loose == (Loose("tender", -1, 2),)
    assert hear("less salty", Rating(salt=1)).loose == (Loose("salt", -2, 1),)
    alone = hear("better")
    assert alone.loose == ()
    assert alone.questions == ("Better or worse in what: tenderness, juiciness, colour, crust or salt?",)


def test_unknown_words_are_kept_and_said() -> None:
    heard = hear("chewy and funky")
    assert heard.unknown == ("funky",)
    assert "Not understood, kept as a note: funky." in heard.said
    assert hear("").said == ("No rating could be read from these words.",)


def test_contradictions_are_asked_about() -> None:
    heard = hear("chewy, mushy")
    assert heard.loose == (Loose("tender", -1, 2),)
    assert "chewy" in heard.questions[-1]
    assert "mushy" in heard.questions[-1]


@given(st.text(st.characters(exclude_categories=["Cc", "Cs"]), max_size=80))
@settings(deadline=None)
def test_any_text_is_read(text: str) -> None:
    heard = hear(text, Rating(tender=-2, salt=1))
    assert heard.rating.note == text
    assert heard.said


@given(
    st.lists(
        st.sampled_from(["not", "too", "a bit", "very", "more", "edges", "dry", "soft", "salt", "pink"]), max_size=8
    )
)
@settings(deadline=None)
def test_any_heap_of_known_words_is_read(words: list[str]) -> None:
    heard = hear(" ".join(words), Rating(juicy=1))
    for one in heard.loose:
        assert getattr(heard.rating, one.quality) is None


def test_loose_ratings_outside_the_scale_are_refused() -> None:
    with pytest.raises(ValueError, match="from -2 to 2"):
        Loose("tender", 1, 0)
    with pytest.raises(ValueError, match="from -2 to 2"):
        Loose("smell", 0, 1)


def test_a_scale_overrules_the_words_for_its_quality() -> None:
    heard = hear("soft but a bit dry", given=Rating(tender=1, note="soft but a bit dry"))
    assert heard.rating == Rating(juicy=-1, note="soft but a bit dry")
    assert heard.loose == ()
    assert heard.questions == ()
    assert heard.said == ("Understood: juiciness too dry.",)
    against = hear("soft", given=Rating(tender=-2))
    assert against.said == ("For tenderness the scale counts, and not the words.",)
    assert hear("perfect", given=Rating(salt=1)).rating == Rating(tender=0, juicy=0, done=0, crust=0, note="perfect")
