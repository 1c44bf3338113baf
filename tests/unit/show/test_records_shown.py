"""The records as text, JSON and a table: every key described, every row told, nothing taken for a formula."""

from __future__ import annotations

import csv
import io
import json
import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from jsonschema import Draft202012Validator
from tests.unit.log.cooks import NOON, a_record

from corebath.log.record import Entry, Point, Step
from corebath.log.record_judge import judge_record
from corebath.log.store import Store
from corebath.safety.authority import Authority
from corebath.safety.subject import Subject
from corebath.show.records_csv import COLUMNS, records_csv
from corebath.show.records_json import records_as_json, records_schema
from corebath.show.records_lines import Line, by_day, line_of, measured_words, whose_limits
from corebath.show.records_text import NO_ROWS, records_text, row_text
from corebath.units import METRIC, US, Preference

PAGE = Path(__file__).parents[3] / "docs" / "records.md"
ZONE = ZoneInfo("Europe/Paris")
DAYS = (date(2026, 11, 1), date(2026, 11, 30))


@pytest.fixture
def entries(tmp_path: Path) -> Iterator[tuple[Entry, ...]]:
    """A row of every step, a missed one with an action, a correction, and one that still asks."""
    store = Store(tmp_path / "kitchen.db")
    chicken = Subject("chicken", handling="minced", fat=0.03, guests_at_risk=True)
    plain = {"food": "chicken breast", "subject": chicken, "began": NOON}
    store.add_record(a_record(Step.BAG, 9.0, batch="=1+1", note="-x"))
    store.add_record(a_record(Step.ACTION, action="Into ice, then used", points_at=1, initials="AB"))
    store.add_record(a_record(Step.COOK, 20.0, 61.2, 62.0, ended=NOON + timedelta(hours=1), set_C=62.0, **plain))
    store.add_record(a_record(Step.CHILL, 60.0, 30.0, offset_K=0.5, **plain))
    store.add_record(a_record(Step.CHILL, 60.0, 20.5, 4.0, points_at=4, note="misread", **plain))
    store.add_record(a_record(Step.KEEP, 6.0, pasteurised=True, opened=True, began=NOON - timedelta(days=2)))
    store.add_record(a_record(Step.REHEAT, 50.0, 75.0, held_hot=True, authority=Authority.UK, **plain))
    store.add_record(a_record(Step.PROBE, 99.6, point=Point.BOILING, altitude_m=35.0, batch="red probe"))
    yield store.records()
    store.close()


def lines_of(entries: tuple[Entry, ...], preference: Preference = METRIC) -> list[Line]:
    return [line_of(entry, preference, ZONE) for entry in entries]


def as_json(entries: tuple[Entry, ...], preference: Preference = METRIC) -> dict[str, Any]:
    lines = lines_of(entries, preference)
    limits = whose_limits(line.entry.record.authority for line in lines)
    return records_as_json(lines, DAYS, limits, preference, ZONE)


@pytest.mark.parametrize("preference", [METRIC, US])
def test_the_json_follows_its_schema_and_every_key_is_described(
    entries: tuple[Entry, ...], preference: Preference
) -> None:
    data = json.loads(json.dumps(as_json(entries, preference), allow_nan=False))
    Draft202012Validator.check_schema(records_schema())
    assert [e.message for e in Draft202012Validator(records_schema()).iter_errors(data)] == []
    described = set(re.findall(r"`(\w+)`", PAGE.read_text(encoding="utf-8")))
    assert data.keys() | data["rows"][0].keys() <= described | {"schema"}
    assert {key for row in data["rows"] for a in row["actions"] for key in a} <= described
    said = [text for row in data["rows"] for f in row["findings"] for text in (f["title"], f["why"], *f["assumptions"])]
    assert not any(re.search(r"\{[^{}|]*\||degC", text) for text in said)


def test_an_empty_list_follows_the_schema_too() -> None:
    data = records_as_json([], DAYS, whose_limits([Authority.US]), METRIC, ZONE)
    Draft202012Validator(records_schema()).validate(data)


def test_the_json_says_what_asks_and_what_was_corrected(entries: tuple[Entry, ...]) -> None:
    data = as_json(entries)
    rows = {row["row"]: row for row in data["rows"]}
    assert sorted(rows) == [1, 3, 4, 5, 6, 7, 8]  # an action stands with its row
    assert data["asking"] == [6]
    assert rows[1]["actions"][0]["text"] == "Into ice, then used"
    assert (rows[4]["corrected_by"], rows[5]["corrects"]) == (5, 4)
    assert rows[3]["measured"][1]["value_C"] == 61.2
    assert rows[3]["at"] == "2026-11-25T14:00:00+01:00"


@pytest.mark.parametrize("preference", [METRIC, US])
def test_the_text_tells_every_row_every_limit_and_whose_they_are(
    entries: tuple[Entry, ...], preference: Preference
) -> None:
    lines = lines_of(entries, preference)
    limits = whose_limits(line.entry.record.authority for line in lines)
    text = records_text(lines, limits)
    for line in lines:
        assert row_text(line) in text
        for limit in line.limits:
            assert limit.title in text
            assert f"[{limit.source}]" in text
    assert "Row 6 still asks for a corrective action" in text
    assert "Corrective action, 13:01, AB: Into ice, then used" in text
    assert "Corrected by row 5." in text
    assert "profile United States" in text
    assert "profile United Kingdom" in text
    assert "the word of your inspector and of your local food authority counts" in text
    assert "Thermometer known to read" in text or "thermometer known to read" in text
    assert not re.search(r"\{[^{}|]*\|", text)
    assert not re.search(r"\bsafe\b", text)


def test_no_rows_are_told_as_such() -> None:
    assert NO_ROWS in records_text([], whose_limits([Authority.AU]))


def test_the_table_has_a_row_a_row_and_no_formula(entries: tuple[Entry, ...]) -> None:
    table = list(csv.DictReader(io.StringIO(records_csv(lines_of(entries), ZONE), newline="")))
    assert [int(row["row"]) for row in table] == [line.number for line in lines_of(entries)]
    assert tuple(table[0]) == COLUMNS
    first = next(row for row in table if row["row"] == "1")
    assert first["batch"] == "'=1+1"
    assert first["note"] == "'-x"
    assert first["measured"] == "2026-11-25T13:00:00+01:00 9 C"
    assert first["verdict"] == "not met"
    assert "Into ice, then used (13:01, AB)" in first["corrective_action"]
    assert all(not cell.startswith(("=", "+", "-", "@")) for row in table for cell in row.values())


def test_rows_stand_under_the_days_of_the_kitchen_s_clock() -> None:
    late = replace(a_record(Step.KEEP, 4.0), id=1)
    late = replace(late, measured=(replace(late.measured[0], at=NOON.replace(hour=23, minute=30)),))
    (line,) = lines_of((Entry(late),))
    assert [day for day, _ in by_day([line])] == [date(2026, 11, 26)]
    assert line.clock == "00:30"
    assert line.told == "Wed 25 Nov 13:01"


def test_values_are_shown_as_measured() -> None:
    assert measured_words(57.25, METRIC) == "57.25 °C"
    assert measured_words((134.6 - 32) / 1.8, US) == "134.6 °F"
    assert measured_words(-18.0, METRIC) == "−18 °C"
    assert measured_words(-0.001, METRIC) == "0 °C"


def test_limits_that_bind_stand_first(entries: tuple[Entry, ...]) -> None:
    for entry in entries:
        binding = [f.binding for f in judge_record(entry.record, ZONE).findings]
        assert binding == sorted(binding, reverse=True)
