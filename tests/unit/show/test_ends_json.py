"""The ends of a cook as JSON: by their schemas, every key described; and as text: every finding told."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator
from tests.unit.show.json_keys import keys_of
from tests.unit.show.show_ends import (
    CHILL,
    KEEP,
    KITCHEN,
    NOW,
    REHEAT,
    SALT,
    SEAR,
    STORY,
    UNKNOWN,
    chill_of,
    keep_of,
    reheat_of,
    salt_of,
    sear_of,
    story_of,
)

from corebath.ask.ends import EndQuestion, understand_keep, understand_salt
from corebath.plan.alone.keep import answer_keep
from corebath.plan.alone.salt import answer_salt
from corebath.safety.finding import Finding
from corebath.show import ends_json, ends_text
from corebath.units import METRIC, US, Preference, render

VERSIONS = {"keep": 2, "reheat": 2, "story": 2}
PAGE = Path(__file__).parents[3] / "docs" / "json-ends.md"
Made = tuple[dict[str, Any], str, tuple[Finding, ...]]


def _salt(name: str, preference: Preference) -> Made:
    answer = salt_of(name) if name in SALT else answer_salt(understand_salt(UNKNOWN, KITCHEN))
    return ends_json.salt_as_json(answer, preference), ends_text.salt_text(answer, preference), answer.findings


def _sear(name: str, preference: Preference) -> Made:
    answer = sear_of(name)
    return ends_json.sear_as_json(answer, preference), ends_text.sear_text(answer, preference), answer.findings


def _chill(name: str, preference: Preference) -> Made:
    answer = chill_of(name)
    return ends_json.chill_as_json(answer, preference), ends_text.chill_text(answer, preference), answer.findings


def _keep(name: str, preference: Preference) -> Made:
    answer = keep_of(name)
    return ends_json.keep_as_json(answer, preference), ends_text.keep_text(answer, preference), answer.findings


def _reheat(name: str, preference: Preference) -> Made:
    answer = reheat_of(name)
    data, text = ends_json.reheat_as_json(answer, preference), ends_text.reheat_text(answer, preference)
    return data, text, answer.reheat.findings


def _story(name: str, preference: Preference) -> Made:
    story = story_of(name)
    return ends_json.story_as_json(story, preference), ends_text.story_text(story, preference), story.findings


CASES: list[tuple[str, Callable[[Preference], Made]]] = [
    (kind, partial(make, name))
    for kind, make, names in (
        ("salt", _salt, [*SALT, "unknown"]),
        ("sear", _sear, SEAR),
        ("chill", _chill, CHILL),
        ("keep", _keep, KEEP),
        ("reheat", _reheat, REHEAT),
        ("story", _story, STORY),
    )
    for name in names
]
EVERY = pytest.mark.parametrize(("kind", "make"), CASES, ids=lambda x: x if isinstance(x, str) else "")


@pytest.mark.parametrize("kind", ["salt", "sear", "chill", "keep", "reheat", "story"])
def test_the_schemas_are_schemas(kind: str) -> None:
    Draft202012Validator.check_schema(ends_json.ends_schema(kind))


@EVERY
@pytest.mark.parametrize("preference", [METRIC, US], ids=["metric", "US"])
def test_answers_follow_their_schema(kind: str, make: Callable[[Preference], Made], preference: Preference) -> None:
    data = make(preference)[0]
    errors = [e.message for e in Draft202012Validator(ends_json.ends_schema(kind)).iter_errors(data)]
    assert errors == []
    assert data["schema"] == f"corebath.{kind}/{VERSIONS.get(kind, 1)}"
    assert json.loads(json.dumps(data, allow_nan=False)) == data


@EVERY
def test_no_finding_is_left_out(kind: str, make: Callable[[Preference], Made]) -> None:
    data, text, findings = make(METRIC)
    told = [t["finding"] for t in data["told"]] if kind == "story" else data["findings"]
    assert [f["rule"] for f in told] == [f.rule for f in findings]
    for finding in findings:
        assert render(finding.title, METRIC) in text
        assert render(finding.why, METRIC) in text
        assert finding.source in text
    assert "{" not in text


@EVERY
def test_the_page_describes_every_key(kind: str, make: Callable[[Preference], Made]) -> None:
    described = set(re.findall(r"`([a-z_A-Z0-9]+)`", PAGE.read_text(encoding="utf-8")))
    assert sorted(set(keys_of(make(METRIC)[0])) - described) == []
    assert f"`corebath.{kind}/{VERSIONS.get(kind, 1)}`" in PAGE.read_text(encoding="utf-8")


def test_units_follow_the_cook_only_in_words() -> None:
    metric, us = (ends_json.chill_as_json(chill_of("steak"), p) for p in (METRIC, US))
    assert metric["reaches"] == us["reaches"]
    assert "5 °C (41 °F)" in metric["statements"][1]
    assert "41 °F (5 °C)" in us["statements"][1]


def test_what_a_keeping_was_judged_by_is_in_its_data() -> None:
    told = EndQuestion(food="ribeye", fridge="4 C", bag="garlic", cooked="57 C", bath="2 h")
    data = ends_json.keep_as_json(answer_keep(understand_keep(told, NOW, replace(KITCHEN, probe_offset_K=1.5))), METRIC)
    assert data["garlic_or_oil"] is True
    assert (data["cooked_C"], data["cooked_s"], data["probe_offset_K"]) == (57.0, 7200.0, 1.5)
    bare = ends_json.keep_as_json(keep_of("nothing told"), METRIC)
    assert (bare["garlic_or_oil"], bare["cooked_C"], bare["cooked_s"], bare["probe_offset_K"]) == (
        False,
        None,
        None,
        0.0,
    )
