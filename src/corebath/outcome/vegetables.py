"""Firmness of vegetables: pectin gives way at a rate that only hot water drives."""

from __future__ import annotations

from functools import partial

import numpy as np
from numpy.typing import ArrayLike, NDArray

from corebath.heat.history import History
from corebath.outcome.hold import arrhenius, integral
from corebath.outcome.parameters import number, table

Floats = NDArray[np.float64]


def has_firmness(texture: str) -> bool:
    """Whether a softening rate is known for the class."""
    return texture in table("vegetable.factor")


def firmness(texture: str, core_C: ArrayLike, hours: ArrayLike, *, speed: float = 1.0) -> Floats:
    """Firmness left after a hold, 1 raw, 0.05 fully soft [-]; arguments broadcast.

    Fractional conversion with carrot's rate and one factor per class.
    core_C : [degC], 75 to 100; hours >= 0; speed : factor on the rate (0.5 and 2 give the band) [-].
    NaN outside: below about 75 C first order fails, and an enzyme even firms the tissue. Raises ValueError
    for a class without a rate.
    """
    T, t = np.asarray(core_C, dtype=np.float64), np.asarray(hours, dtype=np.float64)
    inside = (number("vegetable", "low_C") <= T) & (number("vegetable", "high_C") >= T) & (t >= 0)
    done = speed * _rate_per_s(texture, T) * np.where(inside, t, 0.0) * 3600.0
    return np.where(inside, _left(done), np.nan)


def firmness_along(history: History, texture: str, *, speed: float = 1.0) -> float:
    """Firmness left at the core along a history [-]; time below 75 C counts nothing.

    NaN when the core went above 100 C or never reached 75 C. Raises ValueError for a class without a rate.
    """
    hottest = float(np.max(history.core_C))
    if not number("vegetable", "low_C") <= hottest <= number("vegetable", "high_C"):
        return float("nan")
    rate = partial(_rate_or_nothing_per_s, texture)
    return float(_left(np.float64(speed * integral(history.time_s, history.core_C, rate))))


def time_to_soften_s(texture: str, core_C: float, share: float = 0.9) -> float:
    """Time at temperature for a share of the softening that can happen [s].

    core_C : [degC], 75 to 100; share : 0 up to, not including, 1 [-]. Raises ValueError outside, and for a
    class without a rate.
    """
    low, high = number("vegetable", "low_C"), number("vegetable", "high_C")
    if not low <= core_C <= high:
        raise ValueError(f"no softening rate is known at {core_C:g} C; accepted: {low:g} to {high:g} C")
    if not 0.0 <= share < 1.0:
        raise ValueError(f"a softened share of {share:g} is never reached; accepted: 0 up to 1")
    return float(-np.log1p(-share) / _rate_per_s(texture, np.float64(core_C)))


def _left(done: ArrayLike) -> Floats:
    floor = number("vegetable", "firm_left")
    return np.asarray(floor + (1.0 - floor) * np.exp(-np.asarray(done, dtype=np.float64)))


def _rate_or_nothing_per_s(texture: str, T: Floats) -> Floats:
    return np.where(number("vegetable", "low_C") <= T, _rate_per_s(texture, T), 0.0)


def _rate_per_s(texture: str, T: ArrayLike) -> Floats:
    if not has_firmness(texture):
        known = ", ".join(table("vegetable.factor"))
        raise ValueError(f"no softening rate is known for {texture!r}; accepted: {known}")
    k100_per_s = number("vegetable.factor", texture) * number("vegetable", "k100_per_min") / 60.0
    return k100_per_s * arrhenius(np.asarray(T, dtype=np.float64), number("vegetable", "Ea_kJ_mol"), 100.0)
