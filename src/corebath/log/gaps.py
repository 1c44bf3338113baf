"""Gaps in a series of readings: whether the sensor was silent or the bath really failed, and how bad it can have been.

Nothing is ever drawn through a gap: it is bounded by its best and its worst case.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from corebath.heat.grid import Array
from corebath.units import mark

from .settings import settings


class Silence(StrEnum):
    """What a gap looks like. Only the values either side tell, so it stays an opinion: the worst case goes by both.

    BETWEEN : the logger's own rhythm, too slow to draw a line from one reading to the next
    """

    SENSOR = "silent sensor"
    BETWEEN = "between readings"
    OUTAGE = "outage"
    UNKNOWN = "not known"


@dataclass(frozen=True, slots=True)
class Beat:
    """How often a series reports.

    usual_s : median interval, 0 for a single reading [s];  step_K : smallest change it shows, 0 when never [K]
    on_change : it reports only when the value changes;  gap_s : an interval longer than this is a gap [s]
    """

    usual_s: float
    step_K: float
    on_change: bool
    gap_s: float

    @property
    def words(self) -> str:
        """The beat in words, quantities as marks."""
        if self.usual_s == 0:
            return "a single reading"
        if self.on_change:
            return f"reported only when it changes, by {mark(round(self.step_K, 2), 'K')} or more"
        return f"one every {mark(round(self.usual_s, 1), 's')}"


@dataclass(frozen=True, slots=True)
class Gap:
    """A stretch without readings.

    start_s, end_s : last reading before and first one after, in the series' own time [s]
    before_C, after_C : those readings [degC], None where the series has not begun or is over
    kind : what it looks like;  trusted : a sensor that reports on change has only been silent for a while
    why : one sentence, quantities as marks
    """

    start_s: float
    end_s: float
    before_C: float | None
    after_C: float | None
    kind: Silence
    trusted: bool
    why: str

    @property
    def length_s(self) -> float:
        """How long nothing is known [s]."""
        return self.end_s - self.start_s


def beat_of(time_s: Array, value_C: Array) -> Beat:
    """How often a series in rising time reports; arrays of shape (n,), n >= 1 [s], [degC]."""
    rules, change = settings("trace")["gap"], settings("trace")["on_change"]
    if time_s.size < 2:
        return Beat(0.0, 0.0, False, rules["longest_drawn_s"])
    intervals, moves = np.diff(time_s), np.abs(np.diff(value_C))
    usual = float(np.median(intervals))
    moved = moves[(moves > 1e-6) & (intervals <= rules["times_usual"] * usual)]
    step = float(np.percentile(moved, 2)) if moved.size else 0.0
    uneven = float(np.percentile(intervals, 90)) > change["uneven"] * usual
    repeats = float(np.mean(moves < 1e-6))
    on_change = bool(moved.size >= change["fewest"] and repeats <= change["repeats"] and uneven)
    gap = min(max(rules["times_usual"] * usual, rules["shortest_s"]), rules["longest_drawn_s"])
    return Beat(usual, step, on_change, rules["longest_drawn_s"] if on_change else gap)


def gaps(
    time_s: Array, value_C: Array, *, beat: Beat | None = None, fall_K: Callable[[float, float], float] | None = None
) -> tuple[Gap, ...]:
    """Every gap of a series in rising time.

    time_s, value_C : shape (n,) [s], [degC];  beat : from `beat_of` when None
    fall_K : how far the unheated bath falls from a temperature [degC] in a time [s], None when nothing is known of it
    """
    known = beat or beat_of(time_s, value_C)
    longest = np.flatnonzero(np.diff(time_s) > known.gap_s)
    return tuple(_gap(time_s, value_C, int(i), known, fall_K) for i in longest)


def _gap(t: Array, y: Array, i: int, beat: Beat, fall_K: Callable[[float, float], float] | None) -> Gap:
    length, before, after = float(t[i + 1] - t[i]), float(y[i]), float(y[i + 1])
    same = settings("trace")["steady"]
    within = min(max(same["steps"] * beat.step_K, same["within_K"]), same["widest_K"])
    trusted = False
    if abs(before - after) <= within:
        kind = Silence.SENSOR
        trusted = beat.on_change and length <= settings("trace")["on_change"]["trusted_s"]
        why = f"the readings either side agree within {mark(round(within, 1), 'K')}"
    elif after > before:
        # A bath on its way up goes on: the readings before the gap must have been rising as fast.
        rise = _slope(t, y, i) * length
        kind = Silence.SENSOR if rise > 0.5 * (after - before) else Silence.UNKNOWN
        why = "the bath was heating before and after" if kind is Silence.SENSOR else "it was warmer after than before"
    else:
        kind, why = _fallen(before - after, before, length, fall_K)
    said = f"No readings for {mark(round(length), 's')}: it looks like {_words(kind)}, as {why}."
    if t.size > 2 and not beat.on_change and length <= settings("trace")["gap"]["own_rhythm"] * beat.usual_s:
        every = mark(round(beat.usual_s), "s")
        if kind is Silence.SENSOR:
            kind = Silence.BETWEEN
            said = f"The logger reads every {every}; between two readings nothing is known of the bath."
        else:
            said = f"The logger reads every {every}; between two readings it looks like {_words(kind)}, as {why}."
    return Gap(float(t[i]), float(t[i + 1]), before, after, kind, trusted, said)


def _fallen(
    fall: float, before: float, length: float, fall_K: Callable[[float, float], float] | None
) -> tuple[Silence, str]:
    fell = f"the bath fell by {mark(round(fall, 1), 'K')}"
    if fall_K is not None:
        most = fall_K(before, length)
        if fall <= 1.2 * most + 0.5:
            return Silence.OUTAGE, f"{fell}, within what it loses unheated in that time"
        return Silence.UNKNOWN, f"{fell}, more than the {mark(round(most, 1), 'K')} it loses unheated in that time"
    limits = settings("trace")["cooling"]
    rate = fall / length * 3600
    if limits["slowest_K_h"] <= rate <= limits["fastest_K_h"]:
        return Silence.OUTAGE, f"{fell}, as an unheated bath does"
    return Silence.UNKNOWN, f"{fell}, faster than an unheated bath does"


def _words(kind: Silence) -> str:
    return {Silence.SENSOR: "a silent sensor", Silence.OUTAGE: "a real outage"}.get(kind, "neither for certain")


def _slope(t: Array, y: Array, i: int) -> float:
    first = max(0, i - 5)
    run = float(t[i] - t[first])
    return float(y[i] - y[first]) / run if run > 0 else 0.0
