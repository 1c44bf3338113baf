"""Degrees are shown as the bath's were typed, where neither question nor kitchen chose units."""

from __future__ import annotations

from dataclasses import replace
from zoneinfo import ZoneInfo

import pytest

from corebath.ask.question import Question
from corebath.ask.understand import preference_of
from corebath.log.gear import Kitchen
from corebath.units import METRIC, US

HERE = Kitchen(zone=ZoneInfo("UTC"))


@pytest.mark.parametrize("typed", ["135F", "135 °F", "135 f", "131.5 F", "135 degrees Fahrenheit"])
def test_a_set_point_in_fahrenheit_is_shown_so(typed: str) -> None:
    assert preference_of(Question(want=typed), HERE).temperature == "F"
    assert preference_of(Question(want=typed), HERE).length == "mm"


@pytest.mark.parametrize("typed", ["57C", "medium rare", "soft, 5 for two", ""])
def test_anything_else_leaves_the_usual_units(typed: str) -> None:
    assert preference_of(Question(want=typed), HERE) == METRIC


def test_what_was_chosen_wins() -> None:
    assert preference_of(Question(want="135F", units="metric"), HERE) == METRIC
    assert preference_of(Question(want="57C"), replace(HERE, preference=US)) == US
    assert preference_of(Question(want="135F"), replace(HERE, units_chosen=True)) == METRIC
