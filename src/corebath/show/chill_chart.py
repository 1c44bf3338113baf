"""Chilling and reheating as charts: the core against time with its band, and what it has to keep to."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from corebath.chill.runs import Reach, Runs
from corebath.chill.tables import settings
from corebath.heat.history import History
from corebath.plan.alone.chill import ChillAnswer, Limit
from corebath.plan.alone.reheat import ReheatAnswer
from corebath.safety.cooling import cooling_times
from corebath.units import Preference, render, show_duration, show_temperature

from .drawing import Anchor, Area, Drawing, Hatch, Line, Mark, Pill, Point, Text, dense
from .frame import LINE, SIZE, Frame, axes, badge, frame_of, key_text
from .labels import Box, Layout, text_width, wrap
from .words import piece_words

_TOP, _HEIGHTS = 26.0, (250.0, 290.0)
_SAMPLES, _PAST_END = 200, 1.08
_ROOM = 0.09  # of the range of temperatures, free above and below for words
_NEARLY = 0.95  # of the way to the surroundings; later a core that never passes a level shows nothing new
_DOT = 6.0


def chill_drawing(answer: ChillAnswer, preference: Preference, *, wide: bool) -> Drawing:
    """The cooling core with its band, and the limits of the authority as steps it has to stay under.

    wide : 720 units across, otherwise 360 for a phone
    """
    medium, made = answer.chill.medium, answer.chill.runs
    steps = tuple(_steps(answer.limits, made.cautious))
    look = _Look(
        key="chill",
        title=f"Chilling in {medium.words}: {piece_words(answer.request.piece, preference)}",
        across=f"time {medium.place[0].lower()}{medium.place[1:]}",
        ambient_C=medium.nominal_C,
        ambient=medium.words,
        start_C=answer.request.start_C,
        steps=steps,
        said=(*answer.statements, *(f.why for f in answer.findings if f.rule == "chill-not-on-the-counter")),
    )
    return _drawn(_Chart(made, look, preference, wide=wide))


def reheat_drawing(answer: ReheatAnswer, preference: Preference, *, wide: bool) -> Drawing:
    """The warming core with its band, and the cores it is served at or held to.

    wide : 720 units across, otherwise 360 for a phone
    """
    made = answer.reheat
    request = answer.request
    held_C = settings()["hot_holding"][request.piece.authority.value]["temperature_C"]
    look = _Look(
        key="reheat",
        title=f"Reheating: {piece_words(request.piece, preference)}",
        across="time in the bath",
        ambient_C=request.bath_C - request.offset_K,
        ambient="bath",
        start_C=request.start_C,
        named={made.to_C: "to serve", held_C: "for hot holding"},
        said=(*made.statements, *(f.why for f in made.findings if f.binding)),
    )
    return _drawn(_Chart(made.runs, look, preference, wide=wide))


@dataclass(frozen=True, slots=True)
class _Step:
    """A limit drawn as steps: corners (time [s], core [degC]) it falls over; what it is called."""

    letter: str
    binding: bool
    corners: tuple[tuple[float, float], ...]
    words: str


@dataclass(frozen=True, slots=True)
class _Look:
    """What sets one chart of runs apart from another."""

    key: str
    title: str
    across: str
    ambient_C: float
    ambient: str
    start_C: float
    said: tuple[str, ...]
    steps: tuple[_Step, ...] = ()
    named: dict[float, str] | None = None


def _steps(limits: Sequence[Limit], cautious: History) -> Iterator[_Step]:
    """The limits of each rule that the history enters, counted from where each of their stages begins."""
    for i, limit in enumerate(limits):
        corners: list[tuple[float, float]] = []
        for time in cooling_times(cautious, limit.stages):
            if not corners:
                corners.append((time.start_s, time.limit.from_C))
            end_s = time.start_s + time.limit.limit_s
            corners += [(end_s, corners[-1][1]), (end_s, time.limit.to_C)]
        if corners:
            asked = "; ".join(
                f"{{{s.from_C!r}|C}} to {{{s.to_C!r}|C}} within {{{s.limit_s!r}|s}}" for s in limit.stages
            )
            yield _Step(chr(ord("A") + i), limit.binding, tuple(corners), f"{limit.authority}, {asked}")


def _drawn(chart: _Chart) -> Drawing:
    marks = tuple(chart.drawn())
    key, height = chart.key(chart.frame.plot.bottom + 3 * LINE + 12)
    return Drawing(
        key=chart.look.key,
        width=chart.frame.width,
        height=height,
        title=chart.look.title,
        description=" ".join(words for _, words in chart.lines()),
        marks=(*marks, *key),
    )


class _Chart:
    """One chart of runs being drawn."""

    def __init__(self, made: Runs, look: _Look, preference: Preference, *, wide: bool) -> None:
        self.made, self.look, self.preference = made, look, preference
        end_s = max([*self._times(), *(step.corners[1][0] for step in look.steps)])
        levels = [*(r.core_C for r in made.reaches if self._known(r)), *(c for s in look.steps for _, c in s.corners)]
        lowest, highest = min(look.start_C, look.ambient_C, *levels), max(look.start_C, look.ambient_C, *levels)
        room = _ROOM * (highest - lowest)
        self.frame: Frame = frame_of(
            wide=wide, top=_TOP, heights=_HEIGHTS, longest_s=_PAST_END * end_s, low_C=lowest - room,
            high_C=highest + room,
        )  # fmt: skip
        self.layout = Layout(self.frame.plot.grown(-2))

    def drawn(self) -> Iterator[Mark]:
        """Every mark of the plot, back to front."""
        f, plot = self.frame, self.frame.plot
        yield from axes(f, self.preference, self.look.across)
        yield Text(4, plot.top - 10, f"core, °{self.preference.temperature}", "axis", SIZE)
        slow, quick, nominal = (self._curve(h) for h in (self.made.cautious, self.made.quick, self.made.nominal))
        yield Area(((*quick, *reversed(slow)),), "spread", Hatch.DOTS, "From the quickest to the cautious piece")
        y = f.up(self.look.ambient_C)
        yield Line(((plot.left, y), (plot.right, y)), "ambient", self.look.ambient)
        self.layout.reserve_line(dense(((plot.left, y), (plot.right, y))))
        yield Line(slow, "cautious", "Core of the cautious piece")
        yield Line(nominal, "core", "Core of a piece as described")
        for curve in (slow, nominal):
            self.layout.reserve_line(curve)
        for step in self.look.steps:
            yield from self._step(step)
        for reach in self.made.reaches:
            yield from self._reached(reach)
        yield from self._named_ambient()

    def key(self, y: float) -> tuple[tuple[Mark, ...], float]:
        """The key from a baseline down, and the height of the whole drawing."""
        marks: list[Mark] = []
        for letter, line in self.lines():
            if letter:
                y += 2
                binding = next(s.binding for s in self.look.steps if s.letter == letter)
                marks += badge(16, y - 4, letter, "badge" if binding else "reported-badge")
            words, y = key_text(30.0 if letter else 8.0, y, line, self.frame.width - 8)
            marks.extend(words)
        return tuple(marks), y

    def lines(self) -> Iterator[tuple[str, str]]:
        """The chart in words, each with its letter."""
        yield "", "Thick curve: a piece as described. Thin curve: the cautious piece. Dots: from the quickest to it."
        for step in self.look.steps:
            binds = "binding" if step.binding else "reported, not binding"
            off = " Its last step lies past the end of the chart." if self._cut(step) else ""
            words = render(step.words, self.preference, both=False)
            yield step.letter, f"{words} ({binds}): the thin curve has to pass under its corners.{off}"
        yield from (("", render(line, self.preference, both=False)) for line in self.look.said)

    def _cut(self, step: _Step) -> bool:
        return step.corners[-1][0] > self.frame.across.high

    def _step(self, step: _Step) -> Iterator[Mark]:
        f, end_s = self.frame, self.frame.across.high
        corners = [*step.corners, (end_s, step.corners[-1][1])]
        points = [(f.across(min(s, end_s)), f.up(c)) for s, c in corners]
        cut = next((i for i, (s, _) in enumerate(corners) if s >= end_s), len(corners) - 1)
        yield Line(tuple(points[: cut + 1]), "limit" if step.binding else "told-limit", f"Limit {step.letter}")
        self.layout.reserve_line(dense(points[: cut + 1]))
        along = [p for p in dense(points[: cut + 1], 6.0) if p[0] < f.plot.right - 12]
        for x, y in sorted(
            along, key=lambda p: abs(p[0] - (points[0][0] + points[1][0]) / 2) + abs(p[1] - points[0][1])
        ):
            room = Box(x - 9, y - 9, x + 9, y + 9)
            if self.layout.fits(room):
                self.layout.reserve(room)
                yield from badge(x, y, step.letter, "badge" if step.binding else "reported-badge")
                return

    def _reached(self, reach: Reach) -> Iterator[Mark]:
        """Where both curves pass a level, and when; nothing where a piece as described never does."""
        if not self._known(reach):
            return
        assert reach.nominal_s is not None
        y = self.frame.up(reach.core_C)
        times = [reach.nominal_s] if reach.cautious_s is None else [reach.nominal_s, reach.cautious_s]
        ends = [self.frame.across(s) for s in times]
        yield Line(((ends[0], y), (ends[-1] + 0.1, y)), "half")
        for x in ends:
            yield Pill(x, y, _DOT, _DOT, "dot")
            self.layout.reserve(Box(x - 4, y - 4, x + 4, y + 4))
        named = (self.look.named or {}).get(reach.core_C, "")
        core = " ".join(w for w in (self._C(reach.core_C), named) if w)
        slow = ", cautious never" if reach.cautious_s is None else f" to {_minutes(reach.cautious_s)}"
        yield from self._beside(ends, y, f"{core} after {_minutes(reach.nominal_s)}{slow}")

    def _beside(self, ends: list[float], y: float, text: str) -> Iterator[Mark]:
        """Words beside a level's rings, in one line if that fits, else in two."""
        last = ends[-1]
        # Free room lies above the curve of a piece that cools, and below that of one that warms.
        rows = (4.0, -8.0, -24.0, 17.0, 33.0) if self.look.start_C > self.look.ambient_C else (17.0, 33.0, 4.0, -8.0)
        spots: list[tuple[float, float, Anchor]] = [(last + 8, dy, "start") for dy in rows]
        spots += [(last, dy, "end") for dy in (-9.0, 18.0, -24.0, 33.0, 48.0, 63.0)]
        spots += [(ends[0] - 8, dy, "end") for dy in (4.0, 17.0, -9.0)]
        whole = [(text,), *(wrap(text, share * text_width(text, SIZE), SIZE) for share in (0.62, 0.44))]
        yield from self.layout.place(
            tuple(
                Text(x, y + dy + (i - (len(lines) - 1) * (dy < 0)) * LINE, line, "label", SIZE, anchor)
                for i, line in enumerate(lines)
            )
            for lines in whole
            for x, dy, anchor in spots
        )

    def _times(self) -> Iterator[float]:
        """Times that the chart has to reach to [s]."""
        for reach in self.made.reaches:
            yield from (s for s in (reach.nominal_s, reach.cautious_s) if s is not None)
        missed = any(r.nominal_s is None or r.cautious_s is None for r in self.made.reaches)
        cautious = self.made.cautious
        gone = (cautious.core_C - cautious.core_C[0]) / (cautious.ambient_C[-1] - cautious.core_C[0])
        near = np.flatnonzero(gone >= _NEARLY)
        if missed or near.size == 0:
            yield float(cautious.time_s[near[0]]) if near.size else cautious.duration_s

    def _known(self, reach: Reach) -> bool:
        return reach.nominal_s is not None and reach.nominal_s > 0

    def _named_ambient(self) -> Iterator[Mark]:
        plot, y = self.frame.plot, self.frame.up(self.look.ambient_C)
        said = f"{self.look.ambient} {self._C(self.look.ambient_C)}"
        spots: tuple[tuple[float, Anchor], ...] = ((plot.left + 5, "start"), (plot.right - 5, "end"))
        yield from self.layout.place(
            (Text(x, y + dy, said, "label", SIZE, anchor),) for dy in (-6.0, 14.0) for x, anchor in spots
        )

    def _curve(self, history: History) -> tuple[Point, ...]:
        time_s = np.linspace(0.0, 1.0, _SAMPLES) ** 1.5 * min(history.duration_s, self.frame.across.high)
        core = np.interp(time_s, history.time_s, history.core_C)
        return tuple((self.frame.across(float(t)), self.frame.up(float(c))) for t, c in zip(time_s, core, strict=True))

    def _C(self, value_C: float) -> str:
        return show_temperature(value_C, self.preference, both=False)


def _minutes(seconds: float) -> str:
    return show_duration(60.0 * round(seconds / 60.0)) if seconds > 600 else show_duration(seconds)
