"""The chart poster in all its forms: words, PDF, pictures, CSV, JSON and text."""

from __future__ import annotations

import csv
import io
import json
from datetime import date
from functools import cache
from xml.etree import ElementTree

import pytest
from jsonschema import Draft202012Validator
from pypdf import PdfReader
from tests.unit.plan.planning import asked

from corebath.plan.sweep import Sweep, Times, heat_rules, make_times
from corebath.safety.cautions import cautions_for
from corebath.show.poster import Poster, clock, make_poster
from corebath.show.poster_data import poster_schema, poster_text, times_as_csv, times_as_json
from corebath.show.poster_files import PAPERS, typeset
from corebath.units import METRIC, US, Preference, render

DAY = date(2027, 1, 3)
TABLES = {
    "pork loin": ((0.01, 0.03, 0.06), (54.0, 57.0, 60.0, 63.0)),
    "chicken breast": ((0.02, 0.05), (54.0, 60.0, 64.0)),
    "beef chuck": ((0.0254, 0.0508), (54.5, 57.0, 66.0)),
}


@cache
def table(food: str = "pork loin") -> Times:
    return make_times(Sweep(asked(food, set_point_C=60.0), *TABLES[food]))


def poster(food: str = "pork loin", preference: Preference = METRIC) -> Poster:
    return make_poster(table(food), preference, DAY)


@pytest.mark.parametrize("food", TABLES)
def test_every_rule_stands_in_the_key_and_where_it_differs_in_the_cells(food: str) -> None:
    times, made = table(food), poster(food)
    for index, rule in enumerate(times.rules):
        letter = chr(ord("A") + index)
        entry = next(key for key in made.key if key.sign == letter)
        assert rule.source in entry.text
        assert rule.authority in entry.text
        marked = [[m.text for m in cell.marks if m.text[0] == letter] for row in made.cells for cell in row]
        if rule in heat_rules(times.rules):
            assert all(len(texts) == 1 and " " in texts[0] for texts in marked)
        elif ": see the cells." in entry.text:
            assert any(marked)
        else:
            assert not any(marked)
            assert any(words in entry.text for words in ("every cell with a time", "any cell", "no cell has a time"))


@pytest.mark.parametrize("food", TABLES)
def test_a_cell_without_a_plan_offers_no_time(food: str) -> None:
    for cells, row in zip(poster(food).cells, table(food).rows, strict=True):
        for said, cell in zip(cells, row, strict=True):
            assert said.offered == cell.is_offered
            assert (said.ready == "–") == (not cell.is_offered)
            assert said.ready == "–" or said.ready == clock(cell.ready_s)


def test_heads_are_in_the_readers_units() -> None:
    metric, us = poster(), poster(preference=US)
    assert (metric.rows[0].first, metric.rows[0].second) == ("10 mm", "3/8 in")
    assert (us.rows[0].first, us.rows[0].second) == ("3/8 in", "10 mm")
    assert (metric.columns[1].first, us.columns[1].first) == ("57 °C", "135 °F")
    assert sum(columns for _, columns in metric.bands) == len(metric.columns)
    assert [words for words, _ in metric.bands][:2] == ["", "pink"]


def test_it_says_day_version_spread_and_source() -> None:
    made = poster()
    told = "\n".join(line for _, lines in made.notes for line in lines)
    assert "3 January 2027" in made.made
    assert "Spread, one standard deviation" in told
    assert "your local food code comes first" in told
    assert "{" not in json.dumps(made.key[0].text) + told + made.subtitle


@pytest.mark.parametrize(
    ("time_s", "up", "down"),
    [
        (59 * 60.0, "0:59", "0:59"),
        (59 * 60.0 + 1, "1:00", "0:59"),
        (3600.0, "1:00", "1:00"),
        (3601.0, "1:05", "1:00"),
        (23 * 3600.0 + 56 * 60, "24 h", "23:55"),
        (86_401.0, "25 h", "24 h"),
        (float("inf"), "–", "–"),
    ],
)
def test_times_are_rounded_to_the_side_that_waits(time_s: float, up: str, down: str) -> None:
    assert clock(time_s) == up
    assert clock(time_s, up=False) == down


@pytest.mark.parametrize("paper", PAPERS)
def test_pdf(paper: str) -> None:
    pages = PdfReader(io.BytesIO(typeset(poster(), "pdf", paper))).pages
    width, height = PAPERS[paper]
    assert float(pages[0].mediabox.width) == pytest.approx(width / 25.4 * 72, abs=0.5)
    assert float(pages[0].mediabox.height) == pytest.approx(height / 25.4 * 72, abs=0.5)
    text = "".join(page.extract_text() for page in pages)
    for words in ("Pork loin: times in the bath", "57 °C", "135 °F", "10 mm", "Trichinella", "What the signs mean"):
        assert words in text
    for row in poster().cells:
        for cell in row:
            assert cell.hot in text
            assert all(mark.text in text for mark in cell.marks)


def test_pictures() -> None:
    assert typeset(poster(), "png", "a4").startswith(b"\x89PNG")
    svg = ElementTree.fromstring(typeset(poster(), "svg", "a4").decode("utf-8"))
    assert svg.tag.endswith("svg")


@pytest.mark.parametrize("food", TABLES)
def test_csv(food: str) -> None:
    times = table(food)
    lines = list(csv.DictReader(io.StringIO(times_as_csv(times, METRIC))))
    cells = [cell for row in times.rows for cell in row]
    assert len(lines) == len(cells) == times.sweep.count
    for line, cell in zip(lines, cells, strict=True):
        assert float(line["size_mm"]) == pytest.approx(1000 * cell.thickness_m)
        assert float(line["come_up_cautious_min"]) == pytest.approx(cell.come_up.cautious_s / 60, abs=0.06)
        assert (line["ready_min"] == "") == (cell.ready_s == float("inf"))
        assert None not in line
        for said in cell.verdicts:
            if said.rule in line:
                assert line[said.rule] == said.verdict.value


@pytest.mark.parametrize("food", TABLES)
def test_json_keeps_to_its_schema(food: str) -> None:
    data = json.loads(json.dumps(times_as_json(table(food), US, DAY), allow_nan=False))
    assert [e.message for e in Draft202012Validator(poster_schema()).iter_errors(data)] == []
    assert len(data["rows"]) == len(data["thicknesses_m"])
    assert "{" not in json.dumps([rule["title"] for rule in data["rules"]])


@pytest.mark.parametrize("food", TABLES)
def test_text_holds_the_table(food: str) -> None:
    made = poster(food)
    text = poster_text(made)
    for row in made.cells:
        for cell in row:
            assert f"{cell.ready}{cell.sign}" in text
    assert made.key[-1].text in text


@pytest.mark.parametrize(("start_C", "said"), [(4.0, False), (7.0, True)])
def test_a_warm_start_says_why_no_time_is_offered_at_cool_set_points(start_C: float, said: bool) -> None:
    like = asked("beef-ribeye", set_point_C=54.0, start_C=start_C)
    made = make_poster(make_times(Sweep(like, (0.02,), (52.0, 54.0, 55.0))), METRIC, date(2027, 3, 1))
    words = (
        "Below 54.4 °C (130 °F) no time is offered: the food starts at 7 °C (45 °F), "
        "above the limit of 5 °C (41 °F) for cold holding."
    )
    assert (words in made.subtitle) is said
    assert [cell.offered for cell in made.cells[0]] == [not said, not said, True]


@pytest.mark.parametrize("offset_K", [0.0, 0.4])
def test_a_poster_holds_one_caution_on_the_thermometer(offset_K: float) -> None:
    """The one that the plan shows."""
    like = asked("beef-ribeye", set_point_C=55.0, probe_offset_K=offset_K)
    made = make_poster(make_times(Sweep(like, (0.02,), (55.0,))), METRIC, date(2027, 3, 1))
    lines = [line for _, each in made.notes for line in each]
    texts = {c.key: c.text for c in cautions_for(like.subject, like.authority)}
    shown = [key for key in ("probe", "probe-entered") if render(texts[key], METRIC) in lines]
    assert shown == ["probe-entered" if offset_K else "probe"]
