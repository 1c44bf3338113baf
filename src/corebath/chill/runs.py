"""One piece in one medium until its core has passed some temperatures: quick, nominal and cautious."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import isfinite

import numpy as np

from corebath.chill.tables import settings
from corebath.heat.body import Body, Shape
from corebath.heat.engine import Thermal, simulate
from corebath.heat.history import History
from corebath.heat.stage import Stage
from corebath.units import mark


@dataclass(frozen=True, slots=True)
class Reach:
    """When the core passes a temperature.

    core_C : the temperature [degC];  quick_s, nominal_s, cautious_s : when, None for never in 96 h [s]
    """

    core_C: float
    quick_s: float | None
    nominal_s: float | None
    cautious_s: float | None

    @property
    def words(self) -> str:
        """The nominal time with its range; needs a nominal time."""
        assert self.nominal_s is not None
        quick = mark(self.nominal_s if self.quick_s is None else self.quick_s, "s")
        if self.cautious_s is None:
            return f"{mark(self.nominal_s, 's')} ({quick} at the soonest; on the cautious figures not at all)"
        return f"{mark(self.nominal_s, 's')} ({quick} to {mark(self.cautious_s, 's')}, cautious)"


@dataclass(frozen=True, slots=True)
class Runs:
    """The three histories, each until its core has passed every level or 96 h are over, and the times."""

    quick: History
    nominal: History
    cautious: History
    reaches: tuple[Reach, ...]

    def reach(self, core_C: float) -> Reach:
        """The times for one of the levels. Raises ValueError for another temperature."""
        for found in self.reaches:
            if found.core_C == core_C:
                return found
        raise ValueError(f"no time was asked for a core of {core_C:g} C")


@dataclass(frozen=True, slots=True)
class Around:
    """Surroundings of one case. ambient_C [degC];  h_W_m2K [W/(m2 K)]"""

    ambient_C: float
    h_W_m2K: float


def layered(body: Body, layers: int) -> Body:
    """The one thicker body that this many pieces make when they lie flat on each other.

    layers : 1 to 20. Raises ValueError outside that, and for round bodies, which do not stack without gaps.
    """
    if not 1 <= layers <= 20:
        raise ValueError(f"layers must lie between 1 and 20, got {layers}")
    if layers == 1:
        return body
    if body.is_round:
        raise ValueError("round pieces do not stack without gaps: enter them one by one")
    sizes = sorted([body.thickness_m * layers, *(x for x in (body.width_m, body.length_m) if x is not None)])
    return Body(body.shape, sizes[0], *sizes[1:]) if body.shape is not Shape.SLAB else Body(Shape.SLAB, sizes[0])


def runs(
    body: Body,
    thermal: Thermal,
    start_C: float,
    name: str,
    cases: tuple[Around, Around, Around],
    levels_C: Sequence[float],
) -> Runs:
    """Quick, nominal and cautious.

    start_C : even temperature at the start, the hottest there is when in doubt, -40 to 100 [degC]
    name : of the stage;  cases : quick, nominal, cautious surroundings;  levels_C : cores to pass [degC]

    Thickness and diffusivity are one deviation off in the outer cases. Raises ValueError outside the ranges
    of body, stage and food.
    """
    if not isfinite(start_C):
        raise ValueError(f"the start must be a temperature, got {start_C!r}")
    spread = settings()["spread"]
    made = [
        _run(
            body.scaled(1 + side * spread["thickness"]),
            thermal.with_diffusivity_scaled(1 - side * spread["diffusivity"]),
            start_C,
            name,
            around,
            levels_C,
        )
        for side, around in zip((-1, 0, 1), cases, strict=True)
    ]
    times = [[_passes(history, level, start_C) for level in levels_C] for history in made]
    reaches = tuple(Reach(level, *at) for level, *at in zip(levels_C, *times, strict=True))
    return Runs(made[0], made[1], made[2], reaches)


def _run(body: Body, thermal: Thermal, start_C: float, name: str, around: Around, levels_C: Sequence[float]) -> History:
    """Long enough for every level that can be reached at all, and no longer than the limit."""
    figures = settings()["longest"]
    longest = figures["hours"] * 3600
    reachable = [level for level in levels_C if (level - start_C) * (around.ambient_C - level) > 0]
    beyond = len(reachable) < sum(1 for level in levels_C if level != start_C)
    half = min(axis.half_m for axis in body.axes)
    warm = thermal.warm
    duration = 2 * (half**2 / warm.alpha_m2_s + half * warm.rho_kg_m3 * warm.cp_J_kgK / around.h_W_m2K)
    duration = max(duration, figures["beyond_hours"] * 3600) if beyond else duration
    while True:
        duration = min(duration, longest)
        stage = Stage.constant(name, duration, around.ambient_C, around.h_W_m2K)
        history = simulate(body, thermal, start_C, [stage]).history
        times = [_passes(history, level, start_C) for level in reachable]
        reached = [t for t in times if t is not None]
        if duration >= longest or len(reached) == len(times):
            return history if beyond or len(reached) < len(times) else history.until(max(reached))
        duration *= 2.5


def _passes(history: History, level_C: float, start_C: float) -> float | None:
    """First time the core is at a level, from whichever side it starts; 0 when it is there already [s]."""
    sign = 1.0 if level_C > start_C else -1.0
    signed = sign * (history.core_C - level_C)
    at = np.flatnonzero(signed >= -1e-9)
    if at.size == 0:
        return None
    i = int(at[0])
    if i == 0:
        return 0.0
    share = signed[i - 1] / (signed[i - 1] - signed[i])
    return float(history.time_s[i - 1] + share * (history.time_s[i] - history.time_s[i - 1]))
