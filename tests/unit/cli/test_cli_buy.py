"""`corebath buy`."""

from __future__ import annotations

import csv
import json
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator
from tests.unit.cli.ends_runs import TYPED, refused, run

from corebath.show.buying_json import buying_schema

MENU = """
zone = "Europe/Paris"
[[course]]
name = "main"
eat = "{day} 20:00"
[[dish]]
food = "ribeye"
thick = "30 mm"
mass = "300 g"
want = "medium rare"
ahead = "must"
[[dish]]
food = "carrots"
thick = "25 mm"
want = "85 C"
[[kitchen.baths]]
vessel = "24 cm x 20 cm"
heater = "1.1 kW, 9 cm to 16 cm"
"""


def data_of(*words: str, leaves: int = 0) -> dict[str, Any]:
    result = run("buy", *words, "--json")
    assert result.exit_code == leaves, result.output
    data: dict[str, Any] = json.loads(result.stdout)
    assert [e.message for e in Draft202012Validator(buying_schema()).iter_errors(data)] == []
    return data


def test_six_eaters_and_another_cut() -> None:
    data = data_of(
        "ribeye", "--eaters", "6", "--appetite", "usual", "--price", "32/kg", "--against", "chuck roast 12/kg"
    )
    assert data["asked"]["buying"]["eaters"] == {"small": 0, "usual": 6, "large": 0}
    assert data["asked"]["buying"]["wanted_kg"] == pytest.approx(0.78)
    assert [cut["food"]["key"] for cut in data["cuts"]] == ["beef-chuck", "beef-ribeye"]
    chuck, ribeye = (cut["cost_each"]["value"] for cut in data["cuts"])
    assert chuck < ribeye


def test_prices_by_the_pound_and_by_the_kilogram_come_to_the_same() -> None:
    pound, kilo = (
        data_of("ribeye", "--eaters", "2", "--want", "57 C", "--price", price)["asked"]["cost_each"]["value"]
        for price in ("10 USD/lb", "22.0462262 USD/kg")
    )
    assert pound == pytest.approx(kilo)


def test_the_shopping_list_is_written(tmp_path: Path) -> None:
    table = tmp_path / "list.csv"
    result = run("buy", "ribeye", "--eaters", "2", "--csv", str(table))
    assert result.exit_code == 0
    rows = list(csv.DictReader(table.read_text(encoding="utf-8").splitlines()))
    assert rows[0]["key"] == "food"
    refused(run("buy", "ribeye", "--eaters", "2", "--csv", str(tmp_path / "no" / "list.csv")), "could not be written")


def test_a_menu_file_makes_a_shopping_list(tmp_path: Path) -> None:
    menu = tmp_path / "menu.toml"
    menu.write_text(MENU.format(day="sat"), encoding="utf-8")
    data = data_of("--menu", str(menu), "--eaters", "4", "--price", "ribeye 32 per kg")
    assert [line["what"] for line in data["shopping"][:2]] == ["beef ribeye steak", "carrot"]
    assert {line["key"] for line in data["shopping"]} == {"food", "salt", "bags", "ice", "oil"}
    assert data["shopping"][0]["cost"] == pytest.approx(32 * data["shopping"][0]["mass_kg"]["value"])
    text = run("buy", "--menu", str(menu), "--eaters", "4").stdout
    assert text.startswith("Shopping list for 4")
    refused(run("buy", "--menu", str(menu)), "say how many eat")
    refused(run("buy", "--menu", str(menu), "--eaters", "4", "--price", "ribeye"), "has no price")
    refused(run("buy", "--menu", str(menu), "--eaters", "4", "--price", "unicorn 3/kg"), "unicorn")
    refused(run("buy", "ribeye", "--menu", str(menu), "--eaters", "4"), "either which food")
    menu.write_text("[[dish]", encoding="utf-8")
    refused(run("buy", "--menu", str(menu), "--eaters", "4"))
    menu.write_bytes(b"\xff\xfe\x00")
    refused(run("buy", "--menu", str(menu), "--eaters", "4"), "could not be read")


def test_a_plan_that_fails_is_told_with_exit_code_1() -> None:
    result = run("buy", "cod", "--eaters", "2")
    assert result.exit_code == 1
    assert "What fails" in result.stdout
    assert "Buy " in result.stdout


@pytest.mark.parametrize(
    ("words", "needed"),
    [
        ((), "either which food"),
        (("ribeye",), "say how many eat"),
        (("ribeye", "--eaters", "0"), "between 1 and 500"),
        (("ribeye", "--eaters", "6", "--appetite", "huge"), "accepted are small"),
        (("ribeye", "--eaters", "6", "--price", "free"), "price of food by weight"),
        (("unicorn", "--eaters", "6"), "unicorn"),
        (("ribeye", "--eaters", "6", "--against", "sirloin 9/kg"), "different foods"),
        (("ribeye", "--eaters", "6", "--want", "57 C", "--against", "all"), "name one in words"),
        (("ribeye", "--eaters", "6", "--thick", "10 m"), "between"),
        (("ribeye", "--eaters", "6", "--wait", "2 h"), "--ice beside --wait"),
    ],
)
def test_unclear_answers(words: tuple[str, ...], needed: str) -> None:
    refused(run("buy", *words), needed)


@settings(max_examples=30, deadline=None)
@given(st.sampled_from(["--eaters", "--appetite", "--price", "--against", "--thick", "--want", "--eat"]), TYPED)
def test_anything_typed_is_answered_or_refused(option: str, typed: str) -> None:
    words = {"--eaters": "3"} | {option: typed}
    result = run("buy", "ribeye", *(f"{name}={value}" for name, value in words.items()))
    assert result.exit_code in (0, 1, 2)
    assert result.exception is None or isinstance(result.exception, SystemExit)
    assert "Traceback" not in result.output
