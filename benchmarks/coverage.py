"""Do the intervals of core readings hold what they say? `python -m benchmarks.coverage [cooks]`, 500 when not told.

Each simulated cook draws its piece from the plan's own spreads and its readings from the probe's stated bias and
noise, is estimated, and the truth is looked up in the 90 % intervals. Correct intervals hold it in 90 % of cooks, plus
or minus 2.6 % (two standard errors of 500 draws). What it cannot show: pieces that are not of the model.
"""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from corebath.food.catalogue import catalogue
from corebath.heat.body import Body, Shape
from corebath.heat.history import first_crossing
from corebath.log.estimate import Estimate, Interval, estimate
from corebath.log.settings import settings
from corebath.plan.data import defaults, spreads
from corebath.plan.piece import INPUTS, Inputs, Piece, thermal_of

HORIZON_s = 40 * 3600.0


@dataclass(frozen=True, slots=True)
class Series:
    """When the core is read [min] in a piece of one body."""

    name: str
    body: Body
    first_min: float
    last_min: float
    every_min: float


SERIES = (
    Series("25 mm slab, four readings in 20 min", Body(Shape.SLAB, 0.025), 5, 20, 5),
    Series("25 mm slab, every 2 min for 40 min", Body(Shape.SLAB, 0.025), 2, 40, 2),
    Series("60 x 80 mm bar, every 10 min for 2 h", Body(Shape.BAR, 0.06, 0.08), 10, 120, 10),
)


def piece_of_beef(body: Body) -> Piece:
    """Ribeye from a fridge in a bath of 57 degC."""
    food = catalogue()["beef-ribeye"]
    thermal = thermal_of(food.composition, food.initial_freezing_C, 30)
    return Piece(body, thermal, 4.0, 57.0, float(spreads()["surface"]["h_W_m2K"]))


def covered(piece: Piece, series: Series, cooks: int, seed: int) -> tuple[Counter[str], Sequence[Estimate]]:
    """In how many simulated cooks each interval holds the truth, by the name of what was estimated."""
    rng = np.random.default_rng(seed)
    probe = settings("estimate")["probe"]
    held: Counter[str] = Counter()
    found = []
    time_s = 60 * np.arange(series.first_min, series.last_min + 1e-6, series.every_min)
    grid = HORIZON_s * np.linspace(0.0, 1.0, 4001) ** 2
    for _ in range(cooks):
        z = rng.standard_normal(len(INPUTS))
        bias = probe["bias_sd_K"] * rng.standard_normal()
        truth = Inputs(piece, z[None])
        read = truth.cores_C(piece, time_s)[0] + bias + probe["noise_sd_K"] * rng.standard_normal(time_s.size)
        got = estimate(piece, time_s, read, now_s=float(time_s[-1]))
        core = truth.cores_C(piece, grid)[0]
        hot_s = first_crossing(grid, core - truth.bath_C[0], -defaults()["come_up"]["within_K"])
        assert hot_s is not None
        wanted: dict[str, tuple[Interval, float]] = {
            "core now": (got.core_now_C, float(np.interp(time_s[-1], grid, core))),
            "ready": (got.ready_s, hot_s),
            "thickness": (got.thickness_factor, float(truth.scale[0])),
            "diffusivity": (got.diffusivity_factor, float(truth.factor[0])),
            "surface": (got.h_W_m2K, float(truth.h_W_m2K[0])),
            "start": (got.start_C, piece.start_C + spreads()["start"]["absolute_K"] * float(z[3])),
            "probe": (got.probe_bias_K, float(bias)),
        }
        held.update(name for name, (interval, value) in wanted.items() if interval.low <= value <= interval.high)
        found.append(got)
    return held, found


def main(cooks: int) -> None:
    """Print the coverage of every series."""
    for series in SERIES:
        held, found = covered(piece_of_beef(series.body), series, cooks, seed=1)
        told = ", ".join(f"{name} {100 * count / cooks:.1f} %" for name, count in sorted(held.items()))
        widths = [(e.ready_s.high - e.ready_s.low) / 2 / e.ready_s.middle for e in found]
        print(f"{series.name}: {told}; ready within {100 * float(np.median(widths)):.0f} % (median)")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 500)
