"""Chilling against exact chill times, heat balances, measured joints, an independent model and printed limits.

The measured joints are James and James (2002), Meat Refrigeration, Table 16.7: start, contact and composition
are not given there, so agreement within about 30 % is the most they can show.
"""

from __future__ import annotations

import csv
from datetime import date
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from tests.published.measuring import Measure

from corebath.chill.cool import chill
from corebath.chill.ice import ice_needed, melted_kg
from corebath.chill.keep import keep
from corebath.chill.reheat import reheat
from corebath.chill.runs import Around, Runs, runs
from corebath.chill.tables import keeping_rules, settings
from corebath.food.catalogue import catalogue
from corebath.food.freezing import freezing_table
from corebath.food.properties import conductivity_W_mK, density_kg_m3, specific_heat_J_kgK
from corebath.heat.body import Body, Shape
from corebath.heat.engine import Thermal
from corebath.heat.material import Material
from corebath.safety.authority import Authority
from corebath.safety.subject import Subject

REFERENCE = Path(__file__).parents[1] / "reference"
MIN = 60.0


def rows(name: str) -> list[dict[str, str]]:
    return list(csv.DictReader((REFERENCE / name).read_text(encoding="utf-8").splitlines()))


@cache
def thermal(food: str) -> Thermal:
    comp = catalogue()[food].composition
    warm = Material(conductivity_W_mK(comp, 35.0), density_kg_m3(comp, 35.0), specific_heat_J_kgK(comp, 35.0))
    return Thermal(warm, freezing_table(comp, catalogue()[food].initial_freezing_C))


@pytest.mark.parametrize(("index", "thickness_mm", "h"), [(0, 25, 300), (1, 50, 300), (2, 25, 100)])
def test_exact_slab_chill_times(index: int, thickness_mm: int, h: int, measured: Measure) -> None:
    row = [r for r in rows("chill_ice.csv") if r["item"] == "slab core chill time"][index]
    assert row["conditions"].startswith(f"{thickness_mm} mm")
    stuff = Thermal(Material(0.5, 1000.0, 0.5 / 1.3e-7 / 1000), thermal("beef-topside").frozen)
    around = Around(0.5, float(h))
    made = runs(Body(Shape.SLAB, thickness_mm / 1000), stuff, 60.0, "ice", (around,) * 3, (4.0,))
    found = made.reach(4.0).nominal_s
    assert found is not None
    assert found / MIN == pytest.approx(float(row["value"]), rel=5e-4)  # rows of the history, four digits printed
    measured("chill", "chill times of a slab", found / MIN, float(row["value"]), unit="min", source="exact series")


@pytest.mark.parametrize(
    ("index", "food_kg", "cp", "from_C", "to_C", "water_kg", "water_C", "end_C"),
    [(0, 1.0, 3500, 60, 4, 4.0, 15, 2), (1, 2.0, 3500, 60, 4, 6.0, 20, 2), (2, 0.5, 3400, 55, 3, 3.0, 10, 0)],
)
def test_ice_heat_balance(
    index: int, food_kg: float, cp: float, from_C: float, to_C: float, water_kg: float, water_C: float, end_C: float
) -> None:
    row = [r for r in rows("chill_ice.csv") if r["item"] == "ice needed"][index]
    need = ice_needed(
        food_kg=food_kg,
        food_cp_J_kgK=cp,
        from_C=from_C,
        to_C=to_C,
        water_kg=water_kg,
        water_C=water_C,
        end_C=end_C,
    )
    assert need.melts_kg == pytest.approx(float(row["value"]), abs=5e-4)


def test_latent_heat_is_the_one_of_the_water_tables() -> None:
    row = rows("chill_ice.csv")[0]
    assert melted_kg(1000 * float(row["value"]), 0.0) == pytest.approx(1.0, abs=1e-6)


BODIES = {
    "slab50": Body(Shape.SLAB, 0.05),
    "forequarter": Body(Shape.CYLINDER, 0.11),
    "roast_air_1ms": Body(Shape.BRICK, 0.13, 0.16, 0.33),
    "roast_air_2ms": Body(Shape.BRICK, 0.13, 0.16, 0.33),
}
# Low, nominal and high coefficient: water as in the room's data; moving air around 22 at 1.2 m/s (textbook
# problem) by judgement, no source.
CONTACT = {
    "water": (95.0, 150.0, 300.0),
    "air 1 m/s": (12.0, 20.0, 28.0),
    "air 1.2 m/s": (15.0, 22.0, 30.0),
    "air 2 m/s": (15.0, 25.0, 35.0),
}
MEASURED = [row for row in rows("conduction_measured_cooling.csv") if row["case"] in BODIES]


@cache
def cooled(case: str, medium: str, medium_C: float) -> Runs:
    low, nominal, high = CONTACT[medium]
    cases = (Around(medium_C, high), Around(medium_C, nominal), Around(medium_C, low))
    return runs(BODIES[case], thermal("beef-topside"), 75.0, "cooling", cases, (70.0, 50.0, 12.0, 10.0, 8.0, 5.0))


def ratio(row: dict[str, str], case: str) -> float:
    made = cooled(row["case"], row["medium"], float(row["medium_degC"]))
    first, last = (getattr(made.reach(float(row[end])), f"{case}_s") for end in ("from_degC", "to_degC"))
    return float((last - first) / 3600 / float(row["time_h"]))


def test_measured_joints_within_what_they_can_show(measured: Measure) -> None:
    """Computed over measured, nominal: mean 1.12, rms of the deviation 29 %, 0.66 to 1.55 over 18 rows.

    Too slow by half: the 50 mm slab in moving air, whose edges are left out here (it weighed 0.94 kg). Too
    quick by a third: the 110 mm rolled joint in water, taken as an endless cylinder. Neither is tuned away.
    """
    nominal = np.array([ratio(row, "nominal") for row in MEASURED])
    assert nominal.size == 18
    what, source = "measured joints in water and air", "James and James (2002), Meat Refrigeration, Table 16.7"
    measured("chill", what, nominal, 1.0, ratio=True, source=source)
    assert float(nominal.mean()) == pytest.approx(1.0, abs=0.15)
    assert float(np.sqrt(np.mean((nominal - 1) ** 2))) < 0.30
    assert nominal.min() > 0.6
    assert nominal.max() < 1.6


def test_measured_slab_in_ice_water_lies_between_quick_and_cautious() -> None:
    for row in MEASURED:
        if row["case"] == "slab50" and row["medium"] == "water":
            assert ratio(row, "quick") < 1 < ratio(row, "cautious")


def test_week_of_lunches_lies_in_the_bands_of_an_independent_model() -> None:
    """Ten breasts of 38 mm from 62 degC; bands from an independent conduction model, for judging only."""
    bands_min = {21.0: (27, 42), 5.0: (60, 95), 3.0: (70, 115)}
    body, food = Body(Shape.SLAB, 0.038), thermal("chicken-breast")
    for where in ("ice-water-still", "ice-water-stirred"):
        answer = chill(body, food, 62.0, where, Subject("chicken"), Authority.US)
        for level, (low, high) in bands_min.items():
            found = answer.runs.reach(level).nominal_s
            assert found is not None
            assert low <= found / MIN <= high
    again = reheat(body, food, 7.0, 60.0, Subject("chicken"), Authority.US, cooked_C=62.0, pasteurised=True)
    found = again.runs.reach(50.0).nominal_s
    assert found is not None
    assert 40 <= found / MIN <= 57
    ice = ice_needed(
        food_kg=3.2, food_cp_J_kgK=food.warm.cp_J_kgK, from_C=62, to_C=5, water_kg=6, water_C=0, chill_s=6000
    )
    assert ice.melts_kg == pytest.approx(2.0, abs=0.05)
    assert ice.plan_low_kg < 4.0 < ice.plan_high_kg
    warm = keep(Authority.US, fridge_C=7.0, pasteurised=True)
    assert warm.use_by(date(2027, 1, 3)) == date(2027, 1, 5)  # Sunday's batch: freeze from day three


@pytest.mark.parametrize(
    ("rule", "temperature", "key"),
    [
        ("Food Code 3-502.12(D), 2013 on (2017, 2022)", "5", "food-code-7d"),
        ("Food Code 3-502.12(D) cook-chill/sous vide, 2009", "1", "food-code-34f"),
        ("Food Code 3-501.17 opened/ready-to-eat date marking", "5", "food-code-opened"),
        ("Victoria class 2 sous vide supplement", "5", "victoria-5d"),
        ("UK FSA vacuum/MAP guidance, non-proteolytic C. botulinum", "3 to 8", "uk-10d"),
        ("Baldwin 2012 review (after non-sporicidal pasteurisation)", "<2.5", "review-90d"),
        ("Baldwin 2012 review", "<3.3", "review-31d"),
        ("Baldwin 2012 review", "<5", "review-10d"),
        ("Baldwin 2012 review", "<7", "review-5d"),
    ],
)
def test_keeping_days_are_the_printed_ones(rule: str, temperature: str, key: str) -> None:
    # The 72 h rows of 2009 were replaced by seven days in 2013, so they are not held.
    row = next(r for r in rows("chill_storage_limits.csv") if r["rule"] == rule and r["storage_temp_C"] == temperature)
    held = next(r for r in keeping_rules() if r.key == key)
    assert held.days == int(row["max_days"])
    assert held.at_most_C == pytest.approx(float(temperature.split()[-1].strip("<")), abs=0.002)


def test_hot_holding_reheat_is_the_food_codes() -> None:
    row = next(r for r in rows("safety_food_code.csv") if r["section"] == "3-403.11" and r["temp_F"] == "165")
    held = settings()["hot_holding"]["US"]
    assert (held["temperature_C"], held["hold_s"]) == (float(row["temp_C"]), float(row["time_s"]))
