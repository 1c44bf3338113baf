"""Plans that a met rule might make look better than they are: never hot, warm before, only warmed, off by a probe."""

from __future__ import annotations

from typing import Any

import pytest
from tests.unit.plan.planning import asked, planned

from corebath.plan.basis import basis
from corebath.plan.ends import make_ends
from corebath.plan.make import make_plan
from corebath.plan.plan import Part, Plan
from corebath.plan.request import State
from corebath.safety import Authority, Finding, Verdict
from corebath.show.as_text import as_text, cautions_of
from corebath.show.sentences import answer
from corebath.units import METRIC


def found(plan: Plan, key: str) -> Finding:
    return next(f for f in plan.findings if f.rule == key)


def leftovers(plan: Plan) -> str:
    return next(task.what for task in plan.run_sheet if task.key == "leftovers")


def test_four_hours_in_a_cool_bath_are_too_long_with_the_sear_and_the_serving() -> None:
    plan = planned(set_point_C=52.0, bath_s=4 * 3600.0)
    assert not plan.works
    assert found(plan, "food-code-4h").verdict is Verdict.NOT_MET
    assert [f.part for f in plan.failures] == [Part.SAFETY]


def test_the_window_of_a_cool_bath_ends_where_the_meal_still_comes_in_time() -> None:
    plan = planned(set_point_C=52.0)
    finish_s = (plan.serve - plan.pull).total_seconds()
    assert plan.never_hot
    assert plan.works
    assert 0.0 < plan.window.latest_s + finish_s <= 4 * 3600.0
    within = make_plan(asked(set_point_C=52.0, bath_s=60.0 * (plan.window.latest_s // 60 - 1)), offer=False)
    assert within.works


def test_food_that_was_never_hot_has_no_leftovers() -> None:
    cool, hot = planned(set_point_C=52.0), planned(set_point_C=57.0)
    assert "keep no leftovers" in leftovers(cool)
    assert "fridge" not in leftovers(cool)
    assert "fridge" in leftovers(hot)
    assert not hot.never_hot
    told = next(task for task in make_ends(cool).run_sheet if task.key == "leftovers")
    assert "ice water" not in told.what
    assert 0.0 < told.since_drop_in_s <= 4 * 3600.0


@pytest.mark.parametrize(
    ("food", "set_C", "warmed"),
    [("egg", 45.0, True), ("shrimp", 45.0, True), ("beef-ribeye", 54.0, True), ("chicken-breast", 63.0, False)],
)
def test_the_answer_says_when_the_core_is_only_warmed(food: str, set_C: float, warmed: bool) -> None:
    plan = planned(food, set_point_C=set_C)
    assert plan.works
    assert ("the core is warmed, not pasteurised: not for guests at higher risk" in answer(plan, METRIC)) is warmed


@pytest.mark.parametrize("answers", [{"start_C": 20.0}, {"state": State.ROOM}], ids=["measured", "room"])
def test_a_warm_start_is_said_in_the_answer_however_it_is_typed(answers: dict[str, Any]) -> None:
    plan = planned("chicken-breast", set_point_C=60.0, **answers)
    said = as_text(plan, METRIC)
    assert plan.works
    assert "do not cook it" in answer(plan, METRIC)
    assert "the fridge at 20" not in said
    assert "kept at or below" not in said
    come_up = found(plan, "fsis-come-up")
    assert (come_up.verdict, come_up.binding) == (Verdict.NOT_KNOWN, False)
    assert "do not cook it" not in answer(planned("chicken-breast", set_point_C=60.0), METRIC)


def test_garlic_in_the_bag_is_said_in_the_answer_while_its_rule_is_not_met() -> None:
    chuck = planned("beef-chuck", set_point_C=57.0, garlic_or_oil=True, bath_s=36 * 3600.0)
    assert "the rule on spores is not met" in answer(chuck, METRIC)
    assert "spores" not in answer(planned("beef-chuck", set_point_C=57.0, bath_s=36 * 3600.0), METRIC)


def test_squid_by_its_worms() -> None:
    fresh, frozen = (planned("squid", set_point_C=50.0, parasites_frozen=yes) for yes in (False, True))
    assert found(fresh, "fish-worms-heat-us").verdict is Verdict.NOT_MET
    assert not fresh.works
    assert frozen.works


def test_the_lowest_bath_of_an_authority_is_held_to_the_set_point_in_truth() -> None:
    at_55 = planned("beef-chuck", set_point_C=55.0, authority=Authority.AU, bath_s=24 * 3600.0)
    off = planned("beef-chuck", set_point_C=55.0, authority=Authority.AU, bath_s=24 * 3600.0, probe_offset_K=1.0)
    assert found(at_55, "nsw-bath-55c").verdict is Verdict.MET
    assert found(off, "nsw-bath-55c").verdict is Verdict.NOT_MET
    assert "{54|C}" in found(off, "nsw-bath-55c").why


def test_an_offset_of_the_thermometer_is_said_wherever_the_bath_is_named() -> None:
    plan = planned("chicken-breast", set_point_C=62.0, probe_offset_K=2.0)
    assert "bath of {60|C}" in basis(plan)[0]
    assert "set to {62|C}" in basis(plan)[1]
    assert "in truth at {60|C}" in basis(plan)[1]
    assert any("too high" in note and "{60|C}" in note for note in plan.notes)
    keys = {c.key for c in cautions_of(plan)}
    assert "probe-entered" in keys
    assert "probe" not in keys
    plain = planned("chicken-breast", set_point_C=62.0)
    assert "{62|C}" in basis(plain)[0]
    assert "probe" in {c.key for c in cautions_of(plain)}
    assert "probe-entered" not in {c.key for c in cautions_of(plain)}


def test_a_core_short_of_its_band_is_not_called_inside_it() -> None:
    plan = planned("chicken-breast", set_point_C=60.0)
    result = next(e for e in plan.outcome if e.name == "result")
    assert plan.result is not None
    assert result.value is not None
    assert result.value < plan.result.low_C
    assert "just below the band" in result.words
