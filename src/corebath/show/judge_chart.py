"""The cook as it happened as a chart: bath and core between their best and worst case, gaps hatched, bands named."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

import numpy as np

from corebath.ask.judge import Answered
from corebath.heat.grid import Array
from corebath.log.as_cooked import averaged
from corebath.units import Preference, render, show_temperature

from .drawing import Anchor, Area, Drawing, Hatch, Line, Mark, Point, Text, dense
from .frame import LINE, SIZE, axes, clock_axis, frame_of, key_text
from .judge_text import band_lines
from .labels import Layout
from .measured import bath_curves, gap_areas, named_gaps, placed
from .scale import day_label
from .words import body_words

_SAMPLES = 300
_ROOM_K = 6.0


def judge_drawing(answer: Answered, preference: Preference, *, wide: bool) -> Drawing:
    """Bath and core of a cook that was judged, with a key below.

    wide : 720 units across, otherwise 360 for a phone
    """
    chart = _Chart(answer, preference, wide=wide)
    marks = tuple(chart.drawn())
    key, height = chart.key(chart.frame.plot.bottom + 3 * LINE + 12)
    request = answer.cooked.request
    return Drawing(
        key="judge",
        width=chart.frame.width,
        height=height,
        title=f"The cook as it happened: {request.food.name}, {body_words(request, preference)}",
        description=" ".join([render(answer.judged.sentence, preference), *chart.lines()]),
        marks=(*marks, *key),
    )


class _Chart:
    """One cook being drawn."""

    def __init__(self, answer: Answered, preference: Preference, *, wide: bool) -> None:
        self.answer, self.cooked, self.preference = answer, answer.cooked, preference
        around = (
            self.cooked.best_bath[1],
            self.cooked.worst_bath[1],
            self.cooked.best.core_C,
            self.cooked.worst.core_C,
        )
        low, high = min(float(y.min()) for y in around), max(float(y.max()) for y in around)
        self.frame = frame_of(
            wide=wide, top=44, heights=(250, 290), longest_s=self.cooked.until_s, low_C=low - _ROOM_K,
            high_C=max(high, self.cooked.set_point_C, 54.4) + _ROOM_K,
        )  # fmt: skip
        self.layout = Layout(self.frame.plot.grown(-2))

    def drawn(self) -> Iterator[Mark]:
        """Every mark of the plot, back to front."""
        f, plot, cooked = self.frame, self.frame.plot, self.cooked
        yield from axes(f, self.preference, "time after drop-in")
        if self.answer.drop_in is not None:
            yield from clock_axis(f, self.answer.drop_in, self.answer.zone)
            yield Text(plot.right, plot.top - 28, f"clock time, {day_label(self.answer.drop_in)}", "axis", SIZE, "end")
        yield Text(4, plot.top - 28, f"bath and core, °{self.preference.temperature}", "axis", SIZE)
        yield from gap_areas(cooked, f)
        times = np.linspace(0.0, cooked.until_s, _SAMPLES)
        best = np.interp(times, cooked.best.time_s, cooked.best.core_C)
        core = (self._placed(times, cooked.lowest_core_C(times)), self._placed(times, best))
        yield Area(((*core[0], *reversed(core[1])),), "spread", Hatch.DOTS, "Core between its worst and best case")
        for level_C in self._levels():
            y = f.up(level_C)
            yield Line(((plot.left, y), (plot.right, y)), "growth-limit")
        y = f.up(cooked.piece.bath_C)
        yield Line(((plot.left, y), (plot.right, y)), "set-point", "Set point")
        yield from bath_curves(cooked, f)
        yield Line(core[0], "cautious", "Core in the worst case")
        yield Line(core[1], "core", "Core in the best case")
        for curve in core:
            self.layout.reserve_line(curve)
        yield from self._core_readings()
        yield from named_gaps(cooked, f, self.layout)
        yield from self._named_levels()

    def key(self, y: float) -> tuple[tuple[Mark, ...], float]:
        """The key from a baseline down, and the height of the whole drawing."""
        marks: list[Mark] = []
        for line in self.lines():
            words, y = key_text(8.0, y, line, self.frame.width - 8)
            marks.extend(words)
        return tuple(marks), y

    def lines(self) -> Iterator[str]:
        """The chart in words."""
        yield "Dashes: the bath as measured. Thick curve: the core in the best case. Thin curve: in the worst case."
        if self.cooked.gaps:
            yield "Slanted lines: no readings, and nothing is drawn through. Level lines: where the bath may have been."
        yield "Time at the core: " + " ".join(band_lines(self.answer, self.preference, both=False))

    def _core_readings(self) -> Iterator[Mark]:
        t, y = self.cooked.core
        if t.size == 0 or self.cooked.only_core:
            return
        t, y = averaged(t, y)
        for (x0, y0), (x1, y1) in pairwise(self._placed(t, y)):
            if x1 - x0 < 40:
                yield Line(((x0, y0), (x1, y1)), "reported")

    def _named_levels(self) -> Iterator[Mark]:
        plot = self.frame.plot
        named = [(self.cooked.piece.bath_C, f"set point {self._C(self.cooked.piece.bath_C)}")]
        named += [(c, self._C(c)) for c in self._levels()]
        for level_C, text in named:
            y = self.frame.up(level_C)
            self.layout.reserve_line(dense(((plot.left, y), (plot.right, y))))
            spots: tuple[tuple[float, Anchor], ...] = ((plot.left + 5, "start"), (plot.right - 5, "end"))
            yield from self.layout.place(
                (Text(x, y + dy, text, "label", SIZE, anchor),) for dy in (-5.0, 13.0) for x, anchor in spots
            )

    def _levels(self) -> Iterator[float]:
        """Edges of the bands inside the plot [degC]."""
        for level in (5.0, 10.0, 54.4):
            if self.frame.up.low < level < self.frame.up.high and abs(level - self.cooked.piece.bath_C) > 0.3:
                yield level

    def _placed(self, time_s: Array, value_C: Array) -> tuple[Point, ...]:
        return placed(self.frame, time_s, value_C)

    def _C(self, value_C: float) -> str:
        return show_temperature(value_C, self.preference, both=False)
