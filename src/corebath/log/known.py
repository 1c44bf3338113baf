"""What is known of the bath: stretches that were measured, and the gaps between them.

A logger's silence is a gap, and its last reading counts for no later moment. A cook who looks now and then is no
logger: see `known_looks`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import inf

import numpy as np

from corebath.heat.grid import Array
from corebath.units import mark

from .gaps import Beat, Gap, Silence, beat_of, gaps
from .looks import known_looks
from .parts import POWER_HELD, Known, Stretch, from_drop_in, tail
from .settings import settings
from .unheated import Unheated

_FEW = 6
_SAME_s = 1e-3


def known_bath(
    time_s: Array, value_C: Array, *, set_C: float, until_s: float, off: Sequence[tuple[float, float | None]],
    seen_fine_s: float | None, unheated: Unheated, held_s: float | None = None, logged: bool | None = None,
) -> Known:  # fmt: skip
    """What readings and what the cook told come to.

    time_s, value_C : readings of the bath in rising time, from drop-in, shape (n,), n >= 0 [s], [degC]
    set_C : where it should stand;  until_s : the end, above 0 [s]
    off : stretches in which it was off as the cook told, the end None when not told [s]
    seen_fine_s : last time it was seen at its set point, None when not told [s]
    held_s : the last moment up to which the cook knows that the power had not failed, None when not told [s]
    logged : the readings are a logger's, whose silence is a gap; None to go by how many and how frequent they are

    Raises ValueError for a logger without a reading before the end.
    """
    near = time_s <= until_s + _SAME_s
    t, y = time_s[near], value_C[near]
    drawn_s = float(settings("trace")["gap"]["longest_drawn_s"])
    beat = beat_of(t, y) if t.size else Beat(0.0, 0.0, False, drawn_s)
    trust_s = -inf if held_s is None else held_s
    if until_s - trust_s <= drawn_s:
        trust_s = inf
    if logged is None:
        logged = t.size >= _FEW and beat.usual_s <= drawn_s
    if logged:
        if not t.size:
            raise ValueError("no reading lies before the moment judged, so there is nothing to judge by")
        return _logged(t, y, beat, set_C, until_s, seen_fine_s, unheated, trust_s)
    return known_looks(
        t, y, beat=beat, set_C=set_C, until_s=until_s, off=off, seen_fine_s=seen_fine_s, unheated=unheated,
        trust_s=trust_s,
    )  # fmt: skip


def _logged(
    t: Array, y: Array, beat: Beat, set_C: float, until_s: float, seen_fine_s: float | None, unheated: Unheated,
    trust_s: float,
) -> Known:  # fmt: skip
    assumed = []
    seen = seen_fine_s is not None and seen_fine_s <= until_s and np.abs(t - seen_fine_s).min() > beat.gap_s
    if seen_fine_s is not None and seen:
        at = int(np.searchsorted(t, seen_fine_s))
        t, y = np.insert(t, at, seen_fine_s), np.insert(y, at, set_C)
        assumed.append("The moment at which you saw the bath at its set point counts as a reading.")
    if t[-1] + beat.gap_s < trust_s < until_s and y[-1] >= set_C - settings("trace")["fine"]["below_K"]:
        t, y = np.append(t, trust_s), np.append(y, y[-1])
    found = gaps(t, y, beat=beat, fall_K=None if unheated.bath is None else unheated.fall_K)
    if trust_s > -inf:
        silent = (Silence.SENSOR, Silence.BETWEEN)
        found = tuple(replace(g, trusted=g.trusted or (g.kind in silent and g.end_s <= trust_s)) for g in found)
        assumed.append(POWER_HELD)
    elif any(g.trusted for g in found):
        assumed.append(
            "The sensor reports only changes, so its silence, for an hour at most, counts as an unchanged bath."
        )
    parts: list[Stretch | Gap] = []
    if t[0] > beat.gap_s:
        why = f"The first reading comes {mark(round(float(t[0])), 's')} after drop-in."
        parts.append(Gap(0.0, float(t[0]), None, float(y[0]), Silence.UNKNOWN, False, why))
    cuts = np.searchsorted(t, [g.start_s for g in found]) + 1 if found else np.array([], dtype=np.intp)
    for i, rows in enumerate(np.split(np.arange(t.size), cuts)):
        parts.append(Stretch(t[rows], y[rows]))
        if i < len(found):
            parts.append(found[i])
    if until_s - t[-1] > beat.gap_s:
        why = f"The readings end {mark(round(until_s - float(t[-1])), 's')} before the moment judged."
        parts.append(tail(float(t[-1]), until_s, float(y[-1]), set_C, why, trust=trust_s == inf))
    return Known(from_drop_in(parts, until_s), beat, tuple(assumed))
