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

# Above this the food holds no ice: initial freezing points of food lie below -0.4 degC.
CLEAR_OF_ICE_C = 0.5


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

    Returns the history and the field at its end. Space error as in `heat.conduction.cook` for food that never
    freezes; about 1 % of the times for food that thaws (measured in tests). Raises ValueError outside the
    range of the food's properties.
    """
    coldest = min([start_C, *(float(s.ambient_C.min()) for s in stages)])
    if coldest > CLEAR_OF_ICE_C:
        return cook(body, thermal.warm, start_C, stages)
    if start_C > CLEAR_OF_ICE_C:
        # Ice water at 0 degC cannot freeze food whose freezing point is below it.
        highest_freezing_C = _first_ice_C(thermal.frozen)
        if coldest > highest_freezing_C:
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
    scale, factor : factors on size and on conductivity, shape (b,) [-]
    h_W_m2K : surface coefficient, shape (b,) [W/(m2 K)]
    time_s : times since drop-in, rising, shape (t,) [s]

    Returns core temperatures, shape (b, t) [degC].
    """
    shape = (SHELLS_FROZEN[len(body.axes)],) * len(body.axes)
    wide = start_C.reshape((-1,) + (1,) * len(shape))
    thaw = Thaw(body, thermal.frozen, np.broadcast_to(wide, (start_C.size, *shape)), scale, factor, h_W_m2K)
    now, times, cores = 0.0, [0.0], [start_C.astype(np.float64)]
    while now < time_s[-1] and thaw.temperature_C().min() < CLEAR_OF_ICE_C:
        now += thaw.march(bath_C, float(time_s[-1]) - now)
        times.append(now)
        cores.append(thaw.core_mean_surface_C(bath_C)[0])
    out = np.empty((start_C.size, time_s.size))
    left = float(time_s[-1]) - now
    for i, field in enumerate(thaw.temperature_C()):
        at, core = np.array(times), np.array(cores)[:, i]
        if left > 0:
            material = thermal.warm.with_diffusivity_scaled(float(factor[i]))
            stage = Stage.constant("bath", left, float(bath_C[i]), float(h_W_m2K[i]))
            rest = cook(body.scaled(float(scale[i])), material, field, [stage]).history
            at = np.concatenate([at, now + rest.time_s[1:]])
            core = np.concatenate([core, rest.core_C[1:]])
        out[i] = np.interp(time_s, at, core)
    return out


def _first_ice_C(table: Freezes) -> float:
    """The temperature at which the first ice forms: where the apparent heat capacity jumps [degC]."""
    capacity = np.diff(table.enthalpy_J_m3) / np.diff(table.temperature_C)
    return float(table.temperature_C[1:][capacity > 3 * capacity[-1]].max())


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
    warm_from = _warm_from(stage)
    thaw = Thaw(body, thermal.frozen, field[None], one, one * thermal.frozen_factor, one * stage.h_W_m2K)
    now, rows = 0.0, []

    def record() -> None:
        around = np.interp(np.array([now]), stage.times_s, stage.ambient_C)
        core, mean, surface = thaw.core_mean_surface_C(around)
        rows.append((now, float(core[0]), float(mean[0]), float(surface[0]), float(around[0])))

    record()
    while now < stage.duration_s and (now < warm_from or thaw.temperature_C().min() < CLEAR_OF_ICE_C):
        ahead = stage.times_s[stage.times_s > now + 1e-9]
        longest = float(ahead[0]) - now
        ramp = abs(float(np.interp(now + longest, stage.times_s, stage.ambient_C) - rows[-1][4]))
        longest = longest / max(1.0, np.ceil(ramp / 0.5))
        middle = np.interp(np.array([now + longest / 2]), stage.times_s, stage.ambient_C)
        now += thaw.march(middle, longest)
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


def _warm_from(stage: Stage) -> float:
    """From this time the ambient stays clear of ice [s]; past the end when it never does."""
    cold = np.flatnonzero(stage.ambient_C <= CLEAR_OF_ICE_C)
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
