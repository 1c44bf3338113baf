"""Salt diffusion against the exact series of the plane sheet, and doses against plain arithmetic.

Sources stand in the rows: Crank (1975) ch. 4 for the series, which tests code and not nature.
"""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np
import pytest
from tests.published.measuring import Measure

from corebath.heat.body import Body, Shape
from corebath.salt.diffusion import Uptake, core_reaches, salt_field
from corebath.salt.dose import dose
from corebath.salt.tables import diffusivity

REFERENCE = Path(__file__).parents[1] / "reference"
D = 5e-10
HALF_m = 0.0125
SLAB = Body(Shape.SLAB, 2 * HALF_m)


def rows(name: str) -> list[dict[str, str]]:
    return list(csv.DictReader((REFERENCE / name).read_text(encoding="utf-8").splitlines()))


@pytest.mark.parametrize("row", rows("salt_slab_exact.csv"), ids=lambda r: r["Fo_Dt_over_L2_half_thickness"])
def test_plane_sheet(row: dict[str, str], measured: Measure) -> None:
    time = np.array([float(row["Fo_Dt_over_L2_half_thickness"]) * HALF_m**2 / D])
    held, once = (salt_field(SLAB, D, time, uptake) for uptake in (Uptake.HELD, Uptake.ONCE))
    # Grid of 200 shells: the surface value of a one-off dose is within 0.1 % at the earliest row.
    assert held.mean[0] == pytest.approx(float(row["fraction_taken_up_const_surface"]), abs=2e-4)
    assert held.core[0] == pytest.approx(float(row["centre_const_surface"]), abs=1e-4)
    assert once.core[0] == pytest.approx(float(row["centre_over_mean_surface_dose"]), abs=1e-4)
    assert once.surface[0] == pytest.approx(float(row["surface_over_mean_surface_dose"]), rel=1e-3)
    uptake, core = float(row["fraction_taken_up_const_surface"]), float(row["centre_over_mean_surface_dose"])
    source = "Crank (1975), ch. 4, plane sheet"
    measured("salt", "salt taken up from a surface held", held.mean[0], uptake, unit="1", source=source)
    measured("salt", "core over mean of a dose laid on once", once.core[0], core, unit="1", source=source)


@pytest.mark.parametrize(("thickness_m", "index"), [(0.025, 0), (0.05, 1)])
def test_time_to_level(thickness_m: float, index: int) -> None:
    row = rows("salt_arithmetic.csv")[index]
    share = 0.896468  # centre over mean at Dt/L^2 = 0.3, exact series in salt_slab_exact.csv
    hours = core_reaches(Body(Shape.SLAB, thickness_m), D, share, Uptake.ONCE) / 3600
    assert hours == pytest.approx(float(row["value"]), rel=3e-4)


def test_dose_arithmetic() -> None:
    brine, dry = rows("salt_arithmetic.csv")[2:4]
    assert dose(1.0, 1.5, water_kg=1.0).of_meat_and_water_kg * 1000 == pytest.approx(float(brine["value"]))
    assert dose(1.0, 1.5, water_kg=1.0).of_everything_kg * 1000 == pytest.approx(30.46, abs=0.005)
    assert dose(0.8, 1.0).of_meat_kg * 1000 == pytest.approx(float(dry["value"]))


def test_cylinder_held_surface_against_the_bessel_series() -> None:
    from scipy.special import j1, jn_zeros  # independent of the engine: Crank (1975) ch. 5

    zeros = jn_zeros(0, 60)
    for fourier in (0.05, 0.2, 0.5):
        time = np.array([fourier * 0.03**2 / D])
        centre = 1 - 2 * float(np.sum(np.exp(-(zeros**2) * fourier) / (zeros * j1(zeros))))
        field = salt_field(Body(Shape.CYLINDER, 0.06), D, time, Uptake.HELD)
        assert field.core[0] == pytest.approx(centre, abs=1e-4)


@pytest.mark.parametrize(
    ("kind", "start"), [("pork", "pork longissimus"), ("beef", "beef"), ("fish", "fish, flesh side")]
)
def test_diffusivities_are_the_published_ones(kind: str, start: str) -> None:
    row = next(r for r in rows("salt_diffusion.csv") if r["food"].startswith(start))
    found = diffusivity(kind)
    assert found is not None
    assert (found.low_m2_s, found.high_m2_s) == (float(row["D_low_m2_s"]), float(row["D_high_m2_s"]))


def test_high_pressure_poultry_value_is_not_used() -> None:
    # 2.96e-8 m2/s was measured at 150 MPa and lies above salt in plain water: not ordinary brining.
    row = next(r for r in rows("salt_diffusion.csv") if r["food"] == "chicken breast")
    assert float(row["D_high_m2_s"]) > 1.61e-9
    assert diffusivity("chicken") is None
