"""What must hold between plans: hotter, thicker, colder, stricter."""

from __future__ import annotations

from math import isfinite

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.unit.plan.planning import asked, body_of, planned, slab

from corebath.food.naming import find
from corebath.heat.body import Body, Shape
from corebath.plan.choose import choose
from corebath.plan.piece import INPUTS, Inputs, piece_of
from corebath.plan.plan import Governs
from corebath.plan.request import State
from corebath.plan.timing import time_piece
from corebath.safety.rules import binding_lethality
from corebath.safety.subject import Subject

quick = settings(max_examples=15, deadline=None)
frozen_quick = settings(max_examples=5, deadline=None)
thicknesses = st.floats(0.005, 0.10)
set_points = st.integers(110, 180).map(lambda half: half / 2)
FOODS = ("beef-ribeye", "chicken-breast", "pork-loin", "salmon", "turkey-breast")


def bodies(thickness_m: float) -> tuple[Body, ...]:
    t = thickness_m
    return (
        Body(Shape.SLAB, t),
        Body(Shape.BAR, t, 1.4 * t),
        Body(Shape.BRICK, t, 1.4 * t, 2.2 * t),
        Body(Shape.CYLINDER, t),
        Body(Shape.SHORT_CYLINDER, t, None, 1.7 * t),
        Body(Shape.BALL, t),
    )


@quick
@given(st.sampled_from(FOODS), thicknesses, set_points, st.floats(0.5, 8.0))
def test_hotter_water_never_delays_a_temperature_or_a_rule(
    food: str, thickness_m: float, set_point_C: float, by_K: float
) -> None:
    cooler, hotter = (
        choose(asked(food, slab(thickness_m), set_point_C=s, guests_at_risk=True))
        for s in (set_point_C, min(set_point_C + by_K, 95.0))
    )
    times = np.linspace(0.0, min(cooler.cautious.duration_s, hotter.cautious.duration_s), 50)
    same = cooler.piece.history(float(times[-1])), hotter.piece.history(float(times[-1]))
    # Both are made of the properties at their own mean temperature: a few kelvin change them by some parts in 1000.
    assert all(same[1].core_at(t) >= same[0].core_at(t) - 0.02 for t in times)
    for key, span in cooler.timing.lethality.items():
        assert hotter.timing.lethality[key].cautious_s <= span.cautious_s * 1.001


@quick
@given(st.sampled_from(FOODS), thicknesses, st.floats(1.02, 2.0), set_points, st.integers(0, 5))
def test_thicker_is_never_sooner(food: str, thickness_m: float, factor: float, set_point_C: float, shape: int) -> None:
    thin, thick = (
        choose(asked(food, bodies(t)[shape], set_point_C=set_point_C, guests_at_risk=True)).timing
        for t in (thickness_m, thickness_m * factor)
    )
    assert thick.come_up.nominal_s > thin.come_up.nominal_s
    assert thick.come_up.cautious_s > thin.come_up.cautious_s
    for key, span in thin.lethality.items():
        assert thick.lethality[key].cautious_s >= span.cautious_s


@quick
@given(st.sampled_from(FOODS), thicknesses, set_points)
def test_guests_at_risk_never_shorten_a_cook(food: str, thickness_m: float, set_point_C: float) -> None:
    usual, at_risk = (
        choose(asked(food, slab(thickness_m), set_point_C=set_point_C, guests_at_risk=risk)).window
        for risk in (False, True)
    )
    assert at_risk.ready_s >= usual.ready_s - 0.001


@frozen_quick
@given(st.sampled_from(FOODS), st.floats(0.01, 0.06), set_points)
def test_frozen_is_never_sooner_than_from_the_fridge(food: str, thickness_m: float, set_point_C: float) -> None:
    fridge, frozen = (
        choose(asked(food, slab(thickness_m), set_point_C=set_point_C, guests_at_risk=True, state=state)).timing
        for state in (State.FRIDGE, State.FROZEN)
    )
    assert frozen.come_up.nominal_s > fridge.come_up.nominal_s
    assert frozen.come_up.cautious_s > fridge.come_up.cautious_s
    for key, span in fridge.lethality.items():
        assert frozen.lethality[key].nominal_s >= span.nominal_s
        # About one bath in twenty may be too cold to earn anything: then a sample's 95 % is finite or not by its draws.
        if isfinite(span.cautious_s):
            assert frozen.lethality[key].cautious_s >= span.cautious_s


@quick
@given(st.sampled_from(FOODS), thicknesses, set_points, st.integers(0, 5))
def test_early_nominal_and_cautious_come_in_order(
    food: str, thickness_m: float, set_point_C: float, shape: int
) -> None:
    choice = choose(asked(food, bodies(thickness_m)[shape], set_point_C=set_point_C))
    window = choice.window
    assert 0 <= window.early_s <= window.nominal_s <= window.ready_s <= window.latest_s
    for span in (choice.timing.come_up, *choice.timing.lethality.values()):
        assert span.early_s <= span.nominal_s <= span.cautious_s


@quick
@given(st.sampled_from(FOODS), thicknesses, set_points, st.integers(0, 5), st.booleans())
def test_the_cautious_piece_stands_for_the_slowest_twentieth(
    food: str, thickness_m: float, set_point_C: float, shape: int, at_risk: bool
) -> None:
    request = asked(food, bodies(thickness_m)[shape], set_point_C=set_point_C, guests_at_risk=at_risk)
    piece = piece_of(request, set_point_C)
    rules = binding_lethality(request.subject, request.authority)
    timing = time_piece(piece, rules)
    if not np.isfinite(timing.governing_s):
        return
    history = timing.cautious.history(2.0 * timing.governing_s)
    reached = [history.first_core_above(timing.cautious.bath_C - 0.5)]
    reached += [rule.met_at_s(history.time_s, history.core_C) for rule in rules]
    assert None not in reached
    assert max(s for s in reached if s is not None) == pytest.approx(timing.governing_s, rel=0.03)


def test_a_frozen_piece_s_spread_agrees_with_sampling_it() -> None:
    # A plan works out a frozen piece's spread from eleven solves; here 200 pieces are drawn and solved outright.
    piece = piece_of(asked("pork-loin", slab(0.03), set_point_C=60.0, state=State.FROZEN), 60.0)
    span = time_piece(piece, ()).come_up
    inputs = Inputs(piece, np.random.default_rng(5).standard_normal((200, len(INPUTS))))
    time_s = np.linspace(0.0, 4.0 * span.nominal_s, 400)
    below = inputs.bath_C[:, None] - inputs.cores_C(piece, time_s)
    reached = np.array([time_s[int(np.argmax(row <= 0.5))] for row in below])
    assert span.early_s == pytest.approx(np.quantile(reached, 0.05), rel=0.06)
    assert span.nominal_s == pytest.approx(np.median(reached), rel=0.04)
    assert span.cautious_s == pytest.approx(np.quantile(reached, 0.95), rel=0.06)


def test_a_rule_met_in_time_is_met_by_the_history_behind_the_findings() -> None:
    # This loin was ready by its samples 20 s before the cautious piece had met the rule.
    plan = planned("venison-loin", slab(0.03), set_point_C=56.0, guests_at_risk=True)
    assert plan.works
    assert plan.window.governs is Governs.SAFETY


def test_layers_heat_as_one_thicker_body() -> None:
    together = choose(asked(body=slab(0.02), layers=2)).timing.come_up
    thick = choose(asked(body=slab(0.04))).timing.come_up
    assert together == thick


def test_a_side_that_was_not_measured_never_makes_a_piece_sooner_ready() -> None:
    slab_s, bar_s, brick_s = (choose(asked(body=b)).timing.come_up.cautious_s for b in bodies(0.05)[:3])
    assert slab_s > bar_s > brick_s


def test_vegetables_have_no_rules_of_lethality() -> None:
    assert binding_lethality(Subject("vegetable"), asked().authority) == ()
    food = find("carrot")
    assert choose(asked(food.key, body_of(food, 0.02), set_point_C=85.0)).timing.lethality == {}
