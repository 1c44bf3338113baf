"""The rival's side of the ratio: a bath by quadratic finite elements of scikit-fem."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csc_matrix
from scipy.sparse.linalg import splu
from skfem import Basis, BilinearForm, ElementHex2, ElementLineP2, FacetBasis, LinearForm, MeshHex, MeshLine
from skfem.helpers import dot, grad

from benchmarks.same_bath import BATH_C, BEEF, START_C, H_W_m2K, steps
from corebath.heat.body import Body

Array = NDArray[np.float64]


def elements_core(body: Body, duration_s: float, count: int, first: int) -> Array:
    """Core every five minutes by quadratic elements on the positive part of a slab, cylinder or brick [degC].

    count : elements on each half-axis, narrower towards the surface;  first : see `same_bath.steps`

    Crank-Nicolson after two damped steps, one factor for all steps of a length.
    """
    half = [axis.half_m for axis in body.axes]
    power = body.axes[0].order - 1  # of the radius, for a cylinder
    knots = [h * (1 - np.linspace(1.0, 0.0, count + 1) ** 1.5) for h in half]
    if len(half) == 1:
        mesh, element = MeshLine(knots[0]), ElementLineP2()
    else:
        mesh, element = MeshHex.init_tensor(*knots), ElementHex2()
    mesh = mesh.with_boundaries({f"{i}": lambda x, i=i: np.isclose(x[i], half[i]) for i in range(len(half))})
    inside = Basis(mesh, element, intorder=4)
    outside = FacetBasis(mesh, element, facets=[f"{i}" for i in range(len(half))], intorder=4)
    mass = BEEF.rho_kg_m3 * BEEF.cp_J_kgK * BilinearForm(lambda u, v, w: w.x[0] ** power * u * v).assemble(inside)
    operator = BEEF.k_W_mK * BilinearForm(lambda u, v, w: w.x[0] ** power * dot(grad(u), grad(v))).assemble(inside)
    operator = operator + H_W_m2K * BilinearForm(lambda u, v, w: w.x[0] ** power * u * v).assemble(outside)
    load = H_W_m2K * BATH_C * LinearForm(lambda v, w: w.x[0] ** power * v).assemble(outside)
    core = int(np.argmin(np.linalg.norm(inside.doflocs, axis=0)))
    u = np.full(inside.N, START_C)
    out: list[float] = []
    factor, explicit, last_s = None, None, 0.0
    for number, step_s in steps(first, duration_s):
        if factor is None or step_s != last_s:
            factor, last_s = splu(csc_matrix(mass + step_s / 2 * operator)), step_s
            explicit = csc_matrix(mass - step_s / 2 * operator)
        for i in range(number):
            if not out and i < 2:
                for _ in range(2):
                    u = factor.solve(mass @ u + step_s / 2 * load)
            else:
                u = factor.solve(explicit @ u + step_s * load)
        out.append(float(u[core]))
    return np.array(out)
