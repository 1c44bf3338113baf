"""A heater and a vessel as typed, with a decimal comma, in parts, or by a name the kitchen does not know."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from zoneinfo import ZoneInfo

import pytest

from corebath.ask.bath import BathQuestion, understand_bath
from corebath.ask.question import Question
from corebath.ask.understand import Misunderstood, understand
from corebath.bath.heater import Heater
from corebath.log.gear import Kitchen, NamedHeater

PARIS = ZoneInfo("Europe/Paris")
NOW = datetime(2027, 5, 3, 8, 0, tzinfo=PARIS)
FRESH = Kitchen(zone=PARIS)
OWNING = replace(FRESH, heaters=(NamedHeater("stick", Heater(1100.0, 0.09, 0.12)),))
POT = {"vessel": "24 cm x 14 cm", "set": "57 C"}


@pytest.mark.parametrize(
    "typed",
    [
        "1.1 kW, 9 cm to 12 cm",
        "1,1 kW, 9 cm to 12 cm",
        "1,1 kW,9 cm to 12 cm",
        "1100 W; 9 cm to 12 cm",
        "1,1kW, 9 to 12 cm",
    ],
)
def test_a_heater_with_either_decimal_sign(typed: str) -> None:
    heater = understand_bath(BathQuestion.of(POT | {"heater": typed}), NOW, FRESH).equipment.heater
    assert heater.power_W == pytest.approx(1100.0)
    assert (heater.lowest_m, heater.highest_m) == pytest.approx((0.09, 0.12))


@pytest.mark.parametrize(
    ("kitchen", "typed", "said"),
    [
        (FRESH, "1.1 kW", "is the power alone: type power and marks, such as"),
        (FRESH, "1,1 kW", "is the power alone"),
        (FRESH, "stick", "is no heater: this kitchen has none yet, so type power and marks"),
        (OWNING, "wand", "which has stick: name one of those, or type power and marks"),
    ],
)
def test_what_is_no_heater_says_what_to_type(kitchen: Kitchen, typed: str, said: str) -> None:
    with pytest.raises(Misunderstood) as caught:
        understand_bath(BathQuestion.of(POT | {"heater": typed}), NOW, kitchen)
    assert said in caught.value.sentences["heater"]


def test_an_unknown_vessel_of_a_kitchen_without_any() -> None:
    with pytest.raises(Misunderstood, match="is no vessel: this kitchen has none yet, so type inner sizes"):
        understand_bath(BathQuestion.of(POT | {"vessel": "stock pot", "heater": "1.1 kW, 9 cm to 12 cm"}), NOW, FRESH)


@pytest.mark.parametrize(
    ("state", "said"),
    [("fridge", "Food from the fridge"), ("frozen", "Frozen food"), ("room", "Food at room temperature")],
)
def test_where_food_comes_from_is_said_in_words(state: str, said: str) -> None:
    asked = Question(food="ribeye", thick="30 mm", want="57 C", eat="19:30", state=state, start="60 C")
    with pytest.raises(Misunderstood) as caught:
        understand(asked, NOW, FRESH)
    assert caught.value.sentences["start"].startswith(f"{said} must start between")
