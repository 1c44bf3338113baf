"""Stages: what surrounds a piece, and how well it touches it, over a stretch of time."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray


@dataclass(frozen=True, slots=True)
class Stage:
    """A stretch of a cook with one surface coefficient and a piecewise linear ambient.

    name : what the cook would call it ("bath", "ice water") [-]
    times_s : knots from 0 to the stage's duration, strictly rising, shape (n,), n >= 2 [s]
    ambient_C : ambient temperature at the knots, shape (n,), -60 to 300 [degC]
    h_W_m2K : surface coefficient, bag and cover included, 0.5 to 20000 [W/(m2 K)]

    Raises ValueError when a knot, a temperature or the coefficient is outside those ranges.
    """

    name: str
    times_s: NDArray[np.float64]
    ambient_C: NDArray[np.float64]
    h_W_m2K: float

    def __post_init__(self) -> None:
        t, a = self.times_s, self.ambient_C
        if t.ndim != 1 or t.shape != a.shape or t.size < 2:
            raise ValueError(f"stage {self.name!r} needs two or more knots, a time and a temperature each")
        if not (np.all(np.isfinite(t)) and np.all(np.isfinite(a))):
            raise ValueError(f"stage {self.name!r} holds a time or temperature that is not a number")
        if t[0] != 0 or np.any(np.diff(t) <= 0):
            raise ValueError(f"stage {self.name!r}: times must start at 0 and rise from knot to knot")
        if a.min() < -60 or a.max() > 300:
            raise ValueError(
                f"stage {self.name!r}: the ambient must lie between -60 and 300 C, got {a.min():g} to {a.max():g} C"
            )
        if not 0.5 <= self.h_W_m2K <= 20_000:
            raise ValueError(f"stage {self.name!r}: h must lie between 0.5 and 20000 W/m2K, got {self.h_W_m2K:g}")

    @property
    def duration_s(self) -> float:
        """Length of the stage [s]."""
        return float(self.times_s[-1])

    @classmethod
    def constant(cls, name: str, duration_s: float, ambient_C: float, h_W_m2K: float) -> Stage:
        """A stage whose ambient stands still."""
        return cls.ramp(name, duration_s, ambient_C, ambient_C, h_W_m2K)

    @classmethod
    def ramp(cls, name: str, duration_s: float, from_C: float, to_C: float, h_W_m2K: float) -> Stage:
        """A stage whose ambient changes at an even rate."""
        return cls(name, np.array([0.0, duration_s]), np.array([from_C, to_C]), h_W_m2K)

    @classmethod
    def trace(cls, name: str, times_s: ArrayLike, ambient_C: ArrayLike, h_W_m2K: float) -> Stage:
        """A stage whose ambient was measured; the first time becomes 0."""
        t = np.asarray(times_s, dtype=np.float64)
        return cls(name, t - t[:1].sum(), np.asarray(ambient_C, dtype=np.float64), h_W_m2K)
