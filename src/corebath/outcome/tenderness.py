"""Tenderness: a weak index for tender cuts, and the time to done that practice implies for tough ones."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from corebath.heat.history import History
from corebath.outcome.hold import integral
from corebath.outcome.parameters import number, numbers, table, words

Floats = NDArray[np.float64]


def shear_change_ln(core_C: ArrayLike, hours: ArrayLike) -> Floats:
    """Natural log of shear force over the muscle's own raw level [-]; arguments broadcast.

    Fibres harden with temperature (about 66 C), tissue softens with hours. Within one study it follows the
    measured ratios to about 18 %; from one study to another it hardly predicts.

    core_C : [degC], 50 to 80; hours : time at temperature [h], 0 to 24. NaN outside.
    """
    T, t = np.asarray(core_C, dtype=np.float64), np.asarray(hours, dtype=np.float64)
    inside = (number("tenderness", "low_C") <= T) & (number("tenderness", "high_C") >= T)
    inside = inside & (t >= 0) & (number("tenderness", "high_h") >= t)
    middle, width = number("tenderness", "hardening_middle_C"), number("tenderness", "hardening_width_K")
    hardened = 1.0 / (1.0 + np.exp((middle - T) / width))
    tau_h = number("tenderness", "tau60_h") * 10.0 ** ((60.0 - T) / number("tenderness", "z_K"))
    softened = -np.expm1(-np.where(inside, t, 0.0) / tau_h)
    change = number("tenderness", "hardening") * hardened - number("tenderness", "softening") * softened
    return np.where(inside, change, np.nan)


def tenderness_index(texture: str, core_C: ArrayLike, hours: ArrayLike, *, off: float = 1.0) -> Floats:
    """Tenderness of a texture class [-], 0 tough to 1 very tender or done; arguments broadcast.

    Tender and medium-tough cuts: from shear force (consumer thresholds; 0.5 is the usual "tender" line),
    50 to 80 C, up to 24 h. Tough cuts: share of the way to done, 1 when done, 55 to 85 C; it knows nothing of
    meat gone mushy. NaN outside the range and for classes without a model (`has_tenderness`).

    off : factor on the shear force, or on the time to done, to show a band [-]
    """
    if is_tough(texture):
        return np.minimum(np.asarray(hours, dtype=np.float64) / (off * tough_done_hours_at(core_C)), 1.0)
    ln = shear_change_ln(core_C, hours)
    if texture not in _collagen():
        return np.full(ln.shape, np.nan)
    shear = off * raw_shear_kgf(texture) * np.exp(ln)
    index = np.interp(shear, numbers("tenderness.index", "shear_kgf"), numbers("tenderness.index", "index"))
    return np.where(np.isnan(ln), np.nan, index)


def raw_shear_kgf(texture: str) -> float:
    """Typical shear force of a class before cooking changes it, from its collagen [kgf].

    Raises ValueError for a class whose collagen is not in the table.
    """
    if texture not in _collagen():
        raise ValueError(f"no collagen is known for {texture!r}; accepted: {', '.join(_collagen())}")
    slope = number("tenderness.raw", "slope_kgf_per_pct")
    return number("tenderness.raw", "intercept_kgf") + slope * _collagen()[texture]


def tough_done_hours(core_C: float) -> tuple[float, float, float]:
    """Hours at temperature for a tough cut to be done: (centre, low, high) [h].

    A line through common practice for tough beef, with a factor of 1.5 either way; a first guess, not a
    measurement. Raises ValueError outside 55 to 85 C: below, softening is mainly the work of enzymes.
    """
    centre = float(tough_done_hours_at(core_C))
    if np.isnan(centre):
        low, high = number("tenderness.done", "low_C"), number("tenderness.done", "high_C")
        raise ValueError(f"no time to done is known at {core_C:g} C; accepted: {low:g} to {high:g} C")
    factor = number("tenderness.done", "factor")
    return centre, centre / factor, centre * factor


def tough_done_hours_at(core_C: ArrayLike) -> Floats:
    """Centre of `tough_done_hours` for an array of temperatures [h]; NaN outside 55 to 85 C."""
    T = np.asarray(core_C, dtype=np.float64)
    inside = (number("tenderness.done", "low_C") <= T) & (number("tenderness.done", "high_C") >= T)
    log10_h = number("tenderness.done", "log10_h60") - (T - 60.0) / number("tenderness.done", "z_K")
    return np.where(inside, 10.0**log10_h, np.nan)


def done_share(history: History) -> float:
    """How far a tough cut came along a history: 1 is done, 2 twice the time it needs [-].

    Time counts in proportion to the speed at the core's temperature of the moment; below 55 C it counts
    nothing. NaN when the core went above 85 C, where no speed is known.
    """
    if float(np.max(history.core_C)) > number("tenderness.done", "high_C"):
        return float("nan")
    speed = lambda T: np.nan_to_num(1.0 / tough_done_hours_at(T)) / 3600.0  # noqa: E731
    return integral(history.time_s, history.core_C, speed)


def is_tough(texture: str) -> bool:
    """Whether the class is read by its share of the way to done."""
    return texture in words("tenderness.done", "textures")


def has_tenderness(texture: str) -> bool:
    """Whether any tenderness model covers the class."""
    return is_tough(texture) or texture in _collagen()


def shear_spread(texture: str, kind: str) -> float | None:
    """Half-width of the shear force band as a share [-]; None for a class or kind without a model."""
    if texture not in _collagen():
        return None
    if kind in words("tenderness", "measured"):
        return number("tenderness", "spread")
    return number("tenderness", "borrowed_spread") if kind in words("tenderness", "borrowed") else None


def _collagen() -> dict[str, float]:
    return table("tenderness.collagen_pct")
