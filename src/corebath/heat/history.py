"""The temperature history of a piece: the one thing every reading is taken from."""

from __future__ import annotations

from dataclasses import dataclass
from math import isnan

import numpy as np
from numpy.typing import NDArray

_ROUNDING_s = 1e-6


@dataclass(frozen=True, slots=True)
class History:
    """Temperatures of one piece against time; every array has shape (n,).

    time_s : seconds since the first stage began, or since a later moment that counts as 0, rising; a stage's end
        and the next one's start are both kept when the surface or ambient jumps there, so equal neighbours occur [s]
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
        """Core temperature at a time within the history, linear between rows [degC].

        Raises ValueError for a time before its start or past its end.
        """
        if not -_ROUNDING_s <= time_s <= self.duration_s + _ROUNDING_s:
            raise ValueError(f"the time must lie between 0 and {self.duration_s:g} s, got {time_s:g} s")
        return float(np.interp(time_s, self.time_s, self.core_C))

    def first_core_above(self, temperature_C: float) -> float | None:
        """First time the core is at or above a temperature [s], or None if it never is."""
        return first_crossing(self.time_s, self.core_C, temperature_C)

    def until(self, time_s: float) -> History:
        """The history cut off at a time [s]; unchanged when it already ends there.

        A cut where two stages meet keeps the end of the earlier one. Raises ValueError for a time below 0.
        """
        if not time_s >= 0:
            raise ValueError(f"a history can be cut at 0 s or later, got {time_s:g} s")
        if time_s >= self.duration_s:
            return self
        past = int(np.searchsorted(self.time_s, time_s, side="left"))
        keep = np.append(np.arange(past), past)

        def at(y: NDArray[np.float64]) -> NDArray[np.float64]:
            cut: NDArray[np.float64] = y[keep]
            if past > 0:
                cut[-1] = np.interp(time_s, self.time_s[past - 1 : past + 1], y[past - 1 : past + 1])
            return cut

        return History(
            time_s=np.append(self.time_s[:past], time_s),
            core_C=at(self.core_C),
            mean_C=at(self.mean_C),
            surface_C=at(self.surface_C),
            ambient_C=at(self.ambient_C),
            stage=self.stage[keep],
            stage_names=self.stage_names,
        )

    @property
    def coldest_C(self) -> NDArray[np.float64]:
        """The colder of core and surface at each row, shape (n,) [degC]."""
        return np.minimum(self.core_C, self.surface_C)

    @property
    def warmest_C(self) -> NDArray[np.float64]:
        """The warmer of core and surface at each row, shape (n,) [degC]."""
        return np.maximum(self.core_C, self.surface_C)

    def seconds_between(self, low_C: float, high_C: float) -> float:
        """Time the core spends from `low_C` up to `high_C`, both included [s], linear between rows.

        Either may be infinite. Raises ValueError when `low_C` is above `high_C` or one is not a number.
        """
        if not low_C <= high_C:
            raise ValueError(f"the lower temperature must not exceed the higher, got {low_C:g} and {high_C:g} C")
        t, y = self.time_s, self.core_C
        dt, y0, y1 = np.diff(t), y[:-1], y[1:]
        lo, hi = np.minimum(y0, y1), np.maximum(y0, y1)
        inside = np.clip(np.minimum(hi, high_C) - np.maximum(lo, low_C), 0.0, None)
        flat = hi - lo < 1e-12
        share = np.where(flat, (lo >= low_C) & (lo <= high_C), inside / np.where(flat, 1.0, hi - lo))
        return float(np.sum(dt * share))


def seconds_above(time_s: NDArray[np.float64], values: NDArray[np.float64], level: float) -> float:
    """Time a sampled curve is at or above `level`, linear between samples, in the unit of `time_s`."""
    low, high = np.minimum(values[:-1], values[1:]), np.maximum(values[:-1], values[1:])
    span = np.where(high > low, high - low, 1.0)
    share = np.where(low >= level, 1.0, np.clip((high - level) / span, 0.0, 1.0))
    return float(np.sum(np.diff(time_s) * share))


def first_crossing(time_s: NDArray[np.float64], values: NDArray[np.float64], level: float) -> float | None:
    """First time a sampled curve is at or above `level`, linear between samples; None if it never is.

    Raises ValueError when the level is not a number.
    """
    if isnan(level):
        raise ValueError("the temperature to reach must be a number, got nan")
    above = np.flatnonzero(values >= level)
    if above.size == 0:
        return None
    i = int(above[0])
    if i == 0:
        return float(time_s[0])
    y0, y1 = values[i - 1], values[i]
    return float(time_s[i - 1] + (time_s[i] - time_s[i - 1]) * (level - y0) / (y1 - y0))
