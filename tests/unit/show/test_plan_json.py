"""The plan as JSON: by its schema, every key described, nothing lost."""

from __future__ import annotations

import json
import re
from datetime import datetime, timedelta
from math import inf
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator
from tests.unit.show.json_keys import keys_of
from tests.unit.show.show_plans import NAMES, plan_of

from corebath.plan.plan import Plan
from corebath.show.as_json import SCHEMA, plan_as_json, plan_schema
from corebath.units import METRIC, US

PAGE = Path(__file__).parents[3] / "docs" / "json.md"
MOMENTS = ("first_drop_in", "drop_in", "last_drop_in", "pull", "serve")


def test_the_schema_is_one() -> None:
    Draft202012Validator.check_schema(plan_schema())


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("preference", [METRIC, US], ids=["metric", "US"])
def test_plans_follow_the_schema(name: str, preference: Any) -> None:
    data = plan_as_json(plan_of(name), preference)
    errors = [e.message for e in Draft202012Validator(plan_schema()).iter_errors(data)]
    assert errors == []
    assert json.loads(json.dumps(data, allow_nan=False)) == data


@pytest.mark.parametrize("name", NAMES)
def test_moments_are_the_plan_s_with_their_offset(name: str) -> None:
    plan = plan_of(name)
    data = plan_as_json(plan, METRIC)
    for key in MOMENTS:
        moment = datetime.fromisoformat(data[key])
        assert moment == getattr(plan, key)
        assert moment.utcoffset() == timedelta(hours=1)
    assert [datetime.fromisoformat(t["at"]) for t in data["run_sheet"]] == [t.at for t in plan.run_sheet]


@pytest.mark.parametrize("name", NAMES)
def test_no_finding_is_left_out(name: str) -> None:
    plan = plan_of(name)
    data = plan_as_json(plan, METRIC)
    assert [f["rule"] for f in data["findings"]] == [f.rule for f in plan.findings]
    assert [f["verdict"] for f in data["findings"]] == [f.verdict.value for f in plan.findings]
    assert data["works"] is plan.works
    assert bool(data["failures"]) is not plan.works


def test_units_follow_the_cook_only_in_words() -> None:
    metric, us = (plan_as_json(plan_of("chicken"), p) for p in (METRIC, US))
    assert metric["set_point_C"] == us["set_point_C"] == 62.0
    assert "62 °C (" in metric["answer"]
    assert "144 °F (" in us["answer"]


def test_what_never_comes_is_null() -> None:
    plan: Plan = plan_of("too cold")
    assert plan.window.ready_s == inf
    data = plan_as_json(plan, METRIC)
    assert data["window"]["ready_s"] is None
    assert data["timing"]["lethality"][0]["cautious_s"] is None


@pytest.mark.parametrize("name", NAMES)
def test_the_page_describes_every_key(name: str) -> None:
    described = set(re.findall(r"`([a-z_A-Z0-9]+)`", PAGE.read_text(encoding="utf-8")))
    missing = sorted(set(keys_of(plan_as_json(plan_of(name), METRIC))) - described)
    assert missing == []


def test_the_page_names_the_schema() -> None:
    assert f"`{SCHEMA}`" in PAGE.read_text(encoding="utf-8")
