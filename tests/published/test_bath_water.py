"""Water, vapour and moist air against CoolProp (IAPWS-95), IAPWS-IF97 and PsychroLib, and altitude against tables."""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np
import pytest
from tests.published.measuring import Measure

from corebath.bath import water as w
from corebath.bath.altitude import at_altitude, boiling_finding, pressure_Pa
from corebath.safety.finding import Verdict

REFERENCE = Path(__file__).parents[1] / "reference"


def rows(name: str) -> list[dict[str, str]]:
    with (REFERENCE / name).open(encoding="utf-8") as lines:
        return list(csv.DictReader(lines))


@pytest.mark.parametrize("row", rows("bath_water.csv"), ids=lambda r: r["T_C"])
def test_water_agrees_with_iapws(row: dict[str, str], measured: Measure) -> None:
    T = float(row["T_C"])
    # Read spread: IF97, IAPWS-95 and PsychroLib differ by up to 0.02 % among themselves.
    assert float(w.saturation_Pa(T)) == pytest.approx(1000 * float(row["psat_IAPWS95_kPa"]), rel=3e-4)
    # Saturated, not at 1 atm: 0.005 % lighter.
    assert float(w.liquid_density_kg_m3(T)) == pytest.approx(float(row["rho_liquid_1atm_kg_m3"]), rel=1e-4)
    # IF97 and IAPWS-95 differ by 0.05 % in this column.
    assert float(w.liquid_cp_J_kgK(T)) == pytest.approx(1000 * float(row["cp_liquid_1atm_kJ_kgK"]), rel=1.2e-3)
    assert float(w.latent_heat_J_kg(T)) == pytest.approx(1000 * float(row["hfg_IF97_kJ_kg"]), rel=5e-4)
    ours = [w.saturation_Pa(T), w.liquid_density_kg_m3(T), w.liquid_cp_J_kgK(T), w.latent_heat_J_kg(T)]
    theirs = ["psat_IAPWS95_kPa", "rho_liquid_1atm_kg_m3", "cp_liquid_1atm_kJ_kgK", "hfg_IF97_kJ_kg"]
    for name, value, column, unit in zip(("vapour pressure", "density", "specific heat", "latent heat"), ours, theirs,
                                         (1000, 1, 1000, 1000), strict=True):  # fmt: skip
        printed = unit * float(row[column])
        measured("bath", f"{name} of water", value, printed, ratio=True, source="IAPWS, by general libraries")
    # The column is printed to 1e-5 kg/m3.
    assert float(w.vapour_density_kg_m3(T)) == pytest.approx(float(row["rho_sat_vapour_kg_m3"]), rel=5e-4, abs=5e-6)


def test_water_agrees_with_coolprop_everywhere() -> None:
    """Source: CoolProp 8.0.0 (IAPWS-95), a general library."""
    props = pytest.importorskip("CoolProp.CoolProp").PropsSI
    T = np.arange(1.0, 100.0, 3.0)
    K = T + w.ZERO_C_K
    assert w.saturation_Pa(T) == pytest.approx(props("P", "T", K, "Q", 0, "Water"), rel=3e-4)
    assert w.liquid_cp_J_kgK(T) == pytest.approx(props("C", "T", K, "Q", 0, "Water"), rel=1e-3)
    latent = props("H", "T", K, "Q", 1, "Water") - props("H", "T", K, "Q", 0, "Water")
    assert w.latent_heat_J_kg(T) == pytest.approx(latent, rel=5e-4)


@pytest.mark.parametrize("row", rows("bath_humid_air.csv"), ids=lambda r: f"{r['T_C']}-{r['RH_fraction']}")
def test_moist_air_agrees_with_psychrolib(row: dict[str, str]) -> None:
    T, p = float(row["T_C"]), 1000 * float(row["P_kPa"])
    vapour = float(row["RH_fraction"]) * float(w.saturation_Pa(T))
    # Ideal gas against ideal gas; PsychroLib's vapour pressure is 0.02 % low, which grows near saturation at 80 C.
    assert float(w.humidity_ratio(vapour, p)) == pytest.approx(float(row["W_psychrolib_kg_kg"]), rel=1e-3)
    # Against the real gas: 0.5 % at 20 C to 1.1 % at 80 C saturated, the known error of ideal gases.
    assert float(w.humidity_ratio(vapour, p)) == pytest.approx(float(row["W_coolprop_kg_kg"]), rel=1.2e-2)
    assert float(w.moist_air_density_kg_m3(T, vapour, p)) == pytest.approx(
        float(row["rho_moist_psychrolib_kg_m3"]), rel=1e-3
    )


def test_moist_air_agrees_with_psychrolib_at_altitude() -> None:
    """Source: PsychroLib 2.5.0, ASHRAE formulas, a general library."""
    psychrolib = pytest.importorskip("psychrolib")
    psychrolib.SetUnitSystem(psychrolib.SI)
    for altitude in (0.0, 800.0, 2600.0, 4500.0):
        p = float(psychrolib.GetStandardAtmPressure(altitude))
        assert pressure_Pa(altitude) == pytest.approx(p, rel=1e-4)
        ratio = float(psychrolib.GetHumRatioFromRelHum(25.0, 0.6, p))
        assert float(w.humidity_ratio(0.6 * float(w.saturation_Pa(25.0)), p)) == pytest.approx(ratio, rel=1e-3)


@pytest.mark.parametrize(
    "row", [r for r in rows("bath_air_convection.csv") if r["case"] == "dry_air_1atm"], ids=lambda r: r["T_C"]
)
def test_dry_air_agrees_with_coolprop(row: dict[str, str]) -> None:
    T = float(row["T_C"])
    # Sutherland's formulas with textbook constants are good to about 1 %.
    assert float(w.air_viscosity_Pa_s(T)) == pytest.approx(float(row["mu_Pa_s"]), rel=1e-2)
    assert float(w.air_conductivity_W_mK(T)) == pytest.approx(float(row["k_W_mK"]), rel=1e-2)
    assert float(w.air_prandtl(T)) == pytest.approx(float(row["Pr"]), rel=1e-2)


@pytest.mark.parametrize(("altitude_m", "boils_C"), [(0, 100.0), (500, 98.3), (1000, 96.7), (2000, 93.3), (3000, 90.0)])
def test_boiling_points_of_the_standard_atmosphere(altitude_m: float, boils_C: float, measured: Measure) -> None:
    """Source: common tables of boiling point against altitude; values from memory, printed to about 0.1 C."""
    ours_C = at_altitude(altitude_m).boiling_C.nominal
    assert ours_C == pytest.approx(boils_C, abs=0.15)
    measured("bath", "boiling at altitude, 0 to 3000 m", ours_C, boils_C, unit="K", source="common tables (memory)")


def test_the_hut_at_2600_m() -> None:
    """Source: scenario of a hut at 2,600 m, by hand from the steam table: boils near 91.4 C, 85 to 87 C advised."""
    here = at_altitude(2600.0)
    assert here.boiling_C.nominal == pytest.approx(91.4, abs=0.2)
    assert 85.0 <= here.highest_set_point_C <= 87.0
    assert boiling_finding(90.0, 2600.0).verdict is Verdict.NOT_MET
    assert boiling_finding(86.0, 2600.0).verdict is Verdict.MET
