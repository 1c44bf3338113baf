"""What must hold of any cook: order, bounds, energy, and stages that add up."""

from __future__ import annotations

import numpy as np
from hypothesis import example, given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from corebath.food.composition import Composition
from corebath.food.freezing import freezing_table
from corebath.heat.body import Body, Shape
from corebath.heat.conduction import cook
from corebath.heat.engine import Thermal, simulate
from corebath.heat.history import History
from corebath.heat.material import Material
from corebath.heat.stage import Stage

Array = NDArray[np.float64]
BEEF = Material(0.48, 1060.0, 3500.0)
THERMAL = Thermal(
    BEEF, freezing_table(Composition.normalised(water_g=73.0, protein_g=21.0, fat_g=5.0, ash_g=1.0), -1.2)
)
HOURS_s = 4 * 3600.0

thicknesses = st.floats(0.008, 0.08)
factors = st.floats(1.05, 1.6)
surfaces = st.floats(8.0, 400.0)


@st.composite
def bodies(draw: st.DrawFn) -> Body:
    shape = draw(st.sampled_from(list(Shape)))
    t = draw(thicknesses)
    width, length = t * draw(st.floats(1.0, 3.0)), t * draw(st.floats(0.5, 4.0))
    return Body(
        shape,
        t,
        width if shape in (Shape.BAR, Shape.BRICK) else None,
        length if shape in (Shape.SHORT_CYLINDER, Shape.BRICK) else None,
    )


@st.composite
def stage_lists(draw: st.DrawFn) -> list[Stage]:
    out = []
    for number in range(draw(st.integers(1, 4))):
        a, b = draw(st.floats(0.0, 90.0)), draw(st.floats(0.0, 90.0))
        duration = draw(st.floats(60.0, 7200.0))
        out.append(Stage.ramp(f"stage {number}", duration, a, b, draw(surfaces)))
    return out


def cores(body: Body, bath_C: float, h: float, times_s: Array, start_C: float = 5.0) -> Array:
    history = cook(body, BEEF, start_C, [Stage.constant("bath", HOURS_s, bath_C, h)]).history
    return np.interp(times_s, history.time_s, history.core_C)


TIMES = np.linspace(0.0, HOURS_s, 50)


@settings(max_examples=25, deadline=None)
@given(bodies(), st.floats(40.0, 80.0), st.floats(0.5, 15.0), surfaces)
def test_a_hotter_bath_is_never_slower_at_the_core(body: Body, bath_C: float, more_K: float, h: float) -> None:
    assert np.all(cores(body, bath_C + more_K, h, TIMES) >= cores(body, bath_C, h, TIMES) - 1e-6)


@settings(max_examples=25, deadline=None)
@given(bodies(), factors, surfaces)
def test_a_thicker_piece_is_never_faster(body: Body, factor: float, h: float) -> None:
    # Rows are linear in between: two curves that differ by less than their curvature may seem to cross.
    assert np.all(cores(body.scaled(factor), 60.0, h, TIMES) <= cores(body, 60.0, h, TIMES) + 0.01)


@settings(max_examples=25, deadline=None)
@given(bodies(), factors, surfaces)
def test_better_contact_is_never_slower(body: Body, factor: float, h: float) -> None:
    assert np.all(cores(body, 60.0, h * factor, TIMES) >= cores(body, 60.0, h, TIMES) - 0.01)


@settings(max_examples=25, deadline=None)
@given(bodies(), st.floats(0.0, 90.0), stage_lists())
def test_no_temperature_leaves_the_range_of_start_and_surroundings(
    body: Body, start_C: float, stages: list[Stage]
) -> None:
    history = cook(body, BEEF, start_C, stages).history
    ambient = np.concatenate([s.ambient_C for s in stages])
    low, high = min(start_C, ambient.min()), max(start_C, ambient.max())
    # Truncation at the centre may overshoot by millikelvins while the core still stands.
    for column in (history.core_C, history.mean_C, history.surface_C):
        assert column.min() > low - 0.01
        assert column.max() < high + 0.01
    assert np.all(np.isfinite(np.stack([history.core_C, history.mean_C, history.surface_C])))


def heat_in(history: History, stages: list[Stage], order: int, half_m: float) -> float:
    """Rise of the mean that the surface and ambient columns account for [K].

    Flux through the surface is smooth in the root of the time since a jump, so it is summed over that root.
    """
    total = 0.0
    for index, stage in enumerate(stages):
        rows = history.stage == index
        since = np.sqrt(history.time_s[rows] - history.time_s[rows][0])
        flux = stage.h_W_m2K * (history.ambient_C[rows] - history.surface_C[rows])
        total += float(np.trapezoid(flux * 2 * since, since))
    return total * order / half_m / (BEEF.rho_kg_m3 * BEEF.cp_J_kgK)


@settings(max_examples=30, deadline=None)
@given(
    st.sampled_from([(Shape.SLAB, 1), (Shape.CYLINDER, 2), (Shape.BALL, 3)]),
    thicknesses,
    st.floats(0.0, 90.0),
    stage_lists(),
)
def test_heat_through_the_surface_is_the_rise_of_the_mean(
    kind: tuple[Shape, int], thickness_m: float, start_C: float, stages: list[Stage]
) -> None:
    shape, order = kind
    history = cook(Body(shape, thickness_m), BEEF, start_C, stages).history
    moved_K = float(np.sum(np.abs(np.diff(history.mean_C))))
    rise_K = float(history.mean_C[-1] - start_C)
    assert abs(heat_in(history, stages, order, thickness_m / 2) - rise_K) < 0.005 * moved_K + 0.01


@settings(max_examples=25, deadline=None)
@given(bodies(), stage_lists(), st.floats(0.05, 0.95))
def test_a_stage_cut_in_two_is_one_stage(body: Body, stages: list[Stage], share: float) -> None:
    whole = cook(body, BEEF, 5.0, stages)
    first = stages[0]
    middle_s = first.duration_s * share
    middle_C = float(np.interp(middle_s, first.times_s, first.ambient_C))
    halves = [
        Stage.ramp("a", middle_s, float(first.ambient_C[0]), middle_C, first.h_W_m2K),
        Stage.ramp("b", first.duration_s - middle_s, middle_C, float(first.ambient_C[-1]), first.h_W_m2K),
    ]
    cut = cook(body, BEEF, 5.0, [*halves, *stages[1:]])
    np.testing.assert_allclose(cut.field_C, whole.field_C, atol=1e-8)
    assert abs(cut.history.core_C[-1] - whole.history.core_C[-1]) < 1e-8


@settings(max_examples=15, deadline=None)
@given(bodies(), st.floats(0.0, 80.0), st.floats(0.0, 80.0), st.integers(3, 200), surfaces)
def test_a_trace_of_many_knots_is_the_ramp_it_samples(
    body: Body, from_C: float, to_C: float, knots: int, h: float
) -> None:
    ramp = Stage.ramp("ramp", 5400.0, from_C, to_C, h)
    times = np.linspace(0.0, 5400.0, knots)
    trace = Stage.trace("log", times + 1000.0, np.interp(times, ramp.times_s, ramp.ambient_C), h)
    one, many = cook(body, BEEF, 5.0, [ramp]), cook(body, BEEF, 5.0, [trace])
    np.testing.assert_allclose(many.field_C, one.field_C, atol=1e-7)
    # Read between the rows as well: an uneven trace must not leave a long stretch without rows. In the first minutes
    # the surface bends within a row, and straight lines between rows set a little apart differ by some 0.05 K.
    at = np.linspace(60.0, 5400.0, 97)
    for column in ("core_C", "mean_C", "surface_C"):
        a, b = (np.interp(at, c.history.time_s, getattr(c.history, column)) for c in (one, many))
        np.testing.assert_allclose(b, a, atol=0.1)


def test_a_long_stretch_of_a_trace_has_rows_of_its_own() -> None:
    # A log with the bath heating for ten minutes, then two readings six hours apart.
    log = Stage.trace("log", [0.0, 600.0, 21_600.0], [20.0, 60.0, 60.0], 150.0)
    ramp, hold = Stage.ramp("ramp", 600.0, 20.0, 60.0, 150.0), Stage.constant("hold", 21_000.0, 60.0, 150.0)
    logged, staged = (cook(Body(Shape.SLAB, 0.03), BEEF, 5.0, s).history for s in ([log], [ramp, hold]))
    at = np.linspace(0.0, 21_600.0, 400)
    np.testing.assert_allclose(
        np.interp(at, logged.time_s, logged.core_C), np.interp(at, staged.time_s, staged.core_C), atol=0.02
    )


@settings(max_examples=15, deadline=None)
@given(bodies(), factors)
@example(Body(Shape.SLAB, 0.008), 1.351395324294526)  # an hour is just where the lively stretch ends
def test_size_and_time_scale_together(body: Body, factor: float) -> None:
    # Same Biot and Fourier numbers, same temperatures: h falls with the size, time grows with its square.
    small = cook(body, BEEF, 5.0, [Stage.constant("bath", 3600.0, 60.0, 120.0)])
    large = cook(body.scaled(factor), BEEF, 5.0, [Stage.constant("bath", 3600.0 * factor**2, 60.0, 120.0 / factor)])
    np.testing.assert_allclose(large.field_C, small.field_C, atol=1e-6)
    np.testing.assert_allclose(large.history.core_C, small.history.core_C, atol=1e-6)


@settings(max_examples=8, deadline=None)
@given(st.sampled_from([Shape.SLAB, Shape.CYLINDER, Shape.BALL]), st.floats(0.015, 0.05), st.floats(1.1, 1.5))
def test_frozen_pieces_keep_the_same_order(shape: Shape, thickness_m: float, factor: float) -> None:
    def core(thickness: float, bath_C: float, h: float, start_C: float = -18.0) -> Array:
        bath = Stage.constant("bath", 3 * 3600.0, bath_C, h)
        history = simulate(Body(shape, thickness), THERMAL, start_C, [bath]).history
        assert history.core_C.min() > start_C - 0.05
        assert history.surface_C.max() < bath_C + 0.01
        # The core is read off the two innermost shells, and for a moment after the front passes them no smooth curve
        # fits both: the reading may then fall back by some tenths, for less than a second.
        assert np.all(np.diff(history.core_C) > -0.3)
        return np.interp(TIMES[:38], history.time_s, history.core_C)

    plain = core(thickness_m, 55.0, 120.0)
    # At the sudden end of thawing a second's error is a kelvin's, so the times are compared: shifted by 2 %.
    shifted = np.interp(TIMES[:38] * 0.98, TIMES[:38], plain) - 0.1
    assert np.all(core(thickness_m, 55.0 + 10 * (factor - 1), 120.0) >= shifted)
    assert np.all(core(thickness_m / factor, 55.0, 120.0) >= shifted)
    assert np.all(core(thickness_m, 55.0, 120.0 * factor) >= shifted)
    assert np.all(core(thickness_m, 55.0, 120.0, start_C=-10.0) >= shifted)
