"""`--why`: reasons by themselves, by key and as JSON."""

from __future__ import annotations

import json

import pytest
from tests.unit.cli.ends_runs import refused, run

STEAK = ("plan", "ribeye", "--thick", "30 mm", "--want", "medium rare", "--eat", "tomorrow 19:30", "--zone", "UTC")
POT = ("--vessel", "24 cm x 14 cm", "--heater", "1.1 kW, 9 cm to 12 cm")
FOOD = ("--food", "ribeye", "--thick", "30 mm", "--mass", "300 g")
ALONE = {
    "bath": ("bath", *POT, *FOOD, "--set", "57 C", "--swap-to", "65 C"),
    "salt": ("salt", "pork loin", "--thick", "60 mm", "--mass", "900 g"),
    "brine": ("salt", "pork loin", "--thick", "60 mm", "--mass", "900 g", "--water", "1 L"),
    "poultry": ("salt", "chicken breast", "--thick", "30 mm"),
    "sear": ("sear", "ribeye", "--thick", "30 mm", "--want", "55 C"),
    "chill": ("chill", "chicken breast", "--thick", "38 mm", "--start", "62 C", "--mass", "200 g", "--water", "1 L"),
    "keep": ("keep", "chicken breast", "--thick", "38 mm", "--pasteurised", "yes", "--fridge", "3 C"),
    "reheat": ("reheat", "chicken breast", "--thick", "38 mm", "--cooked", "60 C"),
}  # fmt: skip
KEYS = {
    "bath": {"warm-up", "holds", "fit", "dip", "float", "level", "outage", "highest", "swap", "most"},
    "salt": {"dose", "salt-times", "salt-surface", "salt-waits"}, "brine": {"dose", "salt-times"},
    "poultry": {"salt-times"}, "sear": {"hot-face", "crust", "grey-band", "core-rise", "oils", "pan-preheat"},
    "chill": {"chill-time", "ice"}, "keep": {"keeping", "freezing"}, "reheat": {"reheat"},
}  # fmt: skip


def test_all_reasons_of_a_plan() -> None:
    result = run(*STEAK, "--why")
    assert result.exit_code == 0, result.output
    assert result.stderr == ""
    assert "[come-up]" in result.stdout
    assert "[reheat]" in result.stdout  # both ends are explained too
    assert "Source: " in result.stdout
    assert "as you typed it" in result.stdout
    assert "|C}" not in result.stdout


def test_one_reason() -> None:
    result = run(*STEAK, "--why", "come-up")
    assert result.exit_code == 0
    assert result.stdout.count("Source: ") == 1
    assert "Fourier" in result.stdout


def test_one_part() -> None:
    result = run(*STEAK, "--why", "sear")
    assert "[crust]" in result.stdout
    assert "[come-up]" not in result.stdout


def test_an_unknown_key_is_refused_in_one_sentence() -> None:
    result = run(*STEAK, "--why", "chil-time")
    refused(result)
    assert "chill-time" in result.stderr
    assert len(result.stderr) < 400


def test_a_plan_that_fails_is_explained_and_still_leaves_1() -> None:
    failing = (
        "plan",
        "chicken breast",
        "--thick",
        "40 mm",
        "--want",
        "56 C",
        "--eat",
        "tomorrow 19:30",
        "--zone",
        "UTC",
    )
    result = run(*failing, "--why", "rules")
    assert result.exit_code == 1
    assert "Salmonella" in result.stdout


def test_reasons_as_json() -> None:
    result = run(*STEAK, "--why", "ready", "--json")
    (one,) = json.loads(result.stdout)
    assert one["key"] == "ready"
    assert {"name": "come-up", "see": "come-up"}.items() <= one["inputs"][0].items()
    whole = json.loads(run(*STEAK, "--json").stdout)
    assert whole["schema"] == "corebath.plan/2"
    assert [w for w in whole["why"] if w["key"] == "ready"] == [one]
    assert {i["origin"] for w in whole["why"] for i in w["inputs"]} >= {"typed", "usual", "catalogue", "rule", "model"}


@pytest.mark.parametrize("name", ALONE)
def test_an_end_by_itself_is_explained(name: str) -> None:
    result = run(*ALONE[name], "--why", "--json")
    whys = json.loads(result.stdout)
    keys = [one["key"] for one in whys]
    assert KEYS[name] <= set(keys)
    assert len(set(keys)) == len(keys)
    for one in whys:
        assert all(one[text] for text in ("of", "value", "model", "source", "spread")), one
        assert all(given["see"] in (None, *keys) for given in one["inputs"]), one
    assert result.exit_code == run(*ALONE[name]).exit_code


@pytest.mark.parametrize("name", ["bath", "salt", "sear", "chill", "keep", "reheat"])
def test_the_help_names_a_number_that_the_command_has(name: str) -> None:
    words = " ".join(run(name, "--help").stdout.split())
    example = words.split("with KEY only that one, such as ")[1].split(".")[0]
    assert example in KEYS[name]


def test_a_command_without_a_number_says_what_to_ask_for() -> None:
    result = run(*ALONE["keep"], "--why", "come-up")
    refused(result)
    assert "There is no number called 'come-up' in this answer; " in result.stderr
    assert "a whole part you can ask for: keep." in result.stderr


def test_a_food_that_is_left_out_ends_in_one_full_stop() -> None:
    for food in ("liver", "rice", "oysters", "unicorn"):
        result = run("foods", food)
        refused(result)
        assert result.stderr.rstrip().endswith(".")
        assert ".." not in result.stderr
