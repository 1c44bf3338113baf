"""What readings of a bath count for: none that is no water, and at worst none above what the bath was set to."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from corebath.bath.altitude import boiling_spread_C
from corebath.heat.grid import Array
from corebath.units import mark

from .gaps import Gap
from .parts import Known, Stretch
from .settings import settings
from .texts import limits

Pair = tuple[Array, Array]


def ceiling_C(highest_set_C: float) -> float:
    """What a reading of the bath counts for at most in the worst case [degC].

    highest_set_C : the highest temperature the bath was set to [degC]
    """
    return highest_set_C + float(settings("trace")["hot"]["credited_K"])


def of_water(bath: Pair, altitude_m: float) -> tuple[Pair, tuple[str, ...]]:
    """The readings that liquid water can show at an altitude [m], and what was left out in one sentence."""
    t, y = bath
    boils_C = boiling_spread_C(altitude_m).high + float(settings("trace")["hot"]["credited_K"])
    low_C, high_C = limits().lowest_bath_C, min(boils_C, limits().highest_bath_C)
    water = (y >= low_C) & (y <= high_C)
    left = np.flatnonzero(~water)
    if not left.size:
        return bath, ()
    first, between = int(left[0]), f"between {mark(low_C, 'C')} and {mark(round(high_C, 1), 'C')}"
    value, at = mark(round(float(y[first]), 1), "C"), _at(float(t[first]))
    if left.size == 1:
        said = f"A reading of the bath, {value} {at}, is left out: water here is {between}."
    else:
        said = f"{left.size} readings of the bath are left out, the first {value} {at}: water here is {between}."
    return (t[water], y[water]), (said,)


def too_hot_said(known: Known, highest_set_C: float) -> tuple[str, ...]:
    """One sentence on readings far above what the bath was set to, none where there are none."""
    t, y = measured(known)
    high = np.flatnonzero((y > highest_set_C + settings("trace")["hot"]["above_K"]) & (t >= 0))
    if not high.size:
        return ()
    top = int(high[np.argmax(y[high])])
    value, at = mark(round(float(y[top]), 1), "C"), _at(float(t[top]))
    most = mark(round(ceiling_C(highest_set_C), 1), "C")
    if high.size == 1:
        return (
            f"The bath reading of {value} {at} lies above what it was set to: in the worst case it counts as {most}.",
        )
    return (
        f"{high.size} readings lie above what the bath was set to, the highest {value} {at}: in the worst case they "
        f"count as {most}.",
    )


def credited(part: Stretch | Gap, most_C: float) -> Stretch | Gap:
    """A part of the bath with no reading above a temperature [degC]."""
    if isinstance(part, Stretch):
        return Stretch(part.time_s, np.minimum(part.value_C, most_C))
    before, after = (None if c is None else min(c, most_C) for c in (part.before_C, part.after_C))
    return replace(part, before_C=before, after_C=after)


def measured(known: Known) -> Pair:
    """All that was measured, in order."""
    stretches = [part for part in known.parts if isinstance(part, Stretch)]
    if not stretches:
        return np.zeros(0), np.zeros(0)
    return np.concatenate([s.time_s for s in stretches]), np.concatenate([s.value_C for s in stretches])


def _at(time_s: float) -> str:
    if time_s < 0:
        return f"{mark(round(-time_s), 's')} before drop-in"
    return f"{mark(round(time_s), 's')} after drop-in"
