"""`corebath menu`: a file in, a menu out, as text, JSON, lanes, table and calendar; bad files get sentences."""

from __future__ import annotations

import csv
import json
import re
import tempfile
from datetime import UTC, datetime, timedelta
from functools import cache
from pathlib import Path
from typing import Any

import pytest
import vobject
from click.testing import Result
from hypothesis import given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator
from tests.unit.cli.ends_runs import TYPED, refused, run, sound

from corebath.ask.menu_file import example_file, read_menu
from corebath.show.menu_json import menu_schema

_DAY = f"{datetime.now(UTC) + timedelta(days=2):%Y-%m-%d}"
DINNER = f"""
zone = "Europe/Paris"
[[course]]
eat = "{_DAY} 20:00"
[[dish]]
name = "steaks"
food = "beef ribeye steak"
pieces = 2
thick = "35 mm"
mass = "300 g"
want = "medium rare"
ahead = "never"
[[dish]]
food = "carrots"
pieces = 8
thick = "25 mm"
mass = "80 g"
want = "85 C"
[kitchen]
fridge = "4 C"
[[kitchen.baths]]
vessel = "26 cm x 18 cm"
heater = "1.1 kW, 8 cm to 14.5 cm"
cover = "loose-lid"
weight = "200 g"
"""
# Nothing that goes through a bath is on the table this soon.


def menu(tmp_path: Path, text: str, *more: str) -> Result:
    path = tmp_path / "dinner.toml"
    path.write_text(text, encoding="utf-8")
    return run("menu", str(path), *more)


def test_the_example_meets_its_rules(tmp_path: Path) -> None:
    result = menu(tmp_path, example_file())
    assert result.exit_code == 0, result.output
    assert "Rules that bind and are not met" not in result.output


def test_a_binding_rule_that_is_not_met_is_named_and_exits_1(tmp_path: Path) -> None:
    """Nothing holds the carrots under water, and the fridge was not measured: both stand in the answer."""
    result = menu(tmp_path, DINNER.replace('weight = "200 g"', "").replace('fridge = "4 C"', ""))
    assert result.exit_code == 1
    answer = result.output.partition("The answer\n")[2].split("\n\n")[0]
    assert "A binding rule is not met for carrots: “All of the food is under water”." in answer
    assert re.search(r"Whether a binding rule is met is not known for carrots: “[^”]*cold holding", answer)
    assert "Run sheet" in result.output


def test_a_fridge_is_typed_in_degrees(tmp_path: Path) -> None:
    for said in ("40 C", "warm", "-20 C"):
        result = menu(tmp_path, DINNER.replace('fridge = "4 C"', f'fridge = "{said}"'))
        assert result.exit_code == 2
        assert "Traceback" not in result.output


@cache
def dinner(folder: Path) -> dict[str, Any]:
    result = menu(folder, DINNER, "--json")
    assert result.exit_code == 0, result.output
    data: dict[str, Any] = json.loads(result.stdout)
    return data


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("menu")


def test_the_example_is_printed_and_can_be_planned(tmp_path: Path) -> None:
    result = run("menu", "--example")
    assert result.exit_code == 0
    assert result.stdout == example_file()
    assert read_menu(result.stdout).dishes
    sound(menu(tmp_path, result.stdout))


def test_json_follows_its_schema(folder: Path) -> None:
    data = dinner(folder)
    assert [e.message for e in Draft202012Validator(menu_schema()).iter_errors(data)] == []
    assert data["works"]
    assert {s["dish"] for s in data["served"]} == {"steaks", "carrots"}
    assert {lane["kind"] for lane in data["lanes"]} >= {"bath", "hands"}


def test_text_names_tables_set_points_and_lanes(folder: Path) -> None:
    result = menu(folder, DINNER)
    assert result.exit_code == 0
    assert result.stderr == ""
    for words in ("20:00", "°C", "steaks", "carrots", "Run sheet", "brought to a set point"):
        assert words in result.stdout, words
    assert "{" not in result.stdout


def test_units_are_those_of_the_file(folder: Path) -> None:
    assert "185 °F (85 °C)" in menu(folder, 'units = "us"\n' + DINNER).stdout


@pytest.mark.parametrize(("suffix", "starts"), [(".svg", b"<svg"), (".png", b"\x89PNG"), (".pdf", b"%PDF")])
def test_lanes_are_written(folder: Path, suffix: str, starts: bytes) -> None:
    path = folder / f"lanes{suffix}"
    assert menu(folder, DINNER, "--chart", str(path)).exit_code == 0
    assert path.read_bytes().startswith(starts)


def test_table_and_calendar_hold_the_run_sheet(folder: Path) -> None:
    table, calendar = folder / "sheet.csv", folder / "sheet.ics"
    assert menu(folder, DINNER, "--csv", str(table), "--ics", str(calendar), "--json").exit_code == 0
    sheet = dinner(folder)["run_sheet"]
    with table.open(encoding="utf-8-sig", newline="") as lines:
        rows = list(csv.DictReader(lines))
    assert [row["key"] for row in rows] == [task["key"] for task in sheet]
    events = list(vobject.readOne(calendar.read_text(encoding="utf-8")).vevent_list)
    assert len(events) == sum(task["is_action"] for task in sheet)


def test_what_cannot_be_met_leaves_with_1_and_writes_nothing(tmp_path: Path) -> None:
    chart = tmp_path / "lanes.svg"
    hurry = f"{datetime.now(UTC) + timedelta(minutes=12):%Y-%m-%dT%H:%M}+00:00"
    result = menu(tmp_path, DINNER.replace(f"{_DAY} 20:00", hurry), "--chart", str(chart))
    assert result.exit_code == 1, result.output
    assert "cannot be cooked as asked" in result.stdout
    assert "no file was written" in result.stderr
    assert not chart.exists()


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (("35 mm", "3 m"), "Steaks: "),
        (('want = "85 C"', 'want = "sideways"'), "Carrots: "),
        (("food = \"carrots\"", "food = carrots"), "Line 14 "),
        (("cover =", "covr ="), "did you mean cover?"),
        (("loose-lid", "hat"), "Bath 1: "),
        (("20:00", "25:00"), "Course 1: "),
    ],
)  # fmt: skip
def test_bad_answers_get_one_sentence(tmp_path: Path, change: tuple[str, str], words: str) -> None:
    assert change[0] in DINNER
    result = menu(tmp_path, DINNER.replace(*change))
    refused(result, words)
    assert len(result.stderr.strip().splitlines()) == 1


def test_files_that_are_none_are_refused(tmp_path: Path) -> None:
    refused(run("menu"), "--example")
    refused(run("menu", str(tmp_path / "none.toml")), "cannot be read")
    refused(run("menu", str(tmp_path)), "cannot be read")
    (tmp_path / "raw.toml").write_bytes(b"\xff\xfe\x00")
    refused(run("menu", str(tmp_path / "raw.toml")), "UTF-8")
    (tmp_path / "long.toml").write_text("#" * 300_000, encoding="utf-8")
    refused(run("menu", str(tmp_path / "long.toml")), "too large")


def test_a_file_that_cannot_be_written_is_told(folder: Path) -> None:
    refused(menu(folder, DINNER, "--csv", str(folder / "no" / "folder.csv")), "could not be written")
    refused(menu(folder, DINNER, "--chart", str(folder / "lanes.gif")), ".svg")


@given(st.sampled_from(["thick", "want", "mass", "pieces", "ahead", "course", "name", "salt"]), TYPED)
@settings(max_examples=25)
def test_whatever_is_typed_beside_an_unknown_food_gets_sentences(name: str, value: str) -> None:
    text = f"{DINNER}\n[[dish]]\nfood = 'unicorn'\n"
    text += f"{name} = {json.dumps(value, ensure_ascii=False)}\n".replace("\x7f", "\\u007f")
    with tempfile.TemporaryDirectory() as place:
        refused(menu(Path(place), text))
