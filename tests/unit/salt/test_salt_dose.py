"""Doses and what is said of them."""

from __future__ import annotations

import pytest

from corebath.safety.finding import Verdict
from corebath.salt.dose import dose, dose_findings
from corebath.salt.tables import diffusivity, usual_doses


def test_both_readings_are_given_with_water() -> None:
    both = dose(1.0, 1.5, water_kg=1.0)
    assert both.of_meat_kg == pytest.approx(0.015)
    assert both.of_meat_and_water_kg == pytest.approx(0.030)
    assert "settle which" in both.statement


def test_a_dry_brine_has_one_reading() -> None:
    dry = dose(0.28, 1.0)
    assert dry.of_meat_kg == dry.of_meat_and_water_kg == pytest.approx(0.0028)


@pytest.mark.parametrize("percent", [24.0, 0.01, float("nan"), -1.0])
def test_a_slipped_decimal_point_is_refused(percent: float) -> None:
    with pytest.raises(ValueError, match=r"between 0.1 and 10 %"):
        dose(1.0, percent)


@pytest.mark.parametrize("meat_kg", [0.0, -1.0, float("inf"), 500.0])
def test_an_absurd_mass_is_refused(meat_kg: float) -> None:
    with pytest.raises(ValueError, match="the meat must lie"):
        dose(meat_kg, 1.0)


@pytest.mark.parametrize(
    ("percent", "hours", "salty", "cured"),
    [
        (1.0, 2.0, Verdict.MET, Verdict.MET),
        (1.0, 24.0, Verdict.MET, Verdict.NOT_MET),
        (0.0, 48.0, Verdict.MET, Verdict.MET),
        (2.5, 1.0, Verdict.NOT_MET, Verdict.NOT_MET),
    ],
)
def test_findings_follow_salt_and_hours(percent: float, hours: float, salty: Verdict, cured: Verdict) -> None:
    found = dose_findings(percent, cook_s=hours * 3600)
    assert [f.verdict for f in found] == [salty, cured]
    assert all(f.source and not f.binding for f in found)


def test_findings_refuse_a_negative_time() -> None:
    with pytest.raises(ValueError, match="0 s or more"):
        dose_findings(1.0, cook_s=-1.0)


def test_poultry_has_no_diffusivity_and_thawed_meat_a_higher_one() -> None:
    assert diffusivity("chicken") is None
    fresh, thawed = diffusivity("pork"), diffusivity("pork", frozen_before=True)
    assert fresh is not None
    assert thawed is not None
    assert thawed.low_m2_s == pytest.approx(1.3 * fresh.low_m2_s)


def test_every_figure_names_its_source() -> None:
    assert all(entry.source for entry in usual_doses())
    for kind in ("pork", "beef", "lamb", "fish"):
        found = diffusivity(kind)
        assert found is not None
        assert found.source
        assert 1e-12 < found.low_m2_s < found.nominal_m2_s < found.high_m2_s < 1.61e-9
