"""Bodies, stages, materials and starts that are out of range are refused in one clear sentence."""

from __future__ import annotations

import re
from collections.abc import Callable

import numpy as np
import pytest

from corebath.food.composition import Composition
from corebath.food.freezing import freezing_table
from corebath.heat.body import Body, Shape
from corebath.heat.conduction import cook
from corebath.heat.engine import Thermal, simulate, thawed_cores
from corebath.heat.material import Material
from corebath.heat.stage import Stage

NAN, INF = float("nan"), float("inf")
BEEF = Material(0.48, 1060.0, 3500.0)
THERMAL = Thermal(
    BEEF, freezing_table(Composition.normalised(water_g=73.0, protein_g=21.0, fat_g=5.0, ash_g=1.0), -1.2)
)
ONE = np.ones(1)
SLAB = Body(Shape.SLAB, 0.02)
BATH = Stage.constant("bath", 600.0, 60.0, 150.0)

Make = Callable[[], object]


@pytest.mark.parametrize(
    ("make", "says"),
    [
        (lambda: Body(Shape.SLAB, 0.001), "the thickness must lie between 2 mm and 300 mm, got 1 mm"),
        (lambda: Body(Shape.BALL, 0.31), "the diameter must lie between 2 mm and 300 mm, got 310 mm"),
        (lambda: Body(Shape.SLAB, NAN), "the thickness must lie between 2 mm and 300 mm, got nan mm"),
        (lambda: Body(Shape.SLAB, INF), "the thickness must lie between 2 mm and 300 mm, got inf mm"),
        (lambda: Body(Shape.SLAB, -0.02), "the thickness must lie between 2 mm and 300 mm, got -20 mm"),
        (lambda: Body(Shape.BAR, 0.02, 1.5), "the width must lie between 2 mm and 1000 mm, got 1500 mm"),
        (lambda: Body(Shape.BAR, 0.02), "a bar needs a width as well"),
        (lambda: Body(Shape.BRICK, 0.02, 0.03), "a brick needs a length as well"),
        (lambda: Body(Shape.SLAB, 0.02, 0.03), "a slab takes no width"),
        (lambda: Body(Shape.SHORT_CYLINDER, 0.02, 0.03, 0.04), "a short-cylinder takes no width"),
        (lambda: Body(Shape.CYLINDER, 0.02, None, 0.04), "a cylinder takes no length"),
        (lambda: Body(Shape.SLAB, 0.02).scaled(20.0), "the thickness must lie between"),
        (lambda: Body(Shape.SLAB, 0.02).scaled(NAN), "got nan mm"),
        (lambda: Material(0.0, 1060.0, 3500.0), "k_W_mK must be positive, got 0.0"),
        (lambda: Material(0.5, NAN, 3500.0), "rho_kg_m3 must be positive, got nan"),
        (lambda: Material(0.5, 1060.0, INF), "cp_J_kgK must be positive, got inf"),
        (lambda: Stage.constant("bath", 0.0, 60.0, 150.0), "stage 'bath': times must start at 0 and rise"),
        (lambda: Stage.constant("bath", -5.0, 60.0, 150.0), "stage 'bath': times must start at 0 and rise"),
        (lambda: Stage.constant("bath", NAN, 60.0, 150.0), "stage 'bath' holds a time or temperature that is not"),
        (lambda: Stage.constant("bath", INF, 60.0, 150.0), "stage 'bath' holds a time or temperature that is not"),
        (lambda: Stage.constant("bath", 60.0, NAN, 150.0), "stage 'bath' holds a time or temperature that is not"),
        (lambda: Stage.constant("bath", 60.0, 301.0, 150.0), "must lie between -60 and 300 C, got 301 to 301 C"),
        (lambda: Stage.constant("bath", 60.0, 60.0, 0.1), "h must lie between 0.5 and 20000 W/m2K, got 0.1"),
        (lambda: Stage.constant("bath", 60.0, 60.0, NAN), "h must lie between 0.5 and 20000 W/m2K, got nan"),
        (lambda: Stage.trace("log", [], [], 150.0), "stage 'log' needs two or more knots"),
        (lambda: Stage.trace("log", [3.0], [60.0], 150.0), "stage 'log' needs two or more knots"),
        (lambda: Stage.trace("log", [0.0, 1.0], [60.0], 150.0), "stage 'log' needs two or more knots"),
        (lambda: Stage.trace("log", [0.0, 2.0, 2.0], [60.0] * 3, 150.0), "times must start at 0 and rise"),
        (lambda: Stage("log", np.array([1.0, 2.0]), np.zeros(2), 9.0), "times must start at 0 and rise"),
        (lambda: cook(SLAB, BEEF, 5.0, []), "a cook needs at least one stage"),
        (lambda: cook(SLAB, BEEF, NAN, [BATH]), "the start temperature must be a finite number"),
        (lambda: cook(SLAB, BEEF, np.zeros((8, 8)), [BATH]), "must have 1 equal sides of 4 or more shells"),
        (lambda: cook(SLAB, BEEF, np.zeros(3), [BATH]), "must have 1 equal sides of 4 or more shells"),
        (lambda: simulate(SLAB, THERMAL, 5.0, []), "a cook needs at least one stage"),
        (lambda: simulate(SLAB, THERMAL, NAN, [BATH]), "the start must lie between -40 and 100 C, got nan C"),
        (lambda: simulate(SLAB, THERMAL, -41.0, [BATH]), "the start must lie between -40 and 100 C, got -41 C"),
        (lambda: simulate(SLAB, THERMAL, 120.0, [BATH]), "the start must lie between -40 and 100 C, got 120 C"),
        (
            lambda: simulate(SLAB, THERMAL, -30.0, [Stage.constant("dry ice", 36000.0, -60.0, 100.0)]),
            "a temperature left the range -40 to 100 C",
        ),
        (
            lambda: thawed_cores(SLAB, THERMAL, NAN * ONE, 60 * ONE, ONE, ONE, 150 * ONE, 9 * ONE),
            "food temperatures must lie between -40 and 100 C",
        ),
    ],
)
def test_refused(make: Make, says: str) -> None:
    with pytest.raises(ValueError, match=re.escape(says)) as caught:
        make()
    assert "\n" not in str(caught.value)


def test_limits_themselves_are_accepted() -> None:
    Body(Shape.SLAB, 0.002)
    Body(Shape.BRICK, 0.3, 1.0, 1.0)
    Stage.constant("edge", 1e-3, -60.0, 0.5)
    Stage.constant("edge", 1e7, 300.0, 20_000.0)


def test_the_nearest_face_comes_first() -> None:
    patty = Body(Shape.SHORT_CYLINDER, 0.10, None, 0.02)
    assert [(axis.order, axis.half_m) for axis in patty.axes] == [(1, 0.01), (2, 0.05)]
    assert [axis.half_m for axis in Body(Shape.BRICK, 0.05, 0.03, 0.04).axes] == [0.015, 0.02, 0.025]
    # Its surface reading is therefore the middle of the flat face, which lags behind the rim's middle.
    reading = cook(patty, BEEF, 5.0, [BATH]).history.surface_C[-1]
    flat = cook(Body(Shape.SLAB, 0.02), BEEF, 5.0, [BATH]).history.surface_C[-1]
    assert reading == pytest.approx(flat, abs=0.05)


def test_volumes() -> None:
    assert Body(Shape.BRICK, 0.02, 0.05, 0.1).volume_m3 == pytest.approx(1e-4)
    assert Body(Shape.BALL, 0.06).volume_m3 == pytest.approx(1.131e-4, rel=1e-3)
    assert Body(Shape.SHORT_CYLINDER, 0.1, None, 0.02).volume_m3 == pytest.approx(1.571e-4, rel=1e-3)
    assert Body(Shape.SLAB, 0.02).volume_m3 is None
