"""Timings of the heat room. Budgets are guides for two cores; times are the best of several runs."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

import numpy as np

from benchmarks.same_bath import BATH_C, BEEF, START_C, H_W_m2K, Row, best
from corebath.food.composition import Composition
from corebath.food.freezing import freezing_table
from corebath.heat.batch import core_remaining
from corebath.heat.body import Body, Shape
from corebath.heat.conduction import cook
from corebath.heat.engine import Thermal, simulate, thawed_cores
from corebath.heat.stage import Stage

__all__ = ["BEEF", "Row", "best", "rows"]

SLAB = Body(Shape.SLAB, 0.025)
BAR = Body(Shape.BAR, 0.05, 0.08)
BRICK = Body(Shape.BRICK, 0.05, 0.08, 0.12)


def rows() -> Iterator[Row]:
    """Name, seconds and note of every timing."""
    stages = [
        Stage.constant("bath", 6 * 3600.0, BATH_C, H_W_m2K),
        Stage.constant("ice water", 3600.0, 0.5, 100.0),
        Stage.constant("fridge", 12 * 3600.0, 4.0, 10.0),
    ]
    for body, budget in ((SLAB, "budget 2 ms"), (BAR, ""), (BRICK, "budget 30 ms")):
        yield f"{body.shape.value}: bath, chill, fridge", best(partial(cook, body, BEEF, START_C, stages)), budget
    thermal = Thermal(
        BEEF, freezing_table(Composition.normalised(water_g=73.0, protein_g=21.0, fat_g=5.0, ash_g=1.0), -1.2)
    )
    for body, budget in ((SLAB, "budget 60 ms"), (BRICK, "budget 1000 ms")):
        taken = best(partial(simulate, body, thermal, -18.0, stages[:1]), 3)
        yield f"{body.shape.value}: from frozen, 6 h bath", taken, budget
    z = np.random.default_rng(1).standard_normal((5, 500))
    spread = (1 + 0.05 * z[0], BEEF.alpha_m2_s * (1 + 0.05 * z[1]), 300 * np.exp(0.3 * z[2]))
    times = np.linspace(0.0, 6 * 3600.0, 61)
    for body in (SLAB, BRICK):
        taken = best(partial(core_remaining, body, *spread, times))
        yield f"{body.shape.value}: cores of 500 samples", taken, "61 times each"
    few = slice(0, 11)
    frozen = (-18 + z[3, few], BATH_C + 0.1 * z[4, few], spread[0][few], 1 + 0.05 * z[1, few], 0.48 * spread[2][few])
    for body in (SLAB, BRICK):
        taken = best(partial(thawed_cores, body, thermal, *frozen, times), 1)
        yield f"{body.shape.value}: cores of 11 frozen samples", taken, "61 times each"
    clock = np.arange(2160) * 10.0
    trace = Stage.trace("log", clock, BATH_C + 0.3 * np.sin(clock / 300), H_W_m2K)
    for body in (SLAB, BRICK):
        taken = best(partial(cook, body, BEEF, START_C, [trace]), 3)
        yield f"{body.shape.value}: trace of 2160 knots", taken, "a reading every 10 s for 6 h"
