"""Juiciness, read from the weight a piece loses as juice."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from corebath.outcome.parameters import number, words

Floats = NDArray[np.float64]


def cook_loss_pct(core_C: ArrayLike, hours: ArrayLike, kind: str = "beef") -> Floats:
    """Weight lost as juice [% of raw weight]; arguments broadcast, and so does the result.

    A logistic curve in core temperature whose middle moves with the log of the hours at temperature (warm-up
    not counted), the same for all meat. Fish has less to lose and gets the same curve at a lower ceiling.

    core_C : core temperature [degC], 50 to 75
    hours : time at that temperature [h], 0.5 to 24; beyond 12 h the model adds nothing
    kind : kind of food as in the catalogue
    NaN outside the range and for kinds without a model (shellfish, egg, vegetable). Raises ValueError for a
    word that is no kind. See `loss_spread_pct` for how far off it may be.
    """
    T, t = np.asarray(core_C, dtype=np.float64), np.asarray(hours, dtype=np.float64)
    ceiling = _ceiling_pct(kind)
    inside = (
        (number("juiciness", "low_C") <= T)
        & (number("juiciness", "high_C") >= T)
        & (number("juiciness", "low_h") <= t)
        & (number("juiciness", "high_h") >= t)
    )
    if ceiling is None:
        return np.full(inside.shape, np.nan)
    counted = np.minimum(np.where(inside, t, 1.0), number("juiciness", "cap_h"))
    seen_C = T + number("juiciness", "shift_K_per_decade") * np.log10(counted / number("juiciness", "reference_h"))
    loss = ceiling / (1.0 + np.exp((number("juiciness", "middle_C") - seen_C) / number("juiciness", "width_K")))
    return np.where(inside, loss, np.nan)


def juiciness_index(core_C: ArrayLike, hours: ArrayLike, kind: str = "beef") -> Floats:
    """Juice kept of the most that could go [-], 1 raw to 0 dry; range as `cook_loss_pct`."""
    return 1.0 - cook_loss_pct(core_C, hours, kind) / (_ceiling_pct(kind) or np.nan)


def loss_spread_pct(kind: str) -> float | None:
    """One standard deviation of the cook loss of a cut not measured before [points]; None without a model.

    Kinds that no study behind the model measured (lamb, duck, game) get twice the spread of the others.
    """
    if _ceiling_pct(kind) is None:
        return None
    return number("juiciness", "borrowed_spread_pct" if is_borrowed(kind) else "spread_pct")


def is_borrowed(kind: str) -> bool:
    """Whether the kind's curve is taken over from pork, beef and chicken."""
    return str(kind) in words("juiciness", "borrowed")


def loss_bounds_pct(core_C: float, hours: float, kind: str) -> tuple[float | None, float | None]:
    """What can still be said outside the range: (at least, at most) [% of raw weight], None where nothing.

    Loss rises with temperature and time, so the edge of the range bounds every cook beyond it, the spread
    added. Inside the range, or past it on two opposite sides, both are None.
    """
    nearest_C = min(max(core_C, number("juiciness", "low_C")), number("juiciness", "high_C"))
    nearest_h = min(max(hours, number("juiciness", "low_h")), number("juiciness", "high_h"))
    spread = loss_spread_pct(kind)
    if spread is None:
        return None, None
    edge = float(cook_loss_pct(nearest_C, nearest_h, kind))
    more = core_C > nearest_C or hours > nearest_h
    less = core_C < nearest_C or hours < nearest_h
    if more and not less:
        return max(edge - spread, 0.0), None
    if less and not more:
        return None, edge + spread
    return None, None


def _ceiling_pct(kind: str) -> float | None:
    if kind in words("juiciness", "measured") or is_borrowed(kind):
        return number("juiciness", "ceiling_pct")
    if kind in words("juiciness", "scaled"):
        return number("juiciness", "fish_ceiling_pct")
    if kind in words("juiciness", "none"):
        return None
    raise ValueError(f"{kind!r} is no kind of food; accepted: {', '.join(_kinds())}")


def _kinds() -> tuple[str, ...]:
    return tuple(kind for key in ("measured", "borrowed", "scaled", "none") for kind in words("juiciness", key))
