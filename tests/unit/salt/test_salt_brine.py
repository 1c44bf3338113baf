"""Salt moving into a piece."""

from __future__ import annotations

import re

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from corebath.heat.body import Body, Shape
from corebath.salt.brine import dry_brine, equilibrium_brine
from corebath.salt.diffusion import Uptake, core_reaches, salt_field, surface_uptake_s
from corebath.units import METRIC, render

STEAK = Body(Shape.SLAB, 0.025)
BODIES = [
    STEAK,
    Body(Shape.CYLINDER, 0.06),
    Body(Shape.BALL, 0.06),
    Body(Shape.BAR, 0.05, 0.08),
    Body(Shape.SHORT_CYLINDER, 0.09, length_m=0.05),
    Body(Shape.BRICK, 0.05, 0.08, 0.12),
]


@pytest.mark.parametrize("body", BODIES, ids=lambda body: body.shape.value)
def test_a_dose_is_neither_lost_nor_made(body: Body) -> None:
    field = salt_field(body, 4e-10, np.geomspace(600, 3e6, 12), Uptake.ONCE)
    assert field.mean == pytest.approx(np.ones(12), abs=1e-9)


@pytest.mark.parametrize("body", BODIES, ids=lambda body: body.shape.value)
@pytest.mark.parametrize("uptake", list(Uptake))
def test_all_salt_levels_in_the_end(body: Body, uptake: Uptake) -> None:
    field = salt_field(body, 1e-9, np.array([3e8]), uptake)
    assert field.share == pytest.approx(np.ones_like(field.share), abs=1e-6)


@given(st.floats(0.005, 0.1), st.floats(1e-11, 1.5e-9), st.floats(1.05, 3.0))
@settings(max_examples=25, deadline=None)
def test_times_go_with_thickness_squared_over_D(thickness_m: float, D: float, factor: float) -> None:
    first = core_reaches(Body(Shape.SLAB, thickness_m), D, 0.5, Uptake.ONCE)
    thicker = core_reaches(Body(Shape.SLAB, thickness_m * factor), D, 0.5, Uptake.ONCE)
    assert thicker == pytest.approx(first * factor**2, rel=1e-6)
    assert core_reaches(Body(Shape.SLAB, thickness_m), D * factor, 0.5, Uptake.ONCE) == pytest.approx(
        first / factor, rel=1e-6
    )


def test_depth_grows_and_reaches_the_core() -> None:
    depth = salt_field(STEAK, 4e-10, np.geomspace(600, 1e6, 30), Uptake.ONCE).depth_of(0.5)
    assert np.all(np.diff(depth) >= 0)
    assert depth[-1] == pytest.approx(0.0125)


def test_uptake_is_far_quicker_than_levelling() -> None:
    uptake = surface_uptake_s(STEAK, 4e-10, 0.01, 0.26)
    assert uptake < 0.02 * core_reaches(STEAK, 4e-10, 0.9, Uptake.ONCE)


def test_the_waits_of_practice_are_described_with_their_range() -> None:
    salting = dry_brine(STEAK, "pork", 1.0, meat_water=0.74)
    assert [wait.time_s / 3600 for wait in salting.waits] == [2, 4, 8, 12, 24]
    for wait in salting.waits:
        assert wait.core_share_low <= wait.core_share <= wait.core_share_high
        assert wait.depth_low_m <= wait.depth_m <= wait.depth_high_m
    assert salting.slow is not None
    assert salting.nominal is not None
    assert salting.fast is not None
    assert salting.fast.half_s < salting.nominal.half_s < salting.slow.half_s
    text = render(" ".join(salting.statements), METRIC)
    assert "After 12 h" in text
    assert "{" not in text


def test_poultry_is_not_known_but_bounded() -> None:
    salting = dry_brine(STEAK, "chicken", 1.0, meat_water=0.75)
    assert not salting.known
    assert salting.nominal is None
    assert salting.waits == ()
    assert "not known" in salting.statements[0]
    pork = dry_brine(STEAK, "pork", 1.0, meat_water=0.75)
    assert pork.fast is not None
    assert salting.soonest_half_s < pork.fast.half_s


def test_broad_faces_are_quicker_for_the_core_of_a_brick() -> None:
    brick = Body(Shape.BRICK, 0.05, 0.08, 0.12)
    even = dry_brine(brick, "beef", 1.0, meat_water=0.7)
    broad = dry_brine(brick, "beef", 1.0, meat_water=0.7, broad_faces_only=True)
    assert even.nominal is not None
    assert broad.nominal is not None
    assert broad.nominal.half_s < even.nominal.half_s
    with pytest.raises(ValueError, match="no broad faces"):
        dry_brine(Body(Shape.BALL, 0.06), "beef", 1.0, meat_water=0.7, broad_faces_only=True)


def test_a_thick_piece_is_told_that_it_will_not_level_in_time() -> None:
    thick = dry_brine(Body(Shape.SLAB, 0.08), "beef", 1.0, meat_water=0.7)
    assert any("season the slices" in sentence for sentence in thick.statements)


def test_equilibrium_brine_is_bracketed() -> None:
    brine = equilibrium_brine(STEAK, "pork", meat_kg=1.0, water_kg=1.0, percent=1.5, meat_water=0.74)
    assert brine.salt_kg == pytest.approx(0.030)
    assert 1.2 < brine.meat_percent_low < brine.meat_percent == 1.5
    salting = brine.salting
    assert salting.fast is not None
    assert salting.nominal is not None
    assert salting.fast.half_s < salting.nominal.half_s
    assert salting.soonest_half_s < salting.fast.half_s


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"meat_kg": 0.0}, "more than 0 kg"),
        ({"water_kg": float("nan")}, "more than 0 kg"),
        ({"percent": 30.0}, "up to 10 %"),
        ({"meat_water": 1.5}, "between 0.3 and 0.9"),
    ],
)
def test_brines_refuse_bad_input(change: dict[str, float], words: str) -> None:
    figures = {"meat_kg": 1.0, "water_kg": 1.0, "percent": 1.5, "meat_water": 0.74} | change
    with pytest.raises(ValueError, match=words):
        equilibrium_brine(
            STEAK,
            "pork",
            meat_kg=figures["meat_kg"],
            water_kg=figures["water_kg"],
            percent=figures["percent"],
            meat_water=figures["meat_water"],
        )


def test_a_dose_that_cannot_dissolve_is_refused() -> None:
    with pytest.raises(ValueError, match="half of what its water can hold"):
        dry_brine(STEAK, "beef", 20.0, meat_water=0.7)


@pytest.mark.parametrize("time_s", [[0.0], [-1.0], [float("nan")], [[1.0]]])
def test_bad_times_and_diffusivities_are_refused(time_s: list[float]) -> None:
    with pytest.raises(ValueError, match="times after salting"):
        salt_field(STEAK, 4e-10, np.array(time_s), Uptake.ONCE)
    with pytest.raises(ValueError, match="diffusivity of salt"):
        salt_field(STEAK, 1.0, np.array([1.0]), Uptake.ONCE)


def test_a_surface_above_its_final_salt_is_said_as_a_multiple() -> None:
    said = render(" ".join(dry_brine(Body(Shape.SLAB, 0.05), "beef", 1.0, meat_water=0.72).statements), METRIC)
    assert "times its final salt" in said
    assert not any(int(p) > 100 for p in re.findall(r"(\d+) %", said))
