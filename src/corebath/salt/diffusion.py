"""Salt in a piece as diffusion, on the modes of the heat engine's axes.

Fick's law with one constant D is Fourier's law with D for the diffusivity, so `heat.grid.axis_modes` serves:
a surface that lets nothing through has Biot number 0 and a surface held at its salt has Biot number infinity.
What is missing inside a body of several axes is the product of what is missing on each axis.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from math import isfinite, pi

import numpy as np

from corebath.heat.body import Axis, Body
from corebath.heat.grid import Array, AxisModes, axis_modes

_SHELLS = 200  # surface value of a one-off dose within 0.1 % at Dt/L^2 = 0.01, see tests/published
_SEALED_BIOT, _HELD_BIOT = 1e-12, 1e12
# Past this Dt/L^2 of the thinnest axis everything is even to better than 1e-8.
_LEVEL_Fo = 8.0
_SHORT_TIME_PART = 0.5


class Uptake(StrEnum):
    """How salt gets in: ONCE, a dose spread on the surface; HELD, a surface kept at the even value."""

    ONCE = "once"
    HELD = "held"


@dataclass(frozen=True, slots=True)
class SaltField:
    """Salt as a share of its even (levelled) value.

    time_s : shape (t,) [s];  depth_m : below the middle of the largest face, towards the core, shape (n,) [m]
    share : along that line, shape (t, n);  core, surface, mean : shape (t,) [-]
    """

    time_s: Array
    depth_m: Array
    share: Array
    core: Array
    surface: Array
    mean: Array

    def depth_of(self, share: float) -> Array:
        """How deep the salt is at or above a share of the even value, shape (t,) [m]; 0 when nowhere."""
        out = np.zeros(self.time_s.size)
        for i, row in enumerate(self.share):
            below = np.flatnonzero(row < share)
            if below.size == 0:
                out[i] = self.depth_m[-1]
            elif below[0] > 0:
                j = int(below[0])
                part = (row[j - 1] - share) / (row[j - 1] - row[j])
                out[i] = self.depth_m[j - 1] + part * (self.depth_m[j] - self.depth_m[j - 1])
        return out


def salt_field(body: Body, D_m2_s: float, time_s: Array, uptake: Uptake) -> SaltField:
    """Salt against depth and time.

    body : the piece, salted evenly on every face;  D_m2_s : diffusivity, 1e-13 to 1e-8 [m2/s]
    time_s : shape (t,), above 0 [s]

    Raises ValueError outside those ranges. One constant D: published work finds that whole cuts do not quite
    obey it (Vestergaard 2005) and that D falls as the salt rises (Guiheneuf 1997), so trust the range of
    answers over the range of D, not one curve. Model: Crank, The Mathematics of Diffusion, ch. 4.
    """
    if not (isfinite(D_m2_s) and 1e-13 <= D_m2_s <= 1e-8):
        raise ValueError(f"the diffusivity of salt must lie between 1e-13 and 1e-8 m2/s, got {D_m2_s:g} m2/s")
    times = np.asarray(time_s, dtype=np.float64)
    if times.ndim != 1 or not np.all(np.isfinite(times)) or np.any(times <= 0):
        raise ValueError("times after salting must be a row of numbers above 0 s")
    layer_m = _thinnest_m(body) / _SHELLS
    axes = sorted(body.axes, key=lambda axis: axis.half_m)
    lines = [_line(axis, D_m2_s, times, uptake, layer_m) for axis in axes]
    first, rest = lines[0], lines[1:]
    others = np.prod([line.core for line in rest], axis=0) if rest else np.ones(times.size)
    scale = 1.0 if uptake is Uptake.HELD else 1 / (1 - float(np.prod([line.start_mean for line in lines])))
    half = axes[0].half_m
    centres = (np.arange(_SHELLS) + 0.5) / _SHELLS
    shells = scale * (1 - first.shells * others[:, None])
    core, surface = scale * (1 - first.core * others), scale * (1 - first.surface * others)
    return SaltField(
        time_s=times,
        depth_m=half * np.concatenate([[0.0], 1 - centres[::-1], [1.0]]),
        share=np.column_stack([surface, shells[:, ::-1], core]),
        core=core,
        surface=surface,
        mean=scale * (1 - np.prod([line.mean for line in lines], axis=0)),
    )


def core_reaches(body: Body, D_m2_s: float, share: float, uptake: Uptake) -> float:
    """When the core holds a share of the even value [s].

    share : above 0, below 1 [-]. Raises ValueError as `salt_field`. Exact on the grid.
    """
    from scipy.optimize import brentq  # slow to load, and a plan alone does without it

    scale_s = _thinnest_m(body) ** 2 / D_m2_s

    def missing(fourier: float) -> float:
        return share - float(salt_field(body, D_m2_s, np.array([fourier * scale_s]), uptake).core[0])

    return scale_s * float(brentq(missing, 1e-4, _LEVEL_Fo, xtol=1e-9))


def surface_uptake_s(body: Body, D_m2_s: float, dose_share: float, saturated_share: float) -> float:
    """When a dose lying on the surface as saturated brine has gone in [s].

    dose_share : salt per mass of meat, above 0 [-];  saturated_share : salt per mass of meat in balance with
    saturated brine [-]. Until then the surface is held at saturation: what has gone in is 2 sqrt(D t / pi)
    times the surface (Crank, ch. 4, short times), within 0.2 % while the dose is under half of saturation.
    Crystals have to dissolve first, which is not counted: the answer is a shortest time. Raises ValueError
    for a larger dose.
    """
    part = dose_share / saturated_share
    if not 0 < part <= _SHORT_TIME_PART:
        raise ValueError(
            f"the salt must lie above 0 and below {100 * _SHORT_TIME_PART * saturated_share:.3g} % of the meat, "
            f"half of what its water can hold, got {100 * dose_share:g} %"
        )
    surface_per_volume = sum(axis.order / axis.half_m for axis in body.axes)
    return pi / 4 * (part / surface_per_volume) ** 2 / D_m2_s


@dataclass(frozen=True, slots=True)
class _Line:
    """What is missing on one axis; shells (t, n) from core to surface, the rest (t,)."""

    shells: Array
    core: Array
    surface: Array
    mean: Array
    start_mean: float


def _line(axis: Axis, D_m2_s: float, times: Array, uptake: Uptake, layer_m: float) -> _Line:
    modes = _modes(axis.order, uptake)
    start = np.ones(_SHELLS)
    if uptake is Uptake.ONCE:
        inner_m = axis.half_m - layer_m
        dosed = 1 - (inner_m / axis.half_m) ** axis.order
        start[-1] -= dosed / (1 - (1 - 1 / _SHELLS) ** axis.order)
    amplitude = modes.to_modes @ start
    # The even field of a sealed body never fades: take off what rounding left of its decay.
    decay = modes.decay - (modes.decay[0] if uptake is Uptake.ONCE else 0.0)
    fading = np.exp(-np.outer(D_m2_s * times / axis.half_m**2, decay)) * amplitude
    return _Line(
        shells=fading @ modes.from_modes.T,
        core=fading @ modes.core,
        surface=fading @ modes.surface,
        mean=fading @ modes.mean,
        start_mean=float(amplitude @ modes.mean),
    )


def _thinnest_m(body: Body) -> float:
    return min(axis.half_m for axis in body.axes)


@cache
def _modes(order: int, uptake: Uptake) -> AxisModes:
    return axis_modes(order, _SEALED_BIOT if uptake is Uptake.ONCE else _HELD_BIOT, _SHELLS)
