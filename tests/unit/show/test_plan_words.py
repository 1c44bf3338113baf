"""The answer and the plan in words: one sentence, nothing left out, nothing called safe."""

from __future__ import annotations

import re

import pytest
from tests.unit.show.show_plans import NAMES, plan_of

from corebath.safety.finding import Verdict
from corebath.show.as_text import KEEPING, as_text, grouped_findings
from corebath.show.plain import BINDING, REPORTED
from corebath.show.sentences import answer, time_set, to_do
from corebath.units import METRIC, US, Preference, render, show_set_point

EVERY = pytest.mark.parametrize("name", NAMES)
UNITS = pytest.mark.parametrize("preference", [METRIC, US], ids=["metric", "US"])


@EVERY
@UNITS
def test_the_answer_is_a_sentence_of_what_to_do_and_one_of_what_sets_the_time(
    name: str, preference: Preference
) -> None:
    plan = plan_of(name)
    do, time = to_do(plan, preference), time_set(plan)
    assert answer(plan, preference) == " ".join(filter(None, (do, time)))
    assert do.endswith(".")
    assert bool(time) == plan.works
    for sentence in (do, time):
        assert not re.search(r"[.!?]\s", sentence.replace("C. perfringens", ""))
    assert "the time" not in do
    assert "\n" not in do + time


@EVERY
def test_the_answer_says_when_by_the_clock_and_in_elapsed_time(name: str) -> None:
    plan = plan_of(name)
    said = answer(plan, METRIC)
    assert show_set_point(plan.set_point_C, METRIC) in said
    assert re.search(r"\d (h|min)\b", said)
    if plan.works:
        assert f"{plan.drop_in:%H:%M}" in said
        assert f"{plan.pull:%H:%M}" in said


def test_a_failing_plan_says_which_part_fails_and_what_works() -> None:
    assert "because there is not enough time" in answer(plan_of("too late"), METRIC)
    said = answer(plan_of("too cold"), METRIC)
    assert "7-log Salmonella at the core" in said
    assert "is not met" in said
    assert "the nearest plan that works" in said


@EVERY
@UNITS
def test_no_text_calls_food_safe_or_keeps_a_mark(name: str, preference: Preference) -> None:
    text = as_text(plan_of(name), preference) + answer(plan_of(name), preference)
    assert not re.search(r"\bsafe\b", text, re.IGNORECASE)
    assert not re.search(r"\{[^}]*\|", text)


@EVERY
def test_every_finding_stands_once_with_its_verdict_first(name: str) -> None:
    plan = plan_of(name)
    groups = grouped_findings(plan)
    assert sorted(f.rule for found in groups.values() for f in found) == sorted(f.rule for f in plan.findings)
    assert all(f.binding for f in groups[BINDING])
    assert not any(f.binding for f in groups[REPORTED])
    assert all("cooling" in f.rule for f in groups[KEEPING])
    text = as_text(plan, METRIC)
    words = {Verdict.MET: "Met", Verdict.NOT_MET: "Not met", Verdict.NOT_KNOWN: "Not known"}
    for finding in plan.findings:
        assert f"- {words[finding.verdict]}: {render(finding.title, METRIC)}" in text
        assert finding.source in text


@EVERY
def test_tasks_notes_failures_and_qualities_are_all_there(name: str) -> None:
    plan = plan_of(name)
    text = as_text(plan, METRIC)
    sentences = [t.what for t in plan.run_sheet] + list(plan.notes) + [f.why for f in plan.failures]
    sentences += (
        [a.change for a in plan.alternatives] + [e.words for e in plan.outcome] + [e.basis for e in plan.outcome]
    )
    assert all(render(s, METRIC) in text for s in sentences)
    assert ("What fails" in text) is not plan.works


def test_the_run_sheet_gives_clock_and_elapsed_time() -> None:
    text = as_text(plan_of("steak"), METRIC)
    assert "Tue 1 Dec 17:25 (drop-in):" in text
    assert "Tue 1 Dec 16:55 (30 min before):" in text
    assert "Tue 1 Dec 19:15 (1 h 50 min after):" in text


def test_local_codes_come_first() -> None:
    assert "your local food code comes first" in as_text(plan_of("steak"), METRIC)
