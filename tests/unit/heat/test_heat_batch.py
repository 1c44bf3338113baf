"""Batches give what one piece at a time gives."""

from __future__ import annotations

import numpy as np
import pytest

from corebath.food.composition import Composition
from corebath.food.freezing import freezing_table
from corebath.heat.batch import core_remaining
from corebath.heat.body import Body, Shape
from corebath.heat.conduction import cook
from corebath.heat.engine import Thermal, simulate, thawed_cores
from corebath.heat.material import Material
from corebath.heat.stage import Stage

BODIES = [
    Body(Shape.SLAB, 0.025),
    Body(Shape.CYLINDER, 0.05),
    Body(Shape.BALL, 0.06),
    Body(Shape.BAR, 0.03, 0.06),
    Body(Shape.SHORT_CYLINDER, 0.1, None, 0.02),
    Body(Shape.BRICK, 0.03, 0.05, 0.08),
]
THERMAL = Thermal(
    Material(0.48, 1060.0, 3500.0),
    freezing_table(Composition.normalised(water_g=73.0, protein_g=21.0, fat_g=5.0, ash_g=1.0), -1.2),
)


@pytest.mark.parametrize("body", BODIES, ids=lambda b: b.shape.value)
@pytest.mark.parametrize("spread", [1.0, 3.0, 30.0])
def test_core_remaining_is_the_core_of_cook(body: Body, spread: float) -> None:
    scale = np.array([0.9, 1.0, 1.15])
    alpha = np.array([1.2e-7, 1.4e-7, 1.5e-7])
    h_over_k = 60.0 * np.array([1.0, np.sqrt(spread), spread])
    for i in range(3):
        material = Material(0.5, 1000.0, 0.5 / alpha[i] / 1000.0)
        bath = Stage.constant("bath", 3600.0, 0.0, 0.5 * h_over_k[i])
        history = cook(body.scaled(float(scale[i])), material, 1.0, [bath]).history
        left = core_remaining(body, scale, alpha, h_over_k, history.time_s)[i]
        np.testing.assert_allclose(left, history.core_C, atol=1e-6)


def test_core_remaining_takes_times_of_its_own_for_each_piece() -> None:
    one = np.ones(2)
    times = np.array([[0.0, 600.0, 1200.0], [0.0, 300.0, 900.0]])
    args = (BODIES[0], one, 1.4e-7 * one, 200.0 * one)
    both = core_remaining(*args, times)
    for i in range(2):
        np.testing.assert_allclose(both[i], core_remaining(*args, times[i])[i], atol=1e-12)
    assert np.all(both[:, 0] == 1.0)


@pytest.mark.parametrize("body", [BODIES[0], BODIES[2], BODIES[3]], ids=lambda b: b.shape.value)
def test_thawed_cores_are_the_cores_of_simulate(body: Body) -> None:
    start, bath = np.array([-18.0, -12.0, -5.0]), np.array([56.0, 60.0, 64.0])
    scale, factor, h = np.array([0.9, 1.0, 1.1]), np.array([1.1, 1.0, 0.9]), np.array([90.0, 120.0, 160.0])
    times = np.linspace(0.0, 7200.0, 73)
    batch = thawed_cores(body, THERMAL, start, bath, scale, factor, h, times)
    assert batch.shape == (3, 73)
    for i in range(3):
        alone = simulate(
            body.scaled(float(scale[i])),
            THERMAL.with_diffusivity_scaled(float(factor[i])),
            float(start[i]),
            [Stage.constant("bath", 7200.0, float(bath[i]), float(h[i]))],
        ).history
        # The moment of thawing may move by half a percent with the steps; clear of it the cores agree.
        early, late = (np.interp(times * f, alone.time_s, alone.core_C) for f in (0.99, 1.01))
        assert np.all(batch[i] > early - 0.2)
        assert np.all(batch[i] < late + 0.2)
        assert batch[i][-1] == pytest.approx(alone.core_C[-1], abs=0.02)


def test_thawed_cores_do_not_depend_on_the_company() -> None:
    one, times = np.ones(1), np.linspace(0.0, 3600.0, 61)
    many = np.ones(200)
    alone = thawed_cores(BODIES[0], THERMAL, -18 * one, 60 * one, one, one, 150 * one, times)
    crowd = thawed_cores(BODIES[0], THERMAL, -18 * many, 60 * many, many, many, 150 * many, times)
    np.testing.assert_allclose(crowd, np.repeat(alone, 200, axis=0), atol=1e-6)


def test_a_thermal_scaled_twice_and_a_batch_factor_multiply() -> None:
    one, times = np.ones(1), np.linspace(0.0, 3600.0, 61)
    factor = THERMAL.with_diffusivity_scaled(1.1)
    a = thawed_cores(BODIES[0], factor, -18 * one, 60 * one, one, one, 150 * one, times)
    b = thawed_cores(BODIES[0], THERMAL, -18 * one, 60 * one, one, 1.1 * one, 150 * one, times)
    np.testing.assert_allclose(a, b, atol=1e-9)
