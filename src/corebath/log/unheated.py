"""What a bath can have done while nobody looked: the bounds of a gap."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from math import inf

import numpy as np

from corebath.bath.balance import march
from corebath.bath.gear import Bath
from corebath.heat.grid import Array
from corebath.units import mark

from .gaps import Gap, Silence
from .settings import settings

_KNOTS = 60
_LONGEST_s = 72 * 3600.0
_JUMP_s = 1.0


@dataclass(frozen=True, slots=True)
class Unheated:
    """How the bath cools without its heater.

    bath : as it stands, None when nothing is known of it: then it counts as being at the room's temperature at once
    room_C : air around it [degC]
    """

    bath: Bath | None
    room_C: float

    @classmethod
    def of(cls, bath: Bath | None) -> Unheated:
        """By a bath, or by nothing."""
        return cls(bath, float(settings("trace")["room"]["air_C"]) if bath is None else bath.room.air_C)

    @property
    def words(self) -> str:
        """What the worst case assumes, one sentence."""
        if self.bath is None:
            return (
                f"Nothing is known of the bath, so in the worst case it is at the room's {mark(self.room_C, 'C')} "
                "at once: vessel, heater and cover would narrow that."
            )
        return f"In the worst case the bath under {self.bath.cover.words} cools at the high end of its computed losses."

    def cooling(self, from_C: float, length_s: float) -> tuple[Array, Array]:
        """Times and temperatures of the fastest cooling from a temperature, for a time [s], [degC]."""
        times = length_s * np.linspace(0.0, 1.0, _KNOTS) ** 1.5
        if self.bath is None or from_C <= self.room_C:
            return times, np.where(times > 0, min(self.room_C, from_C), from_C)
        trace_s, water_C = _course(self.bath, round(from_C, 1))
        return times, np.minimum(np.interp(times, trace_s, water_C), from_C)

    def fall_K(self, from_C: float, length_s: float) -> float:
        """How far it falls at most in a time [K]."""
        return from_C - float(self.cooling(from_C, length_s)[1][-1])

    @property
    def rise_K_s(self) -> float:
        """How fast the heater can warm the bath, losses left out; endless when nothing is known [K/s]."""
        return inf if self.bath is None else self.bath.heater.power_W / self.bath.heat_capacity_J_K(50.0)

    def worst(self, gap: Gap, step_K: float = 0.0) -> tuple[Array, Array]:
        """Knots of the coldest course through a gap, from its start to its end [s], [degC].

        It cools as fast as it can and is heated as late as it can be; a trusted silence stays within the sensor's step.
        """
        if gap.trusted:
            return _level(gap, min(c for c in (gap.before_C, gap.after_C) if c is not None) - step_K)
        start_C = gap.before_C
        if start_C is None:
            start_C = self.room_C if gap.after_C is None else min(self.room_C, gap.after_C)
        times, down = self.cooling(start_C, gap.length_s)
        if gap.after_C is None:
            return gap.start_s + times, down
        if gap.after_C < down[-1]:
            if gap.kind is Silence.OUTAGE and self.bath is not None:
                # A little further than reckoned: the whole course was as much steeper.
                steeper = (start_C - gap.after_C) / (start_C - float(down[-1]))
                return gap.start_s + times, start_C - steeper * (start_C - down)
            # Further than any reckoning allows: then it may have fallen at once.
            return _level(gap, gap.after_C)
        if self.rise_K_s == inf:
            times = np.append(times[:-1], [gap.length_s - _JUMP_s, gap.length_s])
            return gap.start_s + times, np.append(down, gap.after_C)
        needed = gap.after_C - self.rise_K_s * (gap.length_s - times)
        return gap.start_s + times, np.maximum(down, needed)

    def best(self, gap: Gap) -> tuple[Array, Array]:
        """Knots of the warmest course through a gap [s], [degC]: it fails as late as the reading after it allows."""
        known = [c for c in (gap.before_C, gap.after_C) if c is not None]
        if gap.before_C is None or gap.after_C is None or gap.after_C >= gap.before_C:
            return _level(gap, max(known, default=self.room_C))
        if gap.kind is Silence.SENSOR:
            return np.array([gap.start_s, gap.end_s]), np.array([gap.before_C, gap.after_C])
        if self.bath is None:
            # No bath of a kitchen cools faster than this, so it began no later.
            rate_K_s = float(settings("trace")["cooling"]["fastest_K_h"]) / 3600.0
            late = min((gap.before_C - gap.after_C) / rate_K_s, gap.length_s)
            knots = np.array([0.0, gap.length_s - late, gap.length_s])
            course = np.array([gap.before_C, gap.before_C, gap.after_C])
        else:
            times, down = self.cooling(gap.before_C, gap.length_s)
            late = float(np.interp(-gap.after_C, -down, times))
            falling = np.linspace(0.0, late, _KNOTS)
            knots = np.append(0.0, gap.length_s - late + falling)
            course = np.append(gap.before_C, np.interp(falling, times, down))
            course[-1] = gap.after_C
        rising = np.append(True, np.diff(knots) > 0)
        return gap.start_s + knots[rising], course[rising]


def _level(gap: Gap, at_C: float) -> tuple[Array, Array]:
    return np.array([gap.start_s, gap.end_s]), np.array([at_C, at_C])


@lru_cache(maxsize=64)
def _course(bath: Bath, from_C: float) -> tuple[Array, Array]:
    trace = march(bath, from_C, _LONGEST_s, set_point_C=None, end="high")
    return trace.time_s, trace.water_C
