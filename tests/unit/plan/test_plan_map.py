"""The map around a plan says what the plan says."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.interpolate import RegularGridInterpolator
from tests.unit.plan.planning import asked, body_of, slab

from corebath.food.naming import find
from corebath.plan.make import make_plan
from corebath.plan.map import SIDE, Map, make_map
from corebath.plan.plan import Plan
from corebath.plan.request import Request, State

SAMPLES = (
    asked(),
    asked("chicken-breast", slab(0.04), set_point_C=62.0),
    asked("chicken-breast", slab(0.03), set_point_C=60.0, guests_at_risk=True),
    asked("pork-loin", body_of(find("pork-loin"), 0.06), set_point_C=60.0),
    asked("carrot", slab(0.02), set_point_C=85.0),
    asked("salmon", set_point_C=46.0),
    asked("chicken-breast", slab(0.02), set_point_C=62.0, state=State.FROZEN),
)


@pytest.fixture(scope="module", params=SAMPLES, ids=lambda r: f"{r.food.key}-{r.set_point_C:g}-{r.state.value}")
def both(request: pytest.FixtureRequest) -> tuple[Plan, Map]:
    asked_for: Request = request.param
    plan = make_plan(asked_for, offer=False)
    return plan, make_map(plan)


def test_axes_rise_and_hold_the_plan_s_point(both: tuple[Plan, Map]) -> None:
    plan, area = both
    assert area.set_points_C.shape == area.times_s.shape == (SIDE,)
    assert np.all(np.diff(area.set_points_C) > 0)
    assert np.all(np.diff(area.times_s) > 0)
    assert area.set_points_C[0] <= plan.set_point_C <= area.set_points_C[-1]
    assert area.times_s[0] <= plan.bath_s <= area.times_s[-1]


def test_fields_have_the_shape_of_the_map(both: tuple[Plan, Map]) -> None:
    _, area = both
    for field in (area.below_bath_K, area.tenderness, area.juiciness, *(r.share for r in area.regions)):
        assert field.shape == (SIDE, SIDE)
    for index in (area.tenderness, area.juiciness):
        known = index[~np.isnan(index)]
        assert np.all((known >= 0) & (known <= 1))


def test_the_core_only_comes_closer_to_the_bath(both: tuple[Plan, Map]) -> None:
    _, area = both
    assert np.all(np.diff(area.below_bath_K, axis=1) <= 0.02)
    assert np.all(area.below_bath_K >= -0.02)


def test_a_rule_s_share_grows_with_time_and_with_heat(both: tuple[Plan, Map]) -> None:
    _, area = both
    for region in area.regions:
        assert np.all(region.share >= 0)
        assert np.all(np.diff(region.share, axis=1) >= 0)
        # Where it is met anyway, an instant rule may jump past a table's share: only the way to the edge is compared.
        assert np.all(np.diff(np.minimum(region.share, 1.0), axis=0) >= -1e-6)


def test_the_map_agrees_with_the_findings_at_the_plan_s_point(both: tuple[Plan, Map]) -> None:
    plan, area = both
    achieved = {f.rule: f.achieved for f in plan.findings}
    compared = 0
    for region in area.regions:
        told = achieved[region.rule]
        assert told is not None
        share = RegularGridInterpolator((area.set_points_C, area.times_s), region.share)(
            [[plan.set_point_C, plan.bath_s]]
        )[0]
        if 0.05 < told < 20:
            compared += 1
            # Between two set points of the map, 0.4 C apart, lethality bends; at 200 times finer steps it is equal.
            assert share == pytest.approx(told, rel=0.08)
    assert compared or plan.request.food.kind.value in ("vegetable", "fish")


def test_every_rule_of_lethality_is_on_the_map(both: tuple[Plan, Map]) -> None:
    plan, area = both
    core = {f.rule for f in plan.findings if f.achieved is not None}
    assert {r.rule for r in area.regions} <= core
    binding = {f.rule for f in plan.findings if f.achieved is not None and f.binding}
    assert {r.rule for r in area.regions if r.binding} <= binding
