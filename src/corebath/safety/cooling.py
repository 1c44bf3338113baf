"""Cooling: the stages a cooked piece has to fall through in time."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cache

import numpy as np
from numpy.typing import NDArray

from corebath.heat.history import History
from corebath.safety.tables import citation, read_csv

# A core within this much of its peak has not begun to cool; it only follows the bath's own swings.
_STEADY_K = 0.5
# Cold storage and the end of the first cooling stage by the Food Code, 3-501.14 and 3-501.16.
COLD_C = 5.0
WARM_C = 21.0


@dataclass(frozen=True, slots=True)
class CoolingLimit:
    """One stage of a cooling rule: from one core temperature down to another within a time."""

    rule: str
    from_C: float
    to_C: float
    limit_s: float
    source: str


@dataclass(frozen=True, slots=True)
class CoolingTime:
    """How one history fared in one stage.

    start_s : the core last leaves `from_C`, or its peak where it never was that hot [s]
    elapsed_s : until it reached `to_C`, or until the history ended [s]
    finished : it did reach `to_C`
    """

    limit: CoolingLimit
    start_s: float
    elapsed_s: float
    finished: bool

    @property
    def kept(self) -> bool | None:
        """Within the limit; None while the history ends before that is decided."""
        if self.elapsed_s > self.limit.limit_s:
            return False
        return True if self.finished else None


@cache
def cooling_limits(rule: str) -> tuple[CoolingLimit, ...]:
    """The stages of a cooling rule. Raises ValueError for a rule that is not in the data."""
    limits = tuple(
        CoolingLimit(
            rule=row["rule"],
            from_C=float(row["from_C"]),
            to_C=float(row["to_C"]),
            limit_s=float(row["limit_h"]) * 3600.0,
            source=citation(row),
        )
        for row in read_csv("cooling.csv")
        if row["rule"] == rule
    )
    if not limits:
        raise ValueError(f"cooling rule {rule[:40]!r} is not known")
    return limits


def warm_parts(history: History) -> tuple[History, ...]:
    """The history cut where a core that was warm and became cold is warmed again; times stay as they are.

    Warm is above `WARM_C`, cold at or below `COLD_C`; the cut is the last cold row before the core rises.
    """
    core, start = history.core_C, 0
    parts: list[History] = []
    while True:
        warm = _next(core > WARM_C, start)
        cold = _next(core <= COLD_C, warm)
        again = _next(core > COLD_C, cold)
        parts.append(_rows(history, start, again))
        if again == core.size:
            return tuple(parts)
        start = again - 1


def _next(flags: NDArray[np.bool_], start: int) -> int:
    """Index of the first true flag from `start` on; the size where there is none."""
    found = np.flatnonzero(flags[start:])
    return start + int(found[0]) if found.size else flags.size


def _rows(history: History, start: int, stop: int) -> History:
    rows = slice(start, stop)
    return replace(
        history,
        time_s=history.time_s[rows],
        core_C=history.core_C[rows],
        mean_C=history.mean_C[rows],
        surface_C=history.surface_C[rows],
        ambient_C=history.ambient_C[rows],
        stage=history.stage[rows],
    )


def cooling_start_s(history: History) -> float:
    """When the core last leaves its peak [s]; the end of a history that does not cool."""
    peak_C = float(history.core_C.max())
    return last_above_s(history.time_s, history.core_C, peak_C - _STEADY_K)


def last_above_s(time_s: NDArray[np.float64], values: NDArray[np.float64], level: float) -> float:
    """Last time a sampled curve is at or above a level it does reach, linear between samples [s]."""
    i = int(np.flatnonzero(values >= level)[-1])
    if i + 1 == values.size:
        return float(time_s[-1])
    share = (values[i] - level) / (values[i] - values[i + 1])
    return float(time_s[i] + share * (time_s[i + 1] - time_s[i]))


def cooling_times(history: History, limits: tuple[CoolingLimit, ...]) -> tuple[CoolingTime, ...]:
    """Each stage of a cooling rule read off the history's core, which cools last.

    A stage the core does not enter (the history ends hotter, or never was that hot) is left out.
    """
    t, core, peak_C = history.time_s, history.core_C, float(history.core_C.max())
    times = []
    for limit in limits:
        start_C = min(limit.from_C, peak_C - _STEADY_K)
        start = last_above_s(t, core, start_C)
        if start_C <= limit.to_C or start >= history.duration_s:
            continue
        falling = (t > start) & (core <= limit.to_C)
        finished = bool(falling.any())
        end = history.duration_s
        if finished:
            i = int(np.argmax(falling))
            end = float(t[i] - (t[i] - t[i - 1]) * (limit.to_C - core[i]) / max(core[i - 1] - core[i], 1e-12))
        times.append(CoolingTime(limit, start, end - start, finished))
    return tuple(times)
