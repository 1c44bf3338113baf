"""The bath that every solver of the ratios is given, its exact answer, and our own."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import brentq
from scipy.special import j0, j1

from corebath.heat.body import Axis, Body
from corebath.heat.conduction import cook
from corebath.heat.material import Material
from corebath.heat.stage import Stage

Array = NDArray[np.float64]
Row = tuple[str, float, str]

BEEF = Material(0.48, 1060.0, 3500.0)
START_C, BATH_C, H_W_m2K = 5.0, 60.0, 150.0
LOOKED_AT_s = 300.0
_TERMS = 40


def best(run: Callable[[], object], repeats: int = 7) -> float:
    """Shortest of several runs [s], after one to warm up.

    Processor time of this program, which is what the clock shows on an idle machine for work of one thread; or the
    clock's own time, where several threads make that the shorter.
    """
    run()
    shortest = np.inf
    for _ in range(repeats):
        clock, processor = time.perf_counter(), time.process_time()
        run()
        shortest = min(shortest, time.perf_counter() - clock, time.process_time() - processor)
    return float(shortest)


def steps(first: int, duration_s: float) -> Iterator[tuple[int, float]]:
    """How many steps of what length [s] a rival takes in every five minutes: `first`, then half as many, down to an
    eighth, since the core moves ever more evenly."""
    for interval in range(round(duration_s / LOOKED_AT_s)):
        count = max(first // 2 ** min(interval, 3), 1)
        yield count, LOOKED_AT_s / count


def exact_core(body: Body, times_s: Array) -> Array:
    """The product of the exact series of plate and cylinder (Carslaw and Jaeger 1959, ch. 3 and 7) [degC]."""
    left = np.ones_like(times_s)
    for axis in body.axes:
        mu, weight = _series(axis)
        fourier = BEEF.alpha_m2_s * times_s / axis.half_m**2
        left *= (weight * np.exp(-np.outer(fourier, mu**2))).sum(axis=1)
    return BATH_C + (START_C - BATH_C) * left


def _series(axis: Axis) -> tuple[Array, Array]:
    biot = H_W_m2K * axis.half_m / BEEF.k_W_mK
    if axis.order == 1:
        ends = [(n * np.pi, (n + 0.5) * np.pi) for n in range(_TERMS)]
        mu = np.array([brentq(lambda x: x * np.sin(x) - biot * np.cos(x), *end) for end in ends])
        return mu, 4 * np.sin(mu) / (2 * mu + np.sin(2 * mu))
    # Between two zeros of J1 lies one root, and McMahon's (n + 1/4) pi is below each of them by a little.
    zeros = [0.0, *(brentq(j1, (n + 0.25) * np.pi - 0.3, (n + 0.25) * np.pi + 0.3) for n in range(1, _TERMS + 1))]
    mu = np.array([brentq(lambda x: x * j1(x) - biot * j0(x), a + 1e-9, b - 1e-9) for a, b in pairwise(zeros)])
    return mu, 2 * j1(mu) / (mu * (j0(mu) ** 2 + j1(mu) ** 2))


def modes_core(body: Body, bath: Stage, times_s: Array) -> Array:
    """Core at some times by the heat room [degC]."""
    history = cook(body, BEEF, START_C, [bath]).history
    return np.interp(times_s, history.time_s, history.core_C)
