"""`corebath records`, as a shell meets it."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from jsonschema import Draft202012Validator
from tests.unit.cli.ends_runs import refused
from tests.unit.log.cooks import a_cook

from corebath.cli import main
from corebath.log.store import Store
from corebath.show.records_json import records_schema


@pytest.fixture(autouse=True)
def place(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Path:
    monkeypatch.setenv("COREBATH_STORE", str(tmp_path / "kitchen.db"))
    return tmp_path / "kitchen.db"


def run(*words: str | Path) -> Result:
    return CliRunner().invoke(main, ["records", *map(str, words)])


def test_asking_makes_no_store(place: Path) -> None:
    result = run()
    assert result.exit_code == 0
    assert "No rows in these days." in result.output
    assert "the word of your inspector" in result.output
    assert not place.exists()
    refused(run("action", "1", "done", "--by", "JM"), "no store yet")


def test_a_row_is_added_asks_is_acted_on_and_corrected(tmp_path: Path) -> None:
    added = run("add", "bag", "--batch", "chicken", "--measured", "9 C", "--by", "JM")
    assert added.exit_code == 1
    assert "A corrective action is asked for." in added.output
    assert run().exit_code == 1
    acted = run("action", "1", "Into ice", "--by", "AB")
    assert acted.exit_code == 0
    assert "Into ice" in acted.output
    assert run().exit_code == 0
    corrected = run("correct", "1", "--measured", "4 C", "--note", "misread", "--by", "AB")
    assert corrected.exit_code == 0, corrected.output
    assert "Corrects row 1." in corrected.output
    refused(run("action", "1", "again", "--by", "AB"), "row 1 was corrected by row 3 meanwhile")
    refused(run("correct", "2", "--note", "x", "--by", "AB"), "A corrective action is not corrected")
    data = json.loads(run("--json").output)
    Draft202012Validator(records_schema()).validate(data)
    assert [row["row"] for row in data["rows"]] == [1, 3]
    assert run("--csv", tmp_path / "rows.csv").exit_code == 0
    table = (tmp_path / "rows.csv").read_bytes()
    assert table.startswith(b"\xef\xbb\xbfrow,at,step")
    assert table.count(b"\r\n") == 3


def test_rows_are_narrowed_to_days_and_to_a_cook(place: Path) -> None:
    store = Store(place)
    cook = store.start_cook(a_cook())
    store.close()
    words = ("--measured", "3 C", "--by", "JM")
    assert run("add", "bag", "--batch", "steak", "--cook", str(cook.id), *words).exit_code == 0
    assert run("add", "bag", "--batch", "fish", "--measured", "2026-01-02 10:00 2 C", "--by", "JM").exit_code == 0
    assert "steak" in run().output
    assert "fish" not in run().output
    assert "steak" in run("--cook", str(cook.id)).output
    assert "fish" in run("--from", "2026-01-01", "--to", "2026-01-31").output


@pytest.mark.parametrize(
    ("words", "needed"),
    [
        (("--from", "yesteryear"), "not understood as a day"),
        (("--from", "2026-02-02", "--to", "2026-02-01"), "lies after the last one"),
        (("add", "eat", "--batch", "x", "--by", "JM"), "accepted are bag, cook"),
        (("add", "bag", "--batch", "x", "--by", "JM", "--measured", "hot"), "not understood as a reading"),
        (("add", "bag", "--measured", "4 C"), "by initials"),
        (("add", "cook", "--batch", "x", "--by", "JM"), "Say what it is"),
        (("add", "bag", "--batch", "x", "--by", "JM", "--cook", "99"), "There is no cook 99"),
        (("add", "bag", "--batch", "x", "--by", "JM", "--cook", "x"), "not the number of a cook"),
        (("--csv", "/nowhere/rows.csv"), "table could not be written"),
    ],
)
def test_bad_answers_are_refused_and_write_nothing(place: Path, words: tuple[str, ...], needed: str) -> None:
    Store(place).close()
    refused(run(*words), needed)
    store = Store(place)
    assert store.records() == ()
    store.close()


def test_options_of_the_list_do_not_stand_before_a_command() -> None:
    refused(run("--cook", "1", "add", "bag"), "say either")


@pytest.mark.parametrize(
    ("words", "needed"),
    [
        (("action", "9", "done", "--by", "JM"), "no row 9"),
        (("action", "x", "done", "--by", "JM"), "not the number of a row"),
        (("action", "1", " ", "--by", "JM"), "Say what was done"),
        (("action", "1", "done"), "by initials"),
        (("correct", "1", "--by", "JM"), "why the old row was wrong"),
        (("correct", "1", "--by", "JM", "--note", "x", "--measured", "1999-01-01 10:00 4 C"), "too long ago"),
    ],
)
def test_bad_words_about_a_row_are_refused(words: tuple[str, ...], needed: str) -> None:
    assert run("add", "bag", "--batch", "x", "--by", "JM", "--measured", "3 C").exit_code == 0
    refused(run(*words), needed)
