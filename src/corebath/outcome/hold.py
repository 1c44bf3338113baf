"""From a history to what the models ask: one temperature and its hours, or the integral of a rate."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from corebath.heat.history import History
from corebath.outcome.parameters import ZERO_C_K, GAS_CONSTANT_kJ_molK, number

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Hold:
    """The hold that a history amounts to.

    core_C : highest core temperature that was kept up for ten minutes in all [degC]
    hours : time the core spent within a kelvin of it or above, warm-up not counted [h]
    """

    core_C: float
    hours: float


def sustained_hold(history: History) -> Hold:
    """The highest sustained core temperature and the hours near it.

    Meant for models fitted to cooks at one temperature. Of a cook in steps only the hottest step counts, and
    time at a lower step is left out: the models then say slightly too little loss and softening.
    """
    wanted_s = min(number("hold", "sustained_s"), history.duration_s)
    low, high = float(np.min(history.core_C)), float(np.max(history.core_C))
    for _ in range(40):
        middle = 0.5 * (low + high)
        if history.seconds_between(middle, np.inf) >= wanted_s:
            low = middle
        else:
            high = middle
    return Hold(low, history.seconds_between(low - number("hold", "within_K"), np.inf) / 3600.0)


def arrhenius(temperature_C: Floats, Ea_kJ_mol: float, reference_C: float) -> Floats:
    """How much faster a first-order change runs than at the reference temperature [-], any shape."""
    inverse = 1.0 / (temperature_C + ZERO_C_K) - 1.0 / (reference_C + ZERO_C_K)
    return np.asarray(np.exp(-Ea_kJ_mol / GAS_CONSTANT_kJ_molK * inverse))


def integral(time_s: Floats, temperature_C: Floats, rate: Callable[[Floats], Floats]) -> float:
    """Time integral of a rate along a sampled temperature, linear between samples [rate x s].

    Steps are cut to half a kelvin, over which even the steepest rate here changes by a fifth or so, and each
    is summed by the three-point Gauss rule.
    """
    step = np.diff(time_s)
    rise = np.diff(temperature_C)
    cuts = np.maximum(np.ceil(np.abs(rise) / 0.5).astype(np.intp), 1)
    row = np.repeat(np.arange(step.size), cuts)
    place = np.arange(row.size) - np.repeat(np.cumsum(cuts) - cuts, cuts)
    width = 1.0 / cuts[row]
    nodes, weights = np.polynomial.legendre.leggauss(3)
    share = (place[:, None] + 0.5 * (nodes + 1.0)) * width[:, None]
    values = rate(temperature_C[:-1][row][:, None] + rise[row][:, None] * share)
    return float(np.sum(values @ (0.5 * weights) * width * step[row]))
