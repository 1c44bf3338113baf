"""The frame both charts share: sizes, the plot's rectangle, its axes with ticks, and key lines below it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from corebath.units import Preference

from .drawing import Line, Mark, Pill, Text, box
from .labels import Box, text_width, wrap
from .scale import Scale, Tick, clock_ticks, elapsed_ticks, temperature_ticks

SIZE = 12.0
LINE = 15.0
BADGE = 15.0
_LEFT, _RIGHT, _TICK = 40.0, 14.0, 4.0


@dataclass(frozen=True, slots=True)
class Frame:
    """A plot's rectangle inside a drawing of a width, with its two scales.

    width : of the whole drawing;  across : seconds to x;  up : degC to y
    """

    width: float
    across: Scale
    up: Scale

    @property
    def plot(self) -> Box:
        """The rectangle the curves stand in."""
        return Box(self.across.start, self.up.end, self.across.end, self.up.start)


def frame_of(
    *, wide: bool, top: float, heights: tuple[float, float], longest_s: float, low_C: float, high_C: float
) -> Frame:
    """A frame from 0 to `longest_s` across and `low_C` to `high_C` up.

    wide : 720 units across, else 360;  top : free above the plot;  heights : of the plot, narrow and wide
    """
    width = 720.0 if wide else 360.0
    bottom = top + heights[wide]
    return Frame(width, Scale(0.0, longest_s, _LEFT, width - _RIGHT), Scale(low_C, high_C, bottom, top))


def axes(frame: Frame, preference: Preference, across: str) -> Iterator[Mark]:
    """Frame, grid and ticks, with the name of the elapsed axis below."""
    plot = frame.plot
    for tick in temperature_ticks(frame.up, preference, SIZE):
        y = frame.up(tick.value)
        yield Line(((plot.left, y), (plot.right, y)), "grid")
        yield Text(plot.left - 6, y + 0.35 * SIZE, tick.label, "tick", SIZE, "end")
    for tick in elapsed_ticks(frame.across, SIZE, _RIGHT - 1):
        x = frame.across(tick.value)
        yield Line(((x, plot.bottom), (x, plot.bottom + _TICK)), "tick-mark")
        yield Text(x, plot.bottom + LINE + 4, tick.label, "tick", SIZE, "middle")
    yield Line((*box(plot.left, plot.top, plot.right, plot.bottom), (plot.left, plot.top)), "frame")
    yield Text(plot.left, plot.bottom + 2 * LINE + 5, across, "axis", SIZE)


def clock_axis(frame: Frame, start: datetime, zone: ZoneInfo) -> Iterator[Mark]:
    """The cook's clock along the top of the plot."""
    top = frame.plot.top
    for tick in _clock_ticks(frame, start, zone):
        x = frame.across(tick.value)
        yield Line(((x, top), (x, top - _TICK)), "tick-mark")
        yield Text(x, top - 11, tick.label, "tick", SIZE, "middle")


def _clock_ticks(frame: Frame, start: datetime, zone: ZoneInfo) -> tuple[Tick, ...]:
    return clock_ticks(frame.across, start, zone, SIZE, _RIGHT - 1)


def badge(x: float, y: float, letters: str, kind: str) -> tuple[Pill, Text]:
    """Letters in a rounded box, as on an edge and beside their words in the key."""
    width = max(BADGE, text_width(letters, SIZE) + 6)
    return Pill(x, y, width, BADGE, kind), Text(x, y + 0.35 * SIZE, letters, "badge", SIZE, "middle")


def key_text(x: float, y: float, text: str, right: float) -> tuple[tuple[Text, ...], float]:
    """Words of the key from a baseline on, broken before `right`, and the next free baseline."""
    lines = wrap(text, right - x, SIZE)
    return (
        tuple(Text(x, y + i * LINE, line, "key", SIZE) for i, line in enumerate(lines)),
        y + len(lines) * LINE,
    )
