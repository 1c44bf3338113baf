"""Composition and the unfrozen properties built on it."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from corebath.food import Composition
from corebath.food.mixing import ConductivityModel, conductivity, levy
from corebath.food.properties import (
    conductivity_W_mK,
    density_kg_m3,
    diffusivity_m2_s,
    specific_heat_J_kgK,
)

LEAN = Composition.normalised(water_g=70.29, protein_g=20.72, fat_g=7.37, ash_g=1.02)


@st.composite
def compositions(draw: st.DrawFn) -> Composition:
    water = draw(st.floats(30, 95))
    parts = [draw(st.floats(0.01, 50)) for _ in range(5)]
    scale = (100 - water) / sum(parts)
    protein, fat, carbohydrate, fibre, ash = (part * scale for part in parts)
    return Composition.normalised(
        water_g=water,
        protein_g=protein,
        fat_g=fat,
        total_carbohydrate_g=carbohydrate + fibre,
        fibre_g=fibre,
        ash_g=ash,
    )


def test_normalised_splits_fibre_from_the_carbohydrate_and_adds_up_to_one() -> None:
    carrot = Composition.normalised(
        water_g=88.29, protein_g=0.93, fat_g=0.24, total_carbohydrate_g=9.58, fibre_g=2.8, ash_g=0.97
    )
    assert carrot.water + sum(carrot.solids.values()) == pytest.approx(1.0, abs=1e-12)
    assert carrot.carbohydrate == pytest.approx(0.0678, abs=1e-4)
    assert carrot.fibre == pytest.approx(0.028, abs=1e-4)


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"water_g": 80.0}, "add up to between 95 and 105"),
        ({"fibre_g": 1.0}, "part of the carbohydrate"),
        ({"fat_g": -1.0}, "0 or more"),
        ({"ash_g": float("nan")}, "0 or more"),
    ],
)
def test_normalised_refuses_what_no_food_can_be(changes: dict[str, float], sentence: str) -> None:
    figures = {"water_g": 70.0, "protein_g": 22.0, "fat_g": 7.0, "ash_g": 1.0} | changes
    with pytest.raises(ValueError, match=sentence):
        Composition.normalised(**figures)


def test_fractions_must_add_up_to_one() -> None:
    with pytest.raises(ValueError, match="add up to 1"):
        Composition(water=0.7, protein=0.2, fat=0.05)
    with pytest.raises(ValueError, match="water"):
        Composition(water=float("nan"), protein=0.2, fat=0.05)


@pytest.mark.parametrize("T", [-0.1, 100.1, float("nan"), float("inf")])
def test_unfrozen_properties_refuse_temperatures_outside_their_range(T: float) -> None:
    for of in (conductivity_W_mK, density_kg_m3, specific_heat_J_kgK, diffusivity_m2_s):
        with pytest.raises(ValueError, match="0 to 100 degC"):
            of(LEAN, T)
        with pytest.raises(ValueError, match="0 to 100 degC"):
            of(LEAN, np.array([20.0, T]))


def test_arrays_keep_their_shape_and_equal_the_scalars() -> None:
    T = np.array([[0.0, 20.0], [60.0, 100.0]])
    for of in (conductivity_W_mK, density_kg_m3, specific_heat_J_kgK, diffusivity_m2_s):
        many = of(LEAN, T)
        assert many.shape == T.shape
        assert many[1, 0] == of(LEAN, 60.0)
        assert type(of(LEAN, 60.0)) is float


@given(comp=compositions(), T=st.floats(0, 100))
def test_levy_lies_between_the_bounds(comp: Composition, T: float) -> None:
    low = conductivity_W_mK(comp, T, ConductivityModel.PERPENDICULAR)
    high = conductivity_W_mK(comp, T, ConductivityModel.PARALLEL)
    assert low * (1 - 1e-12) <= conductivity_W_mK(comp, T) <= high * (1 + 1e-12)


@given(k1=st.floats(0.05, 3), k2=st.floats(0.05, 3), share=st.floats(0, 1))
def test_levy_is_symmetric_in_its_phases(k1: float, k2: float, share: float) -> None:
    a = levy(np.asarray(k1), np.asarray(k2), np.asarray(share))
    b = levy(np.asarray(k2), np.asarray(k1), np.asarray(1 - share))
    assert float(a) == pytest.approx(float(b), rel=1e-9)


@pytest.mark.parametrize("model", list(ConductivityModel))
def test_one_phase_alone_keeps_its_conductivity(model: ConductivityModel) -> None:
    one, none = np.asarray(1.0), np.asarray(0.0)
    k = conductivity([(none, np.asarray(0.2)), (one, np.asarray(0.6))], model)
    assert float(k) == pytest.approx(0.6)


@given(comp=compositions(), T=st.floats(0, 100))
def test_diffusivity_is_conductivity_over_heat_capacity(comp: Composition, T: float) -> None:
    built = conductivity_W_mK(comp, T) / (density_kg_m3(comp, T) * specific_heat_J_kgK(comp, T))
    assert diffusivity_m2_s(comp, T) == pytest.approx(built, rel=1e-12)
