"""A temperature without a unit: asked about everywhere until the cook or the kitchen chose units."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from corebath.ask.bath import BathQuestion, understand_bath
from corebath.ask.ends import (
    EndQuestion,
    understand_chill,
    understand_keep,
    understand_reheat,
    understand_sear,
)
from corebath.ask.poster import PosterQuestion, understand_poster
from corebath.ask.question import Question
from corebath.ask.understand import Misunderstood, understand
from corebath.log.gear import Kitchen
from corebath.log.store import Store
from corebath.units import US

PARIS = ZoneInfo("Europe/Paris")
NOW = datetime(2027, 5, 3, 8, 0, tzinfo=PARIS)
FRESH = Kitchen(zone=PARIS)
PIECE = {"food": "ribeye", "thick": "30 mm"}
STEAK = PIECE | {"want": "medium rare", "eat": "19:30"}
POT = {"vessel": "24 cm x 14 cm", "heater": "1.1 kW, 9 cm to 12 cm"}


def plan(kitchen: Kitchen, **answers: str) -> Any:
    return understand(Question.of(STEAK | answers), NOW, kitchen)


def sear(kitchen: Kitchen, **answers: str) -> Any:
    return understand_sear(EndQuestion.of(PIECE | {"want": "57 C"} | answers), kitchen)


def chill(kitchen: Kitchen, **answers: str) -> Any:
    return understand_chill(EndQuestion.of(PIECE | answers), kitchen)


def keep(kitchen: Kitchen, **answers: str) -> Any:
    return understand_keep(EndQuestion.of({"food": "ribeye"} | answers), NOW, kitchen)


def reheat(kitchen: Kitchen, **answers: str) -> Any:
    return understand_reheat(EndQuestion.of(PIECE | {"cooked": "57 C"} | answers), kitchen)


def bath(kitchen: Kitchen, **answers: str) -> Any:
    return understand_bath(BathQuestion.of(POT | {"set": "57 C"} | answers), NOW, kitchen)


def poster(kitchen: Kitchen, **answers: str) -> Any:
    return understand_poster(PosterQuestion.of({"food": "ribeye"} | answers), kitchen)


# The sentence at the field; the unit that the cook may have meant stands in it.
ASKED: list[tuple[Callable[..., Any], dict[str, str], str]] = [
    (plan, {"start": "28"}, "28 C or 28 F?"),
    (plan, {"start": "0", "state": "frozen"}, "0 C or 0 F?"),
    (plan, {"start": "70", "state": "room"}, "70 C or 70 F?"),
    (plan, {"want": "57"}, "57 C or 57 F?"),
    (plan, {"want": "140"}, "did you mean 140 F?"),
    (plan, {"hot": "450"}, "did you mean 450 F?"),
    (sear, {"hot": "450"}, "did you mean 450 F?"),
    (sear, {"want": "57"}, "57 C or 57 F?"),
    (chill, {"start": "60"}, "60 C or 60 F?"),
    (keep, {"fridge": "38"}, "did you mean 38 F?"),
    (keep, {"fridge": "4"}, "did you mean 4 C?"),
    (reheat, {"cooked": "130"}, "did you mean 130 F?"),
    (reheat, {"reheat": "60"}, "60 C or 60 F?"),
    (reheat, {"serve": "50"}, "50 C or 50 F?"),
    (bath, {"set": "57"}, "57 C or 57 F?"),
    (bath, {"tap": "55"}, "did you mean 55 F?"),
    (bath, {"swap_to": "80"}, "80 C or 80 F?"),
    (bath, {"dip": "2"}, "2 C or 2 F?"),
    (poster, {"start": "28"}, "28 C or 28 F?"),
]


@pytest.mark.parametrize(("ask", "answers", "said"), ASKED)
def test_a_bare_temperature_is_asked_about_where_nobody_chose_units(
    ask: Callable[..., Any], answers: dict[str, str], said: str
) -> None:
    with pytest.raises(Misunderstood) as caught:
        ask(FRESH, **answers)
    field = next(iter(answers))
    assert said in caught.value.sentences[field]
    assert set(caught.value.choices[field]) <= {f"{answers[field]} C", f"{answers[field]} F"}


@pytest.mark.parametrize(
    ("kitchen", "units", "start", "start_C"),
    [
        (replace(FRESH, units_chosen=True), "", "6", 6.0),
        (FRESH, "metric", "6", 6.0),
        (FRESH, "us", "41", 5.0),
        (replace(FRESH, preference=US), "", "41", 5.0),
        (replace(FRESH, preference=US), "metric", "6", 6.0),
    ],
)
def test_units_that_were_chosen_are_taken(kitchen: Kitchen, units: str, start: str, start_C: float) -> None:
    assert plan(kitchen, start=start, units=units).start_C == pytest.approx(start_C)


def test_a_bare_fraction_is_never_a_few_millimetres() -> None:
    with pytest.raises(Misunderstood, match=r"4 1/2 in or 4\.5 mm\?") as caught:
        plan(FRESH, thick="4 1/2")
    assert caught.value.choices["thick"] == ("4 1/2 in", "4.5 mm")
    with pytest.raises(Misunderstood, match=r"4 in, 4 cm or 4 mm\?"):
        plan(replace(FRESH, units_chosen=True), thick="4")


def test_a_refused_size_says_in_which_unit_it_was_read() -> None:
    with pytest.raises(Misunderstood, match="'3000' was read as mm"):
        plan(FRESH, thick="3000")
    with pytest.raises(Misunderstood, match="'30' was read as in"):
        plan(FRESH, thick="30", units="us")


def test_a_kitchen_that_was_kept_has_chosen_its_units(tmp_path: Path) -> None:
    assert FRESH.degree is None
    store = Store(tmp_path / "log.sqlite")
    store.save_kitchen(FRESH, 0)
    kept = store.kitchen()
    store.close()
    assert kept is not None
    assert kept[0].degree == "C"
    assert keep(kept[0], fridge="4").fridge_C == 4.0
