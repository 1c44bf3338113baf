"""Whole problems from textbooks, a printed table of heating times, and measured cooling and heating.

Sources and the way each figure was had (`read`, `memory`, `computed`) stand in the rows of the tables.
"""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.optimize import brentq
from tests.published.measuring import Measure

from corebath.food.composition import Composition
from corebath.food.freezing import freezing_table
from corebath.heat.body import Body, Shape
from corebath.heat.conduction import cook
from corebath.heat.engine import Thermal, simulate
from corebath.heat.history import History
from corebath.heat.material import Material
from corebath.heat.stage import Stage

REFERENCE = Path(__file__).parents[1] / "reference"


def rows(name: str) -> list[dict[str, str]]:
    return list(csv.DictReader((REFERENCE / name).read_text(encoding="utf-8").splitlines()))


WORKED = {row["case"]: row for row in rows("conduction_worked.csv")}


def body_of(row: dict[str, str]) -> Body:
    thickness_m = float(row["thickness_m"])
    if row["shape"] == "finite cylinder":
        return Body(Shape.SHORT_CYLINDER, thickness_m, None, float(row["length_m"]))
    return Body(Shape.SLAB if row["shape"] == "slab" else Shape.BALL, thickness_m)


def solved(row: dict[str, str], duration_s: float, h_W_m2K: float | None = None) -> History:
    k, alpha = float(row["k_W_mK"]), float(row["alpha_m2_s"])
    h = float(row["h_W_m2K"]) if h_W_m2K is None else h_W_m2K
    stage = Stage.constant("bath", duration_s, float(row["Tb_degC"]), h)
    return cook(body_of(row), Material(k, 1000.0, k / alpha / 1000.0), float(row["T0_degC"]), [stage]).history


def falls_to(time_s: NDArray[np.float64], values: NDArray[np.float64], level: float) -> float:
    return float(np.interp(-level, -values, time_s))


@pytest.mark.parametrize(
    ("case", "core_C", "unit_s"),
    [("egg_boil", 70.0, 1.0), ("egg_5p5cm_b", 60.0, 60.0), ("egg_5p5cm_c", 74.0, 60.0), ("hot_dog_boil", 80.0, 1.0)],
)
def test_time_to_heat(case: str, core_C: float, unit_s: float, measured: Measure) -> None:
    history = solved(WORKED[case], 2400.0)
    time_s, exact_s = history.first_core_above(core_C), float(WORKED[case]["series"]) * unit_s
    assert time_s is not None
    assert time_s == pytest.approx(exact_s, rel=1e-3)
    measured("heat", "textbook heating times", time_s, exact_s, ratio=True, source="exact series of textbook problems")


def test_boiled_egg_as_printed() -> None:
    # The book rounds Fo to 0.209 and prints 865 s: 0.4 % above the series.
    time_s = solved(WORKED["egg_boil"], 2400.0).first_core_above(70.0)
    assert time_s == pytest.approx(float(WORKED["egg_boil"]["printed"]), rel=0.005)


def test_chilled_steak() -> None:
    row = WORKED["steak_chill"]
    history = solved(row, 9000.0)
    time_s = falls_to(history.time_s, history.surface_C, 2.0)
    assert time_s == pytest.approx(float(row["series"]), rel=1e-3)
    assert time_s == pytest.approx(float(row["printed"]), rel=1e-3)


def test_apple_in_cold_water() -> None:
    row = WORKED["apple_water"]
    history = solved(row, 6000.0)
    assert falls_to(history.time_s, history.core_C, 3.0) == pytest.approx(float(row["series"]), rel=1e-3)


def test_surface_coefficient_that_spares_the_steak() -> None:
    row = WORKED["steak_frostbite"]

    def core_when_surface_is_at_2(h: float) -> float:
        history = solved(row, 20_000.0, h)
        return float(np.interp(-2.0, -history.surface_C, history.core_C)) - 8.0

    h = brentq(core_when_surface_is_at_2, 8.0, 60.0, xtol=1e-3)
    assert h == pytest.approx(float(row["series"]), abs=0.05)
    assert h == pytest.approx(float(row["printed"]), abs=0.5)  # printed to the whole number


def test_rib_roast_disagrees_with_the_printed_one_term_answer(measured: Measure) -> None:
    # Printed 156.9 W/m2K: one term of the series at Fo = 0.12, where one term does not hold. The whole series
    # gives 93.4, and an exact solver must side with it.
    row, seconds = WORKED["rib_roast"], 2.75 * 3600
    h = brentq(lambda h: float(solved(row, seconds, h).core_C[-1]) - 60.0, 50.0, 200.0, xtol=1e-3)
    assert h == pytest.approx(float(row["series"]), abs=0.3)
    assert abs(h - float(row["printed"])) > 50
    what = "rib roast, surface coefficient printed from one term of the series at Fo 0.12: recorded, not matched"
    measured("heat", what, h, float(row["printed"]), ratio=True, source=row["source"])
    # With that h the second question agrees with the printed 3 h to 3 %.
    to_medium_s = solved(row, 5 * 3600, h).first_core_above(71.0)
    assert to_medium_s == pytest.approx(float(WORKED["rib_roast_medium"]["series"]) * 3600, rel=3e-3)
    assert to_medium_s == pytest.approx(float(WORKED["rib_roast_medium"]["printed"]) * 3600, rel=0.03)


def test_chicken_in_brine_with_and_without_freezing() -> None:
    row, seconds = WORKED["chicken_brine"], 2.75 * 3600
    core_C = float(solved(row, seconds).core_C[-1])
    assert core_C == pytest.approx(float(row["series"]), abs=0.01)
    # The problem ignores freezing, though the surface passes below any freezing point. With ice the core
    # must lag behind: composition of raw chicken, value from memory.
    k, alpha = float(row["k_W_mK"]), float(row["alpha_m2_s"])
    table = freezing_table(Composition.normalised(water_g=66, protein_g=19, fat_g=14, ash_g=1), -2.8)
    thermal = Thermal(Material(k, 1000.0, k / alpha / 1000.0), table)
    brine = Stage.constant("brine", seconds, float(row["Tb_degC"]), float(row["h_W_m2K"]))
    with_ice_C = simulate(body_of(row), thermal, float(row["T0_degC"]), [brine]).history.core_C[-1]
    assert with_ice_C > core_C + 0.5


def test_short_brass_cylinder() -> None:
    row, top = WORKED["brass_short_cylinder"], WORKED["brass_short_cylinder_top"]
    k, alpha = float(row["k_W_mK"]), float(row["alpha_m2_s"])
    air = Stage.constant("air", 900.0, float(row["Tb_degC"]), float(row["h_W_m2K"]))
    cooked = cook(body_of(row), Material(k, 1000.0, k / alpha / 1000.0), float(row["T0_degC"]), [air])
    assert cooked.history.core_C[-1] == pytest.approx(float(row["series"]), abs=0.02)
    assert cooked.history.core_C[-1] == pytest.approx(float(row["printed"]), abs=1.0)  # read off a chart
    # Shell nearest to the middle of the top; half a shell of brass away from it is nothing.
    assert cooked.field_C[0, -1] == pytest.approx(float(top["series"]), abs=0.02)
    assert cooked.field_C[0, -1] == pytest.approx(float(top["printed"]), abs=1.0)


@pytest.mark.parametrize(
    ("column", "shape", "mean", "rms", "largest"),
    [
        ("slab_like_min", "slab", (-0.01, 0.01), 0.035, 0.075),
        ("cylinder_like_min", "bar", (-0.045, -0.02), 0.065, 0.14),
        ("sphere_like_min", "cube", (-0.085, -0.055), 0.09, 0.16),
        # A circular cylinder and a ball are done sooner than the columns named after them: the columns are
        # a plain equation between slab and ball, and behave like a square bar and a cube.
        ("cylinder_like_min", "cylinder", (-0.17, -0.14), 0.17, 0.23),
        ("sphere_like_min", "ball", (-0.29, -0.26), 0.29, 0.35),
    ],
)
def test_table_of_heating_times(
    column: str, shape: str, mean: tuple[float, float], rms: float, largest: float, measured: Measure
) -> None:
    """Time to half a degree below a 60 degC bath from 5 degC, alpha 1.4e-7 m2/s, h 95, k 0.48 assumed.

    The table holds for baths of 45 to 80 degC alike and rounds to 5 or 15 min, so a few percent is its floor.
    The row of 5 mm is left out: its 5 min would need 1.7 times the heat flow of all the others. Model over
    printed, mean, rms, largest: slab 0.0, 2.9, 6.7 %; bar -3.8, 6.1, 13.5 %; cube -7.6, 8.8, 15.0 %;
    circular cylinder -15.8, 16.1, 22.1 %; ball -27.9, 28.2, 33.7 %.
    """
    material = Material(0.48, 1000.0, 0.48 / 1.4e-7 / 1000.0)
    errors = []
    for row in rows("conduction_review_times.csv"):
        thickness_m = float(row["thickness_mm"]) / 1000
        if not row[column] or thickness_m < 0.01:
            continue
        body = {
            "slab": Body(Shape.SLAB, thickness_m),
            "cylinder": Body(Shape.CYLINDER, thickness_m),
            "ball": Body(Shape.BALL, thickness_m),
            "bar": Body(Shape.BAR, thickness_m, thickness_m),
            "cube": Body(Shape.BRICK, thickness_m, thickness_m, thickness_m),
        }[shape]
        bath = Stage.constant("bath", 12 * 3600.0, 60.0, 95.0)
        time_s = cook(body, material, 5.0, [bath]).history.first_core_above(59.5)
        assert time_s is not None
        errors.append(time_s / (float(row[column]) * 60) - 1)
        what = f"heating times, {column.removesuffix('_like_min')} column, as a {shape}"
        measured("heat", what, time_s / 60, float(row[column]), ratio=True, source=f"{row['source']} (memory)")
    off = np.array(errors)
    assert off.size >= 9
    assert mean[0] < off.mean() < mean[1]
    assert np.sqrt(np.mean(off**2)) < rms
    assert np.abs(off).max() < largest


def air_h(speed_m_s: float) -> float:
    """22 W/m2K at 1.2 m/s is a textbook's problem statement; its growth with speed, value from memory."""
    return 22.0 * float(np.sqrt(speed_m_s / 1.2))


FOREQUARTER = Body(Shape.SHORT_CYLINDER, 0.11, None, 0.265)  # 2.7 kg at 1070 kg/m3
SLAB_50 = Body(Shape.BRICK, 0.05, 0.1325, 0.1325)  # 0.94 kg at 1070 kg/m3, taken as square
ROAST, HAM = Body(Shape.BRICK, 0.13, 0.16, 0.33), Body(Shape.BRICK, 0.12, 0.12, 0.40)
DAY_s = 86_400.0
COOLED: dict[tuple[str, str], tuple[Body, list[Stage]]] = {
    ("slab50", "air"): (SLAB_50, [Stage.constant("air", DAY_s, 0.0, air_h(1.2))]),
    ("slab50", "water"): (SLAB_50, [Stage.constant("water", DAY_s, 0.0, 150.0)]),
    ("forequarter", "air"): (FOREQUARTER, [Stage.constant("air", DAY_s, 0.0, air_h(1.2))]),
    ("forequarter", "water"): (FOREQUARTER, [Stage.constant("water", DAY_s, 0.0, 150.0)]),
    ("roast_air_2ms", "air"): (ROAST, [Stage.constant("air", DAY_s, 1.0, air_h(2.0))]),
    ("roast_air_1ms", "air"): (ROAST, [Stage.constant("air", DAY_s, 1.0, air_h(1.0))]),
    ("ham_log_shower", "18"): (
        HAM,
        [Stage.constant("spray", 1800.0, 18.0, 150.0), Stage.constant("air", DAY_s, 0.0, air_h(3.0))],
    ),
}


def test_measured_cooling_of_cooked_joints(measured: Measure) -> None:
    """30 % is the most these rows can show: start field, h, composition and evaporation are not given.

    Assumed: 75 degC throughout at the start, alpha 1.3e-7 m2/s, k 0.48, h of 150 in water and as above in
    air. The boned turkey is left out, for no size is given. Ratio of model to measurement over 23 rows:
    median 1.04, from 0.65 to 1.60; the largest is the first 0.6 h of the sprayed ham, printed to 0.1 h.
    """
    material = Material(0.48, 1000.0, 0.48 / 1.3e-7 / 1000.0)
    ratios = []
    for row in rows("conduction_measured_cooling.csv"):
        if row["case"] == "turkey":
            continue
        body, stages = COOLED[row["case"], row["medium"].split()[0]]
        history = cook(body, material, 75.0, stages).history
        spent_s = falls_to(history.time_s, history.core_C, float(row["to_degC"]))
        spent_s -= falls_to(history.time_s, history.core_C, float(row["from_degC"]))
        ratios.append(spent_s / 3600 / float(row["time_h"]))
        source = "James and James (2002), Meat Refrigeration, Table 16.7"
        measured("heat", "measured cooling of joints", ratios[-1], 1.0, ratio=True, source=source)
    ratio = np.array(ratios)
    assert ratio.size == 23
    assert 0.9 < np.median(ratio) < 1.15
    assert np.mean(np.abs(ratio - 1) < 0.3) >= 0.7
    assert ratio.min() > 0.6
    assert ratio.max() < 1.65


def test_measured_hot_dog(measured: Measure) -> None:
    # A class measurement of low quality; the class's own calculation with h 100 gave 7.6 min. The size of
    # the sausage is as printed, its length and properties are from a textbook's problem on the same food.
    row = rows("conduction_measured_heating.csv")[0]
    body = Body(Shape.SHORT_CYLINDER, 0.02, None, 0.12)
    water = Stage.constant("water", 3600.0, float(row["medium_degC"]), 100.0)
    material = Material(0.76, 1000.0, 0.76 / 2e-7 / 1000.0)
    time_s = cook(body, material, float(row["from_degC"]), [water]).history.first_core_above(float(row["to_degC"]))
    assert time_s is not None
    assert time_s / 60 == pytest.approx(7.6, rel=0.3)
    assert time_s / 60 == pytest.approx(float(row["time"]), rel=0.5)
    what = "sausage heated in a class, once, of low quality"
    measured("heat", what, time_s / 60, float(row["time"]), ratio=True, source=row["source"])
