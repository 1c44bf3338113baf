"""The time axis of the lanes: strips under each other like staves, hours in which nothing begins or ends folded."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime
from itertools import pairwise
from math import ceil
from zoneinfo import ZoneInfo

FOLD = 48.0  # width of a fold, for its length in words
_MARGIN_s = 600.0  # shown before and after whatever happens
_FOLDED_FROM_s = 7200.0
_LEAST_PER_HOUR, _MOST_PER_HOUR = 52.0, 240.0
_CRUMB = 24.0  # a stretch narrower than that begins no strip's end
_FILLED = 0.65  # share of a strip after which it may end at a quiet moment
_NARROWER = 0.97
_STEPS_min = (5, 10, 15, 30, 60, 120, 180, 360)


@dataclass(frozen=True, slots=True)
class Stretch:
    """A part of the axis in one strip. start_s, end_s : since the first moment;  left, right : its place;  folded"""

    start_s: float
    end_s: float
    left: float
    right: float
    folded: bool


@dataclass(frozen=True, slots=True)
class Strip:
    """One line of the chart. stretches : from left to right without a gap in time"""

    stretches: tuple[Stretch, ...]

    @property
    def start_s(self) -> float:
        """Where it begins [s]."""
        return self.stretches[0].start_s

    @property
    def end_s(self) -> float:
        """Where it ends [s]."""
        return self.stretches[-1].end_s

    def x(self, at_s: float) -> float:
        """Position of a moment of this strip; one before or after it is at its edge."""
        at = min(max(at_s, self.start_s), self.end_s)
        i = max(bisect_right([s.start_s for s in self.stretches], at) - 1, 0)
        s = self.stretches[i]
        return s.left + (at - s.start_s) / (s.end_s - s.start_s) * (s.right - s.left)


def strips(events_s: Iterable[float], left: float, right: float) -> tuple[Strip, ...]:
    """The axis for what begins and ends at some times [s], in as few strips as keep five minutes visible."""
    events = sorted(set(events_s))
    pieces = list(_pieces(events))
    busy_s = sum(end - start for start, end, folded in pieces if not folded)
    folds = sum(folded for *_, folded in pieces)
    width = right - left
    for count in range(1, len(pieces) + ceil(busy_s / 3600 * _LEAST_PER_HOUR / (_FILLED * width)) + 2):
        per_s = min((count * width - folds * FOLD) / busy_s, _MOST_PER_HOUR / 3600)
        while per_s * 3600 >= _LEAST_PER_HOUR:
            laid = tuple(_laid(pieces, events, per_s, left, right))
            if len(laid) <= count:
                return laid
            per_s *= _NARROWER
    return tuple(_laid(pieces, events, _LEAST_PER_HOUR / 3600, left, right))


def _pieces(events_s: list[float]) -> Iterator[tuple[float, float, bool]]:
    """Stretches of time in which something begins or ends, and the folds between them."""
    start, end = events_s[0] - _MARGIN_s, events_s[0] + _MARGIN_s
    for event in events_s[1:]:
        if event - _MARGIN_s - end >= _FOLDED_FROM_s:
            yield start, end, False
            yield end, event - _MARGIN_s, True
            start = event - _MARGIN_s
        end = event + _MARGIN_s
    yield start, end, False


def _laid(
    pieces: list[tuple[float, float, bool]], events: list[float], per_s: float, left: float, right: float
) -> Iterator[Strip]:
    row: list[Stretch] = []
    x = left
    for start, end, folded in pieces:
        at = start
        while at < end:
            room = right - x
            if row and room < (FOLD if folded else min(_CRUMB, (end - at) * per_s)) - 1e-6:
                yield Strip(tuple(row))
                row, x, room = [], left, right - left
            until = end
            if not folded and (end - at) * per_s > room + 1e-6:
                until = _quiet(
                    events, at + max(room - (1 - _FILLED) * (right - left), _CRUMB) / per_s, at + room / per_s
                )
            wide = FOLD if folded else min((until - at) * per_s, room)
            row.append(Stretch(at, until, x, x + wide, folded))
            x, at = x + wide, until
            if at < end:
                yield Strip(tuple(row))
                row, x = [], left
    yield Strip(tuple(row))


def _quiet(events: list[float], early_s: float, late_s: float) -> float:
    """A moment between two at which least happens around it, for a strip to end; the later one in doubt."""
    inside = [early_s, *(e for e in events if early_s < e < late_s), late_s]
    gaps = [(b - a, (a + b) / 2) for a, b in pairwise(inside)]
    longest, middle = max(gaps)
    return late_s if len(inside) == 2 or longest < 2 * _MARGIN_s else middle


@dataclass(frozen=True, slots=True)
class ClockTick:
    """A round reading of the cook's clock. x : its place;  at : the moment"""

    x: float
    at: datetime


def clock_marks(strip: Strip, start: datetime, zone: ZoneInfo, apart: float) -> tuple[ClockTick, ...]:
    """Round clock times in a strip, at least so far apart; right across a change of the clocks."""
    open_ = [s for s in strip.stretches if not s.folded]
    if not open_:
        return ()
    widest = max(open_, key=lambda s: s.right - s.left)
    per_min = (widest.right - widest.left) / (widest.end_s - widest.start_s) * 60
    step = next((m for m in _STEPS_min if m * per_min >= apart), _STEPS_min[-1])
    return tuple(mark for stretch in open_ for mark in _round(stretch, start, zone, step))


def _round(stretch: Stretch, start: datetime, zone: ZoneInfo, step_min: int) -> Iterator[ClockTick]:
    finest = 60.0 * _STEPS_min[0]
    first = start.timestamp() + stretch.start_s
    stamp = -(-first // finest) * finest
    last = first + stretch.end_s - stretch.start_s
    while stamp <= last:
        here = datetime.fromtimestamp(stamp, zone)
        if (60 * here.hour + here.minute) % step_min == 0:
            share = (stamp - first) / (last - first)
            yield ClockTick(stretch.left + share * (stretch.right - stretch.left), here)
        stamp += finest
