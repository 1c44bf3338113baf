"""One path from a piece and its stages to its history, frozen or not.

Food that is, or may come to be, partly frozen is marched with the enthalpy solver. From the moment every
shell is above the freezing range and stays there, the exact solver takes over on the same shells.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from .body import Body
from .conduction import Cooked, cook
from .grid import Array
from .history import History
from .material import Material
from .phase_change import SHELLS_FROZEN, Freezes, Thaw
from .stage import Stage

# Above this no food holds ice whatever it is: initial freezing points lie below -0.4 degC.
CLEAR_OF_ICE_C = 0.5
# A known food this far above its initial freezing point is free of ice beyond the rounding of the enthalpy table.
_CLEAR_BY_K = 0.1
# While the ambient changes, the marching solver holds it still for steps of at most this much.
_RAMP_STEP_K = 0.5
# A batch is marched in parts that fit the processor's cache.
_CELLS_TOGETHER = 8192
LOWEST_START_C, HIGHEST_START_C = -40.0, 100.0


@dataclass(frozen=True, slots=True)
class Thermal:
    """How a food takes heat.

    warm : constant properties above freezing
    frozen : enthalpy and conductivity against temperature, for food that is or becomes partly frozen
    frozen_factor : factor on that conductivity, for pieces that differ from the food's table [-]
    """

    warm: Material
    frozen: Freezes
    frozen_factor: float = 1.0

    def with_diffusivity_scaled(self, factor: float) -> Thermal:
        """The same heat capacity with conductivity multiplied by `factor` [-], warm and frozen."""
        return Thermal(self.warm.with_diffusivity_scaled(factor), self.frozen, self.frozen_factor * factor)


def simulate(body: Body, thermal: Thermal, start_C: float, stages: Sequence[Stage]) -> Cooked:
    """Take a piece, frozen or not, through its stages.

    start_C : even temperature at the start, -40 to 100 [degC]

    Returns the history and the field at its end. Food that stays above its initial freezing point, ice water
    included, takes the exact path with the accuracy of `heat.conduction.cook`. Otherwise the times are good
    to about 1 % of the thawing time (measured in tests/published). Raises ValueError for no stages and
    outside the range of the food's properties.
    """
    if not LOWEST_START_C <= start_C <= HIGHEST_START_C:
        raise ValueError(f"the start must lie between {LOWEST_START_C:g} and {HIGHEST_START_C:g} C, got {start_C:g} C")
    if not stages:
        raise ValueError("a cook needs at least one stage")
    if min(start_C, *(float(s.ambient_C.min()) for s in stages)) > _clear_of_ice_C(thermal.frozen):
        return cook(body, thermal.warm, start_C, stages)
    return _through_ice(body, thermal, start_C, stages)


def thawed_cores(
    body: Body,
    thermal: Thermal,
    start_C: Array,
    bath_C: Array,
    scale: Array,
    factor: Array,
    h_W_m2K: Array,
    time_s: Array,
) -> Array:
    """Cores of a batch of frozen pieces in steady baths.

    start_C, bath_C : start and bath temperatures, shape (b,) [degC]
    scale, factor : factors on size and on conductivity (beside those in `thermal`), shape (b,) [-]
    h_W_m2K : surface coefficient, shape (b,) [W/(m2 K)]
    time_s : times since drop-in, rising, shape (t,) [s]

    Returns core temperatures, shape (b, t) [degC]. Raises ValueError outside the range of the food's properties.
    """
    shape = (SHELLS_FROZEN[len(body.axes)],) * len(body.axes)
    together = max(1, _CELLS_TOGETHER // int(np.prod(shape)))
    out = np.empty((start_C.size, time_s.size))
    for first in range(0, start_C.size, together):
        part = slice(first, first + together)
        field = np.broadcast_to(start_C[part].reshape((-1,) + (1,) * len(shape)), (start_C[part].size, *shape))
        thaw = Thaw(body, thermal.frozen, field, scale[part], factor[part] * thermal.frozen_factor, h_W_m2K[part])
        times, cores = _until_clear(thaw, bath_C[part], _clear_of_ice_C(thermal.frozen), float(time_s[-1]))
        left = float(time_s[-1]) - times[-1]
        for i, field_C in enumerate(thaw.temperature_C(), start=first):
            at, core = times, cores[:, i - first]
            if left > 0:
                material = thermal.warm.with_diffusivity_scaled(float(factor[i]))
                stage = Stage.constant("bath", left, float(bath_C[i]), float(h_W_m2K[i]))
                rest = cook(body.scaled(float(scale[i])), material, field_C, [stage]).history
                at = np.concatenate([at, times[-1] + rest.time_s[1:]])
                core = np.concatenate([core, rest.core_C[1:]])
            out[i] = np.interp(time_s, at, core)
    return out


def _until_clear(thaw: Thaw, bath_C: Array, clear_C: float, end_s: float) -> tuple[Array, Array]:
    """March a batch until the last shell is clear of ice; times, shape (n,), and cores, shape (n, b)."""
    times, cores = [0.0], [thaw.core_mean_surface_C(bath_C)[0]]
    while times[-1] < end_s and thaw.temperature_C().min() < clear_C:
        left = end_s - times[-1]
        step = thaw.march(bath_C, left)
        times.append(end_s if step >= left else times[-1] + step)
        cores.append(thaw.core_mean_surface_C(bath_C)[0])
    return np.array(times), np.array(cores)


def _clear_of_ice_C(table: Freezes) -> float:
    """Above this a piece in surroundings as warm holds no ice, and none can form [degC]."""
    return table.initial_freezing_C + _CLEAR_BY_K


def _through_ice(body: Body, thermal: Thermal, start_C: float, stages: Sequence[Stage]) -> Cooked:
    shells = (SHELLS_FROZEN[len(body.axes)],) * len(body.axes)
    field = np.full(shells, start_C)
    parts: list[History] = []
    for stage in stages:
        field, part = _one_stage(body, thermal, field, stage)
        parts.append(part)
    return Cooked(_joined(parts), field)


def _one_stage(body: Body, thermal: Thermal, field: Array, stage: Stage) -> tuple[Array, History]:
    one = np.ones(1)
    clear_C = _clear_of_ice_C(thermal.frozen)
    warm_from = _warm_from(stage, clear_C)
    thaw = Thaw(body, thermal.frozen, field[None], one, one * thermal.frozen_factor, one * stage.h_W_m2K)
    now, rows = 0.0, []

    def record() -> None:
        around = np.interp(np.array([now]), stage.times_s, stage.ambient_C)
        core, mean, surface = thaw.core_mean_surface_C(around)
        rows.append((now, float(core[0]), float(mean[0]), float(surface[0]), float(around[0])))

    record()
    while now < stage.duration_s and (now < warm_from or thaw.temperature_C().min() < clear_C):
        knot = float(stage.times_s[np.searchsorted(stage.times_s, now, side="right")])
        ramp = abs(float(np.interp(knot, stage.times_s, stage.ambient_C)) - rows[-1][4])
        longest = (knot - now) / max(1.0, np.ceil(ramp / _RAMP_STEP_K))
        middle = np.interp(np.array([now + longest / 2]), stage.times_s, stage.ambient_C)
        step = thaw.march(middle, longest)
        # Land on the knot itself: the sum may miss it by a rounding, and leave a step of no length.
        now = knot if step >= knot - now else now + step
        record()
    field = thaw.temperature_C()[0]
    t, core, mean, surface, around = (np.array(column) for column in zip(*rows, strict=True))
    head = History(t, core, mean, surface, around, np.zeros(t.size, dtype=np.intp), (stage.name,))
    if now >= stage.duration_s:
        return field, head
    knots = np.concatenate([[now], stage.times_s[stage.times_s > now]])
    rest = Stage.trace(stage.name, knots, np.interp(knots, stage.times_s, stage.ambient_C), stage.h_W_m2K)
    cooked = cook(body, thermal.warm, field, [rest])
    tail = cooked.history
    keeps = [slice(None), slice(1, None)]
    head_and_tail = (head, replace(tail, time_s=tail.time_s + now))
    joined = [
        np.concatenate([getattr(part, name)[keep] for part, keep in zip(head_and_tail, keeps, strict=True)])
        for name in ("time_s", "core_C", "mean_C", "surface_C", "ambient_C", "stage")
    ]
    whole = History(joined[0], joined[1], joined[2], joined[3], joined[4], joined[5], (stage.name,))
    return cooked.field_C, whole


def _warm_from(stage: Stage, clear_C: float) -> float:
    """From this time the ambient stays clear of ice [s]; past the end when it never does."""
    cold = np.flatnonzero(stage.ambient_C <= clear_C)
    if cold.size == 0:
        return 0.0
    after = int(cold[-1]) + 1
    return float(stage.times_s[after]) if after < stage.times_s.size else np.inf


def _joined(parts: Sequence[History]) -> History:
    starts = np.concatenate([[0.0], np.cumsum([p.duration_s for p in parts])])
    cat = np.concatenate
    return History(
        cat([p.time_s + s for p, s in zip(parts, starts[:-1], strict=True)]),
        cat([p.core_C for p in parts]),
        cat([p.mean_C for p in parts]),
        cat([p.surface_C for p in parts]),
        cat([p.ambient_C for p in parts]),
        cat([np.full(p.time_s.size, i, dtype=np.intp) for i, p in enumerate(parts)]),
        tuple(p.stage_names[0] for p in parts),
    )
