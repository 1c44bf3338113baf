"""Small pieces of sentences that several answers share."""

from __future__ import annotations

from math import isfinite

from corebath.bath.spread import Spread
from corebath.units import MarkUnit, mark

_DIGITS = {"C": 1, "K": 1, "s": 0, "m": 4, "kg": 4, "L": 3}
_NARROW = 0.03


def quantity(value: float, unit: MarkUnit) -> str:
    """A quantity as a mark, rounded to what a model of losses can mean."""
    return mark(round(value, _DIGITS[unit]) + 0.0, unit)


def ranged(spread: Spread, unit: MarkUnit) -> str:
    """Nominal figure with its range, as marks: "about A (B to C)"; a range under 3 % is not worth saying.

    An endless nominal figure, or end, is said as what may not come at all.
    """
    if not isfinite(spread.low):
        return "no time that can be known"
    if not isfinite(spread.nominal):
        return f"{quantity(spread.low, unit)} at the soonest, likely not at all"
    if spread.high - spread.low <= _NARROW * abs(spread.nominal):
        return f"about {quantity(spread.nominal, unit)}"
    if not isfinite(spread.high):
        return f"about {quantity(spread.nominal, unit)} ({quantity(spread.low, unit)} or more, perhaps not at all)"
    return f"about {quantity(spread.nominal, unit)} ({quantity(spread.low, unit)} to {quantity(spread.high, unit)})"
