"""Salt as a chart: how much there is at every depth, after each wait."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from corebath.heat.grid import Array
from corebath.plan.alone.salt import SaltAnswer
from corebath.salt.brine import AfterHours
from corebath.salt.diffusion import SaltField
from corebath.salt.tables import settings
from corebath.units import Preference, show_duration, show_length

from .depth import depth_axes, figure_ticks
from .drawing import Anchor, Area, Drawing, Hatch, Line, Mark, Pill, Point, Text, dense
from .frame import LINE, SIZE, Frame, key_text
from .labels import Layout, wrap
from .scale import Scale
from .words import piece_words

_LEFT, _RIGHT, _TOP = 40.0, 14.0, 26.0
_HEIGHTS = (250.0, 300.0)
_HIGHEST = 3.0  # of the even value; the early surface goes far beyond it, and is left to the words
_DOT = 6.0


def salt_drawing(answer: SaltAnswer, preference: Preference, *, wide: bool) -> Drawing:
    """Salt against depth as a drawing with a key below.

    wide : 720 units across, otherwise 360 for a phone. Raises ValueError where no diffusivity is published, since
    there is no curve to draw then.
    """
    if answer.fields is None:
        kind = answer.request.piece.food.kind
        raise ValueError(f"how fast salt moves in {kind} is not known, so there is no chart of it")
    chart = _Chart(answer, answer.fields, preference, wide=wide)
    marks = tuple(chart.drawn())
    key, height = chart.key(chart.frame.plot.bottom + 3 * LINE + 12)
    return Drawing(
        key="salt",
        width=chart.frame.width,
        height=height,
        title=f"Salt against depth: {piece_words(answer.request.piece, preference)}",
        description=" ".join(chart.lines()),
        marks=(*marks, *key),
    )


class _Chart:
    """One chart of salt being drawn."""

    def __init__(
        self, answer: SaltAnswer, fields: tuple[SaltField, ...], preference: Preference, *, wide: bool
    ) -> None:
        self.answer, self.fields, self.preference = answer, fields, preference
        self.percent = answer.request.percent
        width = 720.0 if wide else 360.0
        highest = min(float(fields[0].share.max()), _HIGHEST)
        bottom = _TOP + _HEIGHTS[wide]
        self.frame = Frame(
            width,
            Scale(0.0, float(fields[0].depth_m[-1]), _LEFT, width - _RIGHT),
            Scale(0.0, max(highest, 1.25) * self.percent, bottom, _TOP),
        )
        self.layout = Layout(self.frame.plot.grown(-2))
        overnight_s = settings()["practice_hours"]["overnight_h"] * 3600
        self.banded = int(np.argmin(np.abs(fields[0].time_s - overnight_s)))

    @property
    def waits(self) -> tuple[AfterHours, ...]:
        """The waits, in order of time."""
        return self.answer.salting.waits

    def drawn(self) -> Iterator[Mark]:
        """Every mark of the plot, back to front."""
        f, plot = self.frame, self.frame.plot
        yield from depth_axes(f, self.preference, "depth below the face, to the core", figure_ticks(f.up, SIZE))
        yield Text(4, plot.top - 10, self._of_what(), "axis", SIZE)
        yield self._band()
        half = settings()["half_even"]["share"]
        for share, kind in ((1.0, "level"), (half, "half")):
            y = f.up(share * self.percent)
            yield Line(((plot.left, y), (plot.right, y)), kind)
            self.layout.reserve_line((x, y) for x in np.arange(plot.left, plot.right, 4.0).tolist())
        curves = [self._curve(self.fields[0], i) for i in range(len(self.waits))]
        for curve, wait in zip(curves, self.waits, strict=True):
            yield Line(curve, "salt", f"After {show_duration(wait.time_s)}")
            self.layout.reserve_line(dense(curve))
        for i in range(len(self.waits)):
            yield from self._named_wait(i, half)
        yield from self._named_levels(half)

    def key(self, y: float) -> tuple[tuple[Mark, ...], float]:
        """The key from a baseline down, and the height of the whole drawing."""
        marks: list[Mark] = []
        for line in self.lines():
            words, y = key_text(8.0, y, line, self.frame.width - 8)
            marks.extend(words)
        return tuple(marks), y

    def lines(self) -> Iterator[str]:
        """The chart in words."""
        yield (
            f"Rings: half of the final salt. Dots: where {show_duration(self.waits[self.banded].time_s)} may lie, over "
            "the published range of how fast salt moves."
        )
        if float(self.fields[0].share.max()) > _HIGHEST:
            yield "Early curves leave at the top: the face is saltier than the chart is high."
        for wait in self.waits:
            core = [round(100 * share) for share in (wait.core_share, wait.core_share_low, wait.core_share_high)]
            deep = self._depth(wait.depth_m)
            low, high = self._depth(wait.depth_low_m), self._depth(wait.depth_high_m)
            yield (
                f"{show_duration(wait.time_s)}: half of the final salt {deep} deep ({low} to {high}), the core has "
                f"{core[0]} % of it ({core[1]} to {core[2]} %)."
            )

    def _of_what(self) -> str:
        return "salt, % of the meat" if self.answer.brine is None else "salt, % of meat and water"

    def _depth(self, depth_m: float) -> str:
        return show_length(max(depth_m, 0.0), self.preference, both=False)

    def _band(self) -> Area:
        """Between the least and the most that the published range gives, for one wait."""
        rows = np.stack([field.share[self.banded] for field in self.fields])
        least, most = (np.clip(edge(rows, axis=0), 0.0, self._cap()) for edge in (np.min, np.max))
        ring = (*self._placed(least), *reversed(self._placed(most)))
        wait = show_duration(self.waits[self.banded].time_s)
        return Area((tuple(ring),), "salt-spread", Hatch.DOTS, f"Range of published figures after {wait}")

    def _cap(self) -> float:
        return self.frame.up.high / self.percent

    def _placed(self, share: Array) -> list[Point]:
        depth = self.fields[0].depth_m
        return [
            (self.frame.across(float(d)), self.frame.up(float(s) * self.percent))
            for d, s in zip(depth, share, strict=True)
        ]

    def _curve(self, field: SaltField, i: int) -> tuple[Point, ...]:
        """One curve, begun where it comes in at the top."""
        row, depth, cap = field.share[i], field.depth_m, self._cap()
        points = self._placed(row)
        inside = np.flatnonzero(row <= cap)
        first = int(inside[0])
        if first == 0:
            return tuple(points)
        part = (row[first - 1] - cap) / (row[first - 1] - row[first])
        at = float(depth[first - 1] + part * (depth[first] - depth[first - 1]))
        return ((self.frame.across(at), self.frame.plot.top), *points[first:])

    def _named_wait(self, i: int, half: float) -> Iterator[Mark]:
        """The ring where a curve passes half of the even value, and its wait beside it, or at its end."""
        wait, field, plot = self.waits[i], self.fields[0], self.frame.plot
        text = show_duration(wait.time_s)
        at_core = float(field.share[i, -1]) >= half
        x = plot.right if at_core else self.frame.across(wait.depth_m)
        y = self.frame.up(min(float(field.share[i, -1]) if at_core else half, self._cap()) * self.percent)
        if not at_core and wait.depth_m > 0:
            yield Pill(x, y, _DOT, _DOT, "dot")
        spots: list[tuple[float, float, Anchor]] = (
            [(-6.0, dy, "end") for dy in (-6.0, 15.0, -20.0, 29.0)]
            if at_core
            else [(7.0, dy, "start") for dy in (-6.0, 15.0)] + [(-7.0, dy, "end") for dy in (-6.0, 15.0)]
        )
        yield from self.layout.place((Text(x + dx, y + dy, text, "label", SIZE, anchor),) for dx, dy, anchor in spots)

    def _named_levels(self, half: float) -> Iterator[Mark]:
        plot = self.frame.plot
        for share, text in ((1.0, "even, once levelled"), (half, "half of it")):
            y = self.frame.up(share * self.percent)
            lines = wrap(text, (plot.right - plot.left) * 0.5, SIZE)
            middle = [plot.left + (plot.right - plot.left) * part for part in (0.75, 0.5, 0.3)]
            spots: list[tuple[float, Anchor]] = [(plot.right - 5, "end"), (plot.left + 5, "start")]
            spots += [(x, "middle") for x in middle]
            yield from self.layout.place(
                tuple(Text(x, y + dy + i * LINE, line, "label", SIZE, anchor) for i, line in enumerate(lines))
                for dy in (-6.0, 14.0)
                for x, anchor in spots
            )
