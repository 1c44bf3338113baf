"""Sentences found in a catalogue, with what varies left in its place."""

from __future__ import annotations

import re
from collections import Counter

import pytest

from corebath.language import every, translated
from corebath.language.catalogue import Catalogue
from corebath.language.text import Translator
from corebath.units import METRIC, US, Preference, render

GERMAN = Catalogue(
    [
        ("Pull the bag: {0} after drop-in.{1}", "Beutel herausnehmen: {0} nach dem Einlegen.{1}"),
        ("The clocks go {0} by {1} meanwhile; the elapsed time counts.", "Die Uhren gehen dabei {1} {0}."),
        ("back", "zurück"),
        ("beef ribeye steak", "Entrecôte vom Rind"),
        ("{0} pieces of {1}", "{0} Stück {1}"),
        ("set the bath to {0}, drop in {1} {2}", "das Bad auf {0} stellen, {1} {2} einlegen"),
        ("by", "bis"),
        ("{0} on {1}", "{0} am {1}"),
        ("Serve.", "Servieren."),
        ("Set the bath to {0}.", "Das Bad auf {0} stellen."),
        ("not translated", ""),
    ]
)


def say(text: str) -> str:
    return Translator("de", GERMAN).said(text)


@pytest.mark.parametrize(
    ("english", "german"),
    [
        ("Serve.", "Servieren."),
        ("Set the bath to 57.5 °C (136 °F).", "Das Bad auf 57,5 °C (136 °F) stellen."),
        ("Pull the bag: 1 h 25 min after drop-in.", "Beutel herausnehmen: 1 h 25 min nach dem Einlegen."),
        (
            "Pull the bag: 36 h after drop-in. The clocks go back by 1 h meanwhile; the elapsed time counts.",
            "Beutel herausnehmen: 36 h nach dem Einlegen. Die Uhren gehen dabei 1 h zurück.",
        ),
        ("Set the bath to 60 °C. Serve.", "Das Bad auf 60 °C stellen. Servieren."),
        ("2 pieces of beef ribeye steak", "2 Stück Entrecôte vom Rind"),
        ("- Serve.", "- Servieren."),
        ("Beef ribeye steak", "Entrecôte vom Rind"),
        ("17:25 on Tuesday 1 December", "17:25 am Dienstag, 1. Dezember"),
        ("2 days 3 h", "2 Tage 3 h"),
        ("Set the bath to 60 °C.\nServe.", "Das Bad auf 60 °C stellen.\nServieren."),
    ],
)
def test_a_sentence_keeps_its_figures_and_moves_them(english: str, german: str) -> None:
    assert say(english) == german


def test_what_the_catalogue_lacks_stays_english_and_is_counted() -> None:
    missing: Counter[str] = Counter()
    speaker = Translator("de", GERMAN, missing)
    assert speaker.said("Nobody translated 2.5 of this, Serve") == "Nobody translated 2,5 of this, Servieren"
    assert missing == {"Nobody translated 2.5 of this": 1}
    assert speaker.whole("Nobody translated this.") is None
    assert speaker.said("not translated") == "not translated"


@pytest.mark.parametrize(
    "text", ["", "   ", "12:30", "v1.2.3", "192.168.0.1", "1.1.2026", "x" * 5000, "{0}", "\\1 (.*)"]
)
def test_what_is_no_sentence_comes_back_as_it_is(text: str) -> None:
    assert say(text) == text


def test_a_cook_s_words_cannot_reach_into_the_catalogue() -> None:
    assert say("Set the bath to {1}.") == "Das Bad auf {1} stellen."
    assert say("2 pieces of (((((((((((((((((((") == "2 Stück ((((((((((((((((((("


def test_english_is_left_alone_and_other_languages_are_refused() -> None:
    assert translated("Serve.", "en") == "Serve."
    assert every({"a": ["Serve.", 1.5, None]}, "en") == {"a": ["Serve.", 1.5, None]}
    with pytest.raises(KeyError):
        translated("Serve.", "xx")


@pytest.mark.parametrize("preference", [METRIC, US], ids=["metric", "US"])
@pytest.mark.parametrize(
    ("language", "ends"),
    [
        ("de", "innerhalb von 6 h"),
        ("fr", "en 6 h"),
        ("es", "en 6 h"),
    ],
)
def test_the_title_of_a_rule_stays_whole_with_both_units(language: str, ends: str, preference: Preference) -> None:
    """Cut at its colon or brackets, the limit of time would read as a tolerance."""
    title = "come-up: core from {10|C} to {54.4|C} within {21600|s}"
    both = translated(render(title, preference), language)
    one = translated(render(title, preference, both=False), language)
    assert both.endswith(ends)
    assert re.sub(r" \([^)]*\)", "", both) == one


def test_a_limit_of_time_by_itself_is_no_tolerance_in_french() -> None:
    assert translated("within 6 h", "fr") == "en 6 h au plus"
