"""`corebath poster` on the command line."""

from __future__ import annotations

import csv
import json
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator
from tests.unit.cli.ends_runs import run

from corebath.show.poster_data import poster_schema

SMALL = ("poster", "pork loin", "--shape", "slab", "--thick", "20-30 mm step 10", "--set", "58-60 C step 2")


def test_text() -> None:
    result = run(*SMALL)
    assert result.exit_code == 0
    assert result.stdout.startswith("Pork loin: times in the bath\n")
    assert "20 mm, 58 °C:" in result.stdout
    assert result.stderr == ""


def test_json_by_its_schema() -> None:
    result = run(*SMALL, "--json")
    assert result.exit_code == 0
    assert not list(Draft202012Validator(poster_schema()).iter_errors(json.loads(result.stdout)))


def test_files(tmp_path: Path) -> None:
    names = {form: tmp_path / f"loin.{form}" for form in ("pdf", "png", "svg", "csv")}
    result = run(*SMALL, "--paper", "letter", *(word for form, p in names.items() for word in (f"--{form}", str(p))))
    assert (result.exit_code, result.stdout, result.stderr) == (0, "", "")
    assert names["pdf"].read_bytes().startswith(b"%PDF")
    assert names["png"].read_bytes().startswith(b"\x89PNG")
    assert "<svg" in names["svg"].read_text(encoding="utf-8")[:200]
    assert len(list(csv.DictReader(names["csv"].read_text(encoding="utf-8").splitlines()))) == 4


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("--set", "54-60"), "54 C or 54 F?"),
        (("--thick", "9-1 mm"), "falls"),
        (("--state", "warm"), "accepted are"),
        (("--pdf", "/nowhere/at/all.pdf"), "could not be written"),
        (("--cluster", "nonsense"), "No cluster answers at 'nonsense'"),
    ],
)
def test_what_is_not_understood(words: tuple[str, str], says: str) -> None:
    result = run(*SMALL, *words)
    assert result.exit_code == 2
    assert says in result.stderr
    assert result.stdout == ""


@pytest.mark.parametrize("jobs", ["0", "-1", "many", "1000"])
def test_jobs_are_few(jobs: str) -> None:
    assert run(*SMALL, "--jobs", jobs).exit_code == 2
