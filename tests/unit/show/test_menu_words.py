"""A menu in text, JSON and CSV: by its schema, nothing lost, by the cook's clock and in the cook's units."""

from __future__ import annotations

import csv
import io
import json
import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator, FormatChecker
from tests.unit.show.show_menus import CHICKEN, NAMES, WORKING, menu_of

from corebath.language.text import translated
from corebath.plan.menu.answer import Proof
from corebath.safety.finding import Verdict
from corebath.show.as_json import plan_schema
from corebath.show.menu_csv import COLUMNS, menu_as_csv
from corebath.show.menu_json import SCHEMA, menu_as_json, menu_schema
from corebath.show.menu_text import menu_as_text
from corebath.show.menu_words import (
    bath_uses,
    broken_words,
    every_finding,
    menu_answer,
    menu_cautions,
    open_findings,
    sure,
    warmed_words,
)
from corebath.units import METRIC, US, Preference, render

DOCS = Path(__file__).parents[3] / "docs"
EVERY = pytest.mark.parametrize("name", NAMES)
BOTH = pytest.mark.parametrize("preference", [METRIC, US], ids=["metric", "US"])


def keys(value: Any, skip: tuple[str, ...] = ("plan", "request", "equipment")) -> Iterator[str]:
    if isinstance(value, dict):
        for key, inner in value.items():
            yield key
            if key not in skip and not key.endswith("findings"):
                yield from keys(inner, skip)
    elif isinstance(value, list):
        for inner in value:
            yield from keys(inner, skip)


def test_the_schema_is_one_and_holds_that_of_the_plan() -> None:
    Draft202012Validator.check_schema(menu_schema())
    for name, part in plan_schema()["$defs"].items():
        assert menu_schema()["$defs"][name] == part
    for key in ("required", "properties", "additionalProperties"):
        assert menu_schema()["$defs"]["plan"][key] == plan_schema()[key]


@EVERY
@BOTH
def test_menus_follow_the_schema(name: str, preference: Preference) -> None:
    data = menu_as_json(menu_of(name), preference)
    validator = Draft202012Validator(menu_schema(), format_checker=FormatChecker())
    assert [e.message for e in validator.iter_errors(data)] == []
    assert json.loads(json.dumps(data, allow_nan=False)) == data


@EVERY
def test_the_page_describes_every_key(name: str) -> None:
    text = "".join((DOCS / page).read_text(encoding="utf-8") for page in ("json.md", "json-menu.md"))
    described = set(re.findall(r"`([a-z_A-Z0-9]+)`", text))
    assert sorted(set(keys(menu_as_json(menu_of(name), METRIC))) - described) == []
    assert f"`{SCHEMA}`" in text


@EVERY
@BOTH
def test_text_leaves_no_mark_and_loses_nothing(name: str, preference: Preference) -> None:
    plan, text = menu_of(name), menu_as_text(menu_of(name), preference)
    assert not re.search(r"\{[^{}]*\|(C|K|s|m|kg|L)\}", text)
    for course in plan.menu.courses:
        assert f"{course.at:%H:%M}" in text
    for said in (*(w.words for w in plan.conflict), *(w.change for w in plan.ways_out), *plan.notes):
        assert render(said, preference)[1:].rstrip(".") in text
    for task in plan.run_sheet if name in WORKING else ():
        assert render(task.what, preference) in text
    for change in plan.changes:
        assert render(change.what, preference) in text
    for served in plan.served:
        assert all(render(said, preference) in text for said in served.gives_up)
        for finding in open_findings(served):
            assert render(finding.title, preference, both=finding.binding) in text
    assert "safe " not in text.lower()


@EVERY
def test_the_answer_is_short_sentences_with_tables_and_set_points(name: str) -> None:
    plan = menu_of(name)
    said = menu_answer(plan, METRIC)
    sentences = said.removesuffix(".").split(". ")
    assert said.endswith(".")
    assert all(sentence[0].isupper() for sentence in sentences)
    assert "{" not in said
    if name == "impossible":
        assert len(sentences) == 3
        assert all(render(w.words, METRIC, both=False) in said for w in plan.conflict)
        assert "16:25" in said
        return
    assert all(f"{c.name} on the table at {c.at:%H:%M}" in said.replace("Main", "main", 1).replace("First", "first", 1)
               for c in plan.menu.courses)  # fmt: skip
    for use in bath_uses(plan):
        assert f"{use.set_point_C:g} °C" in said
    # One sentence for each table, bath and open rule, one for what is only warmed, and how sure it is.
    rules = [*broken_words(plan, METRIC), *warmed_words(plan)]
    assert len(sentences) == len(plan.menu.courses) + len({use.bath for use in bath_uses(plan)}) + len(rules) + 1
    assert all(rule in said for rule in rules)


@pytest.mark.parametrize("language", ["de", "fr", "es"])
@pytest.mark.parametrize("name", ["dinner", "long"])
def test_the_answer_is_said_whole_in_other_languages(name: str, language: str) -> None:
    """What stays English is what a cook typed: names of dishes, baths and courses."""
    plan = menu_of(name)
    answer = menu_answer(plan, METRIC)
    menu = plan.menu
    typed = words_of(
        " ".join([*(d.name for d in menu.dishes), *(c.name for c in menu.courses), "soup pot steaks carrots"])
    )
    alike = {"menu", "table"}  # spelt alike in French
    assert words_of(translated(answer, language)) & words_of(answer) <= typed | alike


def test_the_answer_names_the_dishes_that_are_only_warmed() -> None:
    """Medium rare steaks meet no core treatment; carrots have none to meet."""
    (said,) = warmed_words(menu_of("dinner"))
    assert said.startswith("Only warmed at the core, not pasteurised, and not for guests at higher risk: ")
    assert "steaks" in said
    assert "carrots" not in said
    assert said in menu_answer(menu_of("dinner"), METRIC)


def words_of(text: str) -> set[str]:
    return set(re.findall(r"[a-z]{3,}", text.lower()))


def test_baths_are_told_in_the_order_of_their_set_points() -> None:
    uses = bath_uses(menu_of("dinner"))
    assert [(use.bath, use.set_point_C, use.names) for use in uses] == [
        ("soup pot", 85.0, ("carrots",)),
        ("soup pot", 56.0, ("steaks",)),
    ]
    assert bath_uses(menu_of("ahead"))[-1].names == ("steaks", f"{CHICKEN.name} again")


def test_no_finding_of_a_dish_is_lost_but_what_its_chill_answers() -> None:
    for name in ("dinner", "ahead"):
        for served in menu_of(name).served:
            plan, ahead = served.plan, served.ahead
            assert plan.water is not None
            rules = {f.rule for f in (*plan.findings, *plan.water.findings)}
            if ahead is not None:
                assert ahead.reheat is not None
                rules |= {f.rule for f in (*ahead.chill.findings, *ahead.keep.findings, *ahead.reheat.findings)}
            assert {f.rule for f in every_finding(served)} == rules
            assert [f for f in every_finding(served) if f.verdict is not Verdict.MET] == sorted(
                open_findings(served), key=lambda f: every_finding(served).index(f)
            )


def test_cautions_are_told_once_with_the_dishes_they_are_for() -> None:
    found = menu_cautions(menu_of("ahead"))
    assert len({c.key for c, _ in found}) == len(found)
    assert any(names == (CHICKEN.name,) for _, names in found)
    assert any(names == () for _, names in found)


@pytest.mark.parametrize("name", WORKING)
def test_the_table_is_the_run_sheet(name: str) -> None:
    plan = menu_of(name)
    rows = list(csv.DictReader(io.StringIO(menu_as_csv(plan, METRIC))))
    assert tuple(rows[0]) == COLUMNS
    assert len(rows) == len(plan.run_sheet)
    for row, task in zip(rows, plan.run_sheet, strict=True):
        assert datetime.fromisoformat(row["at"]) == task.at
        assert row["clock"] == f"{task.at.astimezone(plan.menu.zone):%H:%M}"
        assert float(row["since_start_s"]) == round(task.since_start_s)
        assert row["what"] == render(task.what, METRIC)
        assert (row["asks_for_hands"] == "yes") is task.is_action


def test_no_cell_is_a_formula() -> None:
    plan = menu_of("dinner")
    task = plan.run_sheet[0]
    odd = replace(plan, run_sheet=(replace(task, dishes=("=1+1",), where="@pot", what="-5"),))
    (row,) = csv.DictReader(io.StringIO(menu_as_csv(odd, METRIC)))
    assert [row["dishes"], row["where"], row["what"]] == ["'=1+1", "'@pot", "'-5"]


def test_a_proof_in_coarse_steps_is_said_as_one() -> None:
    best = replace(menu_of("dinner"), proof=Proof.BEST)
    assert sure(best) == "No better order exists by the menu's own scoring (proved)."
    assert sure(replace(best, coarse_s=600.0)) == (
        "No better order exists in steps of 10 min, by the menu's own scoring (proved); "
        "finer steps might gain a few minutes."
    )
