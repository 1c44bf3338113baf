"""A brick through bath, air and ice water against scikit-fem: another method, another grid, another clock."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.sparse import csc_matrix
from scipy.sparse.linalg import splu
from skfem import Basis, BilinearForm, ElementHex2, FacetBasis, LinearForm, MeshHex
from skfem.helpers import dot, grad
from tests.published.measuring import Measure

from corebath.heat.body import Body, Shape
from corebath.heat.conduction import cook
from corebath.heat.history import History
from corebath.heat.material import Material
from corebath.heat.stage import Stage

Array = NDArray[np.float64]
MATERIAL = Material(0.48, 1060.0, 3500.0)
START_C = 5.0


@dataclass(frozen=True)
class Sampled:
    """Core, mean and middle of the largest face at the end of each checked time."""

    time_s: Array
    core_C: Array
    mean_C: Array
    surface_C: Array


def eighth_of_a_brick(body: Body, stages: list[Stage], step_s: float, every: int) -> Sampled:
    """Finite elements of second order on one eighth, Crank-Nicolson after four damped half steps a stage."""
    half = [axis.half_m for axis in body.axes]
    knots = [h * (1 - np.linspace(1.0, 0.0, 8) ** 1.5) for h in half]
    mesh = MeshHex.init_tensor(*knots).with_boundaries(
        {name: lambda x, i=i: np.isclose(x[i], half[i]) for i, name in enumerate("xyz")}
    )
    inside = Basis(mesh, ElementHex2(), intorder=4)
    outside = FacetBasis(mesh, ElementHex2(), facets=["x", "y", "z"], intorder=4)
    capacity = MATERIAL.rho_kg_m3 * MATERIAL.cp_J_kgK
    mass = capacity * BilinearForm(lambda u, v, _: u * v).assemble(inside)
    stiff = MATERIAL.k_W_mK * BilinearForm(lambda u, v, _: dot(grad(u), grad(v))).assemble(inside)
    film = BilinearForm(lambda u, v, _: u * v).assemble(outside)
    flux = LinearForm(lambda v, _: v).assemble(outside)
    weight = LinearForm(lambda v, _: v).assemble(inside) / float(np.prod(half))
    places = inside.doflocs
    core = int(np.argmin(np.linalg.norm(places, axis=0)))
    face = int(np.argmin(np.linalg.norm(places - np.array([[half[0]], [0.0], [0.0]]), axis=0)))
    u = np.full(inside.N, START_C)
    out: list[tuple[float, float, float, float]] = []
    now = 0.0
    for stage in stages:
        operator = stiff + stage.h_W_m2K * film
        damped = splu(csc_matrix(mass + step_s / 2 * operator))
        for number in range(round(stage.duration_s / step_s)):
            if number < 2:
                for part in (0.5, 1.0):
                    around = np.interp(number * step_s + part * step_s, stage.times_s, stage.ambient_C)
                    load = stage.h_W_m2K * around * flux
                    u = damped.solve(mass @ u + step_s / 2 * load)
            else:
                ends = np.interp([number * step_s, (number + 1) * step_s], stage.times_s, stage.ambient_C)
                load = stage.h_W_m2K * float(ends.mean()) * flux
                u = damped.solve(mass @ u - step_s / 2 * (operator @ u) + step_s * load)
            now += step_s
            if (number + 1) % every == 0:
                out.append((now, float(u[core]), float(weight @ u), float(u[face])))
    return Sampled(*(np.array(column) for column in zip(*out, strict=True)))


def at(history: History, time_s: Array, values: Array) -> Array:
    # At the meeting of two stages the finite elements know only the end of the earlier one.
    return np.interp(time_s - 1e-3, history.time_s, values)


@pytest.mark.parametrize(
    ("body", "tolerance_K"),
    [
        (Body(Shape.BRICK, 0.04, 0.06, 0.09), 0.02),
        (Body(Shape.BRICK, 0.05, 0.05, 0.05), 0.025),
    ],
    ids=["40x60x90", "cube"],
)
def test_brick_through_bath_air_and_ice_water(body: Body, tolerance_K: float, measured: Measure) -> None:
    stages = [
        Stage.constant("bath", 4800.0, 60.0, 150.0),
        Stage.ramp("air", 1200.0, 22.0, 18.0, 10.0),
        Stage.constant("ice water", 2400.0, 0.5, 100.0),
    ]
    other = eighth_of_a_brick(body, stages, step_s=12.0, every=25)
    history = cook(body, MATERIAL, START_C, stages).history
    for name, allowed_K in (("core_C", tolerance_K), ("mean_C", 2 * tolerance_K), ("surface_C", tolerance_K)):
        off = at(history, other.time_s, getattr(history, name)) - getattr(other, name)
        assert np.abs(off).max() < allowed_K, name
        what = f"brick through bath, air and ice water: {name.removesuffix('_C')}"
        measured("heat", what, off, 0.0, unit="K", source="scikit-fem, finite elements of second order, its own clock")
