"""The figure of a cook as it happens: planned core, core by now, readings, bath and gaps."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from tests.unit.show.show_ends import check_drawing, words_of
from tests.unit.show.show_plans import NAMES, plan_of

from corebath.heat.grid import Array
from corebath.log.as_cooked import as_cooked
from corebath.log.estimate import estimate
from corebath.plan.piece import piece_of
from corebath.show.cook_chart import Drawn, cook_drawing
from corebath.show.drawing import Area, Drawing, Line, Pill
from corebath.units import METRIC, US, Preference

EVERY = pytest.mark.parametrize("name", NAMES)
_NONE = (np.zeros(0), np.zeros(0))


@cache
def _under_way(name: str, *, read: bool = True, measured: bool = False, fault: bool = False) -> Drawn:
    """A cook at two thirds of its time; the core read three times as planned, the bath by a logger with a gap."""
    plan = plan_of(name)
    until_s = 0.66 * plan.bath_s
    times = until_s * np.array([0.3, 0.6, 0.9])
    core = (times, np.array([plan.nominal.core_at(float(t)) for t in times])) if read else _NONE
    found = estimate(piece_of(plan.request, plan.set_point_C), *core, now_s=until_s)
    happened = None
    if measured or fault:
        at = np.arange(0.0, until_s, 60.0)
        at = at[(at < 0.3 * until_s) | (at > 0.6 * until_s)]
        low = plan.set_point_C - (20.0 if fault else 0.0)
        bath: tuple[Array, Array] = (at, np.where(at > 0.5 * until_s, low, plan.set_point_C))
        happened = as_cooked(plan.request, plan.set_point_C, until_s=until_s, bath=bath)
    return Drawn(plan, plan.drop_in, until_s, False, found.course, core, happened)


def _lines(drawing: Drawing, name: str) -> list[Line]:
    return [m for m in drawing.marks if isinstance(m, Line) and m.name.startswith(name)]


@EVERY
@pytest.mark.parametrize("preference", [METRIC, US], ids=["metric", "US"])
def test_it_is_sound_at_every_size(name: str, preference: Preference) -> None:
    for drawn in (_under_way(name), _under_way(name, read=False, fault=True)):
        check_drawing(lambda wide, drawn=drawn: cook_drawing(drawn, preference, wide=wide))  # type: ignore[misc]


def test_a_cook_without_fault_has_its_core_its_readings_and_now() -> None:
    drawing = cook_drawing(_under_way("steak"), METRIC, wide=False)
    assert len(_lines(drawing, "Core by the heat engine")) == 1
    assert len(_lines(drawing, "Core as planned")) == 1
    assert len(_lines(drawing, "Now")) == 1
    assert sum(isinstance(m, Pill) for m in drawing.marks) == 3
    words = words_of(drawing)
    assert "set point" in words
    assert "Rings: the core as read." in words
    assert "Slanted" not in words
    assert "Dashes" not in words


def test_readings_as_planned_keep_the_core_on_its_plan() -> None:
    """The engine's own course is the check: what was read as planned must move it by less than a line's width."""
    drawing = cook_drawing(_under_way("steak"), METRIC, wide=True)
    planned, found = (_lines(drawing, name)[0].points for name in ("Core as planned", "Core by the heat engine"))
    apart = max(abs(a[1] - b[1]) for a, b in zip(planned, found, strict=True))
    assert apart < 2.0


def test_nothing_is_drawn_through_a_gap() -> None:
    drawn = _under_way("chicken", measured=True)
    drawing = cook_drawing(drawn, METRIC, wide=True)
    assert drawn.happened is not None
    gap = next(m for m in drawing.marks if isinstance(m, Area) and m.name.startswith("Gap"))
    left, right = gap.rings[0][0][0], gap.rings[0][1][0]
    for line in _lines(drawing, "Bath as measured"):
        assert not any(left + 1 < x < right - 1 for x, _ in line.points)
        assert line.points[-1][0] <= left + 1 or line.points[0][0] >= right - 1
    assert "Slanted lines: no readings" in words_of(drawing)


def test_after_a_fault_the_core_lies_between_its_worst_and_best_case() -> None:
    drawing = cook_drawing(_under_way("chicken", fault=True), METRIC, wide=True)
    assert _lines(drawing, "Core by the heat engine") == []
    worst, best = (
        _lines(drawing, "Core in the worst case")[0].points,
        _lines(drawing, "Core in the best case")[0].points,
    )
    assert all(b[1] <= w[1] + 1e-6 for w, b in zip(worst, best, strict=True))  # y runs downwards
    words = words_of(drawing)
    assert "Thick curve: the core in the best case." in words
    assert "nine times in ten" not in words


def test_a_pulled_cook_ends_there() -> None:
    drawn = replace(_under_way("steak"), pulled=True)
    drawing = cook_drawing(drawn, METRIC, wide=True)
    (line,) = _lines(drawing, "Pulled")
    assert _lines(drawing, "Core by the heat engine")[0].points[-1][0] == pytest.approx(line.points[0][0])


def test_a_loggers_thousands_of_readings_are_thinned() -> None:
    drawn = _under_way("chicken")
    times = np.linspace(0.0, drawn.until_s, 20_000)
    values = np.interp(times, drawn.plan.nominal.time_s, drawn.plan.nominal.core_C)
    drawing = cook_drawing(replace(drawn, core=(times, values)), METRIC, wide=True)
    assert sum(isinstance(m, Pill) for m in drawing.marks) <= 60
