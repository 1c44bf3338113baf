"""When a piece needs the enthalpy solver, and when the exact one takes over."""

from __future__ import annotations

import numpy as np
import pytest

from corebath.food.composition import Composition
from corebath.food.freezing import FreezingTable, freezing_table
from corebath.heat.body import Body, Shape
from corebath.heat.conduction import cook
from corebath.heat.engine import Thermal, simulate
from corebath.heat.material import Material
from corebath.heat.stage import Stage

BEEF = Material(0.48, 1060.0, 3500.0)
SLAB = Body(Shape.SLAB, 0.025)
BATH = Stage.constant("bath", 5400.0, 58.0, 120.0)


def table(freezing_C: float = -1.2, **grams: float) -> FreezingTable:
    return freezing_table(Composition.normalised(**(grams or LEAN)), freezing_C)


LEAN = {"water_g": 73.0, "protein_g": 21.0, "fat_g": 5.0, "ash_g": 1.0}
FATTY = {"water_g": 12.0, "protein_g": 3.0, "fat_g": 84.5, "ash_g": 0.5}
LEAFY = {"water_g": 95.0, "protein_g": 1.0, "fat_g": 0.5, "total_carbohydrate_g": 3.0, "ash_g": 0.5}
TABLES = {
    "lean": table(-1.2, **LEAN),
    "fatty": table(-2.2, **FATTY),
    "leafy": table(-0.4, **LEAFY),
    "salted": table(-6.0, **LEAN),
}


@pytest.mark.parametrize("name", TABLES)
@pytest.mark.parametrize("cold_C", [0.0, 0.2, 0.5])
def test_ice_water_on_thawed_food_is_the_exact_path(name: str, cold_C: float) -> None:
    stages = [BATH, Stage.constant("ice water", 3600.0, cold_C, 100.0)]
    simulated = simulate(SLAB, Thermal(BEEF, TABLES[name]), 5.0, stages)
    exact = cook(SLAB, BEEF, 5.0, stages)
    np.testing.assert_array_equal(simulated.history.core_C, exact.history.core_C)
    np.testing.assert_array_equal(simulated.field_C, exact.field_C)


@pytest.mark.parametrize("start_C", [-0.9, 0.0, 0.3])
def test_supercooled_fridges_do_not_freeze_food_above_its_freezing_point(start_C: float) -> None:
    # Fish kept at -0.5 degC holds no ice when it freezes at -1.2.
    stages = [Stage.constant("fridge", 7200.0, -0.5, 10.0), BATH]
    simulated = simulate(SLAB, Thermal(BEEF, TABLES["lean"]), start_C, stages).history
    assert np.array_equal(simulated.core_C, cook(SLAB, BEEF, start_C, stages).history.core_C)


@pytest.mark.parametrize("name", TABLES)
def test_a_freezer_does_freeze(name: str) -> None:
    food = TABLES[name]
    stages = [Stage.constant("freezer", 12 * 3600.0, -18.0, 20.0)]
    iced = simulate(SLAB, Thermal(BEEF, food), 5.0, stages).history
    plain = cook(SLAB, BEEF, 5.0, stages).history
    assert iced.core_C[-1] < -15.0
    # Latent heat holds the core up just below the freezing point; the less water, the shorter.
    level = food.initial_freezing_C - 3.0
    fell_s, plain_s = (float(np.interp(-level, -h.core_C, h.time_s)) for h in (iced, plain))
    assert fell_s > plain_s * (1.1 if name == "fatty" else 1.8)


def test_frozen_then_bath_then_ice_water_thaws_once() -> None:
    thermal = Thermal(BEEF, TABLES["lean"])
    stages = [BATH, Stage.constant("ice water", 3600.0, 0.0, 100.0), Stage.constant("fridge", 3600.0, 0.3, 10.0)]
    whole = simulate(SLAB, thermal, -18.0, stages)
    cooked = simulate(SLAB, thermal, -18.0, stages[:1])
    chilled = cook(SLAB, BEEF, cooked.field_C, stages[1:])
    # Once thawed, ice water at 0 degC takes the exact path from the same field.
    after = whole.history.stage >= 1
    np.testing.assert_allclose(whole.history.core_C[after], chilled.history.core_C, atol=1e-9)
    np.testing.assert_allclose(whole.field_C, chilled.field_C, atol=1e-9)


def test_the_switch_leaves_no_step() -> None:
    history = simulate(SLAB, Thermal(BEEF, TABLES["lean"]), -18.0, [BATH]).history
    for column in (history.core_C, history.mean_C, history.surface_C):
        slope = np.diff(column) / np.maximum(np.diff(history.time_s), 1e-9)
        steps = np.abs(np.diff(column))
        assert np.all((steps < 0.6) | (np.abs(slope) < 60.0))
    assert np.all(np.diff(history.time_s) >= 0)
    assert np.all(np.diff(history.core_C) > -0.1)


def test_thaw_in_the_fridge_then_cook() -> None:
    thermal = Thermal(BEEF, TABLES["lean"])
    stages = [Stage.constant("fridge", 30 * 3600.0, 4.0, 10.0), BATH]
    history = simulate(SLAB, thermal, -18.0, stages).history
    assert history.core_at(30 * 3600.0) == pytest.approx(4.0, abs=0.5)
    assert history.core_C[-1] == pytest.approx(58.0, abs=0.5)


def test_frozen_pieces_obey_a_trace_as_the_ramp_it_samples() -> None:
    thermal = Thermal(BEEF, TABLES["lean"])
    ramp = Stage.ramp("bath", 3600.0, 15.0, 60.0, 150.0)
    times = np.linspace(0.0, 3600.0, 181)
    trace = Stage.trace("log", times, np.interp(times, ramp.times_s, ramp.ambient_C), 150.0)
    one, many = (simulate(SLAB, thermal, -18.0, [s]).history for s in (ramp, trace))
    for level in (-5.0, 5.0, 40.0):
        a, b = one.first_core_above(level), many.first_core_above(level)
        assert a is not None
        assert b == pytest.approx(a, rel=0.003)


@pytest.mark.parametrize("share", [0.1, 1 / 3, 0.7])
def test_a_frozen_stage_cut_in_two_is_one_stage(share: float) -> None:
    thermal = Thermal(BEEF, TABLES["lean"])
    middle = BATH.duration_s * share
    parts = [Stage.constant("a", middle, 58.0, 120.0), Stage.constant("b", BATH.duration_s - middle, 58.0, 120.0)]
    one, two = simulate(SLAB, thermal, -18.0, [BATH]).history, simulate(SLAB, thermal, -18.0, parts).history
    for level in (-5.0, 5.0, 40.0):
        a, b = one.first_core_above(level), two.first_core_above(level)
        assert a is not None
        assert b == pytest.approx(a, rel=0.005)
    assert two.core_C[-1] == pytest.approx(one.core_C[-1], abs=0.02)


def test_energy_of_thawing_comes_through_the_surface() -> None:
    food = TABLES["lean"]
    thermal = Thermal(Material(0.48, food.density_kg_m3, 3600.0), food)
    stages = [Stage.constant("bath", 700.0, 30.0, 120.0), Stage.ramp("ice water", 500.0, 3.0, 0.0, 80.0)]
    history = simulate(SLAB, thermal, -18.0, stages).history
    simulated = simulate(SLAB, thermal, -18.0, stages)
    flux = np.array([s.h_W_m2K for s in stages])[history.stage] * (history.ambient_C - history.surface_C)
    taken_J_m2 = float(np.trapezoid(flux, history.time_s))
    enthalpy = np.interp(simulated.field_C, food.temperature_C, food.enthalpy_J_m3).mean()
    cold = float(np.interp(-18.0, food.temperature_C, food.enthalpy_J_m3))
    assert simulated.field_C.min() < -1.0  # still thawing, so that all of it is the enthalpy solver's
    assert taken_J_m2 == pytest.approx((enthalpy - cold) * 0.0125, rel=0.02)


def test_stages_end_on_time_whatever_their_length() -> None:
    # Lengths whose running sums round up or down must neither stall nor overrun.
    thermal = Thermal(BEEF, TABLES["lean"])
    lengths = [0.1, 0.3, 1 / 3, 700.1, 1e-3, 59.99999999, 1234.5678901]
    stages = [Stage.ramp(f"{i}", s, 1.0 + i, 0.2, 40.0) for i, s in enumerate(lengths)]
    history = simulate(SLAB, thermal, -10.0, stages).history
    assert history.duration_s == pytest.approx(sum(lengths), abs=1e-9)
    assert sorted(set(history.stage.tolist())) == list(range(len(lengths)))


def test_food_may_settle_at_the_cold_end_of_its_table() -> None:
    freezer = Stage.constant("freezer", 20 * 3600.0, -40.0, 60.0)
    history = simulate(SLAB, Thermal(BEEF, TABLES["lean"]), -39.9, [freezer, BATH]).history
    assert history.core_at(20 * 3600.0) == pytest.approx(-40.0, abs=1e-3)
