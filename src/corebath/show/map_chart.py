"""The map as a chart: time in the bath across, set point up, and what holds where."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import cycle

import numpy as np

from corebath.plan.data import defaults
from corebath.plan.map import Map, Region
from corebath.plan.plan import Plan
from corebath.safety.finding import Verdict
from corebath.safety.lethality import LethalityRule
from corebath.units import Preference, mark, render, show_duration, show_temperature

from .drawing import Anchor, Area, Drawing, Handle, Hatch, Line, Mark, Point, Text, box
from .frame import LINE, SIZE, Frame, axes, badge, frame_of, key_text
from .isolines import Field, edge, height_of, inside, lines
from .labels import Box, Layout
from .letters import rule_letters, rules_by_key
from .words import capital, chart_subject

_HATCHES = (Hatch.RISING, Hatch.FALLING, Hatch.LEVEL, Hatch.DOTS)
_LEVELS = (0.2, 0.4, 0.6, 0.8)
_ALONG = tuple(sorted(np.linspace(0.03, 0.97, 48), key=lambda share: abs(share - 0.55)))
_DENSE = tuple(np.linspace(0.0, 1.0, 120).tolist())
_NEAR_START = tuple(sorted(_ALONG, key=lambda share: abs(share - 0.15)))
# Where the words of the point may stand: beside it first, then above and below.
_SIDES: tuple[tuple[float, Anchor], ...] = ((13.0, "start"), (-13.0, "end"), (0.0, "middle"))
_AROUND: tuple[tuple[float, float, Anchor], ...] = (
    (13.0, 4.0, "start"),
    (-13.0, 4.0, "end"),
    (0.0, -15.0, "middle"),
    (0.0, 24.0, "middle"),
    (11.0, -15.0, "end"),
    (-11.0, -15.0, "start"),
    *((x, y, anchor) for y in (-32.0, 41.0) for x, anchor in _SIDES),
)
# Reported edges closer than this share of the map on average are drawn as one.
_TOGETHER = 0.015
_BADGED = {True: ("edge", "badge"), False: ("reported", "reported-badge")}


def map_drawing(plan: Plan, map: Map, preference: Preference, *, wide: bool) -> Drawing:
    """The map of a plan as a drawing with a key below.

    wide : 720 units across, otherwise 360 for a phone. Ends of both axes stand in `data`: x0 and x1 [px] for t0
    and t1 [s], y0 (below) and y1 [px] for c0 and c1 [degC].
    """
    low_C, high_C = float(map.set_points_C[0]), float(map.set_points_C[-1])
    frame = frame_of(
        wide=wide, top=24, heights=(330, 390), longest_s=float(map.times_s[-1]), low_C=low_C, high_C=high_C
    )
    chart = _Chart(plan, map, preference, frame)
    marks = tuple(chart.drawn())
    key, height = chart.key(frame.plot.bottom + 3 * LINE + 12)
    across, up = frame.across, frame.up
    ends = {"x0": across.start, "x1": across.end, "y0": up.start, "y1": up.end}
    ends |= {"t0": across.low, "t1": across.high, "c0": up.low, "c1": up.high}
    return Drawing(
        key="map",
        width=frame.width,
        height=height,
        title=f"Map of set point and time in the bath: {chart_subject(plan, preference)}",
        description=chart.described(),
        marks=(*marks, *key),
        data={name: f"{value:.7g}" for name, value in ends.items()},
    )


class _Chart:
    """One map being drawn; labels keep off each other through `layout`."""

    def __init__(self, plan: Plan, map: Map, preference: Preference, frame: Frame) -> None:
        self.plan, self.map, self.preference, self.frame = plan, map, preference, frame
        self.letters, self.rules = rule_letters(plan), rules_by_key(plan)
        self.layout = Layout(frame.plot.grown(-2))
        self.binding = [r for r in map.regions if r.binding]
        self.reported = [r for r in map.regions if not r.binding]
        self.hatches = dict(zip((r.rule for r in self.binding), cycle(_HATCHES), strict=False))
        # The map's core is that of the cautious piece, whose bath is a little off the set point.
        off_K = plan.timing.cautious.bath_C - plan.set_point_C
        core_C = map.set_points_C[:, None] + off_K - map.below_bath_K
        self.heights = {r.rule: height_of(r.share, core_C, self._lethality(r)) for r in map.regions}
        self.groups = _together(self.reported)
        below = np.log10(np.maximum(map.below_bath_K, 1e-9))
        self.through = lines(below, float(np.log10(_within_K())), frame.across, frame.up)
        groups = [[r] for r in self.binding] + self.groups
        self.edges = {
            _key(g): edge(np.min([self.heights[r.rule] for r in g], axis=0), frame.across, frame.up) for g in groups
        }
        self.contours = {
            (name, level): self._contour(field, level)
            for name, field in (("tenderness", map.tenderness), ("juiciness", map.juiciness))
            for level in self._levels(field)
        }
        named = [("through", self.through), *self.edges.items()]
        named += [(f"{name} {level:g}", found) for (name, level), found in self.contours.items()]
        for of, found in named:
            for line in found:
                self.layout.reserve_line(_points(line, _DENSE), of=of)
        self.labels: list[Mark] = []

    def drawn(self) -> Iterator[Mark]:
        """Every mark of the plot, back to front."""
        f = self.frame
        yield from axes(f, self.preference, "time in the bath, from drop-in")
        yield Text(4, f.plot.top - 9, f"set point, °{self.preference.temperature}", "axis", SIZE)
        handle = self._handle()
        yield from self._band()
        for region in self.binding:
            if rings := inside(self.heights[region.rule], f.across, f.up):
                yield Area(rings, "met", self.hatches[region.rule], f"Met: {self._title(region)}")
        yield from self._through()
        for region in self.binding:
            yield from self._edge([region])
        for group in self.groups:
            yield from self._edge(group)
        for (name, level), found in self.contours.items():
            text = f"{name} {level:g}"
            # A line without its label would say nothing.
            if found and self._label(self._on(found[0], text), over=text):
                yield from (Line(line, name) for line in found)
        yield from self.labels
        yield handle

    def key(self, y: float) -> tuple[tuple[Mark, ...], float]:
        """The key from a baseline down, and the height of the whole drawing."""
        marks: list[Mark] = []
        right = self.frame.width - 8

        def say(text: str, x: float = 8.0) -> None:
            nonlocal y
            words, y = key_text(x, y, text, right)
            marks.extend(words)

        say("Heat rules that bind here:" if self.binding else "No heat rule binds at the core of this piece.")
        for region in self.binding:
            y += 2
            marks += badge(16, y - 4, self.letters[region.rule], "badge")
            marks.append(Area((box(30, y - 11, 54, y + 2),), "met", self.hatches[region.rule]))
            say(self._said(region), 60)
        if self.reported:
            say("Reported, not binding (dotted edges):")
        for region in self.reported:
            y += 2
            marks += badge(16, y - 4, self.letters[region.rule], "reported-badge")
            say(self._said(region), 30)
        if any(len(group) > 1 for group in self.groups):
            say("Letters on one edge lie too close to draw apart; the edge is where all of them are met.")
        within = render(mark(_within_K(), "K"), self.preference, both=False)
        say(f"Thick line: core hot through (within {within})." if self.through else "The core is nowhere hot through.")
        for text in self._qualities():
            say(text)
        say("At an edge 19 of 20 such pieces are past it. Rules of surface, time and cooling are not drawn.")
        return tuple(marks), y

    def described(self) -> str:
        """The chart in a few sentences."""
        f, p = self.frame, self.preference
        low, high = (show_temperature(c, p, both=False) for c in (f.up.low, f.up.high))
        met = [self._title(r) for r in self.binding]
        rules = (
            f"Areas show where each binding rule is met: {'; '.join(met)}."
            if met
            else "No heat rule binds at the core."
        )
        return (
            f"Time in the bath runs across from 0 to {show_duration(f.across.high)}, "
            f"the set point up from {low} to {high}. "
            f"The plan stands at {self._place()}. {rules}"
        )

    def _place(self) -> str:
        return (
            f"{show_temperature(self.plan.set_point_C, self.preference, both=False)}, {show_duration(self.plan.bath_s)}"
        )

    def _handle(self) -> Handle:
        f, plan = self.frame, self.plan
        x, y = f.across(plan.bath_s), f.up(plan.set_point_C)
        self.layout.reserve(Box(x - 10, y - 10, x + 10, y + 10))
        self._label(Text(x + dx, y + dy, self._place(), "label", SIZE, anchor) for dx, dy, anchor in _AROUND)
        verdicts = {f.rule: f.verdict for f in plan.findings}
        met = [self._title(r) for r in self.map.regions if verdicts.get(r.rule) is Verdict.MET]
        missed = [self._title(r) for r in self.map.regions if verdicts.get(r.rule) is not Verdict.MET]
        value = f"{self._place()} in the bath. Met: {'; '.join(met) or 'no heat rule'}."
        if missed:
            value += f" Not met: {'; '.join(missed)}."
        return Handle(
            x, y, "Set point and time in the bath", value, 0.0, round(f.across.high / 60), round(plan.bath_s / 60)
        )

    def _band(self) -> Iterator[Mark]:
        result, f = self.plan.result, self.frame
        if result is None:
            return
        low, high = max(result.low_C, f.up.low), min(result.high_C, f.up.high)
        plot, top, bottom = f.plot, f.up(high), f.up(low)
        yield Area((box(plot.left, top, plot.right, bottom),), "band", name=f"Wanted result: {result.words}")
        yield from (Line(((plot.left, y), (plot.right, y)), "band-edge") for y in (top, bottom))
        said = f"{result.words}, {_range(result.low_C, result.high_C, self.preference)}"
        heights = (bottom - 5, top + 13, (top + bottom) / 2 + 4, top - 5, bottom + 13)
        spots: tuple[tuple[float, Anchor], ...] = ((plot.left + 6, "start"), (plot.right - 6, "end"))
        self._label(Text(x, y, said, "label", SIZE, anchor) for y in heights for x, anchor in spots)

    def _through(self) -> Iterator[Mark]:
        for line in self.through:
            yield Line(line, "hot-through", "Core hot through")
            beside: tuple[tuple[float, Anchor], ...] = ((9.0, "start"), (-9.0, "end"))
            spots = ((x + dx, y, anchor) for x, y in _points(line, _NEAR_START) for dx, anchor in beside)
            self._label(Text(x, y, "core hot through", "label", SIZE, anchor) for x, y, anchor in spots)

    def _edge(self, regions: Sequence[Region]) -> Iterator[Mark]:
        line_kind, badge_kind = _BADGED[regions[0].binding]
        found = self.edges[_key(regions)]
        named = f"Edge of: {'; '.join(self._title(r) for r in regions)}"
        yield from (Line(line, line_kind, named) for line in found)
        letters = " ".join(self.letters[r.rule] for r in regions)
        half = badge(0, 0, letters, badge_kind)[0].width / 2 + 1
        rooms = (Box(x - half, y - 9, x + half, y + 9) for x, y in (_points(found[0], _ALONG) if found else ()))
        free = [room for room in rooms if self.layout.fits(room)]
        if free:
            room = min(free, key=lambda room: self.layout.crossed(room, over=_key(regions)))
            self.layout.reserve(room)
            self.labels += badge((room.left + room.right) / 2, (room.top + room.bottom) / 2, letters, badge_kind)

    def _contour(self, field: Field, level: float) -> list[tuple[Point, ...]]:
        # Before the core is hot the models of quality do not speak.
        hot = self.map.times_s >= self.plan.timing.come_up.nominal_s
        return lines(np.where(hot, field, np.nan), level, self.frame.across, self.frame.up)

    def _levels(self, field: Field) -> tuple[float, ...]:
        """The levels to draw: on a narrow map only the two nearest to what the plan comes to."""
        if self.frame.width > 400:
            return _LEVELS
        m, plan = self.map, self.plan
        row = int(np.argmin(np.abs(m.set_points_C - plan.set_point_C)))
        own = float(field[row, int(np.argmin(np.abs(m.times_s - plan.bath_s)))])
        own = own if np.isfinite(own) else 0.6
        return tuple(sorted(_LEVELS, key=lambda level: abs(level - own))[:2])

    def _on(self, line: Sequence[Point], text: str) -> Iterator[Text]:
        """Words on a line, or beside it where they would hide another one."""
        spots: tuple[tuple[float, Anchor], ...] = ((0.0, "middle"), (7.0, "start"), (-7.0, "end"))
        return (
            Text(x + dx, y + 0.35 * SIZE, text, "label", SIZE, anchor)
            for dx, anchor in spots
            for x, y in _points(line, _ALONG)
        )

    def _label(self, candidates: Iterable[Text], *, over: str | None = None) -> bool:
        placed = self.layout.place(((text,) for text in candidates), over=over)
        self.labels += placed
        return bool(placed)

    def _qualities(self) -> Iterator[str]:
        drawn = {m.text.split()[0] for m in self.labels if isinstance(m, Text)}
        said = []
        if "tenderness" in drawn:
            said.append("tenderness (long) from 0 tough to 1 very tender")
        if "juiciness" in drawn:
            said.append("juiciness (short) from 0 dry to 1 as juicy as raw")
        if said:
            yield f"Dashes: {', '.join(said)}; they end where nothing is known."
        missing = [n for n in ("tenderness", "juiciness") if not np.isfinite(getattr(self.map, n)).any()]
        if missing:
            yield f"{capital(' and '.join(missing))} {'is' if len(missing) == 1 else 'are'} not known here."

    def _lethality(self, region: Region) -> LethalityRule:
        lethality = self.rules[region.rule].lethality
        assert lethality is not None
        return lethality

    def _title(self, region: Region) -> str:
        return render(region.title, self.preference, both=False)

    def _said(self, region: Region) -> str:
        said = f"{self._title(region)} ({self.rules[region.rule].authority})"
        if np.all(region.share < 1.0):
            return f"{said}; met nowhere on this map"
        if np.all(region.share >= 1.0):
            return f"{said}; met everywhere on this map"
        return said


def _together(regions: Sequence[Region]) -> list[list[Region]]:
    """Regions in groups whose edges cannot be told apart on the map."""
    groups: list[list[Region]] = []
    for region in regions:
        met = region.share >= 1.0
        alike = (g for g in groups if all(np.mean((r.share >= 1.0) != met) < _TOGETHER for r in g))
        group = next(alike, None)
        if group is None:
            groups.append([region])
        else:
            group.append(region)
    return groups


def _key(regions: Sequence[Region]) -> str:
    """Name of the one edge of some regions."""
    return "+".join(r.rule for r in regions)


def _points(line: Sequence[Point], along: Sequence[float]) -> Iterator[Point]:
    """Points at shares of a line's length."""
    xy = np.asarray(line)
    run = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(xy, axis=0).T))])
    at = np.asarray(along) * run[-1]
    yield from zip(*(np.interp(at, run, side).tolist() for side in xy.T), strict=True)


def _range(low_C: float, high_C: float, preference: Preference) -> str:
    low, high = (show_temperature(c, preference, both=False) for c in (low_C, high_C))
    return f"{low.split(' ')[0]} to {high}"


def _within_K() -> float:
    return float(defaults()["come_up"]["within_K"])
