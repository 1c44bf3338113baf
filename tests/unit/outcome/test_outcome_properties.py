"""What must hold whatever the figures: order, range, and the agreement of the parts with each other."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from corebath.outcome.doneness import Scale, doneness_bands, looks_like_C, name_doneness, pigment_browned
from corebath.outcome.egg import name_yolk, yolk_textures, yolk_time_s
from corebath.outcome.grids import juiciness_grid, tenderness_grid
from corebath.outcome.juiciness import cook_loss_pct, juiciness_index, loss_bounds_pct, loss_spread_pct
from corebath.outcome.results import textures
from corebath.outcome.tenderness import (
    raw_shear_kgf,
    shear_change_ln,
    tenderness_index,
    tough_done_hours,
    tough_done_hours_at,
)
from corebath.outcome.vegetables import firmness, time_to_soften_s

meat_C = st.floats(50, 75)
hold_h = st.floats(0.5, 24)
kinds = st.sampled_from(["beef", "pork", "chicken", "lamb", "fish"])


@given(meat_C, meat_C, hold_h, kinds)
def test_hotter_is_never_juicier(a_C: float, b_C: float, hours: float, kind: str) -> None:
    cool, hot = sorted((a_C, b_C))
    assert juiciness_index(hot, hours, kind) <= juiciness_index(cool, hours, kind)


@given(meat_C, hold_h, hold_h, kinds)
def test_longer_is_never_juicier(core_C: float, a_h: float, b_h: float, kind: str) -> None:
    short, long = sorted((a_h, b_h))
    assert juiciness_index(core_C, long, kind) <= juiciness_index(core_C, short, kind)


@given(meat_C, hold_h, kinds)
def test_index_is_the_loss_over_its_ceiling(core_C: float, hours: float, kind: str) -> None:
    ceiling = 20.0 if kind == "fish" else 45.0
    loss = float(cook_loss_pct(core_C, hours, kind))
    assert 0 < loss < ceiling
    assert juiciness_index(core_C, hours, kind) == pytest.approx(1 - loss / ceiling)


@given(st.floats(75, 100), st.floats(0, 10), st.floats(0, 10))
def test_longer_never_firms_vegetables(core_C: float, a_h: float, b_h: float) -> None:
    short, long = sorted((a_h, b_h))
    assert firmness("root-vegetable", core_C, long) <= firmness("root-vegetable", core_C, short)


@given(st.floats(55, 85), st.floats(55, 85))
def test_hotter_tough_cuts_are_done_no_later(a_C: float, b_C: float) -> None:
    cool, hot = sorted((a_C, b_C))
    centre, low, high = tough_done_hours(hot)
    assert low < centre < high
    assert centre <= tough_done_hours(cool)[0]
    assert tenderness_index("tough-red", hot, centre) == pytest.approx(1.0)


@given(st.floats(50, 80), st.floats(0, 24), st.floats(0, 24))
def test_longer_never_toughens_at_one_temperature(core_C: float, a_h: float, b_h: float) -> None:
    short, long = sorted((a_h, b_h))
    assert shear_change_ln(core_C, long) <= shear_change_ln(core_C, short)


@pytest.mark.parametrize(("core_C", "hours"), [(49.9, 2), (75.1, 2), (60, 0.49), (60, 24.1), (np.nan, 2)])
def test_cook_loss_is_not_known_outside_its_range(core_C: float, hours: float) -> None:
    assert np.isnan(cook_loss_pct(core_C, hours))


@pytest.mark.parametrize(
    "value",
    [
        shear_change_ln(49.9, 2),
        shear_change_ln(80.1, 2),
        shear_change_ln(60, -1),
        shear_change_ln(60, 25),
        tough_done_hours_at(54.9),
        tough_done_hours_at(85.1),
        tenderness_index("tough-red", 54.9, 20),
        tenderness_index("poultry-breast", 62, 2),
        looks_like_C(39, 1),
        looks_like_C(60, 0.05),
        pigment_browned(49, 1),
        firmness("root-vegetable", 74.9, 1),
        firmness("root-vegetable", 85, -1),
        yolk_time_s("honey", 59.9),
        yolk_time_s("honey", 66.1),
        yolk_time_s("condensed milk", 65.0),  # 15 min: warming would dominate
        cook_loss_pct(60, 2, "shellfish"),
    ],
)
def test_not_known_outside_a_range(value: np.ndarray[tuple[int, ...], np.dtype[np.float64]]) -> None:
    assert np.isnan(value)


def test_refusals_name_what_is_accepted() -> None:
    with pytest.raises(ValueError, match="accepted: 55 to 85 C"):
        tough_done_hours(52.0)
    with pytest.raises(ValueError, match="accepted: beef"):
        cook_loss_pct(60, 2, "granite")
    with pytest.raises(ValueError, match="accepted: root-vegetable"):
        firmness("potato", 85, 1)
    with pytest.raises(ValueError, match="accepted: 75 to 100 C"):
        time_to_soften_s("root-vegetable", 54.0)
    with pytest.raises(ValueError, match="accepted: 0 up to 1"):
        time_to_soften_s("root-vegetable", 85.0, 1.0)
    with pytest.raises(ValueError, match="accepted: condensed milk"):
        yolk_time_s("lava", 63.0)
    with pytest.raises(ValueError, match="accepted: tender-red"):
        raw_shear_kgf("oily-fish")


def test_bounds_outside_the_range_lean_on_its_edge() -> None:
    edge = float(cook_loss_pct(60, 0.5))
    at_least, at_most = loss_bounds_pct(60, 0.2, "beef")
    assert at_least is None
    assert at_most == pytest.approx(edge + 7)
    edge = float(cook_loss_pct(75, 24))
    at_least, at_most = loss_bounds_pct(78, 30, "lamb")
    assert at_least == pytest.approx(edge - 14)
    assert at_most is None
    assert loss_bounds_pct(45, 30, "beef") == (None, None)
    assert loss_bounds_pct(60, 2, "beef") == (None, None)
    assert loss_bounds_pct(60, 2, "shellfish") == (None, None)


def test_kinds_nobody_measured_get_twice_the_spread() -> None:
    assert loss_spread_pct("duck") == 2 * (loss_spread_pct("chicken") or 0)
    assert loss_spread_pct("vegetable") is None


def test_time_to_soften_is_the_inverse_of_firmness() -> None:
    for core_C in (80.0, 85.0, 90.0):
        hours = time_to_soften_s("green-vegetable", core_C, 0.9) / 3600
        assert firmness("green-vegetable", core_C, hours) == pytest.approx(0.05 + 0.95 * 0.1)


def test_doneness_names_tile_their_scale() -> None:
    for scale in Scale:
        for texture in textures():
            bands = doneness_bands(texture, scale)
            for lower, upper in pairwise(bands):
                assert lower.high_C == upper.low_C
            for band in bands:
                assert name_doneness(texture, band.low_C, scale) == band


def test_same_core_has_another_name_on_another_scale() -> None:
    trade = name_doneness("tender-red", 60.0)
    grill = name_doneness("tender-red", 60.0, Scale.GRILL)
    assert trade is not None
    assert grill is not None
    assert (trade.words, grill.words) == ("medium", "rare")
    assert name_doneness("tender-red", 40.0) is None
    assert doneness_bands("oily-fish", Scale.GRILL) == ()
    assert doneness_bands("potato") == ()


def test_an_hour_leaves_the_name_alone() -> None:
    assert looks_like_C(57.0, 1.0) == 57.0
    assert looks_like_C(57.0, 10.0) == pytest.approx(59.0)


def test_yolk_names_are_their_own_times() -> None:
    for name in yolk_textures():
        assert name_yolk(float(yolk_time_s(name, 63.0)) / 60) == name
    assert name_yolk(20.0) is None


def test_grids_are_set_points_by_hours_with_gaps_where_nothing_is_known() -> None:
    set_points, hours = np.linspace(45, 85, 9), np.array([0.25, 1.0, 12.0, 48.0])
    juicy = juiciness_grid("tender-red", "beef", set_points, hours)
    assert juicy.shape == (9, 4)
    assert juicy[3, 1] == juiciness_index(60.0, 1.0)
    assert np.array_equal(np.isfinite(juicy).any(axis=1), (set_points >= 50) & (set_points <= 75))
    assert np.array_equal(np.isfinite(juicy).any(axis=0), [False, True, True, False])
    tender = tenderness_grid("tender-red", "beef", set_points, hours)
    assert tender[3, 1] == tenderness_index("tender-red", 60.0, 1.0)
    assert np.isfinite(tenderness_grid("tough-red", "lamb", set_points, hours)[2:]).all()
    assert np.isnan(tenderness_grid("tender-red", "chicken", set_points, hours)).all()
