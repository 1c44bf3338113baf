"""Cooling, freezing, ice: what must hold and what is refused."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from corebath.chill.cool import chill
from corebath.chill.freeze import freeze
from corebath.chill.ice import ice_finding, ice_needed
from corebath.chill.runs import Around, Reach, layered, runs
from corebath.chill.tables import medium
from corebath.food.catalogue import catalogue
from corebath.food.freezing import freezing_table
from corebath.heat.body import Body, Shape
from corebath.heat.engine import Thermal
from corebath.heat.material import Material
from corebath.safety.authority import Authority
from corebath.safety.finding import Verdict
from corebath.safety.subject import Subject
from corebath.units import METRIC, US, render

BEEF = catalogue()["beef-striploin"]
THERMAL = Thermal(Material(0.48, 1060.0, 3480.0), freezing_table(BEEF.composition, BEEF.initial_freezing_C))
STEAK = Body(Shape.SLAB, 0.03)
ROAST = Body(Shape.BRICK, 0.09, 0.12, 0.18)
SUBJECT = Subject("beef")


@given(st.floats(0.01, 0.08), st.floats(1.05, 2.0))
@settings(max_examples=15, deadline=None)
def test_thicker_never_chills_sooner(thickness_m: float, factor: float) -> None:
    around = (Around(1.0, 100.0),) * 3
    thin = runs(Body(Shape.SLAB, thickness_m), THERMAL, 60.0, "ice", around, (5.0,)).reach(5.0)
    thick = runs(Body(Shape.SLAB, thickness_m * factor), THERMAL, 60.0, "ice", around, (5.0,)).reach(5.0)
    assert thin.nominal_s is not None
    assert thick.nominal_s is not None
    assert thick.nominal_s > thin.nominal_s


@pytest.mark.parametrize("where", ["ice-water-still", "ice-water-stirred", "fridge"])
def test_quick_nominal_and_cautious_stand_in_order(where: str) -> None:
    for reach in chill(STEAK, THERMAL, 60.0, where, SUBJECT, Authority.US).runs.reaches:
        times = [reach.quick_s, reach.nominal_s, reach.cautious_s]
        known = [t for t in times if t is not None]
        assert known == sorted(known)
        assert times[: len(known)] == known


def test_stirring_and_lying_apart_help() -> None:
    still, stirred = (
        chill(STEAK, THERMAL, 60.0, where, SUBJECT, Authority.US).runs.reach(5.0).nominal_s
        for where in ("ice-water-still", "ice-water-stirred")
    )
    stacked = chill(STEAK, THERMAL, 60.0, "ice-water-still", SUBJECT, Authority.US, layers=2).runs.reach(5.0).nominal_s
    assert still is not None
    assert stirred is not None
    assert stacked is not None
    assert stirred < still < stacked / 2


@pytest.mark.parametrize("authority", list(Authority))
def test_ice_water_meets_the_limits_of_every_authority_for_a_steak(authority: Authority) -> None:
    found = {f.rule: f for f in chill(STEAK, THERMAL, 60.0, "ice-water-still", SUBJECT, authority).findings}
    binding = [f for f in found.values() if f.binding]
    assert binding
    assert all(f.verdict is Verdict.MET for f in binding)


@pytest.mark.parametrize("authority", list(Authority))
def test_the_counter_is_refused_with_numbers(authority: Authority) -> None:
    answer = chill(ROAST, THERMAL, 60.0, "counter", SUBJECT, authority)
    finding = answer.findings[0]
    assert finding.rule == "chill-not-on-the-counter"
    assert finding.verdict is Verdict.NOT_MET
    assert finding.binding
    assert "|s}" in finding.why
    assert any(f.rule.endswith("cooling") and f.verdict is Verdict.NOT_MET for f in answer.findings)


def test_a_cold_larder_may_take_a_thin_piece_only_for_the_first_stage() -> None:
    larder = medium("counter").measured(8.0)
    thin = chill(Body(Shape.SLAB, 0.01), THERMAL, 60.0, larder, SUBJECT, Authority.US).findings[0]
    assert thin.verdict is Verdict.MET
    assert "go into the cold" in thin.why
    assert chill(ROAST, THERMAL, 60.0, larder, SUBJECT, Authority.US).findings[0].verdict is Verdict.NOT_MET


def test_a_fridge_is_too_slow_and_its_findings_say_so() -> None:
    answer = chill(STEAK, THERMAL, 60.0, "fridge", SUBJECT, Authority.US)
    assert any(f.binding and f.verdict is Verdict.NOT_MET for f in answer.findings)
    assert answer.runs.reach(3.0).nominal_s is None
    for preference in (METRIC, US):
        assert "{" not in render(" ".join([*answer.statements, *answer.assumptions]), preference)


def test_a_piece_cold_already_takes_no_time() -> None:
    reach = chill(STEAK, THERMAL, 4.0, "ice-water-still", SUBJECT, Authority.US).runs.reach(5.0)
    assert reach.nominal_s is None or reach.nominal_s == 0


def test_freezing_passes_its_levels_in_order() -> None:
    answer = freeze(STEAK, THERMAL, 4.0)
    times = [reach.nominal_s for reach in answer.runs.reaches]
    assert all(t is not None for t in times)
    assert times == sorted(t for t in times if t is not None)
    assert "no limit" in " ".join(answer.statements)
    with pytest.raises(ValueError, match="chilled, between -1 and 20 C"):
        freeze(STEAK, THERMAL, 60.0)


def test_layers_make_one_thicker_body() -> None:
    assert layered(STEAK, 3).thickness_m == pytest.approx(0.09)
    stacked = layered(Body(Shape.BRICK, 0.03, 0.1, 0.2), 4)
    assert sorted(2 * a.half_m for a in stacked.axes) == pytest.approx([0.1, 0.12, 0.2])
    with pytest.raises(ValueError, match="do not stack"):
        layered(Body(Shape.CYLINDER, 0.05), 2)
    with pytest.raises(ValueError, match="layers must lie"):
        layered(STEAK, 0)


def test_media_refuse_what_they_cannot_be() -> None:
    with pytest.raises(ValueError, match="no medium is called 'snow'; take one of ice-water-still"):
        medium("snow")
    with pytest.raises(ValueError, match=r"must lie between \{-40\|C\} and \{50\|C\}"):
        medium("fridge").measured(float("nan"))
    with pytest.raises(ValueError, match="must be a temperature"):
        chill(STEAK, THERMAL, float("nan"), "fridge", SUBJECT, Authority.US)


def test_more_food_warmer_water_and_longer_waits_need_more_ice() -> None:
    base = ice_needed(food_kg=1, food_cp_J_kgK=3500, from_C=60, to_C=4, water_kg=3, water_C=15, chill_s=3600)
    for more in (
        ice_needed(food_kg=2, food_cp_J_kgK=3500, from_C=60, to_C=4, water_kg=3, water_C=15, chill_s=3600),
        ice_needed(food_kg=1, food_cp_J_kgK=3500, from_C=60, to_C=4, water_kg=3, water_C=25, chill_s=3600),
        ice_needed(food_kg=1, food_cp_J_kgK=3500, from_C=60, to_C=4, water_kg=3, water_C=15, chill_s=7200),
    ):
        assert more.plan_low_kg > base.plan_low_kg
    assert base.melts_kg < base.plan_low_kg < base.plan_high_kg


def test_ice_findings_tell_enough_from_too_little() -> None:
    need = ice_needed(food_kg=1, food_cp_J_kgK=3500, from_C=60, to_C=4, water_kg=3, water_C=15, chill_s=3600)
    assert ice_finding(0.5, need).verdict is Verdict.NOT_MET
    assert ice_finding(need.melts_kg + need.room_low_kg + 0.01, need).verdict is Verdict.NOT_KNOWN
    assert ice_finding(need.plan_high_kg, need).verdict is Verdict.MET
    with pytest.raises(ValueError, match=r"\{0\|kg\} or more"):
        ice_finding(-1.0, need)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"food_kg": 0.0}, "the food must lie"),
        ({"food_cp_J_kgK": 100.0}, "the specific heat"),
        ({"to_C": 70.0}, "the food's last temperature"),
        ({"water_C": float("inf")}, "the water's temperature"),
        ({"end_C": 8.0}, "the bath's last temperature"),
    ],
)
def test_ice_refuses_bad_input(change: dict[str, float], words: str) -> None:
    good = {"food_kg": 1.0, "food_cp_J_kgK": 3500.0, "from_C": 60.0, "to_C": 4.0, "water_kg": 3.0, "water_C": 15.0}
    with pytest.raises(ValueError, match=words):
        ice_needed(**(good | change))


def test_a_level_the_cautious_core_does_not_pass_is_said_in_words() -> None:
    words = Reach(5.0, 3600.0, 7200.0, None).words
    assert words == "{7200|s} ({3600|s} at the soonest; on the cautious figures not at all)"
