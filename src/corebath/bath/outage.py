"""The power is off: how the bath cools, under which cover, and what the food goes through."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import inf

from corebath.bath.balance import Trace, march
from corebath.bath.cover import Cover, covers
from corebath.bath.files import number
from corebath.bath.gear import Bath
from corebath.bath.losses import ENDS, End
from corebath.bath.say import quantity, ranged
from corebath.bath.spread import Spread
from corebath.bath.uptake import Load, uptake_of
from corebath.heat.stage import Stage
from corebath.units import between

_LONGEST_s = 72 * 3600.0


@dataclass(frozen=True, slots=True)
class Outage:
    """A bath without power.

    end_C : water at the end of the outage [degC]
    crossed_s : for every temperature watched, the time from the start until the water is at or below it, endless
        when it stays above to the end of the course [s]
    trace, cold : nominal course, and the one at the high end of the losses, outage and what follows
    statements : one sentence each
    """

    end_C: Spread
    crossed_s: tuple[tuple[float, Spread], ...]
    trace: Trace
    cold: Trace
    statements: tuple[str, ...]

    def stage(self, h_W_m2K: float, *, cautious: bool = False) -> Stage:
        """The course as a stage of the food's history; `cautious` takes the colder one."""
        return (self.cold if cautious else self.trace).stage("bath without power", h_W_m2K)


def outage(
    bath: Bath,
    water_C: float,
    off_s: float,
    *,
    food: Load | None = None,
    watch_C: Sequence[float] = (),
    back_at_C: float | None = None,
    after_s: float = 0.0,
) -> Outage:
    """Let a bath cool without its heater, and if the power comes back, warm it again.

    water_C : water when the power went [degC];  off_s : 60 s to 72 h [s]
    food : what is in it, at the even temperature `food.start_C`
    watch_C : temperatures whose crossing is wanted [degC]
    back_at_C, after_s : set point when the power is back [degC] and how long to follow on, up to 72 h [s]

    The pump stands still: that the water stays at one temperature is then an assumption. Raises ValueError
    outside the ranges.
    """
    between("the outage", off_s, 60.0, _LONGEST_s, "s")
    between("the time after the outage", after_s, 0.0, _LONGEST_s, "s")
    traces = {end: _course(bath, water_C, off_s, end, food, back_at_C, after_s) for end in ENDS}
    end_C = Spread.of(*(_at(traces[end], off_s) for end in ENDS))
    crossed = tuple((level, Spread.of(*(_or_never(traces[end].falls_to(level)) for end in ENDS))) for level in watch_C)
    said = [
        f"Without power the bath under {bath.cover.words} cools from {quantity(water_C, 'C')} to "
        f"{ranged(end_C, 'C')} in {quantity(off_s, 's')}."
    ]
    for level, when in crossed:
        said.append(_crossing(level, when, off_s + after_s))
    return Outage(end_C, crossed, traces["nominal"], traces["high"], tuple(said))


def _crossing(level_C: float, when: Spread, looked_at_s: float) -> str:
    """When the water is down at a temperature; a course that stays above it to its end has no such time."""
    level, whole = quantity(level_C, "C"), quantity(looked_at_s, "s")
    if when.low == inf:
        return f"Without power it stays above {level} for the whole {whole} looked at."
    if when.nominal == inf:
        return (
            f"Without power it may fall to {level} after {quantity(when.low, 's')} at the soonest; in the likely case "
            f"it stays above for the whole {whole} looked at."
        )
    if when.high == inf:
        return (
            f"Without power it falls to {level} after about {quantity(when.nominal, 's')}, "
            f"{quantity(when.low, 's')} at the soonest; it may also stay above for the whole {whole} looked at."
        )
    return f"Without power it falls to {level} after {ranged(when, 's')}."


@dataclass(frozen=True, slots=True)
class Keeping:
    """How long one way of covering keeps a bath above a temperature.

    cover : what lies over it;  towels : True with towels round the sides;  lasts_s : endless beyond 72 h [s]
    """

    cover: Cover
    towels: bool
    lasts_s: Spread


def compare_keeping(bath: Bath, water_C: float, level_C: float, food: Load | None = None) -> tuple[Keeping, ...]:
    """How long the bath stays above a temperature under every cover, bare and with towels round it, best first.

    water_C : now, above level_C [degC]; else ValueError
    """
    if level_C >= water_C:
        raise ValueError(f"the level must be below the water's {quantity(water_C, 'C')}, got {quantity(level_C, 'C')}")
    found = []
    for cover in covers():
        for towels in (False, True):
            wrap = number("wrap", "towel_m2K_W") if towels else bath.vessel.wrap_m2K_W
            kept = replace(bath, cover=cover, vessel=replace(bath.vessel, wrap_m2K_W=wrap))
            lasts = Spread.of(*(_until(kept, water_C, level_C, end, food) for end in ENDS))
            found.append(Keeping(cover, towels, lasts))
    return tuple(sorted(found, key=lambda keeping: -keeping.lasts_s.nominal))


def _until(bath: Bath, water_C: float, level_C: float, end: End, food: Load | None) -> float:
    uptake = uptake_of(food, water_C) if food is not None else None
    trace = march(bath, water_C, _LONGEST_s, set_point_C=None, end=end, food=uptake, until_C=level_C)
    return _or_never(trace.falls_to(level_C))


def _course(
    bath: Bath, water_C: float, off_s: float, end: End, food: Load | None, back_at_C: float | None, after_s: float
) -> Trace:
    uptake = uptake_of(food, water_C) if food is not None else None
    return march(bath, water_C, off_s + after_s, set_point_C=back_at_C, end=end, food=uptake, off_s=off_s)


def _at(trace: Trace, time_s: float) -> float:
    i = int(abs(trace.time_s - time_s).argmin())
    return float(trace.water_C[i])


def _or_never(time_s: float | None) -> float:
    return inf if time_s is None else time_s
