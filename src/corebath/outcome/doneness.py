"""Doneness: the trade's names for core temperature, shifted by long holds, and a second opinion on colour."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise

import numpy as np
from numpy.typing import ArrayLike, NDArray

from corebath.heat.history import History
from corebath.outcome.hold import arrhenius, integral
from corebath.outcome.parameters import number, numbers, table, words
from corebath.outcome.results import results_for

Floats = NDArray[np.float64]


class Scale(StrEnum):
    """Whose names: sources differ by 6 to 9 K for the same word."""

    TRADE = "trade"
    GRILL = "grill"


@dataclass(frozen=True, slots=True)
class Band:
    """A doneness name and the core temperatures it stands for [degC]; high_C is the next."""

    key: str
    words: str
    low_C: float
    high_C: float


def doneness_bands(texture: str, scale: Scale = Scale.TRADE) -> tuple[Band, ...]:
    """The doneness names of a texture class, coolest first; empty where doneness has no names.

    The trade scale is common practice without a source. The grill scale comes from published end points of
    grilled steaks, covers red meat only, and lets each name reach half way to its neighbours.
    """
    red = texture in words("doneness", "red")
    if scale is Scale.GRILL:
        return _grill_bands() if red else ()
    if red:
        texture = str(table("doneness")["red_bands"])
    elif texture not in words("doneness", "own_bands"):
        return ()
    return tuple(Band(r.key, r.words, r.low_C, r.high_C) for r in results_for(texture))


def is_red(texture: str) -> bool:
    """Whether the class is red meat, whose doneness is a matter of pigment."""
    return texture in words("doneness", "red")


def looks_like_C(core_C: ArrayLike, hours: ArrayLike, shift_K_per_decade: float | None = None) -> Floats:
    """Core temperature after one hour that would look alike [degC]; arguments broadcast.

    T + b log10(t / 1 h): hours brown as degrees do, slowly; b = 2 K per decade (0 to 4), common practice.
    core_C : [degC], 40 to 85; hours : time at temperature [h], 0.1 to 72. NaN outside.
    """
    T, t = np.asarray(core_C, dtype=np.float64), np.asarray(hours, dtype=np.float64)
    b = number("doneness", "shift_K_per_decade") if shift_K_per_decade is None else shift_K_per_decade
    inside = (number("doneness", "low_C") <= T) & (number("doneness", "high_C") >= T)
    inside = inside & (number("doneness", "low_h") <= t) & (number("doneness", "high_h") >= t)
    decades = np.log10(np.where(inside, t, 1.0) / number("doneness", "reference_h"))
    return np.where(inside, T + b * decades, np.nan)


def name_doneness(texture: str, looks_C: float, scale: Scale = Scale.TRADE) -> Band | None:
    """The name for a temperature from `looks_like_C`; None off the ends of the scale or without names."""
    for band in doneness_bands(texture, scale):
        if band.low_C <= looks_C < band.high_C:
            return band
    return None


def pigment_browned(core_C: ArrayLike, hours: ArrayLike) -> Floats:
    """Share of the red pigment turned brown after a hold [-]; arguments broadcast.

    First-order kinetics measured in short heating. It is the pessimistic opinion for sealed meat, whose
    pigment holds out longer. core_C : [degC], 50 to 80; hours >= 0. NaN outside.
    """
    T, t = np.asarray(core_C, dtype=np.float64), np.asarray(hours, dtype=np.float64)
    inside = (number("pigment", "low_C") <= T) & (number("pigment", "high_C") >= T) & (t >= 0)
    return np.where(inside, -np.expm1(-_pigment_rate_per_s(T) * np.where(inside, t, 0.0) * 3600.0), np.nan)


def pigment_browned_along(history: History) -> float:
    """Share of the red pigment at the core turned brown along a history [-].

    Below 50 C time counts nothing; above 80 C it counts as at 80 C, where all browns within a minute anyway.
    """
    low, high = number("pigment", "low_C"), number("pigment", "high_C")
    rate = lambda T: np.where(low > T, 0.0, _pigment_rate_per_s(np.minimum(T, high)))  # noqa: E731
    return -float(np.expm1(-integral(history.time_s, history.core_C, rate)))


def _pigment_rate_per_s(T: Floats) -> Floats:
    # A reference at infinite temperature makes `arrhenius` the bare exponential that goes with k0.
    bare = arrhenius(T, number("pigment", "Ea_kJ_mol"), np.inf)
    return np.asarray(number("pigment", "k0_per_min") / 60.0 * bare)


def _grill_bands() -> tuple[Band, ...]:
    points = numbers("doneness.grill", "core_C")
    inner = [0.5 * (a + b) for a, b in pairwise(points)]
    edges = [2 * points[0] - inner[0], *inner, 2 * points[-1] - inner[-1]]
    keys = words("doneness.grill", "keys")
    return tuple(Band(k, k.replace("-", " "), lo, hi) for k, (lo, hi) in zip(keys, pairwise(edges), strict=True))
