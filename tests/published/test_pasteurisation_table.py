"""Heating and lethality together, beside the printed bath times that pasteurise meat, poultry and lean fish.

Source: BALDWIN_TABLES, the pasteurisation tables of the author of the 2012 review, seen in a reprint, read; steps
of 15 min above 1 h, of 1 or 5 min below. Inputs beside them: D and z of meat read, the others, h 95 W/(m2 K), the
diffusivities and the shape rule from memory; the conductivity is assumed. An independent reckoning with them came
within 15 min in 47 of 50 cells, and within 16 min in all.
"""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from tests.published.measuring import Measure

from corebath.heat.body import Body, Shape
from corebath.heat.conduction import SHELLS, cook
from corebath.heat.grid import axis_modes
from corebath.heat.material import Material
from corebath.heat.stage import Stage
from corebath.safety import hazards, lethality_rules, log10_reduction

Floats = NDArray[np.float64]

H_W_m2K = 95.0
K_W_mK = 0.48
ALPHA_m2_s = {"meat": 1.11e-7, "poultry": 1.08e-7, "lean fish": 0.995e-7}
BOX_FROM_m = 0.030
# The printed shape factor 0.28 is the beta of T_t = alpha (T_rr + beta/r T_r): shells of r^0.28, order 1.28.
BOX_ORDER = 1.28
LONGEST_s = 12 * 3600.0


@dataclass(frozen=True, slots=True)
class Cell:
    food: str
    bath_C: float
    thickness_m: float
    start_C: float
    printed_min: float


@cache
def cells() -> tuple[Cell, ...]:
    path = Path(__file__).parent.parent / "reference" / "pasteurisation_times.csv"
    with path.open(encoding="utf-8", newline="") as file:
        return tuple(
            Cell(
                row["food"],
                float(row["bath_temp_C"]),
                float(row["thickness_mm"]) / 1000.0,
                float(row["start_temp_C"]),
                float(row["time_min"]),
            )
            for row in csv.DictReader(file)
        )


def core_by_shape_factor_C(cell: Cell, time_s: Floats, order: float) -> Floats:
    """The author's one-dimensional body on the engine's own shells, which hold for any power of r."""
    half_m = cell.thickness_m / 2
    modes = axis_modes(order, H_W_m2K * half_m / K_W_mK, SHELLS[1])  # type: ignore[arg-type]
    fourier = ALPHA_m2_s[cell.food] * time_s / half_m**2
    left = (modes.core * modes.ones) @ np.exp(-np.outer(modes.decay, fourier))
    left[0] = 1.0
    return np.asarray(cell.bath_C + (cell.start_C - cell.bath_C) * left)


def by_law_min(food: str, time_s: Floats, core_C: Floats) -> float:
    """The slowest organism's log-linear law, credited everywhere as the author does [min]."""
    met = [
        np.interp(
            h.target_log10,
            log10_reduction(time_s, core_C, D_ref_s=h.D_ref_s, T_ref_C=h.T_ref_C, z_K=h.z_K, floor_C=40, ceiling_C=80),
            time_s,
        )
        for h in hazards().values()
        if h.food == food
    ]
    return float(max(met)) / 60.0


def by_rules_min(food: str, time_s: Floats, core_C: Floats) -> float:
    """The slowest rule that a plan goes by, which credits nothing below its supported range [min]."""
    met = [lethality_rules()[key].met_at_s(time_s, core_C) for key, h in hazards().items() if h.food == food]
    return max(np.inf if m is None else m for m in met) / 60.0


def order_of(cell: Cell) -> float:
    return 1.0 if cell.thickness_m < BOX_FROM_m else BOX_ORDER


@cache
def reckoned_min() -> tuple[float, ...]:
    """Every cell as its author reckoned it [min]."""
    time_s = np.linspace(0.0, LONGEST_s, 3000)
    return tuple(by_law_min(c.food, time_s, core_by_shape_factor_C(c, time_s, order_of(c))) for c in cells())


def allowed_min(cell: Cell) -> float:
    """15 min or 10 %: the step of the print."""
    return max(15.0, 0.1 * cell.printed_min)


def is_on_the_edge(cell: Cell) -> bool:
    """At 30 mm the shape rule is not plain: slab or box."""
    return cell.thickness_m == BOX_FROM_m


def test_bath_times_that_pasteurise() -> None:
    # 285 cells other than 30 mm. Ours less print: 279 within 15 min or 10 %; the others, all recorded here, within
    # 17 min. Slabs run long at 25 mm and short at 5 mm at once, so no input of ours would mend both.
    outside = {
        (c.food, c.bath_C, round(c.thickness_m * 1000)): round(ours - c.printed_min)
        for c, ours in zip(cells(), reckoned_min(), strict=True)
        if not is_on_the_edge(c) and abs(ours - c.printed_min) > allowed_min(c)
    }
    assert outside == {
        ("meat", 59.0, 35): -17,
        ("poultry", 58.0, 5): -16,
        ("poultry", 58.0, 25): 16,
        ("poultry", 60.0, 25): 16,
        ("lean fish", 56.0, 25): 16,
        ("lean fish", 57.0, 25): 16,
    }


@pytest.mark.parametrize(
    ("food", "count", "mean_min", "rms_min", "max_min"),
    [("meat", 126, -7.8, 9.4, 22.5), ("poultry", 99, -4.5, 8.7, 16.4), ("lean fish", 84, -4.1, 9.3, 16.8)],
)
def test_spread_about_the_print(
    food: str, count: int, mean_min: float, rms_min: float, max_min: float, measured: Measure
) -> None:
    # Ours less print, every cell with 30 mm as a box. Half a printed step is 7.5 min: print looks rounded up.
    off = np.array([o - c.printed_min for c, o in zip(cells(), reckoned_min(), strict=True) if c.food == food])
    assert off.size == count
    what = f"bath times that pasteurise {food}: heating and lethality by the printed inputs"
    measured("safety", what, off, 0.0, unit="min", source="pasteurisation tables of the 2012 review's author")
    assert off.mean() == pytest.approx(mean_min, abs=0.1)
    assert np.sqrt((off**2).mean()) == pytest.approx(rms_min, abs=0.1)
    assert np.abs(off).max() == pytest.approx(max_min, abs=0.1)


def test_print_at_30_mm_lies_between_slab_and_box() -> None:
    # The rule reads "slab below 30 mm". Print at 30 mm is up to 23 min above our box and up to 19 min below our
    # slab; between them in all 24 cells but for the step of the print.
    time_s = np.linspace(0.0, LONGEST_s, 3000)
    for cell in filter(is_on_the_edge, cells()):
        box, slab = (
            by_law_min(cell.food, time_s, core_by_shape_factor_C(cell, time_s, order)) for order in (BOX_ORDER, 1.0)
        )
        assert box - 7.5 <= cell.printed_min <= slab + 7.5


def test_the_rules_of_a_plan_are_no_laxer_than_the_print() -> None:
    # A plan's rules credit nothing below 54 C (meat, fish) or 56 C (poultry). In baths 1 K above that they ask up to
    # 52 min more than the print; nowhere do they ask less by more than its step.
    time_s = np.linspace(0.0, LONGEST_s, 3000)
    for cell in cells():
        if is_on_the_edge(cell):
            continue
        ours = by_rules_min(cell.food, time_s, core_by_shape_factor_C(cell, time_s, order_of(cell)))
        assert ours >= cell.printed_min - allowed_min(cell) - 0.5
        assert ours <= cell.printed_min + 55.0


def test_the_engine_s_slab_is_the_author_s_slab() -> None:
    # The whole engine, not its modes alone, on every cell below 30 mm.
    time_s = np.linspace(0.0, LONGEST_s, 3000)
    for cell in (c for c in cells() if c.thickness_m < BOX_FROM_m):
        history = _cooked(cell, Body(Shape.SLAB, cell.thickness_m))
        ours = by_law_min(cell.food, history[0], history[1])
        author = by_law_min(cell.food, time_s, core_by_shape_factor_C(cell, time_s, 1.0))
        assert ours == pytest.approx(author, abs=0.5)


def test_a_true_2_3_5_box_is_done_sooner_than_the_print(measured: Measure) -> None:
    # The shape factor 0.28 is said to stand for a box of sides 2:3:5. A slab's slowest mode decays with 2.47 Fo, the
    # factor's with 3.3 Fo, the true box's with 2.47 (1 + 4/9 + 4/25) = 3.96 Fo. So our box from 35 mm up is done
    # sooner than print: by 12 % in the mean, 8 to 22 %. A plan shortens no piece by a side that was not measured.
    short = []
    for cell in (c for c in cells() if c.thickness_m > BOX_FROM_m):
        t = cell.thickness_m
        time_s, core_C = _cooked(cell, Body(Shape.BRICK, t, 1.5 * t, 2.5 * t))
        short.append(1.0 - by_law_min(cell.food, time_s, core_C) / cell.printed_min)
    assert np.mean(short) == pytest.approx(0.123, abs=0.001)
    what = "the same, a true box of sides 2:3:5 in the place of the shape factor"
    source = "pasteurisation tables of the 2012 review's author"
    measured("safety", what, 1.0 - np.array(short), 1.0, ratio=True, source=source)
    assert min(short) == pytest.approx(0.076, abs=0.001)
    assert max(short) == pytest.approx(0.220, abs=0.001)


def _cooked(cell: Cell, body: Body) -> tuple[Floats, Floats]:
    material = Material(K_W_mK, 1000.0, K_W_mK / ALPHA_m2_s[cell.food] / 1000.0)
    history = cook(body, material, cell.start_C, [Stage.constant("bath", LONGEST_s, cell.bath_C, H_W_m2K)]).history
    return history.time_s, history.core_C
