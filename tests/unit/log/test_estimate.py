"""Estimates from core readings: parameters come back, intervals hold what they say, words are right."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from benchmarks.coverage import SERIES, covered, piece_of_beef
from scipy.stats import binom
from tests.unit.plan.planning import asked, slab

from corebath.heat.body import Body, Shape
from corebath.heat.engine import simulate
from corebath.heat.stage import Stage
from corebath.log.estimate import Interval, estimate
from corebath.log.estimate_say import ready_words, statements
from corebath.plan.piece import Inputs, Piece
from corebath.plan.timing import time_piece
from corebath.safety.rules import binding_lethality

PIECE = piece_of_beef(Body(Shape.SLAB, 0.03))
MIN = 60.0


def readings(piece: Piece, z: np.ndarray, minutes: np.ndarray, noise_K: float = 0.0, bias_K: float = 0.0) -> np.ndarray:
    rng = np.random.default_rng(7)
    core = Inputs(piece, z[None]).cores_C(piece, MIN * minutes)[0]
    return np.asarray(core + bias_K + noise_K * rng.standard_normal(minutes.size))


def test_without_readings_it_is_the_plans_spread() -> None:
    found = estimate(PIECE, [], [], now_s=0.0)
    planned = time_piece(PIECE, ()).come_up
    assert found.hot_s.middle == pytest.approx(planned.nominal_s, rel=0.01)
    assert found.hot_s.high == pytest.approx(planned.cautious_s, rel=0.05)
    assert found.thickness_factor.middle == pytest.approx(1.0)
    assert "no core readings" in statements(found)[0]
    assert not found.doubtful


def test_readings_of_the_nominal_piece_change_nothing_but_the_width() -> None:
    minutes = np.arange(3.0, 46.0, 3.0)
    found = estimate(PIECE, MIN * minutes, readings(PIECE, np.zeros(5), minutes), now_s=45 * MIN)
    before = estimate(PIECE, [], [], now_s=45 * MIN)
    assert np.abs(found.z).max() < 0.02
    assert found.hot_s.middle == pytest.approx(before.hot_s.middle, rel=1e-3)
    for narrow, wide in ((found.hot_s, before.hot_s), (found.core_now_C, before.core_now_C)):
        assert narrow.high - narrow.low < 0.5 * (wide.high - wide.low)


@pytest.mark.parametrize("index", [0, 1, 2])
def test_a_piece_that_differs_in_one_thing_is_recognised_in_time(index: int) -> None:
    """Thickness and diffusivity look alike in a core curve; what both do to the finish time must come back."""
    z = np.zeros(5)
    z[index] = 1.5
    minutes = np.arange(2.0, 50.0, 2.0)
    found = estimate(PIECE, MIN * minutes, readings(PIECE, z, minutes), now_s=50 * MIN)
    true = time_piece(PIECE.deviated(z), ()).come_up.nominal_s
    assert found.hot_s.low <= true <= found.hot_s.high
    assert abs(found.hot_s.middle / true - 1) < 0.03
    assert np.sign(found.z[index]) == 1


def test_the_bias_of_a_probe_shows_once_the_core_stands_still() -> None:
    minutes = np.arange(10.0, 240.0, 10.0)
    found = estimate(PIECE, MIN * minutes, readings(PIECE, np.zeros(5), minutes, 0.05, 1.0), now_s=240 * MIN)
    assert found.probe_bias_K.low < 1.0 < found.probe_bias_K.high + 0.2
    assert found.probe_bias_K.low > 0.3
    assert "too high" in " ".join(statements(found))


def test_a_measured_bath_is_followed() -> None:
    """A bath that starts at 40 degC and warms up: told, the estimate stays at the piece; not told, it does not."""
    stage = Stage("bath", np.array([0.0, 1800.0, 5400.0]), np.array([40.0, 57.0, 57.0]), PIECE.h_W_m2K)
    history = simulate(PIECE.body, PIECE.thermal, PIECE.start_C, [stage]).history
    t = MIN * np.arange(5.0, 60.0, 5.0)
    core = np.interp(t, history.time_s, history.core_C)
    told = estimate(PIECE, t, core, now_s=3600.0, bath=stage)
    assert np.abs(told.z).max() < 0.1
    not_told = estimate(PIECE, t, core, now_s=3600.0)
    assert np.abs(not_told.z).max() > 0.5
    assert told.core_now_C.middle == pytest.approx(float(np.interp(3600.0, history.time_s, history.core_C)), abs=0.1)


def test_a_frozen_piece_is_estimated_too() -> None:
    frozen = replace(piece_of_beef(Body(Shape.SLAB, 0.02)), start_C=-18.0)
    z = np.array([1.0, 0.0, 0.0, 0.0, 0.0])
    minutes = np.arange(5.0, 46.0, 10.0)
    found = estimate(frozen, MIN * minutes, readings(frozen, z, minutes), now_s=45 * MIN)
    assert found.thickness_factor.low < np.exp(0.05) < found.thickness_factor.high
    assert found.z[0] > 0.4


def test_heat_and_rules_set_the_finish() -> None:
    request = asked("chicken breast", slab(0.03), set_point_C=60.0)
    rules = binding_lethality(request.subject, request.authority)
    piece = replace(PIECE, bath_C=60.0)
    found = estimate(piece, [], [], now_s=0.0, rules=rules)
    assert set(found.rules_s) == {rule.key for rule in rules}
    assert found.ready_s.middle == pytest.approx(max(i.middle for i in (found.hot_s, *found.rules_s.values())))
    never = estimate(replace(piece, bath_C=50.0), [], [], now_s=0.0, rules=rules)
    assert never.ready_s.middle == np.inf


def test_readings_that_belong_to_something_else_are_not_believed() -> None:
    minutes = np.arange(5.0, 60.0, 5.0)
    found = estimate(PIECE, MIN * minutes, np.linspace(57.0, 20.0, minutes.size), now_s=3600.0)
    assert found.doubtful
    assert "nothing is concluded" in statements(found)[0]


def test_many_readings_are_averaged_not_overvalued() -> None:
    few, many = np.arange(1.0, 41.0, 40 / 60), np.arange(1.0, 41.0, 40 / 3000)
    widths = []
    for minutes in (few, many):
        found = estimate(PIECE, MIN * minutes, readings(PIECE, np.zeros(5), minutes), now_s=2400.0)
        widths.append(found.hot_s.high - found.hot_s.low)
        assert found.readings <= 60
    assert widths[1] == pytest.approx(widths[0], rel=0.05)


def test_order_of_readings_does_not_matter() -> None:
    minutes = np.arange(3.0, 46.0, 3.0)
    core = readings(PIECE, np.ones(5), minutes, 0.3)
    turned = slice(None, None, -1)
    one = estimate(PIECE, MIN * minutes, core, now_s=2700.0)
    two = estimate(PIECE, (MIN * minutes)[turned], core[turned], now_s=2700.0)
    assert np.allclose(one.z, two.z)


@pytest.mark.parametrize(("number", "cooks"), [(0, 500), (1, 200), (2, 200)])
def test_intervals_hold_nine_in_ten_and_no_more(number: int, cooks: int) -> None:
    """A right interval holds the truth in as many cooks as 99 % of binomial draws of 0.9 do (scipy's quantiles), on
    both sides: one that always held would be too wide. 500 cooks of every series: `python -m benchmarks.coverage`.
    """
    series = SERIES[number]
    held, found = covered(piece_of_beef(series.body), series, cooks, seed=1)
    low, high = binom.interval(0.99, cooks, 0.9)
    assert len(found) == cooks
    assert high < cooks
    assert len(held) == 7
    for name, count in held.items():
        assert low <= count <= high, (series.name, name, count / cooks)


def test_words_for_the_clock() -> None:
    zone = ZoneInfo("Europe/Paris")
    drop_in = datetime(2027, 5, 1, 17, 30, tzinfo=zone)
    base = estimate(PIECE, [], [], now_s=0.0)

    def words(low: float, middle: float, high: float) -> str:
        return ready_words(
            replace(base, ready_s=Interval(low * MIN, middle * MIN, high * MIN)), drop_in, zone, now=drop_in
        )

    assert words(66.5, 71.2, 76.5) == "hot through by 18:42, give or take 6 min"
    assert words(60, 71, 160) == "hot through by 18:41, give or take 1 h 29 min"
    assert words(1200, 1440, 1500).startswith("hot through by Sunday 17:30, give or take 4 h")
    assert "at the earliest" in words(60, 71, np.inf)
    assert "not known" in words(60, np.inf, np.inf)


def test_hours_for_tenderness_have_no_spread_and_give_way_to_the_time_the_cook_chose() -> None:
    zone = ZoneInfo("Europe/Paris")
    drop_in = datetime(2027, 5, 1, 17, 30, tzinfo=zone)
    base = replace(estimate(PIECE, [], [], now_s=0.0), ready_s=Interval(60 * MIN, 70 * MIN, 80 * MIN))
    heat = "hot through by 18:40, give or take 10 min"
    usual = ready_words(base, drop_in, zone, now=drop_in, soft_s=48 * 3600.0)
    assert usual == f"{heat}; soft Monday 17:30, after the 48 h that are usual"
    chosen = ready_words(base, drop_in, zone, now=drop_in, soft_s=48 * 3600.0, fixed_s=24 * 3600.0)
    assert chosen == f"{heat}; its 24 h in the bath, as you chose, are over Sunday 17:30"


def test_the_day_is_named_where_it_is_not_today() -> None:
    """Read on Monday, of food that dropped in on Saturday: the hour alone would be taken for today's."""
    zone = ZoneInfo("Europe/Paris")
    drop_in = datetime(2027, 5, 1, 17, 30, tzinfo=zone)
    base = replace(estimate(PIECE, [], [], now_s=0.0), ready_s=Interval(60 * MIN, 70 * MIN, 80 * MIN))
    monday, later = drop_in + timedelta(days=2), drop_in + timedelta(days=9)
    assert ready_words(base, drop_in, zone, now=monday).startswith("hot through by Saturday 18:40")
    assert ready_words(base, drop_in, zone, now=later).startswith("hot through by 2027-05-01 18:40")
    soft = ready_words(base, drop_in, zone, now=monday, soft_s=48 * 3600.0)
    assert "; soft 17:30, after" in soft


@pytest.mark.parametrize(
    ("times", "cores", "now_s"),
    [([1.0], [], 0.0), ([-1.0], [5.0], 0.0), ([1.0], [np.nan], 0.0), ([1.0], [5.0], -1.0), ([1e9], [5.0], 0.0)],
)
def test_refusals(times: list[float], cores: list[float], now_s: float) -> None:
    with pytest.raises(ValueError, match="core reading"):
        estimate(PIECE, times, cores, now_s=now_s)
