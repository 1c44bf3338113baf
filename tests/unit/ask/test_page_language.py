"""A butcher's word on a page in the cook's language: read as there, and written down by its own name."""

from __future__ import annotations

from datetime import datetime
from zoneinfo import ZoneInfo

import pytest

from corebath.ask.question import Question
from corebath.ask.restate import restated
from corebath.ask.understand import Misunderstood, understand
from corebath.language import reading
from corebath.log.gear import Kitchen

PARIS = ZoneInfo("Europe/Paris")
NOW = datetime(2027, 5, 3, 8, 0, tzinfo=PARIS)
KITCHEN = Kitchen(zone=PARIS)
RUMP = Question(food="Rumpsteak", thick="30 mm", want="57 C", eat="19:30")


def test_a_word_of_two_meanings_is_read_in_the_language_of_the_page() -> None:
    with reading("de"):
        request = understand(RUMP, NOW, KITCHEN)
    assert request.food.key == "beef-striploin"
    again = restated(RUMP, request)
    # It means the same to a reader of any language.
    assert understand(again, NOW, KITCHEN).food is request.food
    assert again.food == "beef striploin"
    assert restated(RUMP.changed(food="ribeye"), request).food == "ribeye"


def test_rules_that_were_typed_say_more_than_the_language() -> None:
    with reading("de"):
        assert understand(RUMP.changed(rules="UK"), NOW, KITCHEN).food.key == "beef-rump"


def test_a_word_of_two_meanings_is_asked_about_by_the_names_of_countries() -> None:
    with pytest.raises(Misunderstood, match=r"beef striploin in Germany; .* in the United Kingdom, Australia"):
        understand(RUMP, NOW, KITCHEN)
