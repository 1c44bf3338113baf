"""The temperature history of a piece: the one thing every reading is taken from."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray


@dataclass(frozen=True, slots=True)
class History:
    """Temperatures of one piece against time; every array has shape (n,).

    time_s : seconds since the first stage began, rising; a stage's end and the next one's start are both
        kept when the surface or ambient jumps there, so equal neighbours occur [s]
    core_C, mean_C, surface_C, ambient_C : temperatures [degC]
    stage : index of the stage each row belongs to [-]
    stage_names : names of the stages in order
    """

    time_s: NDArray[np.float64]
    core_C: NDArray[np.float64]
    mean_C: NDArray[np.float64]
    surface_C: NDArray[np.float64]
    ambient_C: NDArray[np.float64]
    stage: NDArray[np.intp]
    stage_names: tuple[str, ...]

    @property
    def duration_s(self) -> float:
        """From the first stage's start to the last one's end [s]."""
        return float(self.time_s[-1])

    def core_at(self, time_s: float) -> float:
        """Core temperature at a time, linear between rows [degC]; the ends hold outside the history."""
        return float(np.interp(time_s, self.time_s, self.core_C))

    def first_core_above(self, temperature_C: float) -> float | None:
        """First time the core is at or above a temperature [s], or None if it never is."""
        return first_crossing(self.time_s, self.core_C, temperature_C)

    def until(self, time_s: float) -> History:
        """The history cut off at a time [s]; unchanged when it already ends there."""
        if time_s >= self.duration_s:
            return self
        keep = self.time_s < time_s
        rows = np.append(np.flatnonzero(keep), min(int(keep.sum()), self.time_s.size - 1))

        def at(y: NDArray[np.float64]) -> NDArray[np.float64]:
            return np.append(y[keep], np.interp(time_s, self.time_s, y))

        return History(
            time_s=np.append(self.time_s[keep], time_s),
            core_C=at(self.core_C),
            mean_C=at(self.mean_C),
            surface_C=at(self.surface_C),
            ambient_C=at(self.ambient_C),
            stage=self.stage[rows],
            stage_names=self.stage_names,
        )

    def seconds_between(self, low_C: float, high_C: float) -> float:
        """Time the core spends from `low_C` up to `high_C` [s], linear between rows."""
        t, y = self.time_s, self.core_C
        dt, y0, y1 = np.diff(t), y[:-1], y[1:]
        lo, hi = np.minimum(y0, y1), np.maximum(y0, y1)
        inside = np.clip(np.minimum(hi, high_C) - np.maximum(lo, low_C), 0.0, None)
        flat = hi - lo < 1e-12
        share = np.where(flat, (lo >= low_C) & (lo <= high_C), inside / np.where(flat, 1.0, hi - lo))
        return float(np.sum(dt * share))


def first_crossing(time_s: NDArray[np.float64], values: NDArray[np.float64], level: float) -> float | None:
    """First time a sampled curve reaches `level` from below, linear between samples; None if never."""
    above = np.flatnonzero(values >= level)
    if above.size == 0:
        return None
    i = int(above[0])
    if i == 0:
        return float(time_s[0])
    y0, y1 = values[i - 1], values[i]
    return float(time_s[i - 1] + (time_s[i] - time_s[i - 1]) * (level - y0) / (y1 - y0))
