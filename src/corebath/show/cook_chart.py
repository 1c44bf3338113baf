"""A cook as it happens: the core as planned and as it must be by now, its readings, and the bath."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

import numpy as np

from corebath.heat.grid import Array
from corebath.log.as_cooked import AsCooked, averaged
from corebath.log.estimate import Course
from corebath.plan.plan import Plan
from corebath.units import Preference, show_temperature

from .drawing import Anchor, Area, Drawing, Hatch, Line, Mark, Pill, Point, Text, dense
from .frame import LINE, SIZE, axes, clock_axis, frame_of, key_text
from .labels import Layout
from .measured import bath_curves, gap_areas, named_gaps, placed
from .scale import day_label
from .words import chart_subject

Pair = tuple[Array, Array]
_BELOW_K, _ABOVE_K = 5.0, 9.0
_PAST_END = 1.04
_SAMPLES = 240
_DOT = 6.5
_MOST_DOTS = 60
_LINES = {
    "planned": "Dotted: the core as planned.",
    "course": "Thick curve: the core by the heat engine and the readings. Shaded: where it lies nine times in ten.",
    "best": "Thick curve: the core in the best case. Thin curve: in the worst case.",
    "bath": "Dashes: the bath as measured; between two looks that found it there it counts as having held.",
    "gaps": "Slanted lines: no readings, and nothing is drawn through. Level lines: where the bath may have been.",
    "read": "Rings: the core as read.",
}


@dataclass(frozen=True, slots=True)
class Drawn:
    """What is drawn of one cook; times from drop-in.

    plan : as planned;  drop_in : the moment;  until_s : now, or when it was pulled [s];  pulled : whether it was
    course : the core as estimated, None when not known;  core : readings, times and temperatures [s], [degC]
    happened : the cook with its gaps and faults, None when the bath was not measured and no fault told
    """

    plan: Plan
    drop_in: datetime
    until_s: float
    pulled: bool
    course: Course | None
    core: Pair
    happened: AsCooked | None = None

    @property
    def bounded(self) -> bool:
        """Whether the core is known between a best and a worst case only."""
        return self.happened is not None and bool(self.happened.faults)


def cook_drawing(drawn: Drawn, preference: Preference, *, wide: bool) -> Drawing:
    """The cook as a drawing with a key below.

    wide : 720 units across, otherwise 360 for a phone. Elapsed time runs below, the cook's clock along the top.
    """
    chart = _Chart(drawn, preference, wide=wide)
    marks = list(chart.marks())
    y = chart.frame.plot.bottom + 3 * LINE + 12
    lines = tuple(chart.lines())
    for line in lines:
        words, y = key_text(8.0, y, line, chart.frame.width - 8)
        marks += words
    return Drawing(
        key="cook",
        width=chart.frame.width,
        height=y,
        title=f"Core and bath of this cook: {chart_subject(drawn.plan, preference)}",
        description=" ".join(lines),
        marks=tuple(marks),
    )


class _Chart:
    """One cook being drawn."""

    def __init__(self, drawn: Drawn, preference: Preference, *, wide: bool) -> None:
        self.drawn, self.preference = drawn, preference
        plan, happened = drawn.plan, drawn.happened
        self.longest_s = _PAST_END * max(drawn.until_s, plan.bath_s)
        self.planned = plan.nominal.until(self.longest_s)
        self.set_point_C = plan.set_point_C if happened is None else happened.set_point_C
        shown = [self.planned.core_C, drawn.core[1]]
        if happened is not None:
            shown += [happened.best_bath[1], happened.worst_bath[1], happened.best.core_C, happened.worst.core_C]
        low, high = (f([float(f(y)) for y in shown if y.size]) for f in (min, max))
        self.frame = frame_of(
            wide=wide, top=44, heights=(250, 290), longest_s=self.longest_s, low_C=low - _BELOW_K,
            high_C=max(high, self.set_point_C) + _ABOVE_K,
        )  # fmt: skip
        self.layout = Layout(self.frame.plot.grown(-2))

    def marks(self) -> Iterator[Mark]:
        """Every mark of the plot, back to front."""
        f, plot, drawn = self.frame, self.frame.plot, self.drawn
        yield from axes(f, self.preference, "time after drop-in")
        yield from clock_axis(f, drawn.drop_in, drawn.plan.request.zone)
        yield Text(plot.right, plot.top - 28, f"clock time, {day_label(drawn.drop_in)}", "axis", SIZE, "end")
        yield Text(4, plot.top - 28, f"core and bath, °{self.preference.temperature}", "axis", SIZE)
        if drawn.happened is not None:
            yield from gap_areas(drawn.happened, f)
        y = f.up(self.set_point_C)
        yield Line(((plot.left, y), (plot.right, y)), "set-point", "Set point")
        planned = self._planned()
        yield Line(planned, "reported", "Core as planned")
        self.layout.reserve_line(planned)
        yield from self._core()
        if drawn.happened is not None:
            yield from bath_curves(drawn.happened, f)
        yield from self._read()
        yield from self._moment()
        if drawn.happened is not None:
            yield from named_gaps(drawn.happened, f, self.layout)
        yield from self._named_set_point()

    def lines(self) -> Iterator[str]:
        """The chart in words, only of what is drawn."""
        drawn = self.drawn
        yield _LINES["planned"]
        if drawn.bounded:
            yield _LINES["best"]
        elif drawn.course is not None:
            yield _LINES["course"]
        if drawn.core[0].size:
            yield _LINES["read"]
        if drawn.happened is not None and any(isinstance(m, Line) for m in bath_curves(drawn.happened, self.frame)):
            yield _LINES["bath"]
        if drawn.happened is not None and drawn.happened.gaps:
            yield _LINES["gaps"]

    def _planned(self) -> tuple[Point, ...]:
        since = self.planned.time_s >= 0  # a wait in ice water lies before
        times = self.planned.duration_s * np.linspace(0.0, 1.0, _SAMPLES) ** 2
        return placed(self.frame, times, np.interp(times, self.planned.time_s[since], self.planned.core_C[since]))

    def _core(self) -> Iterator[Mark]:
        """The core by now and ahead: between its bounds after a fault, else as estimated."""
        drawn, happened, course = self.drawn, self.drawn.happened, self.drawn.course
        if happened is not None and drawn.bounded:
            times = np.linspace(0.0, happened.until_s, _SAMPLES)
            best_C = np.interp(times, happened.best.time_s, happened.best.core_C)
            low, high = (placed(self.frame, times, y) for y in (happened.lowest_core_C(times), best_C))
            yield Area(((*low, *reversed(high)),), "spread", Hatch.DOTS, "Core between its worst and best case")
            yield Line(low, "cautious", "Core in the worst case")
            yield Line(high, "core", "Core in the best case")
            self.layout.reserve_line((*low, *high))
        elif course is not None:
            end = drawn.until_s if drawn.pulled else self.longest_s
            times = end * np.linspace(0.0, 1.0, _SAMPLES) ** 2
            low, middle, high = (
                placed(self.frame, times, np.interp(times, course.time_s, y))
                for y in (course.low_C, course.middle_C, course.high_C)
            )
            yield Area(((*low, *reversed(high)),), "spread", Hatch.DOTS, "Core, nine times in ten")
            yield Line(middle, "core", "Core by the heat engine and all readings")
            self.layout.reserve_line(middle)

    def _read(self) -> Iterator[Mark]:
        times, values = self.drawn.core
        if times.size > _MOST_DOTS:
            times, values = averaged(times, values)
            step = max(1, -(-times.size // _MOST_DOTS))
            times, values = times[::step], values[::step]
        for x, y in placed(self.frame, times, values):
            yield Pill(x, y, _DOT, _DOT, "dot")

    def _moment(self) -> Iterator[Mark]:
        """Now, or the pull."""
        plot = self.frame.plot
        x = self.frame.across(self.drawn.until_s)
        line = ((x, plot.top), (x, plot.bottom))
        yield Line(line, "moment", "Pulled" if self.drawn.pulled else "Now")
        self.layout.reserve_line(dense(line))
        spots: tuple[tuple[float, Anchor], ...] = ((x + 4, "start"), (x - 4, "end"))
        word = "pulled" if self.drawn.pulled else "now"
        yield from self.layout.place(
            (Text(at, plot.bottom - down, word, "label", SIZE, anchor),) for down in (6.0, 24.0) for at, anchor in spots
        )

    def _named_set_point(self) -> Iterator[Mark]:
        plot, y = self.frame.plot, self.frame.up(self.set_point_C)
        text = f"set point {show_temperature(self.set_point_C, self.preference, both=False)}"
        spots: tuple[tuple[float, Anchor], ...] = ((plot.left + 5, "start"), (plot.right - 5, "end"))
        yield from self.layout.place(
            (Text(x, y + dy, text, "label", SIZE, anchor),) for dy in (-5.0, 13.0) for x, anchor in spots
        )
