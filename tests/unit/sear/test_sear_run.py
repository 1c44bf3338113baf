"""What must hold for any sear."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from corebath.heat.material import Material
from corebath.heat.stage import Stage
from corebath.sear.contact import Face, Meat, press
from corebath.sear.hot import grill, pan, preheat_s, torch
from corebath.sear.run import Setup, chilled_start, run_sear
from corebath.sear.slab import Slab, shell_count

BEEF = Material(0.48, 1060.0, 3480.0)
HOT = pan("cast-iron", face_C=240.0, food_area_m2=0.02)
STEAK = Setup(0.03, BEEF, 0.72, 55.0, 55.0, HOT, 0.05)


def test_history_rises_in_time_and_names_its_stages() -> None:
    history = run_sear(STEAK, 450.0, 0.14).history
    assert history.stage_names == ("sear side one", "sear side two", "rest")
    assert np.all(np.diff(history.time_s) >= 0)
    assert history.core_C[0] == pytest.approx(55.0)
    assert history.time_s.size == history.surface_C.size == history.stage.size


@given(face_C=st.floats(60, 350), film=st.floats(0, 1), thickness=st.floats(0.006, 0.06), start=st.floats(0, 80))
@settings(max_examples=20, deadline=None)
def test_nothing_gets_hotter_than_boiling_below_the_crust(
    face_C: float, film: float, thickness: float, start: float
) -> None:
    setup = replace(STEAK, hot=HOT.at(face_C), film_kg_m2=film, thickness_m=thickness, start_C=start, side_s=40.0)
    result = run_sear(setup, 450.0, 0.14)
    assert result.peak_C.max() <= 100 + 1e-6
    assert result.peak_C.min() >= min(start, 20) - 1e-6
    assert result.film_share + result.crust_share + result.food_share == pytest.approx(1.0)
    assert min(result.band_m) >= 0
    if result.through:
        assert result.band_m == pytest.approx((thickness / 2, thickness / 2))
    else:
        assert sum(result.band_m) <= thickness + 1e-9  # one may pass the middle; they do not overlap
    assert result.core_peak_C >= result.core_served_C


@given(film=st.floats(0, 0.5), extra=st.floats(0.02, 0.5))
@settings(max_examples=10, deadline=None)
def test_wetter_is_never_quicker(film: float, extra: float) -> None:
    dry = run_sear(replace(STEAK, film_kg_m2=film), 450.0, 0.14).crust_s
    wet = run_sear(replace(STEAK, film_kg_m2=film + extra), 450.0, 0.14).crust_s
    assert all((w or np.inf) >= (d or np.inf) for d, w in zip(dry, wet, strict=True))


def test_heat_is_neither_lost_nor_made() -> None:
    """The hot face's fall, without burner or losses, equals film, crust and food together."""
    slab = Slab(0.03, BEEF, 20.0, 1e-9)
    meat = Meat(slab, 0.72 * 1060, 0.14, 100.0, 0.0005, 140.0)
    bare = replace(HOT, supply_W_m2=0.0, loss_W_m2K=0.0)
    field = np.full(shell_count(0.03), 55.0)
    contact = press(meat, bare, 240.0, 450.0, field, Face(1e5, 0.0), 60.0, stop=False)
    given = (240.0 - contact.hot_C[-1]) * bare.store_J_m2K
    assert given == pytest.approx(contact.film_J_m2 + contact.crust_J_m2 + contact.food_J_m2, rel=1e-6)
    gained = slab.heat_J_m2(contact.field_C[-1]) - slab.heat_J_m2(field)
    assert contact.food_J_m2 == pytest.approx(gained, rel=1e-6)
    assert contact.film_J_m2 == pytest.approx(1e5)


def test_two_like_sides_without_a_turn_effect() -> None:
    """On a face that never cools, a thick piece's two sides need the same contact."""
    steady = grill(800.0)
    times = run_sear(replace(STEAK, thickness_m=0.08, hot=steady), steady.h_W_m2K, 0.14).crust_s
    assert times[0] is not None
    assert times[1] == pytest.approx(times[0], rel=0.1)


def test_turns_share_the_contact_between_the_sides() -> None:
    flipped = run_sear(replace(STEAK, flip_every_s=10.0, side_s=40.0), 450.0, 0.14)
    assert flipped.side_s == pytest.approx((40.0, 40.0))
    assert len(flipped.history.stage_names) == 9


def test_a_cold_start_chilled_from_outside_has_a_thinner_band() -> None:
    ice = Stage.constant("ice water", 300.0, 0.5, 100.0)
    chilled = replace(STEAK, start_C=chilled_start(0.03, BEEF, 55.0, ice))
    assert max(run_sear(chilled, 450.0, 0.14).band_m) < max(run_sear(STEAK, 450.0, 0.14).band_m)


def test_thin_pieces_are_done_through() -> None:
    thin = run_sear(replace(STEAK, thickness_m=0.012), 450.0, 0.14)
    assert thin.through
    assert max(thin.band_m) == pytest.approx(0.006)


def test_a_pan_below_boiling_makes_no_crust() -> None:
    cool = run_sear(replace(STEAK, hot=pan("cast-iron", face_C=80.0, food_area_m2=0.02, burner_W=0.0)), 450.0, 0.14)
    assert cool.crust_s == (None, None)
    assert max(cool.dried_m) == 0


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"thickness_m": 0.5}, r"the thickness must lie between \{0.004\|m\} and \{0.12\|m\}, got \{0.5\|m\}"),
        ({"thickness_m": float("nan")}, "the thickness"),
        ({"meat_water": 1.2}, "the water in the meat"),
        ({"start_C": 120.0}, "the coldest start"),
        ({"start_C": np.zeros((2, 2))}, "one temperature or the field"),
        ({"core_result_C": 10.0}, "the core result"),
        ({"film_kg_m2": -0.1}, "the water on the surface"),
        ({"side_s": 1000.0}, "the time on a side"),
        ({"flip_every_s": 0.1}, "the time between turns"),
        ({"rest_s": -1.0}, "the rest"),
        ({"boiling_C": 120.0}, "the boiling point"),
    ],
)
def test_setups_refuse_what_they_cannot_compute(change: dict[str, object], words: str) -> None:
    with pytest.raises(ValueError, match=words):
        replace(STEAK, **change)  # type: ignore[arg-type]


def test_hot_faces_refuse_what_they_cannot_be() -> None:
    with pytest.raises(ValueError, match="pan material 'tin' is not known"):
        pan("tin", face_C=200.0, food_area_m2=0.02)
    with pytest.raises(ValueError, match="burner"):
        pan("copper", face_C=200.0, food_area_m2=0.02, burner="candle")
    with pytest.raises(ValueError, match="the food's face"):
        pan("copper", face_C=200.0, food_area_m2=0.5)
    with pytest.raises(ValueError, match="the pan's temperature"):
        pan("copper", face_C=600.0, food_area_m2=0.02)
    with pytest.raises(ValueError, match="heat flux"):
        torch(float("inf"))
    with pytest.raises(ValueError, match="coals"):
        grill(20.0)


def test_a_heavier_pan_takes_longer_to_preheat_and_a_weak_burner_never_gets_there() -> None:
    light, heavy = (pan("cast-iron", face_C=230.0, food_area_m2=0.02, thickness_m=t) for t in (0.003, 0.006))
    first, second = preheat_s(light), preheat_s(heavy)
    assert first is not None
    assert second == pytest.approx(2 * first)
    assert preheat_s(pan("cast-iron", face_C=230.0, food_area_m2=0.02, burner_W=300.0)) is None
    assert preheat_s(pan("cast-iron", face_C=60.0, food_area_m2=0.02, room_C=50.0)) is not None
    with pytest.raises(ValueError, match="only a pan"):
        preheat_s(grill(700.0))
