"""The modes of an axis against printed coefficients, exact series and exact roots.

Sources stand in the rows of the tables; the roots come from scipy, which is independent of the engine.
"""

from __future__ import annotations

import csv
from collections.abc import Callable
from functools import lru_cache
from pathlib import Path

import numpy as np
import pytest
from scipy.optimize import brentq
from scipy.special import j0, j1
from tests.published.measuring import Measure

from corebath.heat.body import Body, Shape
from corebath.heat.conduction import cook
from corebath.heat.grid import AxisModes, axis_modes
from corebath.heat.material import Material
from corebath.heat.stage import Stage

REFERENCE = Path(__file__).parents[1] / "reference"
MATERIAL = Material(0.5, 1000.0, 3500.0)
HALF_m = 0.02
BODIES = {
    "slab": Body(Shape.SLAB, 2 * HALF_m),
    "cylinder": Body(Shape.CYLINDER, 2 * HALF_m),
    "sphere": Body(Shape.BALL, 2 * HALF_m),
    "brick 1:2:3": Body(Shape.BRICK, 2 * HALF_m, 4 * HALF_m, 6 * HALF_m),
    "cube": Body(Shape.BRICK, 2 * HALF_m, 2 * HALF_m, 2 * HALF_m),
    "finite cylinder L=D": Body(Shape.SHORT_CYLINDER, 2 * HALF_m, None, 2 * HALF_m),
}
# Space error at the core after a unit step, Fo of 0.1 or more, as measured: 60 degC times these.
CORE_ERROR = {1: 0.005 / 60, 2: 0.012 / 60, 3: 0.015 / 60}
STEP_C = 60.0


def rows(name: str) -> list[dict[str, str]]:
    return list(csv.DictReader((REFERENCE / name).read_text(encoding="utf-8").splitlines()))


@lru_cache(maxsize=8)
def fine(order: int, biot: float) -> AxisModes:
    return axis_modes(order, biot, 400)


@pytest.mark.parametrize("row", rows("conduction_one_term.csv"), ids=lambda r: f"Bi={r['Bi']}")
def test_one_term_coefficients(row: dict[str, str], measured: Measure) -> None:
    # Printed to four decimals; the printed values stray from the exact roots by 0.5 of the last, once by 0.53.
    for order, name in ((1, "slab"), (2, "cyl"), (3, "sphere")):
        modes = fine(order, float(row["Bi"]))
        first_weight = float(modes.core[0] * modes.ones[0])
        assert np.sqrt(modes.decay[0]) == pytest.approx(float(row[f"{name}_lambda1"]), abs=5.5e-5)
        assert first_weight == pytest.approx(float(row[f"{name}_A1"]), abs=5.5e-5)
        ours, printed = [np.sqrt(modes.decay[0]), first_weight], [float(row[f"{name}_{n}"]) for n in ("lambda1", "A1")]
        measured(
            "heat", "one-term roots and weights: slab, cylinder, ball", ours, printed, unit="1", source=row["source"]
        )


@pytest.mark.parametrize("row", rows("conduction_series.csv"), ids=lambda r: f"{r['shape']}-Bi={r['Bi']}-Fo={r['Fo']}")
def test_exact_series(row: dict[str, str], measured: Measure) -> None:
    biot, fourier, body = float(row["Bi"]), float(row["Fo"]), BODIES[row["shape"]]
    duration_s = fourier * HALF_m**2 / MATERIAL.alpha_m2_s
    bath = Stage.constant("bath", duration_s, 0.0, biot * MATERIAL.k_W_mK / HALF_m)
    history = cook(body, MATERIAL, 1.0, [bath]).history
    # The earliest rows stand before the core has moved by half a percent of the step.
    allowed = CORE_ERROR[len(body.axes)] * (1.0 if fourier >= 0.1 else 2.0)
    assert history.core_C[-1] == pytest.approx(float(row["theta_centre"]), abs=allowed)
    assert history.surface_C[-1] == pytest.approx(float(row["theta_surface"]), abs=2 * CORE_ERROR[3])
    what = f"core after a step of 60 °C, Fo 0.05 or more, axes of the body: {len(body.axes)}"
    ours, exact = STEP_C * history.core_C[-1], STEP_C * float(row["theta_centre"])
    measured("heat", what, ours, exact, unit="K", source=row["source"])


def slab_equation(x: float, biot: float) -> float:
    return float(x * np.sin(x) - biot * np.cos(x))


def cylinder_equation(x: float, biot: float) -> float:
    return float(x * j1(x) - biot * j0(x))


def ball_equation(x: float, biot: float) -> float:
    return float((1 - biot) * np.sin(x) - x * np.cos(x))


def exact_decay(equation: Callable[[float, float], float], biot: float, count: int) -> list[float]:
    """The first squared roots of an eigenvalue equation (Carslaw and Jaeger 1959, ch. 3, 7, 9)."""
    x = np.linspace(1e-6, 40.0, 20_001)
    y = np.array([equation(v, biot) for v in x])
    found = [
        brentq(equation, a, b, args=(biot,), xtol=1e-14, rtol=1e-14)
        for a, b, ya, yb in zip(x[:-1], x[1:], y[:-1], y[1:], strict=True)
        if ya * yb < 0
    ]
    return [root**2 for root in found[:count]]


@pytest.mark.parametrize("biot", [0.1, 1.0, 7.0, 100.0])
@pytest.mark.parametrize(("order", "equation"), [(1, slab_equation), (2, cylinder_equation), (3, ball_equation)])
def test_second_order_in_space(order: int, equation: Callable[[float, float], float], biot: float) -> None:
    exact = np.array(exact_decay(equation, biot, 4))
    coarse, finer = (np.abs(axis_modes(order, biot, n).decay[:4] - exact) for n in (64, 128))
    assert np.all(finer < 0.01 * exact)
    observed = np.log2(coarse / finer)
    # The slowest mode at a low Biot number is exact to rounding beyond what an order can be read from.
    readable = finer > 1e-9 * exact
    assert np.all(np.abs(observed[readable] - 2) < 0.1)
    assert readable.any()


@pytest.mark.parametrize("order", [1, 2, 3])
def test_core_error_in_degrees(order: int) -> None:
    """The core of one axis is within 0.005 degC of the exact series after a step of 60 degC, Fo >= 0.1."""
    equation = {1: slab_equation, 2: cylinder_equation, 3: ball_equation}[order]
    biot, name = 5.0, {1: "slab", 2: "cylinder", 3: "sphere"}[order]
    mu = np.sqrt(np.array(exact_decay(equation, biot, 12)))
    weight = {
        1: 4 * np.sin(mu) / (2 * mu + np.sin(2 * mu)),
        2: 2 * j1(mu) / (mu * (j0(mu) ** 2 + j1(mu) ** 2)),
        3: 4 * (np.sin(mu) - mu * np.cos(mu)) / (2 * mu - np.sin(2 * mu)),
    }[order]
    for fourier in (0.1, 0.15, 0.3, 0.5, 1.0, 2.0):
        exact = STEP_C * float(np.sum(weight * np.exp(-(mu**2) * fourier)))
        duration_s = fourier * HALF_m**2 / MATERIAL.alpha_m2_s
        bath = Stage.constant("bath", duration_s, 0.0, biot * MATERIAL.k_W_mK / HALF_m)
        core_C = cook(BODIES[name], MATERIAL, STEP_C, [bath]).history.core_C[-1]
        assert core_C == pytest.approx(exact, abs=0.005)
