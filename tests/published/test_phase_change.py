"""Thawing and freezing against stiff integration by scipy, Neumann's similarity solution and Plank's equation.

The integrator is scipy's BDF on its own grid (nodes, not shells) with its own fluxes (mean conductivity times
difference, not an integral). Plank's example: source in tests/reference/freezing_plank.csv. Neumann's
solution: Carslaw and Jaeger (1959), ch. 11, value from memory.
"""

from __future__ import annotations

import csv
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.integrate import solve_ivp
from scipy.optimize import brentq
from scipy.special import erf
from tests.published.measuring import Measure

from corebath.food.composition import Composition
from corebath.food.freezing import freezing_table
from corebath.heat.body import Body, Shape
from corebath.heat.engine import Thermal, simulate
from corebath.heat.history import History
from corebath.heat.material import Material
from corebath.heat.phase_change import Freezes, Thaw
from corebath.heat.stage import Stage

Array = NDArray[np.float64]
REFERENCE = Path(__file__).parents[1] / "reference"


def rows(name: str) -> list[dict[str, str]]:
    return list(csv.DictReader((REFERENCE / name).read_text(encoding="utf-8").splitlines()))


@dataclass(frozen=True)
class Table:
    temperature_C: Array
    enthalpy_J_m3: Array
    conductivity_W_mK: Array
    initial_freezing_C: float


def lean_beef() -> Thermal:
    """A real food below its freezing point; above it constant, so that the exact solver sees the same food."""
    real = freezing_table(Composition.normalised(water_g=73.0, protein_g=21.0, fat_g=5.0, ash_g=1.0), -1.2)
    cold = real.temperature_C <= -1.2
    rho, cp, k = real.density_kg_m3, 3500.0, float(real.conductivity_W_mK[cold][-1])
    temperature = np.append(real.temperature_C[cold], 100.0)
    enthalpy = np.append(real.enthalpy_J_m3[cold], real.enthalpy_J_m3[cold][-1] + rho * cp * 101.2)
    table = Table(temperature, enthalpy, np.append(real.conductivity_W_mK[cold], k), -1.2)
    return Thermal(Material(k, rho, cp), table)


def sharp(freezing_C: float, latent_J_m3: float, sensible_J_m3K: float, k_W_mK: float) -> Table:
    """All the latent heat within a tenth of a degree, one specific heat and one conductivity."""
    temperature = np.array([-60.0, freezing_C - 0.1, freezing_C, 100.0])
    enthalpy = sensible_J_m3K * (temperature + 60.0) + latent_J_m3 * np.array([0.0, 0.0, 1.0, 1.0])
    return Table(temperature, enthalpy, np.full(4, k_W_mK), freezing_C)


def integrated(
    body: Body, table: Freezes, start_C: float, stage: Stage, times_s: Array, nodes: int
) -> tuple[Array, Array, Array]:
    """Core, mean and surface of a body of one axis by scipy's BDF on enthalpies at `nodes` + 1 nodes."""
    (axis,) = body.axes
    order, half = axis.order, axis.half_m
    width = half / nodes
    r = np.linspace(0.0, half, nodes + 1)
    face = np.concatenate([[0.0], (r[1:] + r[:-1]) / 2, [half]])
    volume, area = np.diff(face**order) / order, face[1:] ** (order - 1)

    def rate(t: float, enthalpy: Array) -> Array:
        temperature = np.interp(enthalpy, table.enthalpy_J_m3, table.temperature_C)
        k = np.interp(temperature, table.temperature_C, table.conductivity_W_mK)
        flow = area[:-1] * (k[1:] + k[:-1]) / 2 * np.diff(temperature) / width
        ambient = float(np.interp(t, stage.times_s, stage.ambient_C))
        gain = np.append(flow, area[-1] * stage.h_W_m2K * (ambient - temperature[-1]))
        gain[1:] -= flow
        return np.asarray(gain / volume)

    start = np.full(nodes + 1, np.interp(start_C, table.temperature_C, table.enthalpy_J_m3))
    solution = solve_ivp(
        rate,
        (0.0, float(times_s[-1])),
        start,
        method="BDF",
        t_eval=times_s,
        rtol=1e-5,
        atol=50.0,
        max_step=120.0,
        jac_sparsity=np.tri(nodes + 1, k=1) - np.tri(nodes + 1, k=-2),  # tridiagonal
    )
    field = np.interp(solution.y, table.enthalpy_J_m3, table.temperature_C)
    return field[0], volume @ field / volume.sum(), field[-1]


@pytest.mark.parametrize(
    ("body", "duration_s"),
    [
        (Body(Shape.SLAB, 0.025), 4000.0),
        (Body(Shape.CYLINDER, 0.05), 7200.0),
        (Body(Shape.BALL, 0.06), 6000.0),
    ],
    ids=lambda v: v.shape.value if isinstance(v, Body) else "",
)
def test_thawing_against_stiff_integration(body: Body, duration_s: float, measured: Measure) -> None:
    """Ours over the integrator's time, as measured: -10 degC 0.990 to 0.995, 0 degC and above 1.000 to 1.002."""
    thermal, bath = lean_beef(), Stage.constant("bath", duration_s, 60.0, 150.0)
    times = np.linspace(0.0, duration_s, 801)
    core, mean, surface = integrated(body, thermal.frozen, -18.0, bath, times, nodes=150)
    history = simulate(body, thermal, -18.0, [bath]).history
    assert np.all(np.diff(history.core_C) > -1e-6)
    for level, allowed in ((-10.0, 0.015), (-5.0, 0.012), (0.0, 0.005), (5.0, 0.005), (30.0, 0.005), (54.4, 0.005)):
        ours = history.first_core_above(level)
        assert ours is not None
        theirs = float(np.interp(level, core, times))
        assert ours == pytest.approx(theirs, rel=allowed)
        what = f"thawing, time to {level:g} °C: slab, cylinder, ball"
        measured("heat", what, ours, theirs, ratio=True, source="scipy BDF on its own nodes and fluxes")
    warm = times > 1.1 * float(np.interp(5.0, core, times))
    for mine, other in ((history.core_C, core), (history.mean_C, mean), (history.surface_C, surface)):
        off = np.abs(np.interp(times, history.time_s, mine) - other)
        assert off[warm].max() < 0.3
    assert np.abs(np.interp(times[1:], history.time_s, history.mean_C) - mean[1:]).max() < 0.6


# The core passes -10 degC 0.9 % sooner than in the integrator: 0.38 K at the steepest.


def test_freezing_against_stiff_integration() -> None:
    body, thermal = Body(Shape.SLAB, 0.02), lean_beef()
    freezer = Stage.ramp("freezer", 5 * 3600.0, -10.0, -25.0, 25.0)
    times = np.linspace(0.0, freezer.duration_s, 601)
    core, mean, _ = integrated(body, thermal.frozen, 5.0, freezer, times, nodes=100)
    history = simulate(body, thermal, 5.0, [freezer]).history
    assert np.abs(np.interp(times, history.time_s, history.core_C) - core).max() < 0.5
    assert np.abs(np.interp(times, history.time_s, history.mean_C) - mean).max() < 0.5


@pytest.mark.parametrize(
    ("shape", "p", "r"), [(Shape.SLAB, 1 / 2, 1 / 8), (Shape.CYLINDER, 1 / 4, 1 / 16), (Shape.BALL, 1 / 6, 1 / 24)]
)
def test_plank(shape: Shape, p: float, r: float, measured: Measure) -> None:
    """Plank's equation ignores sensible heat, so the food here has next to none: 1.5 % of its latent heat.

    Ours over Plank's, as measured: slab 1.004, cylinder 1.010, ball 1.014.
    """
    freezing_C, latent, air_C, h, k, d = -1.25, 250e6, -40.0, 50.0, 1.2, 0.07
    plank_s = latent / (freezing_C - air_C) * (p * d / h + r * d**2 / k)
    if shape is Shape.BALL:
        row = rows("freezing_plank.csv")[0]
        assert plank_s / 3600 == pytest.approx(float(row["printed"]), abs=0.005)
    table = sharp(freezing_C, latent, 1e5, k)
    stage = Stage.constant("air", 1.3 * plank_s, air_C, h)
    history = simulate(Body(shape, d), Thermal(Material(k, 1000.0, 100.0), table), freezing_C, [stage]).history
    frozen_s = float(np.interp(-(freezing_C - 2.0), -history.core_C, history.time_s))
    assert frozen_s == pytest.approx(plank_s, rel=0.02)
    what = "freezing time of food with next to no sensible heat"
    measured("heat", what, frozen_s, plank_s, ratio=True, source="Plank's equation")


def test_neumann_melting_of_a_thick_slab(measured: Measure) -> None:
    """One-phase melting of a half-space whose surface is held: heat taken up grows as the root of time."""
    k, capacity, latent, bath_C, freezing_C = 0.5, 3.6e6, 240e6, 60.0, -1.0
    table = sharp(freezing_C, latent, capacity, k)
    stefan = capacity * (bath_C - freezing_C) / latent
    root = brentq(lambda x: np.sqrt(np.pi) * x * np.exp(x**2) * erf(x) - stefan, 1e-6, 3.0)
    body, shells, one = Body(Shape.SLAB, 0.2), 120, np.ones(1)
    start = np.full((1, shells), freezing_C - 0.1)
    thaw = Thaw(body, table, start, one, one, one * 2e4)
    cold = thaw.enthalpy.copy()
    now, checked = 0.0, 0
    while now < 3 * 3600.0:
        now += thaw.march(one * bath_C, 60.0)
        if now < 1800.0:
            continue
        heat_J_m2 = float((thaw.enthalpy - cold).mean()) * 0.1
        exact_J_m2 = 2 * k * (bath_C - freezing_C) / (np.sqrt(np.pi * k / capacity) * erf(root)) * np.sqrt(now)
        front_m = float(np.sum(thaw.temperature_C() > freezing_C)) * 0.1 / shells
        assert heat_J_m2 == pytest.approx(exact_J_m2, rel=0.01)
        source = "Neumann's solution; Carslaw and Jaeger (1959), ch. 11 (memory)"
        measured("heat", "heat taken up by a melting half-space", heat_J_m2, exact_J_m2, ratio=True, source=source)
        assert front_m == pytest.approx(2 * root * np.sqrt(k / capacity * now), abs=1.5 * 0.1 / shells)
        checked += 1
    assert checked > 50


def test_a_bar_without_end_on_one_axis_is_a_slab() -> None:
    # Same solver, but two axes against one: the far faces of a metre cannot be felt at the core.
    thermal, bath = lean_beef(), Stage.constant("bath", 3000.0, 60.0, 150.0)
    slab = simulate(Body(Shape.SLAB, 0.025), thermal, -18.0, [bath]).history
    bar = simulate(Body(Shape.BAR, 0.025, 1.0), thermal, -18.0, [bath]).history
    assert first(bar, 0.0) == pytest.approx(first(slab, 0.0), rel=0.01)
    assert first(bar, 40.0) == pytest.approx(first(slab, 40.0), rel=0.005)


def first(history: History, level_C: float) -> float:
    found = history.first_core_above(level_C)
    assert found is not None
    return found
