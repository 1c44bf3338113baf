"""`corebath batch`."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator
from tests.unit.cli.ends_runs import TYPED, refused, run, sound

from corebath.show.batch_json import batch_schema

ONE = ("batch", "--food", "chicken breast", "--thick", "25 mm x2", "--want", "62 C", "--begin", "Sun 14:00")
KEPT = (*ONE, "--days", "Mon to Tue", "--fridge", "4 C", "--mass", "200 g")


def test_the_example_is_a_file_that_runs(tmp_path: Path) -> None:
    example = run("batch", "--example")
    assert example.exit_code == 0
    file = tmp_path / "week.toml"
    file.write_text(example.stdout, encoding="utf-8")
    result = run("batch", str(file))
    assert result.exit_code == 0
    assert "Bag 6" in result.stdout
    warm = run("batch", str(file), "--fridge", "7 C")
    assert warm.exit_code == 1  # this fridge is too warm by a binding rule, and the plan says so
    assert "but not all of it can be had as asked: not met: cold holding at 5 °C" in warm.stdout
    assert "too warm" in warm.stdout


def test_one_food_is_asked_by_options_alone() -> None:
    result = run(*KEPT)
    assert result.exit_code == 0, result.output
    assert "Bags 1 and 2 in the fridge" in result.stdout


def test_json_follows_its_schema() -> None:
    result = run(*KEPT, "--json")
    data = json.loads(result.stdout)
    assert [e.message for e in Draft202012Validator(batch_schema()).iter_errors(data)] == []
    assert data["works"]


def test_tables_calendar_and_labels_are_written(tmp_path: Path) -> None:
    names = {"--csv": "bags.csv", "--days-csv": "days.csv", "--ics": "week.ics", "--labels": "labels.pdf"}
    options = [text for option, name in names.items() for text in (option, str(tmp_path / name))]
    assert run(*KEPT, *options).exit_code == 0
    starts = {"bags.csv": b"bag,", "days.csv": b"at,", "week.ics": b"BEGIN:VCALENDAR", "labels.pdf": b"%PDF"}
    for name, start in starts.items():
        assert (tmp_path / name).read_bytes().startswith(start)


def test_options_for_the_whole_batch_lie_over_the_file(tmp_path: Path) -> None:
    file = tmp_path / "week.toml"
    file.write_text(run("batch", "--example").stdout, encoding="utf-8")
    data = json.loads(run("batch", str(file), "--fridge", "4 C", "--json").stdout)
    assert data["fridge_C"] == 4.0
    refused(run("batch", str(file), "--thick", "3 cm"), "belongs to a food")


@pytest.mark.parametrize(
    ("words", "needed"),
    [
        (("batch",), "name a batch file"),
        (("batch", "nowhere.toml"), "cannot be read"),
        (("batch", "--food", "unicorn", "--thick", "3 cm", "--want", "60 C", "--begin", "Sun 14:00"), "unicorn"),
        (ONE[:-2], "say when you begin"),
        ((*ONE, "--days", "someday"), "not understood as days"),
        ((*ONE, "--days", "Mon 9"), "9 portions"),
        ((*ONE, "--fridge", "40 C"), "a fridge must lie between"),
        ((*ONE, "--reheat", "200 C"), "reheating bath"),
        ((*KEPT, "--labels", "/nowhere/labels.pdf"), "could not be written"),
    ],
)
def test_bad_answers_are_refused(words: tuple[str, ...], needed: str) -> None:
    refused(run(*words), needed)


@pytest.mark.parametrize("content", [b"\xff\xfe\x00", b"a = ", b"lot = 3", b"x" * 300_000])
def test_bad_files_are_refused(tmp_path: Path, content: bytes) -> None:
    file = tmp_path / "bad.toml"
    file.write_bytes(content)
    refused(run("batch", str(file)))


@settings(max_examples=25)
@given(
    st.dictionaries(
        st.sampled_from(["thick", "want", "days", "fridge", "begin", "mass", "reheat", "serve", "ice", "guests"]), TYPED
    )
)
def test_nothing_typed_crashes(answers: dict[str, str]) -> None:
    words = {"food": "ribeye", "thick": "20 mm", "want": "57 C", "begin": "Sun 14:00", "days": "Mon"} | answers
    sound(run("batch", *(f"--{name}={text}" for name, text in words.items())))
