"""Estimates from core readings against measured joints.

James and James (2002), Meat Refrigeration, Table 16.7 (rows `read` from a scan): times printed to 0.1 h between core
temperatures of cooked joints cooling in air and water. Start, contact and composition are not given, so a start of 75
degC and the coefficients below are taken; the first reading is the core at 70 degC. Agreement within about 30 % is the
most these rows can show. No measured core curve of a bagged piece in a warm bath is held.
"""

from __future__ import annotations

import csv
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from tests.published.measuring import Measure

from corebath.food.catalogue import catalogue
from corebath.heat.body import Body, Shape
from corebath.heat.history import first_crossing
from corebath.log.estimate import Estimate, estimate
from corebath.log.settings import settings
from corebath.plan.piece import Inputs, Piece, thermal_of

REFERENCE = Path(__file__).parents[1] / "reference" / "conduction_measured_cooling.csv"
ROWS = list(csv.DictReader(REFERENCE.read_text(encoding="utf-8").splitlines()))
BODIES = {
    "slab50": Body(Shape.SLAB, 0.05),
    "forequarter": Body(Shape.CYLINDER, 0.11),
    "roast_air_1ms": Body(Shape.BRICK, 0.13, 0.16, 0.33),
    "roast_air_2ms": Body(Shape.BRICK, 0.13, 0.16, 0.33),
}
# By judgement, no source: as in the checks of chilling.
CONTACT_W_m2K = {"water": 150.0, "air 1 m/s": 20.0, "air 1.2 m/s": 22.0, "air 2 m/s": 25.0}
SERIES = sorted({(row["case"], row["medium"]) for row in ROWS if row["case"] in BODIES})
H = 3600.0


def piece_of(case: str, medium: str) -> Piece:
    food = catalogue()["beef-topside"]
    around_C = next(float(r["medium_degC"]) for r in ROWS if (r["case"], r["medium"]) == (case, medium))
    thermal = thermal_of(food.composition, food.initial_freezing_C, 35)
    return Piece(BODIES[case], thermal, 75.0, around_C, CONTACT_W_m2K[medium])


def hours_measured(case: str, medium: str) -> tuple[float, float, float]:
    """Hours from 70 to 50 degC, and from 70 degC to the last level, and that level [degC]."""
    rows = [r for r in ROWS if (r["case"], r["medium"]) == (case, medium)]
    to = {(float(r["from_degC"]), float(r["to_degC"])): float(r["time_h"]) for r in rows}
    last = min(level for start, level in to if start == 70.0)
    half = to[70.0, 50.0] if (70.0, 50.0) in to else to[70.0, last] - to[50.0, last]
    return half, to[70.0, last], last


def reached_s(piece: Piece, level_C: float) -> float:
    t = np.linspace(0.0, 40 * H, 20_001)
    core = Inputs(piece, np.zeros((1, 5))).cores_C(piece, t)[0]
    found = first_crossing(t, -core, -level_C)
    assert found is not None
    return found


@cache
def after_two_readings(case: str, medium: str) -> tuple[float, float, Estimate]:
    """Hours to the last level over those measured, as planned and after the readings at 70 and 50 degC."""
    piece = piece_of(case, medium)
    start = reached_s(piece, 70.0)
    half, whole, last = hours_measured(case, medium)
    found = estimate(piece, [start, start + half * H], [70.0, 50.0], now_s=start + whole * H)
    before, later = (reached_s(p, last) - start for p in (piece, found.piece))
    return before / H / whole, later / H / whole, found


def test_two_readings_bring_the_rest_nearer(measured: Measure) -> None:
    """Computed over measured for what is left to the last level, six series.

    As planned 0.71 to 1.53, rms of the deviation 29 %; after two readings 0.68 to 1.07, rms 19 %. Nearer in three, as
    near in one; further off for the rolled forequarter in air and in water, whose later cooling is slower than any
    cylinder's that began like it (it was slow before too, and is not tuned away).
    """
    both = np.array([after_two_readings(*series)[:2] for series in SERIES])
    rms = np.sqrt(np.mean((both - 1) ** 2, axis=0))
    assert len(SERIES) == 6
    for column, when in enumerate(("as planned", "after two core readings")):
        what, source = f"time left of cooling joints, {when}", "James and James (2002), Meat Refrigeration, Table 16.7"
        measured("log", what, both[:, column], 1.0, ratio=True, source=source)
    assert rms[0] == pytest.approx(0.29, abs=0.02)
    assert rms[1] == pytest.approx(0.19, abs=0.02)
    assert both[:, 1].min() > 0.6
    assert both[:, 1].max() < 1.15


def test_the_interval_of_the_core_does_not_hold_on_such_coarse_readings() -> None:
    """Hours later the true core lies in the 90 % interval in 1 of 6 series: times to 0.1 h make the second reading
    uncertain by up to 2 K, where 0.3 K is taken of a kitchen probe, and joints are no slabs. Told, not mended.
    """
    held = 0
    for case, medium in SERIES:
        found, last = after_two_readings(case, medium)[2], hours_measured(case, medium)[2]
        held += found.core_now_C.low <= last <= found.core_now_C.high
        assert abs(found.core_now_C.middle - last) < 6.5
    told = settings("estimate")["interval"]
    assert (held, len(SERIES)) == (told["measured_held"], told["measured_series"]) == (1, 6)
