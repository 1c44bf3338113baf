"""Gaps: how a silent sensor and a real outage are told apart, and how both are bounded.

Cooling baths come from the bath room's own balance; the shapes of the traces are ours.
"""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.unit.log.traces import H, failing, steady, without

from corebath.bath.cover import Cover
from corebath.bath.gear import Bath, Room
from corebath.bath.heater import Heater
from corebath.bath.vessel import Vessel
from corebath.log.gaps import Gap, Silence, beat_of, gaps
from corebath.log.unheated import Unheated

POT = Bath.filled(Vessel.round(0.24, 0.14), 5.0, Heater(1100.0, 0.08, 0.12), Cover.named("loose-lid"), Room())
UNHEATED = Unheated.of(POT)
NOTHING = Unheated.of(None)


def test_no_gap_in_a_steady_beat() -> None:
    t, y = steady(57.0, 5.0)
    beat = beat_of(t, y)
    assert beat.usual_s == 60.0
    assert not beat.on_change
    assert gaps(t, y) == ()


def test_lost_rows_with_equal_ends_look_like_a_silent_sensor() -> None:
    (gap,) = gaps(*without(steady(57.0, 8.0), 3.0, 3.7))
    assert gap.kind is Silence.SENSOR
    assert not gap.trusted
    assert gap.length_s == pytest.approx(0.7 * H, abs=130)


def test_a_fall_at_the_rate_of_the_bath_looks_like_an_outage() -> None:
    times, water = UNHEATED.cooling(57.0, 3 * H)
    end = float(water[-1])
    t = np.concatenate([np.arange(0, 3600.0, 60.0), [3600.0 + 3 * H]])
    y = np.concatenate([np.full(60, 57.0), [end]])
    (gap,) = gaps(t, y, fall_K=UNHEATED.fall_K)
    assert gap.kind is Silence.OUTAGE
    assert "within what it loses unheated" in gap.why
    (unknown_bath,) = gaps(t, y)
    assert unknown_bath.kind is Silence.OUTAGE
    assert times[-1] == 3 * H


def test_a_fall_faster_than_any_bath_is_not_called_an_outage() -> None:
    t = np.append(np.arange(0, 3600.0, 60.0), 3600.0 + 600.0)
    y = np.append(np.full(60, 57.0), 20.0)
    assert gaps(t, y)[0].kind is Silence.UNKNOWN
    assert gaps(t, y, fall_K=UNHEATED.fall_K)[0].kind is Silence.UNKNOWN


def test_rows_lost_while_heating_look_like_a_silent_sensor() -> None:
    t = np.arange(0, 3600.0, 30.0)
    y = np.clip(20 + t / 60, 20, 57)
    kept = (t < 600) | (t > 1300)
    (gap,) = gaps(t[kept], y[kept])
    assert gap.kind is Silence.SENSOR


def reports_on_change(hours: float, seed: int = 1) -> tuple[np.ndarray, np.ndarray]:
    """A steady bath as a sensor tells it that reports every step of 0.1 degC, and nothing else."""
    rng = np.random.default_rng(seed)
    t = np.arange(0.0, hours * H, 20.0)
    true = 57.0 + np.cumsum(rng.normal(0, 0.012, t.size)) * 0.3 + 0.08 * np.sin(t / 700)
    shown = np.round(true, 1)
    told = np.append(True, np.diff(shown) != 0)
    return t[told], shown[told]


def test_a_sensor_that_reports_on_change_is_known_by_its_series() -> None:
    t, y = reports_on_change(20.0)
    beat = beat_of(t, y)
    assert beat.on_change
    assert beat.step_K == pytest.approx(0.1, abs=0.02)
    for gap in gaps(t, y):
        assert gap.kind is Silence.SENSOR
        assert gap.trusted == (gap.length_s <= H)


def bounds(gap: Gap, unheated: Unheated) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    t = np.linspace(gap.start_s, gap.end_s, 200)[1:-1]
    return t, np.interp(t, *unheated.worst(gap)), np.interp(t, *unheated.best(gap))


@settings(max_examples=60, deadline=None)
@given(length_h=st.floats(0.6, 12.0), before=st.floats(40.0, 70.0), fall=st.floats(-5.0, 30.0))
def test_the_worst_is_never_warmer_than_the_best(length_h: float, before: float, fall: float) -> None:
    after = max(before - fall, 21.0)
    gap = Gap(0.0, length_h * H, before, after, Silence.OUTAGE, False, "")
    for unheated in (UNHEATED, NOTHING):
        t, worst, best = bounds(gap, unheated)
        assert t.size
        assert np.all(worst <= best + 0.05)
        assert worst.min() >= min(unheated.room_C, after) - 1e-6
        assert best.max() <= max(before, after) + 1e-6


@pytest.mark.parametrize("fails_h", [3.0, 3.5, 4.5])
def test_the_true_course_of_an_outage_lies_inside_the_bounds(fails_h: float) -> None:
    """A bath that fails at some time in the gap: its true course is between worst and best."""
    times, water = UNHEATED.cooling(57.0, 10 * H)
    t = np.arange(0.0, 7 * H, 60.0)
    true = np.where(t < fails_h * H, 57.0, np.interp(t - fails_h * H, times, water))
    hidden = (t > 2.9 * H) & (t < 6.0 * H)
    (gap,) = gaps(t[~hidden], true[~hidden], fall_K=UNHEATED.fall_K)
    for unheated in (UNHEATED, NOTHING):
        at, worst, best = bounds(gap, unheated)
        inside = np.interp(at, t, true)
        assert np.all(worst <= inside + 0.1)
        assert np.all(inside <= best + 0.1)


def test_nothing_known_means_the_room_at_once() -> None:
    gap = Gap(0.0, 2 * H, 57.0, 57.0, Silence.SENSOR, False, "")
    _, worst, _ = bounds(gap, NOTHING)
    assert np.all(worst[1:-2] == 20.0)
    assert "at once" in NOTHING.words
    known = bounds(gap, UNHEATED)[1]
    assert known.min() > 40.0


def test_a_measured_outage_has_no_gap() -> None:
    assert gaps(*failing(57.0, 10.0, 4.0)) == ()
