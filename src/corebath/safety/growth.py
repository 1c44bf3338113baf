"""Growth: how far an organism could multiply along a history, read pessimistically."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

import numpy as np
from numpy.typing import ArrayLike, NDArray

from corebath.safety.lethality import FLAT_K, checked_history
from corebath.safety.tables import citation, read_csv

Floats = NDArray[np.float64]

# Spacing of the tabulated integral of the growth rate over temperature.
_STEP_K = 0.01


@dataclass(frozen=True, slots=True)
class GrowthModel:
    """Cardinal temperature model of a growth rate (Rosso, Lobry and Flandrois 1993; equation from memory).

    With a = Topt - Tmin,
    mu = mu_opt (T - Tmax)(T - Tmin)^2 / {a [a (T - Topt) - (Topt - Tmax)(Topt + Tmin - 2T)]}
    between Tmin and Tmax and 0 outside; it is 0 at both ends and mu_opt at Topt.

    Tmin_C, Topt_C, Tmax_C : cardinal temperatures [degC]; mu_opt_per_h : fastest rate [ln units per hour]
    Raises ValueError unless Tmin < Topt < Tmax, 2 Topt > Tmin + Tmax and mu_opt > 0.
    """

    key: str
    organism: str
    medium: str
    Tmin_C: float
    Topt_C: float
    Tmax_C: float
    mu_opt_per_h: float
    source: str

    def __post_init__(self) -> None:
        ordered = self.Tmin_C < self.Topt_C < self.Tmax_C
        if not ordered or not 2 * self.Topt_C > self.Tmin_C + self.Tmax_C or not self.mu_opt_per_h > 0:
            raise ValueError(f"growth model {self.key}: the optimum must lie in the upper half of the range and grow")

    def rate_per_h(self, temperature_C: ArrayLike) -> Floats:
        """Growth rate at a temperature, any shape [ln units per hour]; 0 outside Tmin to Tmax."""
        T = np.asarray(temperature_C, dtype=np.float64)
        lo, opt, hi = self.Tmin_C, self.Topt_C, self.Tmax_C
        inside = np.clip(T, lo, hi)
        below = (opt - lo) * ((opt - lo) * (inside - opt) - (opt - hi) * (opt + lo - 2.0 * inside))
        rate = self.mu_opt_per_h * (inside - hi) * (inside - lo) ** 2 / below
        return np.where((lo < T) & (hi > T), rate, 0.0)


def growth_log10(time_s: ArrayLike, core_C: ArrayLike, model: GrowthModel) -> Floats:
    """Decimal multiplications of an organism along a history, cumulative [log10].

    No lag is allowed for, on purpose: spores need an hour or more to germinate, so the figure is an upper
    bound and runs well above what is measured. Nothing is taken off for death above Tmax.

    time_s : shape (n,) [s]; core_C : shape (..., n), linear between samples [degC]; returns (..., n).
    Raises ValueError for shapes that do not fit, times that fall and values that are not finite.
    """
    t, T = checked_history(time_s, core_C)
    nodes, area = _area(model)
    step = np.diff(T)
    flat = np.abs(step) <= FLAT_K
    mean = np.divide(np.diff(np.interp(T, nodes, area)), step, where=~flat, out=np.zeros_like(step))
    mean[flat] = model.rate_per_h(0.5 * (T[..., 1:] + T[..., :-1])[flat])
    out = np.zeros_like(T)
    np.cumsum(mean * np.diff(t) / (3600.0 * np.log(10.0)), axis=-1, out=out[..., 1:])
    return out


@cache
def _area(model: GrowthModel) -> tuple[Floats, Floats]:
    """The rate's integral over temperature, tabulated from Tmin to Tmax."""
    nodes = np.linspace(model.Tmin_C, model.Tmax_C, int((model.Tmax_C - model.Tmin_C) / _STEP_K) + 2)
    rate = model.rate_per_h(nodes)
    steps = 0.5 * (rate[1:] + rate[:-1]) * np.diff(nodes)
    return nodes, np.concatenate([[0.0], np.cumsum(steps)])


@cache
def growth_models() -> Mapping[str, GrowthModel]:
    """Growth models with a full set of published parameters, by key."""
    return MappingProxyType(
        {
            row["key"]: GrowthModel(
                key=row["key"],
                organism=row["organism"],
                medium=row["medium"],
                Tmin_C=float(row["Tmin_C"]),
                Topt_C=float(row["Topt_C"]),
                Tmax_C=float(row["Tmax_C"]),
                mu_opt_per_h=float(row["mu_opt_ln_per_h"]),
                source=citation(row),
            )
            for row in read_csv("growth.csv")
        }
    )


@dataclass(frozen=True, slots=True)
class GrowthLimit:
    """Temperatures between which an organism can grow [degC]."""

    organism: str
    low_C: float
    high_C: float
    source: str


@cache
def growth_limits() -> tuple[GrowthLimit, ...]:
    """Growth limits of the organisms that matter in a kitchen."""
    return tuple(
        GrowthLimit(row["organism"], float(row["min_C"]), float(row["max_C"]), citation(row))
        for row in read_csv("growth_limits.csv")
    )


def growers_at(temperature_C: float) -> tuple[str, ...]:
    """Organisms that can grow at a temperature, in the order of the data."""
    return tuple(g.organism for g in growth_limits() if g.low_C <= temperature_C <= g.high_C)
