"""What to buy as text, JSON and table: by its schema, every key described, nothing lost."""

from __future__ import annotations

import csv
import json
import re
from collections.abc import Iterator
from datetime import datetime
from functools import cache
from io import StringIO
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from jsonschema import Draft202012Validator

from corebath.ask.buying import BuyQuestion, understand_buy
from corebath.log.demo import demo_kitchen
from corebath.log.gear import Kitchen
from corebath.plan.buying_answer import BuyAnswer, answer_buy
from corebath.show.buying_json import SCHEMA, SHOPPING_SCHEMA, buying_as_json, buying_schema, shopping_as_json
from corebath.show.buying_text import buying_text, shopping_csv, shopping_text
from corebath.units import METRIC, US, Preference

PARIS = ZoneInfo("Europe/Paris")
NOW = datetime(2027, 5, 3, 8, 0, tzinfo=PARIS)
PAGE = Path(__file__).parents[3] / "docs" / "json-buying.md"
ASKED = {
    "steaks": (BuyQuestion(food="ribeye", eaters="6", paid="32/kg", against="chuck 12/kg; brisket; carrot"), False),
    "bath": (BuyQuestion(food="ribeye", eaters="2", mass="300 g", paid="32/kg", against="chuck 12/kg"), True),
    "eggs": (BuyQuestion(food="egg", eaters="4, 2 small"), False),
    "worms": (BuyQuestion(food="cod", eaters="3", against="all"), False),
    "late": (BuyQuestion(food="ribeye", eaters="3", eat="19:30", against="chuck"), False),
}


@cache
def answer_of(name: str) -> BuyAnswer:
    question, equipped = ASKED[name]
    kitchen = demo_kitchen(PARIS) if equipped else Kitchen(zone=PARIS)
    return answer_buy(understand_buy(question, NOW, kitchen))


def keys(value: Any) -> Iterator[str]:
    if isinstance(value, dict):
        for key, inner in value.items():
            yield key
            yield from keys(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from keys(inner)


def test_the_schema_is_one() -> None:
    Draft202012Validator.check_schema(buying_schema())


@pytest.mark.parametrize("name", ASKED)
@pytest.mark.parametrize("preference", [METRIC, US], ids=["metric", "US"])
def test_answers_and_lists_follow_the_schema(name: str, preference: Preference) -> None:
    answer = answer_of(name)
    for data in (buying_as_json(answer, preference), shopping_as_json(answer.shopping, preference)):
        assert [e.message for e in Draft202012Validator(buying_schema()).iter_errors(data)] == []
        assert json.loads(json.dumps(data, allow_nan=False)) == data


@pytest.mark.parametrize("name", ASKED)
def test_the_page_describes_every_key(name: str) -> None:
    text = PAGE.read_text(encoding="utf-8")
    described = set(re.findall(r"`([a-z_A-Z0-9]+)`", text))
    assert sorted(set(keys(buying_as_json(answer_of(name), METRIC))) - described) == []
    assert f"`{SCHEMA}`" in text
    assert f"`{SHOPPING_SCHEMA}`" in text


@pytest.mark.parametrize("name", ASKED)
@pytest.mark.parametrize("preference", [METRIC, US], ids=["metric", "US"])
def test_the_text_is_plain_and_whole(name: str, preference: Preference) -> None:
    answer = answer_of(name)
    text = buying_text(answer, preference)
    assert "{" not in text
    assert "nan" not in text.lower()
    assert not re.search(r"\bsafe\b", text.lower())
    headings = [h for h in ("The question", "What to buy", "Shopping list", "What the numbers rest on") if h in text]
    assert [text.index(h) for h in headings] == sorted(text.index(h) for h in headings)
    for cut in answer.cuts:
        assert cut.food.name in text.lower()
    if answer.cuts:
        assert "estimates from few studies" in text


def test_what_cannot_be_compared_and_what_comes_too_late_is_said() -> None:
    assert "Carrot is left out" in buying_text(answer_of("steaks"), METRIC)
    assert "Too late for the table time asked for." in buying_text(answer_of("late"), METRIC)
    assert "It does not work as asked: safety." in buying_text(answer_of("worms"), METRIC)
    assert "not frozen beforehand" in buying_text(answer_of("worms"), METRIC)


def test_energy_is_told_where_the_bath_is_known() -> None:
    data = buying_as_json(answer_of("bath"), METRIC)
    assert all(cut["energy_kWh"]["value"] > 0 for cut in data["cuts"])
    assert "kWh" in buying_text(answer_of("bath"), METRIC)
    assert buying_as_json(answer_of("steaks"), METRIC)["asked"]["energy_kWh"] is None


@pytest.mark.parametrize("name", ASKED)
def test_the_table_holds_the_list(name: str) -> None:
    answer = answer_of(name)
    rows = list(csv.DictReader(StringIO(shopping_csv(answer.shopping, METRIC))))
    assert [row["what"] for row in rows] == [line.what for line in answer.shopping]
    mass = answer.shopping[0].mass_kg
    assert mass is not None
    assert float(rows[0]["mass_kg"]) == pytest.approx(mass.nominal, rel=1e-3)
    assert shopping_text(answer.shopping, answer.request.party, METRIC).startswith("Shopping list for")
