"""Faults: stretches in which the bath was, or may have been, below where it should stand, or was above it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from corebath.heat.grid import Array
from corebath.units import mark

from .credited import measured as all_measured
from .parts import Known
from .settings import settings


class Failed(StrEnum):
    """What it looks like."""

    COLD_START = "not up to temperature at drop-in"
    WRONG = "wrong set point"
    LOST_HEAT = "lost heat"
    TOO_HOT = "too hot"
    NOT_KNOWN = "nothing measured"


@dataclass(frozen=True, slots=True)
class Fault:
    """One stretch below the set point, or above it.

    start_s : last moment known to be fine, from drop-in [s];  end_s : fine again, None when not yet [s]
    lowest_C : the bath in the worst case [degC];  why : one sentence, quantities as marks
    """

    kind: Failed
    start_s: float
    end_s: float | None
    lowest_C: float
    why: str


def faults_of(known: Known, worst: tuple[Array, Array], set_C: float) -> tuple[Fault, ...]:
    """The faults of a bath that should stand at `set_C` [degC].

    worst : its coldest course, times from drop-in and temperatures [s], [degC]
    """
    rules = settings("trace")["fine"]
    level = set_C - rules["below_K"]
    t, y = _with_crossings(*worst, level)
    found = []
    for start, end in _below(t, y, level):
        if t[end] - t[start] < rules["for_s"]:
            continue
        over = end < t.size - 1
        measured = _measured(known, float(t[start]), float(t[end]))
        kind = _kind(measured, float(t[start]), float(t[end] - t[start]))
        lowest = float(y[start : end + 1].min())
        found.append(
            Fault(kind, float(t[start]), float(t[end]) if over else None, lowest,
                  _why(kind, measured, set_C, lowest, float(t[end] - t[start]), over))
        )  # fmt: skip
    return tuple(found)


def hot_faults(known: Known, highest_set_C: float) -> tuple[Fault, ...]:
    """Stretches in which the bath was read above all that it was set to [degC].

    A single reading or two are no stretch: they are told as readings that count for nothing.
    """
    rules, lasts_s = settings("trace")["hot"], settings("trace")["fine"]["for_s"]
    t, y = all_measured(known)
    high = (y > highest_set_C + rules["above_K"]).astype(np.int8)
    edges = np.flatnonzero(np.diff(np.concatenate([[0], high, [0]])))
    found = []
    for a, b in zip(edges[::2], edges[1::2] - 1, strict=True):
        length_s = float(t[b] - t[a])
        if length_s < lasts_s or t[b] <= 0:
            continue
        lasted, top = mark(round(length_s), "s"), mark(round(float(y[a : b + 1].max()), 1), "C")
        why = (
            f"The bath was above its {mark(round(highest_set_C, 1), 'C')} for {lasted}, up to {top}: it looks like a "
            "wrong set point, or a wrong reading."
        )
        over = b < t.size - 1
        found.append(Fault(Failed.TOO_HOT, float(t[a]), float(t[b]) if over else None, float(y[a : b + 1].min()), why))
    return tuple(found)


def _with_crossings(t: Array, y: Array, level: float) -> tuple[Array, Array]:
    """The polyline with knots where it crosses a level."""
    cross = np.flatnonzero((y[:-1] - level) * (y[1:] - level) < 0)
    at = t[cross] + (t[cross + 1] - t[cross]) * (level - y[cross]) / (y[cross + 1] - y[cross])
    times = np.union1d(t, at)
    values = np.interp(times, t, y)
    values[np.searchsorted(times, at)] = level
    return times, values


def _below(t: Array, y: Array, level: float) -> list[tuple[int, int]]:
    """First and last row of every stretch at or below a level, short rises in it left in."""
    low = y < level - 1e-9
    edges = np.flatnonzero(np.diff(np.concatenate([[0], low.astype(np.int8), [0]])))
    spans = [(max(int(a) - 1, 0), min(int(b), t.size - 1)) for a, b in zip(edges[::2], edges[1::2], strict=True)]
    joined: list[tuple[int, int]] = []
    for a, b in spans:
        if joined and t[a] - t[joined[-1][1]] < settings("trace")["fine"]["for_s"]:
            joined[-1] = (joined[-1][0], b)
        else:
            joined.append((a, b))
    return joined


def _measured(known: Known, start_s: float, end_s: float) -> tuple[Array, Array]:
    t, y = all_measured(known)
    inside = (t > start_s) & (t < end_s)
    return t[inside], y[inside]


def _kind(measured: tuple[Array, Array], start_s: float, length_s: float) -> Failed:
    rules = settings("trace")["fine"]
    t, y = measured
    if t.size < 3 or float(t[-1] - t[0]) < 0.3 * length_s:
        return Failed.NOT_KNOWN
    middle = y[(t > t[0] + 0.3 * length_s)]
    flat = length_s >= rules["flat_s"] and middle.size > 2 and float(np.ptp(middle)) <= rules["flat_K"]
    above_room = float(np.median(y)) > settings("trace")["room"]["air_C"] + 10
    # A bath that was at its set point before has fallen, however evenly it stands since.
    if flat and above_room and start_s <= 0:
        return Failed.WRONG
    return Failed.COLD_START if start_s <= 0 else Failed.LOST_HEAT


def _why(
    kind: Failed, measured: tuple[Array, Array], set_C: float, lowest_C: float, length_s: float, over: bool
) -> str:
    y = measured[1]
    lasted, low = mark(round(length_s), "s"), mark(round(lowest_C, 1), "C")
    set_point = mark(round(set_C, 1), "C")
    if kind is Failed.WRONG:
        level = float(np.median(y))
        return (
            f"The bath stood at about {mark(round(level, 1), 'C')}, {mark(round(set_C - level, 1), 'K')} below its "
            f"{set_point}: it looks like a wrong set point."
        )
    if kind is Failed.COLD_START:
        if over:
            return f"It took {lasted} from drop-in until the bath was near its {set_point}; it was as low as {low}."
        return (
            f"In the {lasted} since drop-in the bath has not been near its {set_point}; it was as low as {low}: was it "
            "switched on?"
        )
    if kind is Failed.NOT_KNOWN:
        return f"For {lasted} the bath may have been below its {set_point}, as low as {low}: nothing was measured."
    end = "and came back" if over else "and has not come back"
    return f"The bath fell below its {set_point} for {lasted}, to {low}, {end}."
