"""Readings of a history: cuts, crossings, spans."""

from __future__ import annotations

import numpy as np
import pytest

from corebath.heat.body import Body, Shape
from corebath.heat.conduction import cook
from corebath.heat.history import History, first_crossing
from corebath.heat.material import Material
from corebath.heat.stage import Stage


def history(core: list[float], times: list[float], stage: list[int] | None = None) -> History:
    y = np.array(core)
    index = np.array(stage if stage is not None else [0] * len(core))
    names = tuple(f"stage {i}" for i in range(int(index.max()) + 1))
    return History(np.array(times), y, y + 1, y + 2, y + 3, index, names)


TENT = history([0.0, 10.0, 10.0, 0.0], [0.0, 100.0, 150.0, 250.0])
COOKED = cook(
    Body(Shape.SLAB, 0.02),
    Material(0.48, 1060.0, 3500.0),
    5.0,
    [Stage.constant("bath", 3600.0, 60.0, 150.0), Stage.constant("ice water", 1800.0, 0.5, 100.0)],
).history


def test_core_at_is_linear_between_rows() -> None:
    assert TENT.core_at(50.0) == pytest.approx(5.0)
    assert TENT.core_at(0.0) == 0.0
    assert TENT.core_at(250.0) == 0.0


@pytest.mark.parametrize("time_s", [-1.0, 251.0, float("nan"), float("inf")])
def test_core_at_refuses_times_outside(time_s: float) -> None:
    with pytest.raises(ValueError, match="between 0 and 250 s"):
        TENT.core_at(time_s)


def test_first_core_above() -> None:
    assert TENT.first_core_above(2.5) == pytest.approx(25.0)
    assert TENT.first_core_above(10.0) == pytest.approx(100.0)
    assert TENT.first_core_above(-3.0) == 0.0
    assert TENT.first_core_above(10.1) is None
    with pytest.raises(ValueError, match="must be a number"):
        TENT.first_core_above(float("nan"))


def test_first_crossing_at_a_jump_keeps_the_jump() -> None:
    assert first_crossing(np.array([0.0, 5.0, 5.0, 9.0]), np.array([1.0, 1.0, 8.0, 8.0]), 4.0) == 5.0


def test_seconds_between() -> None:
    assert TENT.seconds_between(2.0, 8.0) == pytest.approx(120.0)
    assert TENT.seconds_between(10.0, float("inf")) == pytest.approx(50.0)
    assert TENT.seconds_between(-float("inf"), float("inf")) == pytest.approx(250.0)
    assert TENT.seconds_between(20.0, 30.0) == 0.0
    parts = [TENT.seconds_between(a, a + 2.0) for a in (0.0, 2.0, 4.0, 6.0)]
    assert sum(parts) == pytest.approx(TENT.seconds_between(0.0, 8.0))


@pytest.mark.parametrize(("low", "high"), [(8.0, 2.0), (float("nan"), 2.0), (2.0, float("nan"))])
def test_seconds_between_refuses_a_span_turned_round(low: float, high: float) -> None:
    with pytest.raises(ValueError, match="must not exceed"):
        TENT.seconds_between(low, high)


def test_until_cuts_between_rows() -> None:
    cut = TENT.until(125.0)
    assert cut.duration_s == 125.0
    assert cut.core_C.tolist() == [0.0, 10.0, 10.0]
    assert cut.ambient_C[-1] == pytest.approx(13.0)
    assert TENT.until(250.0) is TENT
    assert TENT.until(1e9) is TENT


def test_until_at_a_row_and_at_the_start() -> None:
    assert TENT.until(100.0).time_s.tolist() == [0.0, 100.0]
    start = TENT.until(0.0)
    assert (start.duration_s, start.core_C.tolist()) == (0.0, [0.0])


def test_until_where_stages_meet_keeps_the_earlier_one() -> None:
    cut = COOKED.until(3600.0)
    assert cut.stage[-1] == 0
    assert cut.ambient_C[-1] == 60.0
    assert cut.surface_C[-1] > 59.0
    assert cut.stage_names == COOKED.stage_names
    later = COOKED.until(3601.0)
    assert (later.stage[-1], later.ambient_C[-1]) == (1, 0.5)


def test_until_leaves_what_came_before_alone() -> None:
    cut = COOKED.until(1000.0)
    for level in (20.0, 40.0, 49.0):
        assert cut.first_core_above(level) == COOKED.first_core_above(level)
    assert cut.core_at(700.0) == COOKED.core_at(700.0)
    assert cut.core_C[-1] == pytest.approx(COOKED.core_at(1000.0))


@pytest.mark.parametrize("time_s", [-1.0, float("nan")])
def test_until_refuses(time_s: float) -> None:
    with pytest.raises(ValueError, match="0 s or later"):
        TENT.until(time_s)


def test_rows_rise_and_say_which_stage_they_belong_to() -> None:
    assert np.all(np.diff(COOKED.time_s) >= 0)
    assert np.all(np.diff(COOKED.stage) >= 0)
    assert COOKED.stage_names == ("bath", "ice water")
    meet = np.flatnonzero(np.diff(COOKED.stage) == 1)[0]
    assert COOKED.time_s[meet] == COOKED.time_s[meet + 1] == 3600.0
    assert COOKED.core_C[meet] == pytest.approx(COOKED.core_C[meet + 1], abs=1e-9)


def test_rows_are_close_enough_to_read_between() -> None:
    # Twice as many rows by cutting the stage: what is read between rows changes by less than 0.02 K.
    bath = [Stage.constant(f"{i}", 900.0, 60.0, 150.0) for i in range(4)]
    finer = cook(Body(Shape.SLAB, 0.02), Material(0.48, 1060.0, 3500.0), 5.0, bath).history
    for time_s in np.linspace(0.0, 3600.0, 200):
        assert COOKED.core_at(time_s) == pytest.approx(finer.core_at(time_s), abs=0.02)
