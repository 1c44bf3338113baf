"""Axes: linear scales and ticks for temperature, elapsed time and the cook's clock, labels never overlapping."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from math import ceil, floor
from zoneinfo import ZoneInfo

from corebath.units import Preference
from corebath.units.factors import celsius, fahrenheit

from .labels import text_width

_MINUTE, _HOUR, _DAY = 60, 3600, 86_400
_DEGREES = (0.5, 1, 2, 5, 10, 20, 50, 100)
_ELAPSED = (10, 20, 30, *(_MINUTE * m for m in (1, 2, 5, 10, 15, 30)), *(_HOUR * h for h in (1, 2, 3, 6, 12)))
_CLOCK = tuple(_MINUTE * m for m in (5, 10, 15, 30)) + tuple(_HOUR * h for h in (1, 2, 3, 6, 12))
_DAYS = tuple(_DAY * d for d in (1, 2, 5, 10))
_MOST_TICKS = 100  # more labels never stand apart on a chart of any size drawn here


@dataclass(frozen=True, slots=True)
class Scale:
    """Values `low` to `high` on positions `start` to `end` (end may lie before start, as upwards on a screen).

    Raises ValueError when either pair coincides.
    """

    low: float
    high: float
    start: float
    end: float

    def __post_init__(self) -> None:
        if self.low == self.high or self.start == self.end:
            raise ValueError("a scale needs two different values and two different positions")

    def __call__(self, value: float) -> float:
        """Position of a value; values outside the ends go on linearly."""
        return self.start + (value - self.low) * (self.end - self.start) / (self.high - self.low)

    def value(self, position: float) -> float:
        """Value at a position."""
        return self.low + (position - self.start) * (self.high - self.low) / (self.end - self.start)


@dataclass(frozen=True, slots=True)
class Tick:
    """A place on an axis and what stands there."""

    value: float
    label: str


def temperature_ticks(scale: Scale, preference: Preference, size: float) -> tuple[Tick, ...]:
    """Round temperatures in the cook's unit on an upright axis; `Tick.value` is in degC.

    scale : degC to position;  size : font size in the unit of the positions
    """
    in_F = preference.temperature == "F"
    low, high = (fahrenheit(scale.low), fahrenheit(scale.high)) if in_F else (scale.low, scale.high)
    per_degree = abs(scale.end - scale.start) / (high - low)
    step = next((s for s in _DEGREES if s * per_degree >= 2.2 * size), _DEGREES[-1])
    values = [step * i for i in range(ceil(low / step - 1e-9), floor(high / step + 1e-9) + 1)]
    return tuple(Tick(celsius(v) if in_F else float(v), f"{v:g}".replace("-", "−")) for v in values)


def elapsed_ticks(scale: Scale, size: float, room: float) -> tuple[Tick, ...]:
    """Round elapsed times on a level axis from 0 on, as close as their labels allow.

    scale : seconds to position;  room : how far a label may reach past the ends of the axis
    """
    longest = scale.high
    for step in (*_ELAPSED, *_DAYS):
        if longest / step > _MOST_TICKS:
            continue
        ticks = tuple(Tick(float(s), _elapsed(s, step)) for s in range(0, int(longest) + 1, step))
        if _apart(ticks, scale, size):
            return _inside(ticks, scale, size, room)
    return (Tick(0.0, "0"),)


def clock_ticks(scale: Scale, start: datetime, zone: ZoneInfo, size: float, room: float) -> tuple[Tick, ...]:
    """Round clock times on a level axis; `Tick.value` is elapsed [s] since `start`.

    A clock change inside the axis moves the labels, never the scale. Midnight shows the new day.
    """
    for step in (*_CLOCK, *_DAYS):
        if scale.high / step > _MOST_TICKS:
            continue
        ticks = tuple(_clock(start, scale.high, zone, step))
        if _apart(ticks, scale, size):
            return _inside(ticks, scale, size, room)
    return ()


def _elapsed(seconds: int, step: int) -> str:
    if seconds == 0:
        return "0"
    if step >= _DAY:
        days = seconds // _DAY
        return "1 day" if days == 1 else f"{days} days"
    if step < _MINUTE:
        return f"{seconds} s"
    hours, minutes = divmod(seconds // _MINUTE, 60)
    if minutes == 0:
        return f"{hours} h"
    return f"{hours} h {minutes}" if hours else f"{minutes} min"


def _clock(start: datetime, longest_s: float, zone: ZoneInfo, step: int) -> Iterator[Tick]:
    """Every round reading of the clock, those that a clock change repeats included, in time order."""
    first = start.astimezone(zone).replace(tzinfo=None, hour=0, minute=0, second=0, microsecond=0)
    count = int(longest_s // step) + (2 * _DAY) // step + 2
    found: dict[float, str] = {}
    for i in range(count):
        wall = first + timedelta(seconds=step * i)
        for fold in (0, 1):
            moment = wall.replace(tzinfo=zone, fold=fold).astimezone(UTC)
            elapsed = (moment - start.astimezone(UTC)).total_seconds()
            skipped = moment.astimezone(zone).replace(tzinfo=None) != wall
            if 0 <= elapsed <= longest_s and not skipped:
                midnight = wall.hour == wall.minute == 0
                found[elapsed] = day_label(wall) if midnight else f"{wall:%H:%M}"
    yield from (Tick(s, found[s]) for s in sorted(found))


def day_label(day: datetime) -> str:
    """A day in few letters: "Tue 1 Dec"."""
    return f"{day:%a} {day.day} {day:%b}"


def _apart(ticks: Iterable[Tick], scale: Scale, size: float) -> bool:
    reached = float("-inf")
    for tick in ticks:
        half = text_width(tick.label, size) / 2
        if scale(tick.value) - half < reached:
            return False
        reached = scale(tick.value) + half + size
    return True


def _inside(ticks: Iterable[Tick], scale: Scale, size: float, room: float) -> tuple[Tick, ...]:
    """Ticks whose label keeps within the axis and its room."""
    return tuple(
        t
        for t in ticks
        if scale.start - room
        <= scale(t.value) - text_width(t.label, size) / 2
        < scale(t.value) + text_width(t.label, size) / 2
        <= scale.end + room
    )
