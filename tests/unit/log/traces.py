"""Series of readings for the tests of the log, short to write."""

from __future__ import annotations

from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Pair = tuple[Array, Array]
H = 3600.0
PARIS = ZoneInfo("Europe/Paris")
EVENING = datetime(2026, 11, 20, 18, 0, tzinfo=PARIS)


def steady(set_C: float, hours: float, every_s: float = 60.0) -> Pair:
    """A bath that swings a little about its set point."""
    t = np.arange(0.0, hours * H + 0.5, every_s)
    return t, set_C + 0.05 * np.sin(t / 97.0)


def failing(set_C: float, hours: float, fails_h: float, *, fades_h: float = 6.0, room_C: float = 20.0) -> Pair:
    """A bath whose heater stops, and which fades towards the room."""
    t, y = steady(set_C, hours)
    gone = np.maximum(t - fails_h * H, 0.0)
    return t, np.where(gone > 0, room_C + (set_C - room_C) * np.exp(-gone / (fades_h * H)), y)


def late(set_C: float, hours: float, on_h: float, *, tap_C: float = 16.0, rise_K_min: float = 1.5) -> Pair:
    """A bath that is switched on late."""
    t = np.arange(0.0, hours * H + 0.5, 60.0)
    return t, np.clip(tap_C + (t - on_h * H) / 60 * rise_K_min, tap_C, set_C)


def without(pair: Pair, from_h: float, to_h: float) -> Pair:
    """The series with a gap."""
    t, y = pair
    kept = (t < from_h * H) | (t > to_h * H)
    return t[kept], y[kept]


def as_csv(pair: Pair, *, start: datetime = EVENING, head: str = "Time,Bath (°C)") -> str:
    """The series as a logger in the cook's zone would write it."""
    lines = [f"{start + timedelta(seconds=float(s)):%Y-%m-%d %H:%M:%S},{c:.2f}" for s, c in zip(*pair, strict=True)]
    return "\n".join([head, *lines]) + "\n"
