"""Yolk of an egg in its shell: the time it thickens by, and what it then resembles."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from corebath.heat.history import History
from corebath.outcome.hold import arrhenius, integral
from corebath.outcome.parameters import number, numbers, words

Floats = NDArray[np.float64]


def yolk_textures() -> tuple[str, ...]:
    """What a yolk can resemble, thinnest first."""
    return words("yolk", "words")


def yolk_time_s(texture: str, bath_C: ArrayLike) -> Floats:
    """Time in the bath for a whole egg, warming included, until the yolk resembles `texture` [s].

    bath_C : [degC], 60 to 66, any shape. NaN outside, and where the time would be under 30 min: there
    warming, not thickening, sets the time. Raises ValueError for a texture not in `yolk_textures`.
    """
    if texture not in yolk_textures():
        raise ValueError(f"no yolk time is known for {texture!r}; accepted: {', '.join(yolk_textures())}")
    T = np.asarray(bath_C, dtype=np.float64)
    minutes = numbers("yolk", "minutes")[yolk_textures().index(texture)] / _speed(T)
    inside = (number("yolk", "low_C") <= T) & (number("yolk", "high_C") >= T)
    return np.where(inside & (minutes >= number("yolk", "shortest_min")), minutes * 60.0, np.nan)


def yolk_minutes_along(history: History) -> float:
    """Minutes in a bath at 63 C that a history is worth to the yolk [min].

    Counts by the water's temperature, since the published times include the egg's warming; water below 60 C
    counts nothing. NaN above 66 C and for under 30 min between 60 and 66 C.
    """
    low, high = number("yolk", "low_C"), number("yolk", "high_C")
    counted = lambda T: np.where(low <= T, 1.0, 0.0)  # noqa: E731
    time_s, ambient_C = history.time_s, history.ambient_C
    if float(np.max(ambient_C)) > high or integral(time_s, ambient_C, counted) < 60.0 * number("yolk", "shortest_min"):
        return float("nan")
    return integral(time_s, ambient_C, lambda T: np.where(low <= T, _speed(T), 0.0)) / 60.0


def name_yolk(minutes_at_63: float) -> str | None:
    """What the yolk resembles most closely, by time on a log scale; None when it is thinner than all."""
    minutes = np.asarray(numbers("yolk", "minutes"))
    if not minutes_at_63 >= minutes[0] * (1.0 - number("yolk", "band")):
        return None
    return yolk_textures()[int(np.argmin(np.abs(np.log(minutes / minutes_at_63))))]


def _speed(T: Floats) -> Floats:
    return arrhenius(T, number("yolk", "Ea_kJ_mol"), number("yolk", "reference_C"))
