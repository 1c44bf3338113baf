"""The answer the cook gets: cause, sentences, findings, fats and cautions."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from corebath.heat.material import Material
from corebath.safety.finding import Verdict
from corebath.sear.hot import flux_of_water_test, pan, torch
from corebath.sear.oil import oil_finding, oils_for, sear_cautions
from corebath.sear.run import Setup
from corebath.sear.sear import Cause, chill_first, effects, sear
from corebath.sear.tables import settings
from corebath.units import METRIC, US, mark, render

BEEF = Material(0.48, 1060.0, 3480.0)
IRON = pan("cast-iron", face_C=250.0, food_area_m2=0.02)
STEAK = Setup(0.03, BEEF, 0.72, 55.0, 55.0, IRON, 0.05)


@pytest.mark.parametrize(
    ("face_C", "metal", "film", "cause"),
    [
        (250.0, "cast-iron", 0.05, Cause.NONE),
        (190.0, "cast-iron", 0.01, Cause.COOL),
        (230.0, "cast-iron", 0.3, Cause.WET),
        (180.0, "cast-iron", 0.4, Cause.WET_AND_COOL),
        (180.0, "stainless", 0.2, Cause.WEAK),
    ],
)
def test_the_cause_of_a_slow_side_comes_out_of_the_model(face_C: float, metal: str, film: float, cause: Cause) -> None:
    setup = replace(STEAK, hot=pan(metal, face_C=face_C, food_area_m2=0.02), film_kg_m2=film)
    answer = sear(setup)
    assert answer.cause is cause
    minute = next(f for f in answer.findings if f.rule == "sear-minute")
    assert (minute.verdict is Verdict.MET) == (cause is Cause.NONE)


def test_sentences_print_in_both_unit_systems() -> None:
    answer = sear(STEAK)
    for preference in (METRIC, US):
        text = render(" ".join(answer.statements), preference)
        assert "{" not in text
        assert "grey band" in text
    assert all(not f.binding and f.source for f in answer.findings)


def test_no_crust_is_said_and_not_hidden() -> None:
    cold = replace(STEAK, hot=pan("cast-iron", face_C=90.0, food_area_m2=0.02, burner_W=0.0))
    answer = sear(cold)
    assert answer.statements[0].startswith("No crust within")
    assert answer.findings[0].verdict is Verdict.NOT_MET


def test_effects_go_the_way_cooks_know() -> None:
    found = {effect.key: effect.run for effect in effects(STEAK)}
    base = sear(STEAK).nominal
    assert max(t or 999 for t in found["dried"].crust_s) < max(t or 999 for t in base.crust_s)
    assert max(t or 999 for t in found["wet"].crust_s) > max(t or 999 for t in base.crust_s)
    assert max(found["chilled"].band_m) < max(base.band_m)
    assert found["half-thickness"].core_peak_C > base.core_peak_C


def test_a_half_too_thin_to_compute_is_left_out() -> None:
    assert "half-thickness" not in {effect.key for effect in effects(replace(STEAK, thickness_m=0.006))}


def test_a_chill_still_serves_a_warm_core() -> None:
    wait_s, setup = chill_first(replace(STEAK, thickness_m=0.05))
    assert wait_s > 0
    assert sear(setup).nominal.core_served_C >= 53.0


def test_a_torch_has_to_be_measured() -> None:
    flux = flux_of_water_test(water_kg=0.1, rise_K=30.0, time_s=60.0, spot_m2=0.003)
    assert flux == pytest.approx(0.1 * 4190 * 30 / 60 / 0.003)
    answer = sear(replace(STEAK, hot=torch(flux)))
    assert answer.nominal.crust_s[0] is not None
    with pytest.raises(ValueError, match="above 0"):
        flux_of_water_test(0.1, 30.0, 0.0, 0.003)


def test_fats_warn_at_their_lowest_figure() -> None:
    assert oil_finding("olive extra virgin", 160.0).verdict is Verdict.MET
    smokes = oil_finding("olive extra virgin", 190.0)
    assert smokes.verdict is Verdict.NOT_MET
    assert "{207|C}" in smokes.why
    assert all(oil.low_C > 240 for oil in oils_for(240.0))
    assert "no fat held here would not" in oil_finding("butter", 300.0).why
    with pytest.raises(ValueError, match="oil 'buter' is not known; take one of butter"):
        oil_finding("buter", 200.0)


def test_cautions_follow_method_and_heat() -> None:
    keys = {caution.key for caution in sear_cautions("pan", 240.0)}
    assert {"pepper", "sugar", "wet-meat-hot-fat", "fat-fire", "smoke"} <= keys
    assert "torch-place" not in keys
    assert "pepper" not in {caution.key for caution in sear_cautions("pan", 110.0)}
    assert "coals-outdoors" in {caution.key for caution in sear_cautions("grill", 700.0)}


def test_the_highest_core_told_is_that_of_all_three_runs() -> None:
    answer = sear(STEAK)
    highest = max(run.core_peak_C for run in answer.runs)
    assert highest > answer.nominal.core_peak_C + 0.5
    assert f"and at most {mark(highest, 'C')}" in answer.statements[-1]


def test_the_start_of_the_sear_is_told_and_drying_does_what_is_said() -> None:
    even = sear(STEAK)
    assert any("{55|C} right through" in said for said in even.assumptions)
    dried = sear(replace(STEAK, start_C=np.linspace(55.0, 45.0, 20)))
    assert any("{45|C} at its face, {55|C} at its core" in said for said in dried.assumptions)
    assert max(dried.nominal.band_m) < max(even.nominal.band_m)
    assert dried.nominal.core_rise_K < even.nominal.core_rise_K


def test_a_change_that_changes_nothing_in_print_is_left_out() -> None:
    dry = replace(STEAK, film_kg_m2=settings()["film"]["dry_kg_m2"])
    assert "dried" not in {effect.key for effect in effects(dry)}
    assert "wet" in {effect.key for effect in effects(dry)}


def test_a_piece_grey_right_through_has_no_measured_band() -> None:
    thin = replace(STEAK, thickness_m=0.012)
    assert sear(thin).nominal.through
    said = {effect.key: effect.statement for effect in effects(thin)}
    assert "grey right through either way" in said["half-thickness"]
    assert "grey band of {0.006|m}" not in " ".join(said.values())
    half = {effect.key: effect.statement for effect in effects(STEAK)}["half-thickness"]
    assert "grey right through instead of a grey band of" in half
    assert "{0.0075|m}" not in half


def test_a_band_past_the_middle_is_measured_and_not_cut_off_there() -> None:
    slow = replace(STEAK, thickness_m=0.034, hot=pan("stainless", face_C=180.0, food_area_m2=0.02), film_kg_m2=0.2)
    run = sear(slow).nominal
    assert not run.through
    deepest = max(run.band_m)
    assert deepest > slow.thickness_m / 2
    limit_C = slow.core_result_C + settings()["grey_band"]["excess_K"]
    from_face = run.peak_C if run.band_m[0] == deepest else run.peak_C[::-1]
    assert np.interp(deepest, run.depth_m, from_face) == pytest.approx(limit_C, abs=0.3)


def test_each_single_change_that_helps_a_slow_side_is_said_with_its_time() -> None:
    both = replace(STEAK, hot=pan("cast-iron", face_C=180.0, food_area_m2=0.02), film_kg_m2=0.2)
    said = render(sear(both).statements[1], METRIC)
    assert "boiling that water away takes" in said
    assert "preheated to 260 °C" in said
    dried = {e.key: e.run for e in effects(both)}["dried"]
    assert (
        f"dried, and nothing else changed, a side would take {mark(max(t or 999 for t in dried.crust_s), 's')}"
        in (sear(both).statements[1])
    )
    dry = replace(STEAK, hot=pan("cast-iron", face_C=190.0, food_area_m2=0.02), film_kg_m2=0.01)
    assert "water" not in sear(dry).statements[1]


def test_frequent_turns_are_judged_for_the_same_crust_and_over_the_same_time() -> None:
    base = sear(STEAK).nominal
    turned = next(e for e in effects(STEAK) if e.key == "flipped")
    assert "until each side has the same crust" in turned.statement
    assert f"Over the same {mark(sum(base.side_s), 's')} in all: " in turned.statement
    fixed = next(e for e in effects(replace(STEAK, side_s=60.0)) if e.key == "flipped")
    assert "same" not in fixed.statement
    assert sum(fixed.run.side_s) == pytest.approx(120.0)


def test_a_core_that_the_sear_leaves_cold_is_not_said_to_rise() -> None:
    thick = sear(replace(STEAK, thickness_m=0.06, start_C=np.linspace(55.0, 30.0, 30), rest_s=60.0))
    core = render(thick.statements[-1], METRIC)
    assert thick.nominal.core_rise_K < 0.05
    assert "The sear does not warm the core: it meets the heat at 55 °C" in core
    assert "rises by" not in core
