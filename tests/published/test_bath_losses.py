"""What a bath loses, against tables of open tanks, textbook problems, and general heat-transfer libraries.

Ratios found, ours / theirs (nominal):
- US DOE tip sheet 19 (evaporation, dry air, 43 to 88 C), 20 rows: 0.91 to 1.21, mean 1.03; against the rows of the
  coolest air 1.02, 1.01, 0.97 and 0.91 at 43, 54, 77 and 88 C. The high ratios are the rows with air nearly as
  warm as the water, where the table falls faster than free convection does.
- Engineering table (evaporation, 60 F still air; humidity not printed, 50 % taken), 9 rows: 0.91 to 1.24. It calls
  itself a rough estimate. The rows at both ends (32 C: 1.20, 93 C: 1.24) lie outside 20 %.
"""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np
import pytest
from tests.published.measuring import Measure

from corebath.bath import water as w
from corebath.bath.cover import Cover
from corebath.bath.gear import Bath, Room
from corebath.bath.heater import Heater
from corebath.bath.losses import losses, open_surface, radiation_W_m2, wall_convection_W_m2K
from corebath.bath.vessel import Vessel

REFERENCE = Path(__file__).parents[1] / "reference"
# The engineering table prints no humidity: 50 % is ours.
TANK_m2, TANK_ROUND_m = 3.716, 2 * (1.219 + 3.048)


def rows(name: str) -> list[dict[str, str]]:
    with (REFERENCE / name).open(encoding="utf-8") as lines:
        return list(csv.DictReader(lines))


@pytest.mark.parametrize(
    "row", rows("bath_evaporation_cases.csv"), ids=lambda r: f"{r['T_water_C']}-{r['RH']}-{r['L_m']}"
)
def test_small_baths_against_coolprop_and_ht(row: dict[str, str], measured: Measure) -> None:
    """The same physics with other people's properties and Nusselt numbers: agrees to 1.5 %."""
    length, width = float(row["L_m"]), float(row["W_m"])
    room = Room(float(row["T_air_C"]), float(row["RH"]))
    got = open_surface(np.array([float(row["T_water_C"])]), room, length * width, 2 * (length + width))
    assert got.h_conv_W_m2K[0] == pytest.approx(float(row["h_conv_W_m2K"]), rel=5e-3)
    assert got.h_mass_m_s[0] == pytest.approx(float(row["h_m_m_s"]), rel=5e-3)
    assert got.evaporation_kg_m2s[0] * 3600 == pytest.approx(float(row["evap_low_rate_kg_m2h"]), rel=1.5e-2)
    assert got.stefan[0] == pytest.approx(float(row["stefan_factor"]), rel=1e-4)
    # Another correlation altogether (Shah), within the stated 20 %.
    assert got.evaporation_kg_m2s[0] * 3600 == pytest.approx(float(row["evap_shah_C35_kg_m2h"]), rel=0.2)
    hourly = got.evaporation_kg_m2s[0] * 3600
    other = "computed with CoolProp and ht, general libraries"
    what = "evaporation of small baths, the same physics with other properties"
    measured("bath", what, hourly, float(row["evap_low_rate_kg_m2h"]), ratio=True, source=other)
    what = "evaporation of small baths, another correlation (Shah)"
    measured("bath", what, hourly, float(row["evap_shah_C35_kg_m2h"]), ratio=True, source=other)


def tank_ratio(row: dict[str, str], humidity: float) -> float:
    T = float(row["T_water_C"])
    got = open_surface(np.array([T]), Room(float(row["T_air_C"]), humidity), TANK_m2, TANK_ROUND_m)
    return float(got.evaporation_kg_m2s[0]) * float(w.latent_heat_J_kg(T)) / float(row["value_W_m2"])


def tank_rows(source: str) -> list[dict[str, str]]:
    tanks = rows("bath_open_tanks.csv")
    return [r for r in tanks if r["quantity"] == "evaporative_loss_open_tank" and source in r["source"]]


def test_evaporation_against_the_doe_table(measured: Measure) -> None:
    ratios = {(r["T_water_F"], r["T_air_F"]): tank_ratio(r, 0.0) for r in tank_rows("DOE")}
    assert len(ratios) == 20
    source = "US DOE, Energy Tips: Steam, tip sheet 19"
    measured("bath", "evaporation of open tanks", [*ratios.values()], 1.0, ratio=True, source=source)
    within = [key for key, ratio in ratios.items() if abs(ratio - 1) <= 0.2]
    # Disagrees: 110 F water under 105 F air (1.21); the water is warmer than dry air by 3 K and only vapour drives.
    assert set(ratios) - set(within) == {("110", "105")}
    assert np.mean(list(ratios.values())) == pytest.approx(1.03, abs=0.01)
    assert max(ratios.values()) < 1.22


def test_evaporation_against_the_engineering_table(measured: Measure) -> None:
    ratios = {r["T_water_F"]: tank_ratio(r, 0.5) for r in tank_rows("Engineering")}
    outside = {key for key, ratio in ratios.items() if abs(ratio - 1) > 0.2}
    source = "an engineering table that calls itself rough; humidity of 50 % taken"
    measured("bath", "evaporation of open tanks, still air", [*ratios.values()], 1.0, ratio=True, source=source)
    # Disagrees at 90 F (1.20) and 200 F (1.24): the table rounds to 10 Btu/h ft2 and calls itself rough.
    assert outside <= {"90", "200"}
    assert np.mean(list(ratios.values())) == pytest.approx(1.05, abs=0.02)


@pytest.mark.parametrize("row", [r for r in rows("bath_open_tanks.csv") if r["quantity"] == "wall_loss_bare_steel"])
def test_bare_walls_against_the_engineering_table(row: dict[str, str], measured: Measure) -> None:
    """The table's steel is dull (emissivity not printed, 0.9 taken) and its height unknown (0.6 m taken): with
    those, 0.97 to 1.02 of the table."""
    T, air = float(row["T_water_C"]), float(row["T_air_C"])
    convection = float(wall_convection_W_m2K(np.array([T]), Room(air), 0.6)[0]) * (T - air)
    got = convection + float(radiation_W_m2(np.array([T]), air, 0.9)[0])
    assert got == pytest.approx(float(row["value_W_m2"]), rel=0.05)
    source = "an engineering table; emissivity 0.9 and 0.6 m taken"
    measured("bath", "heat through bare walls", got, float(row["value_W_m2"]), ratio=True, source=source)


@pytest.mark.parametrize("rayleigh", [1e5, 1e6, 1e8, 1e9])
def test_nusselt_numbers_against_ht(rayleigh: float) -> None:
    """Source: ht 1.2.0, a general library; the same named correlations, so they agree to its printed digits."""
    ht = pytest.importorskip("ht")
    room, height = Room(20.0), 0.3
    outer = np.array([60.0])
    film = (outer + room.air_C) / 2
    prandtl = float(w.air_prandtl(film)[0])
    nu = float(w.air_kinematic_viscosity_m2_s(film, room.pressure_Pa)[0])
    height = float((rayleigh / prandtl * nu**2 / (9.80665 * 40.0 / (film[0] + w.ZERO_C_K))) ** (1 / 3))
    got = float(wall_convection_W_m2K(outer, room, height)[0]) * height / float(w.air_conductivity_W_mK(film)[0])
    assert got == pytest.approx(ht.Nu_vertical_plate_Churchill(prandtl, rayleigh / prandtl), rel=1e-4)


def test_heated_bath_with_sheet_metal_sides() -> None:
    """Source: Cengel & Ghajar 9-44 (statement read); the printed answer was not found: derived with ht, 5 %."""
    printed = {
        r["quantity"]: float(r["value"]) for r in rows("bath_worked_examples.csv") if r["example"] == "Cengel9-44"
    }
    room, sides = Room(20.0), 2 * (3.5 + 1.0) * 0.5
    h = float(wall_convection_W_m2K(np.array([55.0]), room, 0.5)[0])
    assert h == pytest.approx(printed["h_conv (Churchill-Chu, ht 1.2.0)"], rel=0.05)
    radiation = float(radiation_W_m2(np.array([55.0]), 20.0, 0.7)[0]) * sides
    assert radiation == pytest.approx(printed["radiation, 4 sides"], rel=1e-3)
    assert h * 35 * sides + radiation == pytest.approx(printed["total"], rel=0.05)


def test_pool_under_a_cold_sky() -> None:
    """Source: Cengel & Ghajar 14-152 (statement read), derived to 0.1 %; emissivity 0.95 as there."""
    got = float(radiation_W_m2(np.array([30.0]), 0.0, 0.95)[0]) * 400
    assert got == pytest.approx(62031.0, rel=1e-3)


def test_pan_of_water_scales_with_vapour_density() -> None:
    """Source: Incropera 6.53: 23 C to 47 C at one coefficient, dry air: 1.5e-5 becomes 5.256e-5 kg/s, 2 %."""
    ratio = float(w.vapour_density_kg_m3(47.0) / w.vapour_density_kg_m3(23.0))
    assert 1.5e-5 * ratio == pytest.approx(5.256e-5, rel=0.02)


def test_bowen_ratio() -> None:
    """Source: Bowen 1926: 0.46 (Tw - Ta) / (pw - pa), C and mmHg: 0.1306 at 60/20 C, 50 %; ours 0.142, 9 % above.

    The gap is the Lewis number (0.46 stands for its power taken as 1) and the Stefan factor left out: README value.
    """
    got = open_surface(np.array([60.0]), Room(20.0, 0.5), 0.15, 1.6)
    ratio = got.convection_W_m2[0] / (got.evaporation_kg_m2s[0] * float(w.latent_heat_J_kg(60.0)))
    assert ratio == pytest.approx(0.1306, rel=0.12)


@pytest.mark.parametrize("T", [55.0, 66.0])
def test_floating_balls_save_what_was_measured(T: float, measured: Measure) -> None:
    """Source: Pousa Neto and others: one layer of 25 mm balls saved 85 % of the heat, 50 L tank, 55 to 66 C (read).

    Taken as the heat through the surface. Ours 83 to 85 %, from geometry and the air in the balls, not fitted.
    """
    vessel = Vessel.rectangular(0.5, 0.4, 0.3)
    open_bath = Bath.filled(vessel, 50.0, Heater(2000, 0.1, 0.28), Cover.named("none"), Room())
    bare, kept = losses(open_bath, T), losses(open_bath.with_cover(Cover.named("balls")), T)

    def surface(of: object) -> float:
        return float(sum(getattr(of, f"{part}_W") for part in ("evaporation", "convection", "radiation", "cover")))

    saved = 1 - surface(kept) / surface(bare)
    assert saved == pytest.approx(0.85, abs=0.04)
    source = "Pousa Neto and others, a 50 L tank"
    measured("bath", "heat saved by floating balls", 100 * saved, 85.0, unit="points", source=source)
