"""The rival's side of the ratio: the same bath by the finite volumes of FiPy."""

from __future__ import annotations

import os
import sys
import warnings
from typing import Any

import numpy as np
from numpy.typing import NDArray

from benchmarks.same_bath import BATH_C, BEEF, START_C, H_W_m2K, steps
from corebath.heat.body import Body

Array = NDArray[np.float64]


def _fipy() -> Any:
    """FiPy with scipy's solvers; it reads the command line when it is loaded, and warns of parts it does without."""
    os.environ.setdefault("FIPY_SOLVERS", "scipy")
    words, sys.argv = sys.argv, sys.argv[:1]
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            import fipy
    finally:
        sys.argv = words
    return fipy


def volumes_core(body: Body, duration_s: float, count: int, first: int) -> Array:
    """Core every five minutes by finite volumes on the positive part of a slab, cylinder or brick [degC].

    count : volumes on each half-axis, all alike;  first : see `same_bath.steps`

    Half of each step's flow is explicit and half implicit (Crank and Nicolson)
    after two steps that are implicit alone; film and half a volume in series at the surface.
    """
    fipy = _fipy()
    half = [axis.half_m for axis in body.axes]
    widths = [h / count for h in half]
    if len(half) == 1:
        grid = fipy.CylindricalGrid1D if body.axes[0].order == 2 else fipy.Grid1D
        mesh = grid(nx=count, dx=widths[0])
        outer = [mesh.facesRight]
    else:
        mesh = fipy.Grid3D(nx=count, ny=count, nz=count, dx=widths[0], dy=widths[1], dz=widths[2])
        outer = [mesh.facesRight, mesh.facesTop, mesh.facesBack]
    T = fipy.CellVariable(mesh=mesh, value=START_C, hasOld=True)
    k = fipy.FaceVariable(mesh=mesh, value=BEEF.k_W_mK)
    film: Any = 0.0
    for faces, width in zip(outer, widths, strict=True):
        k.setValue(0.0, where=faces)
        through = 1 / (1 / H_W_m2K + width / 2 / BEEF.k_W_mK)
        film = film + (faces * mesh.faceNormals * through).divergence
    film = fipy.CellVariable(mesh=mesh, value=np.asarray(film.value))
    capacity = BEEF.rho_kg_m3 * BEEF.cp_J_kgK
    implicit = fipy.TransientTerm(coeff=capacity) == (
        fipy.DiffusionTerm(coeff=k) - fipy.ImplicitSourceTerm(coeff=film) + film * BATH_C
    )
    halves = fipy.TransientTerm(coeff=capacity) == (
        fipy.DiffusionTerm(coeff=k / 2) + fipy.ExplicitDiffusionTerm(coeff=k / 2)
        - fipy.ImplicitSourceTerm(coeff=film / 2) - film / 2 * T.old + film * BATH_C
    )  # fmt: skip
    solver = (
        fipy.LinearPCGSolver(tolerance=1e-8, iterations=2000) if len(half) > 1 else fipy.LinearLUSolver(tolerance=1e-12)
    )
    out: list[float] = []
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        for number, step_s in steps(first, duration_s):
            for i in range(number):
                damped = not out and i < 2
                for _ in range(2 if damped else 1):
                    T.updateOld()
                    (implicit if damped else halves).solve(var=T, dt=step_s / (2 if damped else 1), solver=solver)
            out.append(_core(np.asarray(T.value).reshape((count,) * len(half))))
    return np.array(out)


def _core(value: Array) -> float:
    """Even symmetry through the first two volumes of each axis."""
    while value.ndim:
        value = (9 * value[0] - value[1]) / 8
    return float(value)
