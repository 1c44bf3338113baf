"""The whole story as a chart: every stretch on its own scale of time, every finding at its moment."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import sqrt
from string import ascii_uppercase

import numpy as np

from corebath.heat.grid import Array
from corebath.heat.history import History
from corebath.plan.story import Leg, Story, Told
from corebath.safety.rules import rules_for
from corebath.units import Preference, render, show_duration, show_temperature

from .drawing import Anchor, Area, Drawing, Hatch, Line, Mark, Pill, Point, Text, box, dense
from .frame import BADGE, LINE, SIZE, badge, key_text
from .labels import Box, Layout, text_width, wrap
from .scale import Scale, temperature_ticks
from .words import capital, piece_words

_LEFT, _RIGHT = 40.0, 14.0
_HEIGHTS = (250.0, 300.0)
_NARROWEST = (22.0, 50.0)  # of a stretch, narrow and wide
_BELOW_C, _ABOVE_C = 7.0, 9.0
_ROW = 19.0
_DOT = 6.0
_ROUND_s = (5, 10, 30, 60, 300, 600, 1800, 3600, 10800, 21600, 43200, 86400, 172800, 432000)


def story_drawing(story: Story, preference: Preference, *, wide: bool) -> Drawing:
    """The whole story as a drawing with a key below.

    wide : 720 units across, otherwise 360 for a phone. Time in each stretch runs by its square root, and each has a
    width of its own: hours in the fridge and seconds in the pan would not share a scale.
    """
    chart = _Chart(story, preference, wide=wide)
    marks = (*chart.lane(), *chart.drawn(), *chart.moments())
    key, height = chart.key()
    return Drawing(
        key="story",
        width=chart.width,
        height=height,
        title=f"From the salt to the reheated plate: {piece_words(story.piece, preference)}",
        description=chart.described(),
        marks=(*marks, *key),
    )


@dataclass(frozen=True, slots=True)
class _Panel:
    """One stretch with its place across."""

    number: int
    leg: Leg
    left: float
    right: float

    def x(self, at_s: float) -> float:
        """Position of a moment of the story's clock."""
        share = (at_s - self.leg.start_s) / (self.leg.end_s - self.leg.start_s)
        return self.left + sqrt(min(max(share, 0.0), 1.0)) * (self.right - self.left)


class _Chart:
    """One story being drawn."""

    def __init__(self, story: Story, preference: Preference, *, wide: bool) -> None:
        self.story, self.preference, self.wide = story, preference, wide
        self.width = 720.0 if wide else 360.0
        self.panels = _panels(story.legs, _LEFT, self.width - _RIGHT, _NARROWEST[wide])
        self.names = [self._name(panel) for panel in self.panels]
        top = 12.0 + BADGE + LINE * max(len(lines) for lines in self.names) + 22.0
        hottest = max(float(story.nominal.surface_C.max()), story.way.bath_C)
        low_C = min(float(story.nominal.core_C.min()), 0.0) - _BELOW_C
        self.up = Scale(low_C, hottest + _ABOVE_C, top + _HEIGHTS[wide], top)
        self.plot = Box(_LEFT, top, self.width - _RIGHT, top + _HEIGHTS[wide])
        self.layout = Layout(self.plot.grown(-2))
        rules = rules_for(story.piece.subject, story.piece.authority)
        self.authorities = {rule.key: rule.authority for rule in rules}
        self.letters = [letters(i) for i in range(len(story.told))]
        self.bottom = self.plot.bottom + 2 * LINE + 12.0

    def lane(self) -> Iterator[Mark]:
        """Numbers, names and lengths of the stretches above the plot."""
        for panel, lines in zip(self.panels, self.names, strict=True):
            middle = (panel.left + panel.right) / 2
            yield from badge(middle, 12.0, str(panel.number), "reported-badge")
            for i, line in enumerate(lines):
                yield Text(middle, 12.0 + BADGE + 6 + i * LINE, line, "label", SIZE, "middle")
        yield Text(4, self.plot.top - 8, f"°{self.preference.temperature}", "axis", SIZE)

    def drawn(self) -> Iterator[Mark]:
        """The plot, back to front."""
        plot = self.plot
        for tick in temperature_ticks(self.up, self.preference, SIZE):
            y = self.up(tick.value)
            yield Line(((plot.left, y), (plot.right, y)), "grid")
            yield Text(plot.left - 6, y + 0.35 * SIZE, tick.label, "tick", SIZE, "end")
        for panel in self.panels[1:]:
            yield Line(((panel.left, plot.bottom), (panel.left, plot.top)), "break")
        for panel in self.panels:
            yield from self._ticks(panel)
        yield Line((*box(plot.left, plot.top, plot.right, plot.bottom), (plot.left, plot.top)), "frame")
        yield Text(plot.left, plot.bottom + 2 * LINE + 5, "time in each stretch, by its square root", "axis", SIZE)
        yield from self._salting()
        nominal, cautious = self.story.nominal, self.story.cautious
        bath_s = self.story.leg("bath").start_s
        for panel in self.panels:
            if panel.leg.key not in ("sear", "salted"):
                y = self.up(self._ambient_C(panel))
                yield Line(((panel.left, y), (panel.right, y)), "ambient", f"Around it: {panel.leg.name}")
        curves: list[tuple[str, History, Array, float, str]] = [
            ("surface", nominal, nominal.surface_C, 0.0, "Surface"),
            ("cautious", cautious, cautious.core_C, bath_s, "Core of the cautious piece"),
            ("core", nominal, nominal.core_C, 0.0, "Core"),
        ]
        for kind, history, values, offset_s, name in curves:
            for part in self._curve(history, values, offset_s):
                yield Line(part, kind, name)
                self.layout.reserve_line(dense(part))
        yield from self._named()

    def moments(self) -> Iterator[Mark]:
        """Letters below the plot, each under its moment, with rings where the core is then."""
        lane = Layout(Box(0.0, self.plot.bottom, self.width, self.plot.bottom + 4000.0))
        ringed: list[float] = []
        deepest = self.bottom
        for letter, told in zip(self.letters, self.story.told, strict=True):
            x = self._panel(told).x(told.at_s)
            if all(abs(x - other) > 1.5 for other in ringed):
                ringed.append(x)
                y = self.up(float(np.interp(told.at_s, self.story.nominal.time_s, self.story.nominal.core_C)))
                yield Line(((x, self.plot.bottom), (x, y + 0.1)), "moment")
                yield Pill(x, y, _DOT, _DOT, "dot")
            kind = "badge" if told.finding.binding else "reported-badge"
            half = max(BADGE, text_width(letter, SIZE) + 6) / 2
            for step in range(400):
                row, side = divmod(step, 5)
                dx = (0.0, -half, half, -2 * half, 2 * half)[side]
                at = min(max(x + dx, half + 1), self.width - half - 1)
                y = self.plot.bottom + 2 * LINE + 20.0 + row * _ROW
                room = Box(at - half - 1, y - 9, at + half + 1, y + 9)
                if lane.fits(room):
                    lane.reserve(room)
                    deepest = max(deepest, y + 9)
                    yield from badge(at, y, letter, kind)
                    break
        self.bottom = deepest

    def key(self) -> tuple[tuple[Mark, ...], float]:
        """The key from the letters down, and the height of the whole drawing; to be called after `moments`."""
        marks: list[Mark] = []
        y, right = self.bottom + LINE + 9, self.width - 8

        def say(text: str, x: float) -> None:
            nonlocal y
            words, y = key_text(x, y, text, right)
            marks.extend(words)

        say(
            "Thick curve: core. Thin curve: core of the cautious piece. Short dashes: surface. Long dashes: what is "
            "around it.",
            8.0,
        )
        say("A letter stands under the moment that decides its rule; the ring above it is the core then.", 8.0)
        for panel in self.panels:
            y += 4
            marks += badge(16, y - 4, str(panel.number), "reported-badge")
            say(f"{capital(panel.leg.name)}, {show_duration(panel.leg.end_s - panel.leg.start_s)}", 30.0)
            for letter, told in zip(self.letters, self.story.told, strict=True):
                if told.leg == panel.leg.key:
                    y += 2
                    marks += badge(40, y - 4, letter, "badge" if told.finding.binding else "reported-badge")
                    say(self._said(told), 56.0)
        return tuple(marks), y

    def described(self) -> str:
        """The chart in a few sentences."""
        legs = "; ".join(f"{leg.name} for {show_duration(leg.end_s - leg.start_s)}" for leg in self.story.legs)
        said = " ".join(f"{self._said(told)}." for told in self.story.told)
        return f"The piece goes through these stretches: {legs}. {said}"

    def _said(self, told: Told) -> str:
        finding = told.finding
        binds = ", binding" if finding.binding else ""
        whose = f" ({self.authorities[finding.rule]})" if finding.rule in self.authorities else ""
        return f"{capital(finding.verdict)}{binds}: {render(finding.title, self.preference, both=False)}{whose}"

    def _name(self, panel: _Panel) -> tuple[str, ...]:
        if not self.wide:
            return ()
        long = show_duration(panel.leg.end_s - panel.leg.start_s)
        room = panel.right - panel.left - 2
        return (*wrap(panel.leg.name, room, SIZE), *wrap(long, room, SIZE))

    def _panel(self, told: Told) -> _Panel:
        return next(panel for panel in self.panels if panel.leg.key == told.leg)

    def _ambient_C(self, panel: _Panel) -> float:
        middle_s = (panel.leg.start_s + panel.leg.end_s) / 2
        return float(np.interp(middle_s, self.story.nominal.time_s, self.story.nominal.ambient_C))

    def _ticks(self, panel: _Panel) -> Iterator[Mark]:
        """Round times within a stretch, as many as have room, the long ones first."""
        taken: list[Box] = []
        for seconds in reversed(_ROUND_s):
            if seconds >= panel.leg.end_s - panel.leg.start_s:
                continue
            x, label = panel.x(panel.leg.start_s + seconds), _short(seconds)
            half = text_width(label, SIZE) / 2
            room = Box(x - half - 3, 0.0, x + half + 3, 1.0)
            inside = panel.left <= x - half and x + half <= panel.right
            if inside and not any(room.touches(other) for other in taken):
                taken.append(room)
                yield Line(((x, self.plot.bottom), (x, self.plot.bottom + 4)), "tick-mark")
                yield Text(x, self.plot.bottom + LINE + 4, label, "tick", SIZE, "middle")

    def _salting(self) -> Iterator[Mark]:
        """The salting as a bar, since it is no temperature."""
        panel = next((p for p in self.panels if p.leg.key == "salted"), None)
        if panel is None:
            return
        top = self.up(self.story.way.bath_C) - 10
        ring = box(panel.left, top, panel.right, top + 20)
        yield Area((ring,), "salt-spread", Hatch.RISING, "Salt moving in")
        percent = f"{self.story.way.salt_percent:g} % salt"
        yield from self.layout.place(
            (Text((panel.left + panel.right) / 2, top + 14, said, "label", SIZE, "middle"),)
            for said in (f"{percent} moving in", percent, "salt")
            if text_width(said, SIZE) <= panel.right - panel.left - 2
        )

    def _named(self) -> Iterator[Mark]:
        """What is around the piece, and the two curves, in words."""
        for panel in self.panels:
            if panel.leg.key in ("salted", "sear"):
                continue
            around_C = self._ambient_C(panel)
            said = show_temperature(around_C, self.preference, both=False)
            y = self.up(around_C)
            yield from self._within(panel, [(y - 6, said), (y + 14, said), (y - 21, said)])
        bath = next(p for p in self.panels if p.leg.key == "bath")
        leg = bath.leg
        for share in (0.01, 0.02, 0.04, 0.06, 0.1):
            at_s = leg.start_s + share * (leg.end_s - leg.start_s)
            y = self.up(float(np.interp(at_s, self.story.nominal.time_s, self.story.nominal.core_C)))
            placed = self.layout.place(
                (Text(bath.x(at_s) + dx, y + 4, "core", "label", SIZE, anchor),) for dx, anchor in _SIDES
            )
            if placed:
                yield from placed
                break

    def _within(self, panel: _Panel, wanted: list[tuple[float, str]]) -> Iterator[Mark]:
        spots: tuple[tuple[float, Anchor], ...] = (
            (panel.right - 3, "end"),
            (panel.left + 3, "start"),
            ((panel.left + panel.right) / 2, "middle"),
        )
        room = panel.right - panel.left - 2
        yield from self.layout.place(
            (Text(x, y, said, "label", SIZE, anchor),)
            for y, said in wanted
            if text_width(said, SIZE) <= room
            for x, anchor in spots
        )

    def _curve(self, history: History, values: Array, offset_s: float) -> Iterator[tuple[Point, ...]]:
        """A curve stretch by stretch, thinned to what a screen can show, on the story's clock."""
        times = history.time_s + offset_s
        for panel in self.panels:
            start, end = panel.leg.start_s, panel.leg.end_s
            if start < times[0] - 1e-6 or start >= times[-1] - 1e-6:
                continue
            yield tuple(self._thinned(panel, times, values, start, min(end, float(times[-1]))))

    def _thinned(self, panel: _Panel, times: Array, values: Array, start: float, end: float) -> Iterator[Point]:
        """Half a unit apart at most; where a surface jumps at the start, the later value counts."""
        count = int(np.ceil((panel.right - panel.left) / 1.0)) + 1
        inside = times[(times > start) & (times < end)]
        sampled = start + np.linspace(0.0, 1.0, count) ** 2 * (end - start)
        every = np.unique(np.concatenate([sampled, inside])) if panel.leg.key == "sear" else sampled
        nudge = 1e-6 * (end - start)
        for at_s in np.clip(every, start + nudge, end - nudge):
            yield panel.x(float(at_s)), self.up(float(np.interp(at_s, times, values)))


_SIDES: tuple[tuple[float, Anchor], ...] = ((7.0, "start"), (-7.0, "end"))


def _panels(legs: tuple[Leg, ...], left: float, right: float, narrowest: float) -> tuple[_Panel, ...]:
    """A width for every stretch: the least there is, and a share of the rest by the fourth root of its time."""
    weights = [(leg.end_s - leg.start_s) ** 0.25 for leg in legs]
    spare = right - left - narrowest * len(legs)
    panels, x = [], left
    for i, (leg, weight) in enumerate(zip(legs, weights, strict=True), start=1):
        width = narrowest + spare * weight / sum(weights)
        panels.append(_Panel(i, leg, x, x + width))
        x += width
    return tuple(panels)


def letters(i: int) -> str:
    """A to Z, then AA, AB, ..."""
    first, last = divmod(i, 26)
    return (ascii_uppercase[first - 1] if first else "") + ascii_uppercase[last]


def _short(seconds: int) -> str:
    for unit_s, name in ((86_400, "d"), (3600, "h"), (60, "min")):
        if seconds >= unit_s:
            return f"{seconds // unit_s} {name}"
    return f"{seconds} s"
