"""The bath as it was measured, in the charts of cooks that happened: gaps are hatched and never drawn through."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from corebath.heat.grid import Array
from corebath.log.as_cooked import AsCooked, averaged
from corebath.log.parts import Stretch
from corebath.units import show_duration

from .drawing import Anchor, Area, Hatch, Line, Mark, Point, Text, box
from .frame import LINE, SIZE, Frame
from .labels import Layout, wrap

_NARROWEST = 3.0  # of a gap, in units of the drawing: a shorter one is widened so that it is seen


def placed(frame: Frame, time_s: Array, value_C: Array) -> tuple[Point, ...]:
    """Points of a curve, times from drop-in and temperatures [s], [degC]."""
    return tuple((frame.across(float(t)), frame.up(float(c))) for t, c in zip(time_s, value_C, strict=True))


def gap_areas(cooked: AsCooked, frame: Frame) -> Iterator[Mark]:
    """Every gap hatched over the whole height."""
    plot = frame.plot
    for gap in cooked.gaps:
        left, right = frame.across(max(gap.start_s, 0.0)), frame.across(min(gap.end_s, cooked.until_s))
        right = max(right, left + _NARROWEST)
        yield Area((box(left, plot.top, right, plot.bottom),), "grey", Hatch.RISING, f"Gap: {gap.kind}")


def bath_curves(cooked: AsCooked, frame: Frame) -> Iterator[Mark]:
    """The bath where it was measured, and the room it may have taken where it was not."""
    for part in cooked.known.parts:
        if isinstance(part, Stretch):
            points = placed(frame, *averaged(part.time_s, part.value_C))
            if len(points) > 1:
                yield Line(points, "ambient", "Bath as measured")
            continue
        times = np.linspace(max(part.start_s, 0.0), min(part.end_s, cooked.until_s), 60)[1:-1]
        best, worst = (np.interp(times, *pair) for pair in (cooked.best_bath, cooked.worst_bath))
        ring = (*placed(frame, times, best), *reversed(placed(frame, times, worst)))
        yield Area((ring,), "met", Hatch.LEVEL, "Bath between its best and worst case")


def named_gaps(cooked: AsCooked, frame: Frame, layout: Layout) -> Iterator[Mark]:
    """What each gap looks like and how long it is, where there is room."""
    plot = frame.plot
    for gap in cooked.gaps:
        left, right = frame.across(max(gap.start_s, 0.0)), frame.across(min(gap.end_s, cooked.until_s))
        text = f"{gap.kind}, {show_duration(60.0 * round(gap.length_s / 60.0))}"
        spots: tuple[tuple[float, Anchor], ...] = (((left + right) / 2, "middle"), (left, "end"), (right, "start"))
        lines = wrap(text, max(right - left, 90.0), SIZE)
        yield from layout.place(
            tuple(Text(x, y + i * LINE, line, "label", SIZE, anchor) for i, line in enumerate(lines))
            for y in (plot.top + 16, plot.bottom - 40, plot.bottom - 80, (plot.top + plot.bottom) / 2)
            for x, anchor in spots
        )
