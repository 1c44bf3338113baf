"""The cook as it happened: the engine on a measured bath, bounds, and what is taken for granted."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.unit.log.traces import H, Pair, failing, late, steady, without
from tests.unit.plan.planning import asked, slab

from corebath.heat.engine import simulate
from corebath.heat.stage import Stage
from corebath.log.as_cooked import as_cooked, averaged
from corebath.log.faults import Failed
from corebath.plan.request import Request, State
from corebath.plan.timing import time_piece

CHUCK = asked("beef chuck", slab(0.045), set_point_C=57.0)


def test_a_steady_bath_gives_the_plan_again() -> None:
    cooked = as_cooked(CHUCK, 57.0, until_s=6 * H, bath=steady(57.0, 6.0))
    planned = time_piece(cooked.piece, ())
    nominal = cooked.best.first_core_above(56.5)
    slow = cooked.worst.first_core_above(cooked.slow.bath_C - 0.5)
    assert nominal == pytest.approx(planned.come_up.nominal_s, rel=0.01)
    assert slow is not None
    assert slow == pytest.approx(planned.come_up.cautious_s, rel=0.06)
    assert cooked.faults == ()
    assert cooked.gaps == ()


def test_the_worst_core_is_below_the_best() -> None:
    for bath in (
        steady(57.0, 9.0),
        failing(57.0, 9.0, 4.0),
        without(steady(57.0, 9.0), 4.0, 5.0),
        late(57.0, 9.0, 2.0),
    ):
        cooked = as_cooked(CHUCK, 57.0, until_s=9 * H, bath=bath)
        t = np.linspace(0.0, 9 * H, 200)
        best = np.interp(t, cooked.best.time_s, cooked.best.core_C)
        assert np.all(cooked.lowest_core_C(t) <= best + 0.05)


@pytest.mark.parametrize(
    ("bath", "kind", "over"),
    [
        (failing(57.0, 10.0, 5.0), Failed.LOST_HEAT, False),
        (late(57.0, 8.0, 3.0), Failed.COLD_START, True),
        (late(57.0, 2.5, 3.0), Failed.COLD_START, False),
        (steady(47.0, 3.0), Failed.WRONG, False),
        (without(steady(57.0, 9.0), 4.0, 5.0), Failed.NOT_KNOWN, True),
    ],
)
def test_faults_by_what_they_look_like(bath: Pair, kind: Failed, over: bool) -> None:
    cooked = as_cooked(CHUCK, 57.0, until_s=float(bath[0][-1]), bath=bath)
    (fault,) = cooked.faults
    assert fault.kind is kind
    assert (fault.end_s is not None) == over


def test_a_fault_starts_no_later_than_the_last_fine_reading() -> None:
    cooked = as_cooked(CHUCK, 57.0, until_s=10 * H, bath=failing(57.0, 10.0, 5.0))
    assert 5 * H <= cooked.faults[0].start_s < 5.3 * H
    found = as_cooked(CHUCK, 57.0, until_s=10 * H, bath=(np.array([10 * H]), np.array([35.0])), seen_fine_s=4 * H)
    assert found.faults[0].start_s <= 4 * H + 60
    assert found.gaps[0].start_s == 4 * H


def test_without_any_reading_the_bath_counts_as_planned_and_that_is_said() -> None:
    cooked = as_cooked(CHUCK, 57.0, until_s=5 * H)
    assert cooked.faults == ()
    assert "held its" in " ".join(cooked.assumed)


def test_told_outages_count_without_readings() -> None:
    cooked = as_cooked(CHUCK, 57.0, until_s=9 * H, off=((5 * H, 7 * H),), bath=(np.array([7 * H]), np.array([48.0])))
    assert cooked.gaps[0].start_s == 5 * H
    assert cooked.gaps[0].end_s == 7 * H
    assert cooked.worst.core_C.min() < cooked.best.core_C.max()


def test_readings_before_drop_in_and_after_the_end_do_not_count() -> None:
    t, y = steady(57.0, 8.0)
    shifted = (t - 2 * H, y)
    cooked = as_cooked(CHUCK, 57.0, until_s=3 * H, bath=shifted)
    assert cooked.worst.duration_s == pytest.approx(3 * H)
    assert cooked.gaps == ()


def test_a_core_measured_colder_than_computed_counts() -> None:
    t = np.arange(0.0, 4 * H, 120.0)
    plain = as_cooked(CHUCK, 57.0, until_s=4 * H, bath=steady(57.0, 4.0))
    cold = np.interp(t, plain.worst.time_s, plain.worst.core_C) - 3.0
    cooked = as_cooked(CHUCK, 57.0, until_s=4 * H, bath=steady(57.0, 4.0), core=(t, cold))
    assert cooked.worst.core_C[-20] == pytest.approx(plain.worst.core_C[-20] - 3.0, abs=0.3)
    warm = as_cooked(CHUCK, 57.0, until_s=4 * H, bath=steady(57.0, 4.0), core=(t, cold + 6.0))
    assert np.allclose(warm.worst.core_C, plain.worst.core_C)


def test_the_core_alone_stands_for_the_piece() -> None:
    t = np.arange(0.0, 4 * H, 60.0)
    core = 57 - 52 * np.exp(-t / 2500.0)
    cooked = as_cooked(CHUCK, 57.0, until_s=float(t[-1]), core=(t, core))
    assert cooked.only_core
    assert float(np.interp(2 * H, cooked.worst.time_s, cooked.worst.core_C)) == pytest.approx(
        float(np.interp(2 * H, t, core)), abs=0.1
    )
    assert "Only the core" in " ".join(cooked.assumed)


@settings(max_examples=10, deadline=None)
@given(st.integers(0, 10_000), st.sampled_from([900, 3000]))
def test_averaging_keeps_the_core(seed: int, count: int) -> None:
    """Thousands of noisy readings and their few knots heat a piece alike, to a tenth of a kelvin."""
    rng = np.random.default_rng(seed)
    t = np.linspace(0.0, 6 * H, count)
    y = 57 - 20 * (np.abs(t - 3 * H) < 1500) + rng.normal(0, 0.2, count)
    few = averaged(t, y)
    assert few[0].size <= 700
    assert np.all(np.diff(few[0]) > 0)
    cooked = as_cooked(CHUCK, 57.0, until_s=6 * H, bath=(t, y))
    stage = Stage.trace("bath", t, y, cooked.piece.h_W_m2K)
    every = simulate(cooked.piece.body, cooked.piece.thermal, cooked.piece.start_C, [stage]).history
    at = np.linspace(0.0, 6 * H, 50)
    left, right = (np.interp(at, h.time_s, h.core_C) for h in (cooked.best, every))
    assert np.max(np.abs(left - right)) < 0.1


@pytest.mark.parametrize(
    ("answers", "words"),
    [
        ({"until_s": 0.0}, "after drop-in"),
        ({"until_s": 1e9}, "within"),
        ({"until_s": H, "bath": (np.array([0.0, 0.0]), np.array([57.0, 57.0]))}, "rising"),
        ({"until_s": H, "bath": (np.array([0.0]), np.array([570.0]))}, "between"),
        ({"until_s": H, "core": (np.array([0.0, 1.0]), np.array([57.0]))}, "each"),
        ({"until_s": H, "core": (np.array([0.0]), np.array([np.nan]))}, "each"),
    ],
)
def test_refusals(answers: dict[str, object], words: str) -> None:
    with pytest.raises(ValueError, match=words):
        as_cooked(CHUCK, 57.0, **answers)  # type: ignore[arg-type]


def test_a_frozen_piece_is_judged_too() -> None:
    frozen: Request = asked("beef chuck", slab(0.03), set_point_C=57.0, state=State.FROZEN)
    cooked = as_cooked(frozen, 57.0, until_s=5 * H, bath=steady(57.0, 5.0))
    assert cooked.best.core_C[0] < -10
    assert cooked.worst.core_C[-1] > 54
