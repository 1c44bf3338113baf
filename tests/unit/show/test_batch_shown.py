"""A batch as JSON by its schema, as text, as tables and as labels: every key described, every finding told."""

from __future__ import annotations

import csv
import io
import json
import re
from datetime import UTC, datetime
from functools import cache
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
import vobject
from jsonschema import Draft202012Validator
from tests.unit.show.json_keys import keys_of

from corebath.ask.batch import understand_batch
from corebath.ask.batch_file import read_batch
from corebath.log.gear import Kitchen
from corebath.plan.batch.answer import BatchPlan
from corebath.plan.batch.make import make_batch
from corebath.show.batch_csv import BAGS, DAYS, bags_as_csv, days_as_csv
from corebath.show.batch_json import batch_as_json, batch_schema
from corebath.show.batch_text import batch_as_text
from corebath.show.batch_words import answer_words, batch_broken, judged_bags
from corebath.show.calendar import tasks_calendar
from corebath.show.labels_sheet import labels_pdf
from corebath.units import METRIC, US, Preference, render

PAGE = Path(__file__).parents[3] / "docs" / "json-batch.md"
PARIS = ZoneInfo("Europe/Paris")
NOW = datetime(2027, 3, 5, 9, 0, tzinfo=PARIS)
FILES = {
    "week": 'begin = "Sun 14:00"\ndays = "Mon to Wed"\nfridge = "7 C"\nice = "1 kg"\nvessel = "42 x 30 x 22 cm"\n'
    'heater = "1.1 kW, 8 cm to 14 cm"\n'
    '[[lot]]\nfood = "chicken breast"\nthick = "22 mm x2, 28 mm x2, 28 mm x2 overlapping"\nmass = "200 g"\n'
    'want = "62 C"\n'
    '[[lot]]\nfood = "ribeye"\nthick = "20 mm"\nwant = "54 C"\nbath = "1 h"\ndays = "Mon"\nmass = "0.2 kg"\n',
    "fails": 'done = "Sun 20:00"\nguests = "risk"\ndays = "Mon"\norder = "hotter first"\n'
    '[[lot]]\nfood = "ribeye"\nthick = "20 mm x2"\nwant = "54 C"\nbath = "1 h"\n'
    '[[lot]]\nname = "=HYPERLINK(1)"\nfood = "cod"\nthick = "25 mm"\nwant = "60 C"\n',
    "today": 'begin = "Sun 14:00"\ndays = "Sun"\n[[lot]]\nfood = "salmon"\nthick = "25 mm x2"\nwant = "52 C"\n'
    'fish = "frozen"\n',
}
EVERY = pytest.mark.parametrize("name", FILES)


@cache
def made(name: str) -> BatchPlan:
    return make_batch(understand_batch(read_batch(FILES[name]), NOW, Kitchen(zone=PARIS)))


def test_the_schema_is_a_schema() -> None:
    Draft202012Validator.check_schema(batch_schema())


@EVERY
@pytest.mark.parametrize("preference", [METRIC, US], ids=["metric", "US"])
def test_json_follows_its_schema(name: str, preference: Preference) -> None:
    data = batch_as_json(made(name), preference)
    assert [e.message for e in Draft202012Validator(batch_schema()).iter_errors(data)] == []
    assert json.loads(json.dumps(data, allow_nan=False)) == data


def test_the_page_describes_every_key() -> None:
    described = set(re.findall(r"`([a-z_A-Z0-9]+)`", PAGE.read_text(encoding="utf-8")))
    used = {key for name in FILES for key in keys_of(batch_as_json(made(name), METRIC))}
    assert sorted(used - described) == []


@EVERY
def test_no_finding_is_left_out_of_the_text(name: str) -> None:
    plan = made(name)
    text = batch_as_text(plan, METRIC)
    for finding, _ in judged_bags(plan):
        assert render(finding.title, METRIC) in text
        assert render(finding.why, METRIC) in text
        assert finding.source in text
    for failure in plan.failures:
        assert render(failure.why, METRIC) in text
    assert "{" not in text
    told = {(f.rule, f.verdict, f.why) for f, _ in judged_bags(plan)}
    assert all((f.rule, f.verdict, f.why) in told for s in plan.bags for f in s.findings)


def test_the_text_runs_in_cooking_order() -> None:
    text = batch_as_text(made("week"), METRIC)
    headings = [
        "The question",
        "The answer",
        "What fails",
        "Bags",
        "Bath at 54",
        "Bath at 62",
        "After the bath",
        "Run sheet as asked, which does not work: do not follow it, Sun 7 Mar",
    ]
    places = [text.index(f"\n{heading}" if i else heading) for i, heading in enumerate(headings)]
    assert places == sorted(places)


def test_a_batch_that_does_not_work_says_so_at_once() -> None:
    plan = made("fails")
    assert not plan.works
    assert "but not all of it can be had as asked" in answer_words(plan, METRIC)
    assert "do not follow it" in batch_as_text(plan, METRIC)
    assert batch_broken(plan)


def test_units_follow_the_cook_only_in_words() -> None:
    metric, us = (batch_as_json(made("week"), p) for p in (METRIC, US))
    assert metric["bags"][0]["chill"] == us["bags"][0]["chill"]
    assert "62 °C (144 °F)" in metric["answer"]
    assert "144 °F (62 °C)" in us["answer"]


@EVERY
def test_tables_have_a_row_for_each_bag_and_each_task(name: str) -> None:
    plan = made(name)
    bags = list(csv.DictReader(io.StringIO(bags_as_csv(plan, METRIC))))
    assert [row["bag"] for row in bags] == [str(s.bag.number) for s in plan.bags]
    assert tuple(bags[0]) == BAGS
    days = list(csv.DictReader(io.StringIO(days_as_csv(plan, METRIC))))
    assert tuple(days[0]) == DAYS
    assert [row["key"] for row in days] == [task.key for task in plan.run_sheet]
    for row in (*bags, *days):
        assert not any(value.startswith(("=", "+", "@")) for value in row.values())


def test_the_calendar_takes_the_week() -> None:
    plan = made("week")
    written = tasks_calendar("Batch", plan.run_sheet, PARIS, datetime(2027, 3, 5, tzinfo=UTC))
    events = vobject.readOne(written.decode()).vevent_list
    assert len(events) == len(plan.run_sheet)
    assert {e.dtstart.value.astimezone(PARIS) for e in events} == {
        t.at.astimezone(PARIS).replace(second=0, microsecond=0) for t in plan.run_sheet
    }


@EVERY
def test_labels_are_printed(name: str) -> None:
    assert labels_pdf(made(name).labels, METRIC).startswith(b"%PDF")
