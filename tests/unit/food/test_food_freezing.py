"""Ice, enthalpy and the table a solver reads."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from corebath.food import Composition, Food, catalogue
from corebath.food.freezing import (
    IceModel,
    enthalpy_J_kg,
    freezing_table,
    frozen_conductivity_W_mK,
    frozen_density_kg_m3,
    ice_fraction,
)
from corebath.food.properties import conductivity_W_mK, density_kg_m3, specific_heat_J_kgK

LEAN = Composition.normalised(water_g=70.29, protein_g=20.72, fat_g=7.37, ash_g=1.02)
FOODS = [catalogue()[key] for key in ("beef-ribeye", "pork-belly", "cod", "carrot", "egg")]


@pytest.mark.parametrize("model", list(IceModel))
def test_ice_grows_from_nothing_at_the_freezing_point_and_leaves_some_water(model: IceModel) -> None:
    T = np.linspace(-40, 5, 2000)
    ice = ice_fraction(LEAN, -1.7, T, model)
    assert np.all(np.diff(ice) <= 0)
    assert np.all(ice[T >= -1.7] == 0)
    assert 0.75 * LEAN.water < ice[0] < LEAN.water


@given(
    t_f=st.floats(-10, -0.05),
    water=st.floats(0.3, 0.95),
    fat=st.floats(0, 1),
    model=st.sampled_from(list(IceModel)),
)
def test_enthalpy_rises_strictly(t_f: float, water: float, fat: float, model: IceModel) -> None:
    comp = Composition(water=water, protein=(1 - water) * (1 - fat), fat=(1 - water) * fat)
    T = np.concatenate([np.linspace(-40, 100, 1401), t_f + np.linspace(-0.01, 0.01, 21)])
    T = np.unique(np.round(T, 6))  # temperatures a rounding error apart have one enthalpy
    assert np.all(np.diff(enthalpy_J_kg(comp, t_f, T, model)) > 0)


@pytest.mark.parametrize("food", FOODS, ids=lambda food: food.key)
def test_enthalpy_above_freezing_has_the_slope_of_the_specific_heat(food: Food) -> None:
    T = np.linspace(1, 99, 99)
    step = 1e-3
    slope = (
        enthalpy_J_kg(food.composition, food.initial_freezing_C, T + step)
        - enthalpy_J_kg(food.composition, food.initial_freezing_C, T - step)
    ) / (2 * step)
    assert slope == pytest.approx(specific_heat_J_kgK(food.composition, T), rel=1e-6)


def test_enthalpy_is_zero_at_minus_40_and_the_latent_heat_of_all_ice_is_inside() -> None:
    assert enthalpy_J_kg(LEAN, -1.7, -40.0) == 0.0
    rise = enthalpy_J_kg(LEAN, -1.7, 0.0)
    ice = ice_fraction(LEAN, -1.7, -40.0)
    assert 0.7 * ice * 333.6e3 < rise < ice * 333.6e3 + 40 * 2300


@pytest.mark.parametrize("food", FOODS, ids=lambda food: food.key)
def test_frozen_properties_join_the_unfrozen_ones(food: Food) -> None:
    T = np.array([0.0, 20.0, 100.0])
    t_f = food.initial_freezing_C
    assert frozen_conductivity_W_mK(food.composition, t_f, T) == pytest.approx(
        conductivity_W_mK(food.composition, T), rel=1e-12
    )
    assert frozen_density_kg_m3(food.composition, t_f, T) == pytest.approx(
        density_kg_m3(food.composition, T), rel=1e-12
    )
    just_below, at = frozen_conductivity_W_mK(food.composition, t_f, np.array([t_f - 1e-7, t_f]))
    assert just_below == pytest.approx(at, rel=1e-5)


@pytest.mark.parametrize("food", list(catalogue().values()), ids=lambda food: food.key)
def test_tables_rise_and_interpolate_closely(food: Food) -> None:
    table = freezing_table(food.composition, food.initial_freezing_C)
    assert table.temperature_C[0] == -40
    assert table.temperature_C[-1] == 100
    assert food.initial_freezing_C in table.temperature_C
    assert np.all(np.diff(table.temperature_C) > 0)
    assert np.all(np.diff(table.enthalpy_J_m3) > 0)
    assert table.density_kg_m3 == density_kg_m3(food.composition, 5.0)
    T = np.linspace(-40, 100, 9973)
    read = np.interp(T, table.temperature_C, table.enthalpy_J_m3) / table.density_kg_m3
    exact = enthalpy_J_kg(food.composition, food.initial_freezing_C, T)
    assert np.max(np.abs(read - exact)) < 2e-4 * exact[-1]
    k = np.interp(T, table.temperature_C, table.conductivity_W_mK)
    assert k == pytest.approx(frozen_conductivity_W_mK(food.composition, food.initial_freezing_C, T), rel=1e-3)


@pytest.mark.parametrize(("t_f", "T"), [(0.0, -10.0), (-11.0, -20.0), (-1.7, -40.1), (-1.7, 101.0)])
def test_outside_the_range_is_refused(t_f: float, T: float) -> None:
    for of in (ice_fraction, enthalpy_J_kg, frozen_conductivity_W_mK, frozen_density_kg_m3):
        with pytest.raises(ValueError, match="degC"):
            of(LEAN, t_f, T)


@pytest.mark.parametrize("t_f", [0.0, -40.0, float("nan")])
def test_tables_refuse_a_freezing_point_outside_the_range(t_f: float) -> None:
    with pytest.raises(ValueError, match="initial freezing point"):
        freezing_table(LEAN, t_f)
