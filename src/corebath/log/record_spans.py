"""What a few readings show of times and doses: never one figure, always the least and the most it may have been."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import inf

from corebath.safety.finding import Verdict
from corebath.safety.lethality import LethalityRule

from .record import Record
from .settings import settings


@dataclass(frozen=True, slots=True)
class Bounds:
    """A time, or a share of a dose, between what the readings prove and what they leave possible."""

    least: float
    most: float

    def within(self, limit: float) -> Verdict:
        """Whether it is surely, surely not, or not decidedly within a limit."""
        if self.most <= limit:
            return Verdict.MET
        return Verdict.NOT_MET if self.least > limit else Verdict.NOT_KNOWN


@dataclass(frozen=True, slots=True)
class Series:
    """The readings of a row, times from its first moment.

    time_s : shape (n,) [s];  value_C : as they count [degC]
    began_s, ended_s : of the step, None when not told;  end_s : the last moment that is told of
    """

    time_s: tuple[float, ...]
    value_C: tuple[float, ...]
    began_s: float | None
    ended_s: float | None

    @classmethod
    def of(cls, record: Record, values: Sequence[float]) -> Series:
        """The series of a row. values : one for each of its readings, as they count [degC]"""
        told = [m.at for m in record.measured] + [at for at in (record.began, record.ended) if at is not None]
        zero = min(told, default=record.told_at)
        times = tuple((m.at - zero).total_seconds() for m in record.measured)
        began, ended = (None if at is None else (at - zero).total_seconds() for at in (record.began, record.ended))
        return cls(times, tuple(values), began, ended)

    @property
    def end_s(self) -> float:
        """The last moment that is told of [s]."""
        return max(self.time_s[-1] if self.time_s else 0.0, self.ended_s or 0.0)

    @property
    def shows_the_end(self) -> bool:
        """True when the last reading was taken at the end of the step, or no later end was told."""
        return bool(self.time_s) and self.end_s - self.time_s[-1] <= settings("records")["reading"]["end_s"]

    def rise(self, level_C: float) -> Bounds | None:
        """When it first was at or above a level; None when no reading is."""
        i = next((i for i, c in enumerate(self.value_C) if c >= level_C), None)
        return None if i is None else Bounds(self._before(i), self.time_s[i])

    def fall(self, level_C: float) -> Bounds | None:
        """When it first was at or below a level; None when no reading is."""
        i = next((i for i, c in enumerate(self.value_C) if c <= level_C), None)
        return None if i is None else Bounds(self._before(i), self.time_s[i])

    def leaves_up(self, level_C: float, until_s: float) -> Bounds:
        """When it was last at or below a level before a moment; the least is minus infinity when nothing tells.

        The most is where an even change from that reading to the next one crosses the level, as for `leaves_down`.
        """
        return self._last(level_C, [c <= level_C for c in self.value_C], until_s)

    def leaves_down(self, level_C: float, until_s: float) -> Bounds:
        """When it was last at or above a level before a moment; the least is minus infinity when nothing tells."""
        return self._last(level_C, [c >= level_C for c in self.value_C], until_s)

    def below_s(self, level_C: float, since_s: float) -> Bounds:
        """How long it was below a level from a reading on [s]; what was not read until the end may count."""
        least = most = 0.0
        for t, u, c, d in self._pairs():
            if t >= since_s:
                least += (u - t) if max(c, d) < level_C else 0.0
                most += (u - t) if min(c, d) < level_C else 0.0
        return Bounds(least, most + (0.0 if self.shows_the_end else self.end_s - self.time_s[-1]))

    def dose(self, rule: LethalityRule) -> Bounds:
        """Share of a heat treatment, 1 is the whole of it.

        The least takes the colder of two readings for the time between them, and for each the time a probe takes to
        stand still; the most takes the warmer one, and no bound where nothing was read.
        """
        rate = [float(r) for r in rule.rate_per_s(list(self.value_C))]
        settle = settings("records")["reading"]["settle_s"]
        steps = [b - a for a, b in zip(self.time_s, self.time_s[1:], strict=False)]
        between = list(zip(steps, rate, rate[1:], strict=False))
        least = sum(min(a, b) * s for s, a, b in between if min(a, b))
        single = max((settle * r for r in rate if r), default=0.0)
        if self.began_s is None or not self.shows_the_end:
            return Bounds(max(least, single), inf)
        before = max(self.time_s[0] - self.began_s, settle)
        after = max(self.end_s - self.time_s[-1], 0.0)
        most = sum(max(a, b) * s for s, a, b in between if max(a, b))
        most += sum(r * s for r, s in ((rate[0], before), (rate[-1], after)) if r and s)
        return Bounds(max(least, single), most)

    def _pairs(self) -> list[tuple[float, float, float, float]]:
        t, c = self.time_s, self.value_C
        return list(zip(t, t[1:], c, c[1:], strict=False))

    def _before(self, i: int) -> float:
        """The moment before a reading until which it is not known when that came about."""
        if i > 0:
            return self.time_s[i - 1]
        return -inf if self.began_s is None else min(self.began_s, self.time_s[i])

    def _last(self, level_C: float, flags: list[bool], until_s: float) -> Bounds:
        earlier = [i for i, t in enumerate(self.time_s) if t <= until_s]
        found = [i for i in earlier if flags[i]]
        if not found:
            first = self.time_s[0] if earlier else until_s
            return Bounds(-inf if self.began_s is None else min(self.began_s, first), first)
        i = found[-1]
        if i + 1 not in earlier:
            return Bounds(self.time_s[i], until_s)
        (t, u), (c, d) = self.time_s[i : i + 2], self.value_C[i : i + 2]
        return Bounds(t, t + (u - t) * (level_C - c) / (d - c))


def between(start: Bounds, end: Bounds) -> Bounds:
    """The time from one moment to another [s]."""
    return Bounds(max(end.least - start.most, 0.0), end.most - start.least)
