"""The sear as a chart: the hottest every depth ever was, and the faces against time."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

import numpy as np

from corebath.heat.grid import Array
from corebath.plan.alone.sear import SearAnswer
from corebath.sear.run import SearRun
from corebath.sear.tables import settings
from corebath.units import Preference, mark, render, show_length, show_temperature

from .depth import depth_axes
from .drawing import Anchor, Area, Drawing, Hatch, Line, Mark, Point, Text, box, dense
from .frame import LINE, SIZE, Frame, axes, key_text
from .labels import Layout
from .scale import Scale, temperature_ticks
from .words import capital, piece_words

_LEFT, _RIGHT, _TOP, _BETWEEN = 40.0, 14.0, 26.0, 78.0
_HEIGHTS = ((230.0, 190.0), (260.0, 220.0))
_BELOW_C = 16.0  # free under the core result, for its words
_REST_SHOWN = 1.6  # of the time on the hot face
_DOT = 6.0


def sear_drawing(answer: SearAnswer, preference: Preference, *, wide: bool) -> Drawing:
    """A cross-section from face to face over the temperatures of the faces against time, with a key below.

    wide : 720 units across, otherwise 360 for a phone
    """
    chart = _Chart(answer, preference, wide=wide)
    marks = (*chart.cross_section(), *chart.against_time())
    key, height = chart.key(chart.time.plot.bottom + 3 * LINE + 12)
    return Drawing(
        key="sear",
        width=chart.deep.width,
        height=height,
        title=f"Cross-section of the sear: {piece_words(answer.request.piece, preference)}",
        description=" ".join(chart.lines()),
        marks=(*marks, *key),
    )


class _Chart:
    """One sear being drawn."""

    def __init__(self, answer: SearAnswer, preference: Preference, *, wide: bool) -> None:
        self.answer, self.preference = answer, preference
        self.run: SearRun = answer.sear.nominal
        self.result_C = answer.setup.core_result_C
        self.band_C = self.result_C + settings()["grey_band"]["excess_K"]
        width, (deep, tall) = (720.0 if wide else 360.0), _HEIGHTS[wide]
        coolest = min(float(r.peak_C.min()) for r in answer.sear.runs)
        self.deep = Frame(
            width,
            Scale(0.0, answer.setup.thickness_m, _LEFT, width - _RIGHT),
            Scale(min(coolest, self.result_C) - _BELOW_C, answer.setup.boiling_C + 6.0, _TOP + deep, _TOP),
        )
        contact_s = sum(self.run.side_s)
        self.history = self.run.history.until(contact_s * _REST_SHOWN)
        top = _TOP + deep + _BETWEEN
        hottest = float(self.history.ambient_C.max()) if answer.request.hot.method == "pan" else answer.setup.boiling_C
        self.time = Frame(
            width,
            Scale(0.0, self.history.duration_s, _LEFT, width - _RIGHT),
            Scale(0.0, hottest + 20.0, top + tall, top),
        )

    def cross_section(self) -> Iterator[Mark]:
        """The hottest each depth ever was, from face to face."""
        f, plot = self.deep, self.deep.plot
        layout = Layout(plot.grown(-2))
        yield from depth_axes(
            f,
            self.preference,
            "from the face seared first to the other",
            temperature_ticks(f.up, self.preference, SIZE),
        )
        yield Text(4, plot.top - 10, f"hottest each depth was, °{self.preference.temperature}", "axis", SIZE)
        yield from self._bands()
        runs = self.answer.sear.runs
        least, most = (edge([r.peak_C for r in runs], axis=0) for edge in (np.min, np.max))
        yield Area(
            ((*self._profile(least), *reversed(self._profile(most))),), "spread", Hatch.DOTS, "Poorest to best contact"
        )
        for level_C, kind in ((self.result_C, "level"), (self.band_C, "half")):
            y = f.up(level_C)
            yield Line(((plot.left, y), (plot.right, y)), kind)
            layout.reserve_line((x, y) for x in np.arange(plot.left, plot.right, 4.0).tolist())
        curve = self._profile(self.run.peak_C)
        yield Line(tuple(curve), "peak", "Hottest each depth ever was")
        layout.reserve_line(curve)
        yield from self._named_bands(layout)
        yield from self._named_levels(layout)

    def against_time(self) -> Iterator[Mark]:
        """The hot face, the face that lies on it, and the core."""
        f, plot, history = self.time, self.time.plot, self.history
        layout = Layout(plot.grown(-2))
        yield from axes(f, self.preference, "time from the first touch")
        yield Text(4, plot.top - 10, f"faces and core, °{self.preference.temperature}", "axis", SIZE)
        yield from self._sides(layout)
        lines = (
            ("hot-face", self._hot(), f"the {self.answer.request.hot.method}, and the air while it rests"),
            ("surface", history.surface_C, "the face that is heated"),
            ("core", history.core_C, "core"),
        )
        for kind, values, name in lines:
            for part in self._parts(values, whole=kind == "core"):
                yield Line(part, kind, capital(name))
                layout.reserve_line(dense(part))
        names = {"hot-face": self.answer.request.words, "surface": "heated face", "core": "core"}
        for kind, values, _ in lines:
            yield from self._named_line(layout, names[kind], values, (0.42, 0.3, 0.2, 0.5, 0.1))
        if self.run.history.stage_names[-1] == "rest":
            yield from self._named_line(layout, "air", history.ambient_C, (0.8, 0.9, 0.75))

    def key(self, y: float) -> tuple[tuple[Mark, ...], float]:
        """The key from a baseline down, and the height of the whole drawing."""
        marks: list[Mark] = []
        for line in self.lines():
            words, y = key_text(8.0, y, line, self.deep.width - 8)
            marks.extend(words)
        return tuple(marks), y

    def lines(self) -> Iterator[str]:
        """The charts in words."""
        excess = render(mark(settings()["grey_band"]["excess_K"], "K"), self.preference, both=False)
        yield (
            f"Grey band: hotter than the core result by more than {excess}. Dots: from the poorest contact and crust "
            "to the best."
        )
        yield "The heated face lies below the dried layer, whose outside is hotter; its water holds it at boiling."
        if self.answer.request.hot.method != "pan":
            yield f"The {self.answer.request.hot.method} itself is far hotter than the chart is high."
        yield from (render(line, self.preference, both=False) for line in self.answer.sear.statements)

    def _bands(self) -> Iterator[Mark]:
        plot, thickness_m = self.deep.plot, self.answer.setup.thickness_m
        if self.run.through:
            yield Area(
                (box(plot.left, plot.top, plot.right, plot.bottom),), "grey", Hatch.RISING, "Grey band all through"
            )
            return
        for start, end in ((0.0, self.run.band_m[0]), (thickness_m - self.run.band_m[1], thickness_m)):
            if end > start:
                ring = box(self.deep.across(start), plot.top, self.deep.across(end), plot.bottom)
                yield Area((ring,), "grey", Hatch.RISING, "Grey band")

    def _named_bands(self, layout: Layout) -> Iterator[Mark]:
        plot = self.deep.plot
        if self.run.through:
            said = "grey all through"
            yield from layout.place(
                (Text((plot.left + plot.right) / 2, plot.bottom - 8 - 15 * i, said, "label", SIZE, "middle"),)
                for i in range(8)
            )
            return
        for band_m, side in zip(self.run.band_m, (0, 1), strict=True):
            if band_m <= 0:
                continue
            edge_x = self.deep.across(band_m) if side == 0 else self.deep.across(self.answer.setup.thickness_m - band_m)
            said = f"grey band {show_length(band_m, self.preference, both=False)}"
            near: tuple[float, Anchor] = (plot.left + 5, "start") if side == 0 else (plot.right - 5, "end")
            off: tuple[float, Anchor] = (edge_x + 5, "start") if side == 0 else (edge_x - 5, "end")
            yield from layout.place(
                (Text(x, plot.bottom - 8 - 15 * row, said, "label", SIZE, anchor),)
                for x, anchor in (near, off)
                for row in range(10)
            )

    def _named_levels(self, layout: Layout) -> Iterator[Mark]:
        plot = self.deep.plot
        middle = (plot.left + plot.right) / 2
        result = f"core result {self._C(self.result_C)}"
        limit = f"grey above {self._C(self.band_C)}"
        for level_C, said, heights in ((self.result_C, result, (14.0, 29.0)), (self.band_C, limit, (-6.0, -21.0))):
            y = self.deep.up(level_C)
            yield from layout.place(
                (Text(x, y + dy, said, "label", SIZE, "middle"),)
                for dy in heights
                for x in (middle, middle - 60, middle + 60)
            )

    def _sides(self, layout: Layout) -> Iterator[Mark]:
        """Where a side or the rest begins, and where a side has its crust."""
        plot = self.time.plot
        for x, said in self._turns():
            if x > plot.left + 1:
                yield Line(((x, plot.bottom), (x, plot.top)), "moment")
            yield from layout.place((Text(x + 4, plot.top + 13 + 15 * row, said, "label", SIZE),) for row in range(3))

    def _turns(self) -> list[tuple[float, str]]:
        """Places and names of the sides and the rest; with frequent turns only their beginning and end."""
        names = self.run.history.stage_names
        # A stage begins where the one before it ends: the rest's own first row comes a step later.
        ends_s = [float(self.run.history.time_s[self.run.history.stage == i][-1]) for i in range(len(names))]
        starts = [0.0, *ends_s[:-1]]
        if len(names) > 3:
            count = sum(1 for name in names if name != "rest")
            ends = [(0.0, f"turned {count - 1} times")] + [(starts[-1], "rest")] * (names[-1] == "rest")
            return [(self.time.across(s), said) for s, said in ends]
        return [
            (self.time.across(s), name.removeprefix("sear "))
            for s, name in zip(starts, names, strict=True)
            if s < self.history.duration_s
        ]

    def _named_line(self, layout: Layout, name: str, values: Array, along: tuple[float, ...]) -> Iterator[Mark]:
        """The name of a curve beside it, at one of some shares of the time; none where the curve is left out."""
        for share in along:
            at_s = share * self.history.duration_s
            here = float(np.interp(at_s, self.history.time_s, values))
            if not np.isfinite(here):
                continue
            x, y = self.time.across(at_s), self.time.up(here)
            placed = layout.place((Text(x, y + dy, name, "label", SIZE, "middle"),) for dy in (-7.0, 16.0))
            if placed:
                yield from placed
                return

    def _hot(self) -> Array:
        """The hot face, left out where it is far above the chart."""
        values = self.history.ambient_C
        return np.where(values <= self.time.up.high, values, np.nan)

    def _parts(self, values: Array, *, whole: bool) -> Iterator[tuple[Point, ...]]:
        """A curve, broken unless `whole` where a stage begins, since another face is followed then."""
        t, stage = self.history.time_s, self.history.stage
        cuts = [0, *([] if whole else (np.flatnonzero(np.diff(stage) > 0) + 1).tolist()), t.size]
        for a, b in pairwise(cuts):
            keep = [i for i in range(a, b) if np.isfinite(values[i])]
            if len(keep) > 1:
                yield tuple((self.time.across(float(t[i])), self.time.up(float(values[i]))) for i in keep)

    def _profile(self, peak_C: Array) -> list[Point]:
        depth, f = self.run.depth_m, self.deep
        return [(f.across(float(d)), f.up(float(c))) for d, c in zip(depth, peak_C, strict=True)]

    def _C(self, value_C: float) -> str:
        return show_temperature(value_C, self.preference, both=False)
