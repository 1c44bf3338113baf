"""Timings of the heat room, and its speed against finite elements at equal accuracy.

Budgets are guides for two cores. The ratio asks how long scikit-fem takes, with the cheapest of several
meshes and time steps, to bring the core within 0.01 degC of the exact series at every five minutes of a
bath, and divides that by our time for the same answer. Both times are the best of several runs and start from the
body's sizes: mesh, assembly and factors count for the one, modes for the other.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from functools import partial

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import brentq
from scipy.sparse import csc_matrix
from scipy.sparse.linalg import splu
from skfem import Basis, BilinearForm, ElementHex2, ElementLineP2, FacetBasis, LinearForm, MeshHex, MeshLine
from skfem.helpers import dot, grad

from corebath.food.composition import Composition
from corebath.food.freezing import freezing_table
from corebath.heat.batch import core_remaining
from corebath.heat.body import Body, Shape
from corebath.heat.conduction import cook
from corebath.heat.engine import Thermal, simulate, thawed_cores
from corebath.heat.material import Material
from corebath.heat.stage import Stage

Array = NDArray[np.float64]
Row = tuple[str, float, str]

BEEF = Material(0.48, 1060.0, 3500.0)
SLAB = Body(Shape.SLAB, 0.025)
BAR = Body(Shape.BAR, 0.05, 0.08)
BRICK = Body(Shape.BRICK, 0.05, 0.08, 0.12)
START_C, BATH_C, H_W_m2K = 5.0, 60.0, 150.0
WANTED_K = 0.01
LOOKED_AT_s = 300.0


def best(run: Callable[[], object], repeats: int = 7) -> float:
    """Shortest of several runs [s], after one to warm up."""
    run()
    shortest = np.inf
    for _ in range(repeats):
        begun = time.perf_counter()
        run()
        shortest = min(shortest, time.perf_counter() - begun)
    return float(shortest)


def rows() -> Iterator[Row]:
    """Name, seconds and note of every timing."""
    stages = [
        Stage.constant("bath", 6 * 3600.0, BATH_C, H_W_m2K),
        Stage.constant("ice water", 3600.0, 0.5, 100.0),
        Stage.constant("fridge", 12 * 3600.0, 4.0, 10.0),
    ]
    for body, budget in ((SLAB, "budget 2 ms"), (BAR, ""), (BRICK, "budget 30 ms")):
        yield f"{body.shape.value}: bath, chill, fridge", best(partial(cook, body, BEEF, START_C, stages)), budget
    thermal = Thermal(
        BEEF, freezing_table(Composition.normalised(water_g=73.0, protein_g=21.0, fat_g=5.0, ash_g=1.0), -1.2)
    )
    for body, budget in ((SLAB, "budget 60 ms"), (BRICK, "budget 1000 ms")):
        taken = best(partial(simulate, body, thermal, -18.0, stages[:1]), 3)
        yield f"{body.shape.value}: from frozen, 6 h bath", taken, budget
    z = np.random.default_rng(1).standard_normal((5, 500))
    spread = (1 + 0.05 * z[0], BEEF.alpha_m2_s * (1 + 0.05 * z[1]), 300 * np.exp(0.3 * z[2]))
    times = np.linspace(0.0, 6 * 3600.0, 61)
    for body in (SLAB, BRICK):
        taken = best(partial(core_remaining, body, *spread, times))
        yield f"{body.shape.value}: cores of 500 samples", taken, "61 times each"
    few = slice(0, 11)
    frozen = (-18 + z[3, few], BATH_C + 0.1 * z[4, few], spread[0][few], 1 + 0.05 * z[1, few], 0.48 * spread[2][few])
    for body in (SLAB, BRICK):
        taken = best(partial(thawed_cores, body, thermal, *frozen, times), 1)
        yield f"{body.shape.value}: cores of 11 frozen samples", taken, "61 times each"
    clock = np.arange(2160) * 10.0
    trace = Stage.trace("log", clock, BATH_C + 0.3 * np.sin(clock / 300), H_W_m2K)
    for body in (SLAB, BRICK):
        taken = best(partial(cook, body, BEEF, START_C, [trace]), 3)
        yield f"{body.shape.value}: trace of 2160 knots", taken, "a reading every 10 s for 6 h"
    yield from ratio_rows()


def ratio_rows() -> Iterator[Row]:
    """Our time and scikit-fem's for a core within 0.01 degC of the exact series."""
    for body, hours, counts in ((SLAB, 2.0, (2, 3, 4, 6)), (BRICK, 6.0, (5, 6, 7))):
        duration_s = hours * 3600
        times = np.arange(LOOKED_AT_s, duration_s + 1, LOOKED_AT_s)
        exact = exact_core(body, times)
        bath = Stage.constant("bath", duration_s, BATH_C, H_W_m2K)

        error = float(np.abs(modes_core(body, bath, times) - exact).max())
        taken = best(partial(modes_core, body, bath, times))
        yield f"{body.shape.value}: core within 0.01 degC", taken, f"error {error:.4f} degC"
        found: tuple[float, float, int, float] | None = None
        for count in counts:
            for step_s in (150.0, 100.0, 60.0, 30.0, 20.0, 15.0, 10.0):
                theirs = np.abs(elements_core(body, duration_s, count, step_s) - exact).max()
                if theirs < WANTED_K:
                    spent = best(partial(elements_core, body, duration_s, count, step_s), 3)
                    if found is None or spent < found[0]:
                        found = (spent, float(theirs), count, step_s)
                    break
        if found is None:
            yield f"{body.shape.value}: scikit-fem", np.nan, "no mesh tried was accurate enough"
            continue
        note = f"error {found[1]:.4f} degC, {found[2]} elements a half-axis, step {found[3]:g} s"
        yield f"{body.shape.value}: scikit-fem", found[0], f"{note}: {found[0] / taken:.0f} times ours"


def exact_core(body: Body, times_s: Array) -> Array:
    """The product of the exact series of the plate (Carslaw and Jaeger 1959, ch. 3) [degC]."""
    left = np.ones_like(times_s)
    for axis in body.axes:
        biot = H_W_m2K * axis.half_m / BEEF.k_W_mK
        mu = np.array(
            [brentq(lambda x, b=biot: x * np.sin(x) - b * np.cos(x), n * np.pi, (n + 0.5) * np.pi) for n in range(40)]
        )
        weight = 4 * np.sin(mu) / (2 * mu + np.sin(2 * mu))
        fourier = BEEF.alpha_m2_s * times_s / axis.half_m**2
        left *= (weight * np.exp(-np.outer(fourier, mu**2))).sum(axis=1)
    return BATH_C + (START_C - BATH_C) * left


def modes_core(body: Body, bath: Stage, times_s: Array) -> Array:
    """Core at some times by the heat room [degC]."""
    history = cook(body, BEEF, START_C, [bath]).history
    return np.interp(times_s, history.time_s, history.core_C)


def elements_core(body: Body, duration_s: float, count: int, step_s: float) -> Array:
    """Core every five minutes by quadratic elements on the positive part of a slab or brick [degC].

    Elements narrow towards the surface; Crank-Nicolson after two damped steps, one factor for all steps.
    """
    half = [axis.half_m for axis in body.axes]
    knots = [h * (1 - np.linspace(1.0, 0.0, count + 1) ** 1.5) for h in half]
    if len(half) == 1:
        mesh, element = MeshLine(knots[0]), ElementLineP2()
    else:
        mesh, element = MeshHex.init_tensor(*knots), ElementHex2()
    mesh = mesh.with_boundaries({f"{i}": lambda x, i=i: np.isclose(x[i], half[i]) for i in range(len(half))})
    inside = Basis(mesh, element, intorder=4)
    outside = FacetBasis(mesh, element, facets=[f"{i}" for i in range(len(half))], intorder=4)
    mass = BEEF.rho_kg_m3 * BEEF.cp_J_kgK * BilinearForm(lambda u, v, _: u * v).assemble(inside)
    operator = BEEF.k_W_mK * BilinearForm(lambda u, v, _: dot(grad(u), grad(v))).assemble(inside)
    operator = operator + H_W_m2K * BilinearForm(lambda u, v, _: u * v).assemble(outside)
    load = H_W_m2K * BATH_C * LinearForm(lambda v, _: v).assemble(outside)
    factor = splu(csc_matrix(mass + step_s / 2 * operator))
    explicit = csc_matrix(mass - step_s / 2 * operator)
    core = int(np.argmin(np.linalg.norm(inside.doflocs, axis=0)))
    u = np.full(inside.N, START_C)
    out = []
    every = round(LOOKED_AT_s / step_s)
    for number in range(1, round(duration_s / step_s) + 1):
        if number <= 2:
            for _ in range(2):
                u = factor.solve(mass @ u + step_s / 2 * load)
        else:
            u = factor.solve(explicit @ u + step_s * load)
        if number % every == 0:
            out.append(float(u[core]))
    return np.array(out)
