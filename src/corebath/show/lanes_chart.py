"""The lanes of a menu: who needs which bath, the pans, the hands and the cold, over time."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime

from corebath.plan.clock import elapsed_s
from corebath.plan.menu.answer import Lane, MenuPlan, Span
from corebath.plan.water import asleep
from corebath.units import Preference, render, show_duration

from .drawing import Anchor, Area, Drawing, Hatch, Line, Mark, Point, Text, box
from .frame import LINE, SIZE, key_text
from .labels import Box, Layout, text_width, wrap
from .lanes_axis import Strip, clock_marks, strips
from .scale import day_label
from .words import capital

_RIGHT = 8.0
_NAMES = (8.0, 104.0)  # room for the names of lanes, narrow (they stand above) and wide
_BAR, _ROW, _PAD = 16.0, 19.0, 5.0
_LEAST = 3.0  # width of the shortest bar
_ASLEEP = "asleep"
# What a bar is filled with, so that it can be told without colour, and what it stands for.
_KINDS: dict[str, tuple[Hatch, str, str]] = {
    "change": (Hatch.FALLING, "level", "the water is brought to a set point"),
    "heat": (Hatch.RISING, "edge", "food heats in the bath"),
    "hold": (Hatch.NONE, "edge", "food is ready, and held"),
    "reheat": (Hatch.LEVEL, "edge", "cooked food is reheated"),
    "chill": (Hatch.DOTS, "half", "ice water or fridge"),
    "sear": (Hatch.NONE, "peak", "a hot pan"),
    "work": (Hatch.NONE, "cautious", "hands are needed"),
}


@dataclass(frozen=True, slots=True)
class LaneRow:
    """One bar in words. lane : its name;  what : with quantities as marks;  start, end : by the cook's clock"""

    lane: str
    what: str
    start: datetime
    end: datetime


def lane_rows(plan: MenuPlan) -> tuple[LaneRow, ...]:
    """Every bar of the chart in words, lane by lane, for a table beside it."""
    zone = plan.menu.zone
    return tuple(
        LaneRow(lane.name, span.label, span.start.astimezone(zone), span.end.astimezone(zone))
        for lane in plan.lanes
        for span in _shown(lane)
    )


def lanes_drawing(plan: MenuPlan, preference: Preference, *, wide: bool) -> Drawing:
    """The lanes under each other, time going across in strips like the staves of a score.

    wide : 720 units across, otherwise 360 for a phone
    Hours in which nothing begins or ends are folded, and say how many they are. Raises ValueError for a menu that has
    no answer.
    """
    if not any(_shown(lane) for lane in plan.lanes):
        raise ValueError("the menu has no answer as asked, so there are no lanes to draw")
    chart = _Chart(plan, preference, wide=wide)
    marks = list(chart.drawn())
    key, height = chart.key()
    return Drawing(
        key="lanes",
        width=chart.width,
        height=height,
        title="Who needs bath, pan and hands when",
        description=chart.described(),
        marks=(*marks, *key),
    )


def _shown(lane: Lane) -> tuple[Span, ...]:
    """The bars of a lane; sleep is shaded behind all lanes instead."""
    return tuple(sorted((s for s in lane.spans if s.kind != _ASLEEP), key=lambda s: s.start.astimezone(UTC)))


@dataclass(frozen=True, slots=True)
class _Item:
    """A bar with its label in one strip.

    left, right : of the bar;  reach : of both;  opens, closes : its true ends;  follows : the bar it goes on from
    """

    span: Span
    left: float
    right: float
    reach: tuple[float, float]
    lines: tuple[str, ...]
    x: float
    anchor: Anchor
    opens: bool
    closes: bool
    follows: Span | None


class _Chart:
    """One chart being drawn."""

    def __init__(self, plan: MenuPlan, preference: Preference, *, wide: bool) -> None:
        self.plan, self.preference, self.wide = plan, preference, wide
        self.zone = plan.menu.zone
        self.width = 720.0 if wide else 360.0
        self.left, self.right = _NAMES[wide], self.width - _RIGHT
        spans = [span for lane in plan.lanes for span in _shown(lane)]
        self.start = min((span.start for span in spans), key=lambda at: at.astimezone(UTC))
        self.strips = strips(
            [elapsed_s(self.start, at) for span in spans for at in (span.start, span.end)], self.left, self.right
        )
        self.bottom = 6.0
        self.nights = False
        self.kinds = {span.kind for span in spans}

    def drawn(self) -> Iterator[Mark]:
        """All strips, one under the other."""
        for strip in self.strips:
            yield from self._strip(strip)

    def key(self) -> tuple[tuple[Mark, ...], float]:
        """What the fillings stand for, and the height of the whole drawing; to be called after `drawn`."""
        marks: list[Mark] = []
        y = self.bottom + LINE + 6
        for kind, (hatch, _, words) in _KINDS.items():
            if kind in self.kinds:
                marks.append(Area((box(8.0, y - 11, 32.0, y + 2),), kind, hatch))
                said, y = key_text(40.0, y, words, self.width - 8)
                marks += said
                y += 2
        for line in self._said_below():
            said, y = key_text(8.0, y + 2, line, self.width - 8)
            marks += said
        return tuple(marks), y

    def described(self) -> str:
        """The chart in sentences, lane by lane."""
        said = []
        for lane in self.plan.lanes:
            bars = "; ".join(
                f"{self._words(s.label)} from {self._clock(s.start)} to {self._clock(s.end)}" for s in _shown(lane)
            )
            if bars:
                said.append(f"{capital(lane.name)}: {bars}.")
        return " ".join(said)

    def _said_below(self) -> Iterator[str]:
        if any(s.folded for strip in self.strips for s in strip.stretches):
            yield "Between two dashed lines nothing begins or ends: the hours written there are folded."
        if self.nights and self.plan.menu.asleep is not None:
            begins, ends = self.plan.menu.asleep
            yield f"Shaded from {begins:%H:%M} to {ends:%H:%M}: nothing is asked of the cook."

    def _strip(self, strip: Strip) -> Iterator[Mark]:
        """Days and clock, then the lanes that have something to show."""
        top = self.bottom + 2 * LINE + 14
        y = top + 2
        inner: list[Mark] = []
        for lane in self.plan.lanes:
            block = self._lane(strip, lane, y)
            if block is not None:
                marks, y = block
                inner += marks
        nights = list(self._nights(strip))
        self.nights = self.nights or bool(nights)
        words = Layout(Box(self.left, y, self.right, y + LINE + 4))
        for left, right in nights:
            inner += words.place(((Text((left + right) / 2, y + LINE - 2, _ASLEEP, "label", SIZE, "middle"),),))
        bottom = y + (LINE + 4 if nights else 2)
        for left, right in nights:
            yield Area((box(left, top, right, bottom),), _ASLEEP, Hatch.NONE, "The cook is asleep")
        yield from self._clocks(strip, top, bottom)
        yield from inner
        outline = box(self.left, top, self.right, bottom)
        yield Line((*outline, outline[0]), "frame")
        self.bottom = bottom

    def _clocks(self, strip: Strip, top: float, bottom: float) -> Iterator[Mark]:
        """Ticks of the clock with their days above, and the lengths of the folds."""
        row = Layout(Box(0.0, top - LINE - 4, self.width, top))
        for fold in (s for s in strip.stretches if s.folded):
            for x in (fold.left, fold.right):
                yield Line(((x, top), (x, bottom)), "moment")
            said = f"+{_about(fold.end_s - fold.start_s)}"
            yield from row.place(((Text((fold.left + fold.right) / 2, top - 6, said, "axis", SIZE, "middle"),),))
        days = Layout(Box(0.0, top - 2 * LINE - 8, self.width, top - LINE - 4))
        first = self._at(strip.start_s)
        yield from days.place(((Text(self.left, top - LINE - 9, day_label(first), "heading", SIZE),),))
        today = first.date()
        for tick in clock_marks(strip, self.start, self.zone, text_width("00:00", SIZE) + 10):
            yield Line(((tick.x, top), (tick.x, bottom)), "grid")
            yield from row.place(((Text(tick.x, top - 6, f"{tick.at:%H:%M}", "tick", SIZE, "middle"),),))
            if tick.at.date() != today:
                today = tick.at.date()
                anchors: tuple[Anchor, ...] = ("start", "middle", "end")
                yield from days.place(
                    (Text(tick.x, top - LINE - 9, day_label(tick.at), "heading", SIZE, a),) for a in anchors
                )

    def _lane(self, strip: Strip, lane: Lane, top: float) -> tuple[list[Mark], float] | None:
        """One lane of a strip from a height on, and where it ends; None when nothing of it falls into the strip."""
        items: list[_Item] = []
        shown = _shown(lane)
        before = [_followed(span, shown) for span in shown]
        for span, follows in zip(shown, before, strict=True):
            former = next((item for item in items if item.span is follows), None)
            item = self._item(strip, span, former, leads=any(span is other for other in before))
            if item is not None:
                items.append(item)
        if not items:
            return None
        marks: list[Mark] = []
        y = top + _PAD
        name = wrap(lane.name, (self.left if self.wide else self.width - 8) - 10, SIZE)
        fits = tuple(_cut(line, (self.left if self.wide else self.width - 8) - 10) for line in name)
        if self.wide:
            marks += [Text(6.0, y + 12 + i * LINE, line, "heading", SIZE) for i, line in enumerate(fits)]
        else:
            marks += [Text(self.left + 4, y + 9 + i * LINE, line, "heading", SIZE) for i, line in enumerate(fits)]
            y += LINE * len(fits)
        first = y
        for row in _rows(items):
            for item in row:
                marks += self._bar(item, y)
            y += max(_ROW, *(LINE * len(item.lines) + 4 for item in row))
        end = max(y, first + LINE * len(fits) + 4 if self.wide else y) + _PAD
        marks.append(Line(((self.left, end), (self.right, end)), "grid"))
        return marks, end

    def _item(self, strip: Strip, span: Span, former: _Item | None, *, leads: bool) -> _Item | None:
        """A bar of this strip, None outside it. former : a bar that names it already;  leads : it names the next"""
        start, end = elapsed_s(self.start, span.start), elapsed_s(self.start, span.end)
        if end <= strip.start_s or start >= strip.end_s:
            return None
        left = max(strip.x(start), former.right if former is not None else 0.0)
        left = min(left, self.right - _LEAST - 2)
        right = max(strip.x(end), left + _LEAST)
        text = self._words(span.label)
        if former is not None:
            text = text.rpartition(", ")[2]  # the bar before names the food
        spots: tuple[tuple[float, float, Anchor], ...] = (
            (right - left - 8, left + 5, "start"),
            (self.right - right - 10, right + 5, "start"),
            (left - self.left - 10, left - 5, "end"),
        )
        if leads:
            spots = (spots[0], spots[2], spots[1])
        wanted = text_width(text, SIZE)
        room, x, anchor = next((s for s in spots if s[0] >= wanted), max(spots[1:], key=lambda s: s[0]))
        lines = tuple(_cut(line, room) for line in wrap(text, room, SIZE))
        width = max((text_width(line, SIZE) for line in lines), default=0.0)
        reach = (min(left, x - width), right) if anchor == "end" else (left, max(right, x + width))
        ends = (start >= strip.start_s, end <= strip.end_s)
        return _Item(span, left, right, reach, lines, x, anchor, *ends, former.span if former is not None else None)

    def _bar(self, item: _Item, y: float) -> Iterator[Mark]:
        hatch, stroke, words = _KINDS[item.span.kind]
        left, right, bottom = item.left, item.right, y + _BAR
        yield Area((box(left, y, right, bottom),), item.span.kind, hatch, f"{self._words(item.span.label)}: {words}")
        # An end that lies in another strip is left open.
        edge: list[Point] = [(left, bottom), (left, y)] if item.opens else [(left, y)]
        edge += [(right, y), (right, bottom)] if item.closes else [(right, y)]
        yield Line(tuple(edge), stroke)
        yield Line(((left, bottom), (right, bottom)), stroke)
        for i, line in enumerate(item.lines):
            yield Text(item.x, y + 12 + i * LINE, line, "label", SIZE, item.anchor)

    def _nights(self, strip: Strip) -> Iterator[tuple[float, float]]:
        """Where the cook is asleep, from and to on the strip."""
        if self.plan.menu.asleep is None:
            return
        first = self._at(strip.start_s)
        for start, end in asleep(first, strip.end_s - strip.start_s, self.zone, *self.plan.menu.asleep):
            left, right = strip.x(strip.start_s + start), strip.x(strip.start_s + end)
            if right - left > 1.0:
                yield left, right

    def _at(self, since_s: float) -> datetime:
        return datetime.fromtimestamp(self.start.timestamp() + since_s, self.zone)

    def _clock(self, at: datetime) -> str:
        here = at.astimezone(self.zone)
        return f"{here:%H:%M} on {day_label(here)}"

    def _words(self, label: str) -> str:
        return render(label, self.preference, both=False)


def _rows(items: list[_Item]) -> list[list[_Item]]:
    """Bars with their labels in as few rows as keep them off each other, earlier ones first."""
    rows: list[list[_Item]] = []
    for item in items:
        # What goes on stands beside what it goes on from, where there is room.
        for row in sorted(rows, key=lambda row: all(other.span is not item.follows for other in row)):
            if all(_apart(item, other) for other in row):
                row.append(item)
                break
        else:
            rows.append([item])
    return rows


def _apart(a: _Item, b: _Item) -> bool:
    """Whether two bars with their labels keep off each other; bare ends may meet."""
    first, second = (a, b) if a.left <= b.left else (b, a)
    gap = 0.0 if first.reach[1] == first.right and second.reach[0] == second.left else 5.0
    return second.reach[0] >= first.reach[1] + gap - 1e-6


def _followed(span: Span, spans: tuple[Span, ...]) -> Span | None:
    """The bar of a lane that ends where this one begins and is called the same."""
    return next(
        (o for o in spans if o is not span and span.kind == "hold" and o.end == span.start and _food(o) == _food(span)),
        None,
    )


def _food(span: Span) -> str:
    """What a bar is of: its label without what follows the last comma."""
    return span.label.rpartition(", ")[0] or span.label


def _cut(text: str, width: float) -> str:
    """A word that is longer than its room, shortened."""
    most = max(int(width / text_width("x", SIZE)), 2)
    return text if len(text) <= most else text[: most - 1] + "…"


def _about(seconds: float) -> str:
    """A length of time in few letters: whole hours from three on."""
    return (
        show_duration(3600.0 * round(seconds / 3600))
        if seconds > 3 * 3600
        else show_duration(60.0 * round(seconds / 60))
    )
