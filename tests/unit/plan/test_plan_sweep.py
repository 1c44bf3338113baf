"""Sweeps: every cell is the plan's own, and the same wherever it is computed."""

from __future__ import annotations

import pickle
from collections.abc import Iterator
from concurrent.futures import Executor, ProcessPoolExecutor, ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import replace
from math import isfinite
from multiprocessing import get_context
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.unit.plan.planning import asked

from corebath.heat.body import Body, Shape
from corebath.plan.make import make_plan
from corebath.plan.request import BadRequest, Request, State
from corebath.plan.sweep import Sweep, Times, make_times, settings, told_down_s, told_up_s
from corebath.safety.finding import Verdict
from corebath.safety.rules import rules_for

SIZES_m = (0.015, 0.030, 0.060)
SET_POINTS_C = (55.0, 58.0, 61.0)


def loin(**answers: Any) -> Request:
    return asked("pork loin", set_point_C=60.0, **answers)


def to_the_ms(time_s: float) -> Any:
    return pytest.approx(time_s, abs=1e-3)


@pytest.fixture(scope="module")
def alone() -> Times:
    return make_times(Sweep(loin(), SIZES_m, SET_POINTS_C))


@contextmanager
def _threads() -> Iterator[Executor]:
    with ThreadPoolExecutor(2) as executor:
        yield executor


@contextmanager
def _processes() -> Iterator[Executor]:
    with ProcessPoolExecutor(2, mp_context=get_context("spawn")) as executor:
        yield executor


@pytest.mark.parametrize("shared", [_threads, _processes], ids=["threads", "processes"])
def test_cells_are_the_same_wherever_they_are_computed(alone: Times, shared: object) -> None:
    assert callable(shared)
    with shared() as executor:
        assert make_times(alone.sweep, executor).rows == alone.rows


def test_progress_is_told_to_the_last_cell(alone: Times) -> None:
    told: list[tuple[int, int]] = []
    make_times(alone.sweep, progress=lambda done, of: told.append((done, of)))
    assert told == [(3, 9), (6, 9), (9, 9)]


def test_work_can_be_pickled(alone: Times) -> None:
    for task in alone.sweep.tasks():
        assert pickle.loads(pickle.dumps(task)) == task
    assert pickle.loads(pickle.dumps(alone.rows)) == alone.rows


def test_a_cell_is_what_a_plan_says(alone: Times) -> None:
    for row in alone.rows:
        for cell in row:
            body = Body(Shape.SLAB, cell.thickness_m)
            plan = make_plan(replace(loin(), body=body, set_point_C=cell.set_point_C), offer=False)
            assert cell.come_up.nominal_s == to_the_ms(plan.timing.come_up.nominal_s)
            assert cell.come_up.cautious_s == to_the_ms(plan.timing.come_up.cautious_s)
            assert cell.ready_s == to_the_ms(plan.window.ready_s)
            assert cell.latest_s == to_the_ms(plan.window.latest_s)
            assert cell.governs is plan.window.governs
            for key, span in plan.timing.lethality.items():
                treatment = next(t for t in cell.treatments if t.rule == key)
                assert treatment.binding
                assert treatment.nominal_s == to_the_ms(span.nominal_s)
                assert treatment.cautious_s >= span.cautious_s - 1e-3


def test_a_frozen_cell_is_what_a_plan_says() -> None:
    frozen = loin(state=State.FROZEN)
    times = make_times(Sweep(frozen, (0.02,), (58.0, 62.0)))
    for cell in times.rows[0]:
        body = replace(frozen.body, thickness_m=0.02)
        plan = make_plan(replace(frozen, body=body, set_point_C=cell.set_point_C), offer=False)
        assert cell.come_up.cautious_s == to_the_ms(plan.timing.come_up.cautious_s)
        assert cell.ready_s == to_the_ms(plan.window.ready_s)
    assert len(list(times.sweep.tasks())) == 2


def test_every_rule_is_marked_in_every_cell(alone: Times) -> None:
    rules = [rule.key for rule in rules_for(alone.sweep.like.subject, alone.sweep.like.authority)]
    assert [rule.key for rule in alone.rules] == rules
    for row in alone.rows:
        for cell in row:
            assert [said.rule for said in cell.verdicts] == rules
            # A told rule is judged on the piece that is slowest to be hot, its time told for its own slowest piece.
            for treatment in (t for t in cell.treatments if t.binding):
                said = next(v for v in cell.verdicts if v.rule == treatment.rule)
                assert (said.verdict is Verdict.MET) == (treatment.cautious_s <= told_up_s(cell.ready_s))


def test_times_rise_with_size_and_no_spread_is_upside_down(alone: Times) -> None:
    for thinner, thicker in zip(alone.rows, alone.rows[1:], strict=False):
        for a, b in zip(thinner, thicker, strict=True):
            assert a.come_up.cautious_s < b.come_up.cautious_s
            for x, y in zip(a.treatments, b.treatments, strict=True):
                assert x.cautious_s <= y.cautious_s
    for cell in (cell for row in alone.rows for cell in row):
        assert cell.come_up.early_s < cell.come_up.nominal_s < cell.come_up.cautious_s <= cell.ready_s <= cell.latest_s
        assert all(t.nominal_s <= t.cautious_s for t in cell.treatments)


def test_a_bath_too_cool_for_a_rule_offers_nothing() -> None:
    chicken = asked("chicken breast", set_point_C=60.0)
    cool, hot = make_times(Sweep(chicken, (0.02,), (54.0, 63.0))).rows[0]
    assert not cool.is_offered
    assert not isfinite(cool.ready_s)
    assert cool.verdicts == ()
    assert cool.broken == ("fsis-chicken-7log-5pct",)
    assert hot.is_offered
    assert not hot.broken


def test_softening_that_is_not_known_is_said_to_be() -> None:
    chuck = asked("beef chuck", set_point_C=60.0)
    cool, hot = make_times(Sweep(chuck, (0.03,), (54.5, 60.0))).rows[0]
    assert cool.softening_s is None
    assert hot.softening_s is not None
    assert hot.softening_s == to_the_ms(hot.ready_s)
    assert hot.ready_s > 24 * 3600


def test_an_unseared_face_has_its_own_time() -> None:
    steak = asked("ribeye", set_point_C=56.0, seared=False)
    times = make_times(Sweep(steak, (0.03,), (56.0,)))
    surface = {rule.key for rule in times.rules if rule.check == "surface"}
    found = [t for t in times.rows[0][0].treatments if t.rule in surface]
    assert found
    assert all(0 < t.nominal_s <= t.cautious_s for t in found)


@pytest.mark.parametrize(
    ("field", "sizes", "set_points"),
    [
        ("thick", (), (60.0,)),
        ("thick", (0.03, 0.02), (60.0,)),
        ("thick", (0.001,), (60.0,)),
        ("thick", tuple(0.01 + 0.001 * i for i in range(81)), (60.0,)),
        ("thick", tuple(0.01 + 0.001 * i for i in range(80)), tuple(50.0 + 0.5 * i for i in range(40))),
        ("set", (0.03,), ()),
        ("set", (0.03,), tuple(50.0 + 0.5 * i for i in range(41))),
        ("set", (0.03,), (60.0, 60.0)),
        ("want", (0.03,), (20.0, 60.0)),
        ("want", (0.03,), (60.0, 99.9)),
    ],
)
def test_axes_that_are_refused(field: str, sizes: tuple[float, ...], set_points: tuple[float, ...]) -> None:
    with pytest.raises(BadRequest) as caught:
        Sweep(loin(), sizes, set_points)
    assert caught.value.field == field


def test_frozen_tables_are_smaller() -> None:
    sizes = tuple(0.01 + 0.002 * i for i in range(20))
    set_points = tuple(54.0 + 0.5 * i for i in range(31))
    assert Sweep(loin(), sizes, set_points).count == 620
    with pytest.raises(BadRequest, match="620 cells of frozen pieces are too many: at most 600"):
        Sweep(loin(state=State.FROZEN), sizes, set_points)


def test_one_failing_cell_fails_the_table(monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*_: object) -> None:
        raise RuntimeError("no")

    monkeypatch.setattr("corebath.plan.sweep.choice_at", broken)
    with ThreadPoolExecutor(2) as executor, pytest.raises(RuntimeError, match="no"):
        make_times(Sweep(loin(), SIZES_m, SET_POINTS_C), executor)


@given(st.floats(0.0, 400 * 3600.0))
def test_told_times_are_never_on_the_wrong_side(time_s: float) -> None:
    # The millionth of a step by which a rounding may stray is far below a second.
    assert told_down_s(time_s) - 1e-2 <= time_s <= told_up_s(time_s) + 1e-2
    assert told_up_s(time_s) - told_down_s(time_s) <= 3600.0


def test_the_settings_name_their_sources() -> None:
    data = settings()
    assert all("source" in data[name] for name in ("thick", "limits"))
    assert "source" in data["columns"]["about"]
