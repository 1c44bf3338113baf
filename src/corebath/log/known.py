"""What is known of the bath: stretches that were measured, and the gaps between them.

A logger's silence is a gap. A cook who looks now and then is no logger: between two looks that found the bath at
its set point it is taken to have held, and what lies between the last such look and a bad one is a gap.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from corebath.heat.grid import Array
from corebath.units import mark

from .gaps import Beat, Gap, Silence, beat_of, gaps
from .settings import settings
from .unheated import Unheated

_FEW = 6
_SAME_s = 1e-3


@dataclass(frozen=True, slots=True)
class Stretch:
    """A stretch in which the bath is known; times from drop-in, rising, shape (n,), n >= 1 [s], [degC]."""

    time_s: Array
    value_C: Array


@dataclass(frozen=True, slots=True)
class Known:
    """The bath from drop-in to the end, in order.

    parts : stretches and gaps in turn;  beat : of the readings;  assumed : one sentence each
    """

    parts: tuple[Stretch | Gap, ...]
    beat: Beat
    assumed: tuple[str, ...]

    @property
    def gaps(self) -> tuple[Gap, ...]:
        """The gaps alone."""
        return tuple(part for part in self.parts if isinstance(part, Gap))


def known_bath(
    time_s: Array, value_C: Array, *, set_C: float, until_s: float, off: Sequence[tuple[float, float | None]],
    seen_fine_s: float | None, unheated: Unheated, trust_silence: bool,
) -> Known:  # fmt: skip
    """What readings and what the cook told come to.

    time_s, value_C : readings of the bath in rising time, from drop-in, shape (n,), n >= 0 [s], [degC]
    set_C : where it should stand;  until_s : the end, above 0 [s]
    off : stretches in which it was off as the cook told, the end None when not told [s]
    seen_fine_s : last time it was seen at its set point, None when not told [s]
    trust_silence : the cook knows that the power never failed
    """
    near = time_s <= until_s + _SAME_s
    t, y = time_s[near], value_C[near]
    beat = beat_of(t, y) if t.size else Beat(0.0, 0.0, False, float(settings("trace")["gap"]["longest_drawn_s"]))
    if t.size >= _FEW and beat.usual_s <= settings("trace")["gap"]["longest_drawn_s"]:
        return _logged(t, y, beat, until_s, unheated, trust_silence)
    return _looked_at(t, y, beat, set_C, until_s, off, seen_fine_s, unheated)


def _logged(t: Array, y: Array, beat: Beat, until_s: float, unheated: Unheated, trust: bool) -> Known:
    found = gaps(t, y, beat=beat, fall_K=None if unheated.bath is None else unheated.fall_K)
    assumed = []
    if trust:
        found = tuple(replace(g, trusted=True) if g.kind is Silence.SENSOR else g for g in found)
        assumed.append("As you say that the power never failed, a silent sensor counts as an unchanged bath.")
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
        parts.append(Gap(float(t[-1]), until_s, float(y[-1]), None, Silence.UNKNOWN, False, why))
    return Known(_from_drop_in(parts, until_s), beat, tuple(assumed))


def _looked_at(
    t: Array, y: Array, beat: Beat, set_C: float, until_s: float, off: Sequence[tuple[float, float | None]],
    seen_fine_s: float | None, unheated: Unheated,
) -> Known:  # fmt: skip
    """A bath that the cook looked at now and then, or not at all."""
    looks = dict(zip(t.tolist(), y.tolist(), strict=True))
    fine_C = set_C - settings("trace")["fine"]["below_K"]
    begins_off = any(start <= 0 for start, _ in off)
    if not begins_off and not any(s <= 0 for s in looks):
        looks[0.0] = set_C
    if seen_fine_s is not None and not any(abs(s - seen_fine_s) < 60 for s in looks):
        looks[seen_fine_s] = set_C
    times = sorted(s for s in looks if s <= until_s)
    parts: list[Stretch | Gap] = []
    ends = [*times[1:], None] if times else []
    if not times:
        parts.append(_off_gap(0.0, until_s, None, None))
    elif times[0] > 0:
        parts.append(_off_gap(0.0, times[0], None, looks[times[0]]))
    for start, end in zip(times, ends, strict=True):
        stop = until_s if end is None else end
        before, after = looks[start], None if end is None else looks[end]
        failed = next((s for s, _ in off if start - _SAME_s <= s < stop), None)
        if failed is not None or (before < fine_C and end is None):
            begins = start if failed is None else max(failed, start)
            parts.append(
                Stretch(
                    np.array([start, begins]) if begins > start else np.array([start]),
                    np.full(2 if begins > start else 1, before),
                )
            )
            if stop > begins:
                parts.append(_off_gap(begins, stop, before, after))
        elif before >= fine_C and (after is None or after >= fine_C):
            parts.append(Stretch(np.array([start, stop]), np.array([before, before if after is None else after])))
        else:
            parts.append(Stretch(np.array([start]), np.array([before])))
            parts += gaps(
                np.array([start, stop]),
                np.array([before, after]),
                beat=replace(beat, gap_s=0.0),
                fall_K=None if unheated.bath is None else unheated.fall_K,
            )
    assumed = [
        "Between two looks that found it there, and where no fault is told, the bath counts as having held its "
        f"{mark(round(set_C, 1), 'C')}."
    ]
    if any(end is not None and not any(s >= end for s in looks) for _, end in off):
        assumed.append("That the bath is on again counts only once a reading shows it: read it, and tell.")
    return Known(_from_drop_in(parts, until_s), beat, tuple(assumed))


def _off_gap(start: float, stop: float, before: float | None, after: float | None) -> Gap:
    why = f"For {mark(round(stop - start), 's')} the bath was off, or nobody knows better."
    return Gap(start, stop, before, after, Silence.OUTAGE, False, why)


def _from_drop_in(parts: Sequence[Stretch | Gap], until_s: float) -> tuple[Stretch | Gap, ...]:
    """The parts cut off at drop-in and at the end; a reading shortly after drop-in holds from it on."""
    out: list[Stretch | Gap] = []
    for part in parts:
        if isinstance(part, Gap):
            if part.end_s > 0:
                out.append(replace(part, start_s=max(part.start_s, 0.0)))
            continue
        t, y = part.time_s, part.value_C
        if t[-1] < 0 and part is not parts[-1]:
            continue
        if t[0] < 0:
            at = float(np.interp(0.0, t, y))
            t, y = np.append(0.0, t[t > 0]), np.append(at, y[t > 0])
        out.append(Stretch(t, y))
    first, last = out[0], out[-1]
    if isinstance(first, Stretch) and first.time_s[0] > 0:
        out[0] = first = Stretch(np.append(0.0, first.time_s), np.append(first.value_C[0], first.value_C))
        last = out[-1]
    if isinstance(last, Stretch) and last.time_s[-1] < until_s:
        out[-1] = Stretch(np.append(last.time_s, until_s), np.append(last.value_C, last.value_C[-1]))
    return tuple(out)
