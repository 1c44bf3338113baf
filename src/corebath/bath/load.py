"""What cold food does to the bath, and what the dipping bath does to the food."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import floor, inf

import numpy as np

from corebath.bath.balance import Trace, march
from corebath.bath.files import number
from corebath.bath.gear import Bath
from corebath.bath.losses import End
from corebath.bath.say import quantity, ranged
from corebath.bath.spread import Spread
from corebath.bath.uptake import Load, uptake_of
from corebath.heat.history import first_crossing
from corebath.heat.stage import Stage
from corebath.safety.finding import Finding, Verdict
from corebath.units import between

_WATCH_s = 12 * 3600.0
# Food draws less and less from a steady bath: a heater that has held it for this long goes on holding it.
_HELD_s = 600.0


@dataclass(frozen=True, slots=True)
class Dip:
    """A bath after a load went in.

    lowest_C : coldest the bath gets;  lowest_at_s : when, nominal [degC], [s]
    recovery_s : until it is back within 0.5 K of the set point, 0 when it never leaves it, endless when the
        heater does not bring it back within 12 h [s]
    trace : the nominal course;  slow : the course at the end of the range that heats food least; each until the
        heater has held the set point for 10 min, or for `duration_s`
    duration_s : time the stages last [s]
    h_W_m2K : the food's surface coefficient behind `trace`
    statements, findings
    """

    lowest_C: Spread
    lowest_at_s: float
    recovery_s: Spread
    trace: Trace
    slow: Trace
    duration_s: float
    h_W_m2K: float
    statements: tuple[str, ...]
    findings: tuple[Finding, ...]

    @property
    def stage(self) -> Stage:
        """The dipping bath as a stage of the food's history, nominal."""
        return self._stage(self.trace)

    @property
    def slow_stage(self) -> Stage:
        """The dipping bath at the cautious end of the range."""
        return self._stage(self.slow)

    def _stage(self, course: Trace) -> Stage:
        stage = course.stage("bath", self.h_W_m2K)
        if stage.duration_s >= self.duration_s:
            return stage
        times, water = np.append(stage.times_s, self.duration_s), np.append(stage.ambient_C, stage.ambient_C[-1])
        return Stage.trace("bath", times, water, self.h_W_m2K)


def load_dip(bath: Bath, set_point_C: float, load: Load, duration_s: float = _WATCH_s) -> Dip:
    """Put cold or frozen food into a bath at its set point.

    set_point_C : liquid water here [degC];  duration_s : 60 s to 12 h of course [s]

    Water and food are solved together; the heater gives at most its power. Range: from losses (low, high) and
    the surface coefficient (the published 95 to 155 W/m2K about its middle). Raises ValueError outside the
    ranges or when the bath cannot take the food under its rim.
    """
    between("the duration", duration_s, 60.0, _WATCH_s, "s")
    bath.level_m(set_point_C, load.total_m3)
    trace = _course(bath, set_point_C, load, duration_s, "nominal", 0.0)
    gentle = _course(bath, set_point_C, load, duration_s, "low", -1.0)
    slow = _course(bath, set_point_C, load, duration_s, "high", 1.0)
    courses = (trace, gentle, slow)
    lowest = Spread.of(*(float(t.water_C.min()) for t in courses))
    recovery = Spread.of(*(_recovery_s(t, set_point_C) for t in courses))
    return Dip(
        lowest, float(trace.time_s[int(trace.water_C.argmin())]), recovery, trace, slow,
        duration_s, load.h_W_m2K,
        _sentences(set_point_C, load, lowest, recovery), (_finding(bath, set_point_C, load, lowest, recovery),),
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class LargestLoad:
    """The most pieces a bath takes at once within a stated dip.

    count : whole pieces;  mass_kg [kg];  by_room : True when the room in the vessel, not the heater, sets the limit
    statement : one sentence
    """

    count: int
    mass_kg: float
    by_room: bool
    statement: str


def largest_load(
    bath: Bath, set_point_C: float, piece: Load, dip_K: float, most_free: int | None = None
) -> LargestLoad:  # fmt: skip
    """How many pieces go in at once while the bath stays within `dip_K` of its set point, cautiously.

    piece : its `count` is not used;  dip_K : 0.1 to 30 [K]. At the high end of losses and surface coefficient.
    most_free : how many hang or lie free of each other by `fit`, None when that is not known; the lesser counts
    Raises ValueError outside the range, and for a negative `most_free`.
    """
    between("the dip", dip_K, 0.1, 30.0, "K")
    if most_free is not None and most_free < 0:
        raise ValueError(f"the pieces that hang free are none or more, got {most_free}")
    single = replace(piece, count=1)
    room_m3 = bath.vessel.volume_m3 - bath.volume_m3(set_point_C)
    most = floor(room_m3 / single.total_m3)
    fits, fails = 0, most + 1
    while fails - fits > 1:
        middle = (fits + fails) // 2
        course = _course(bath, set_point_C, replace(piece, count=middle), _WATCH_s / 4, "high", 1.0)
        if set_point_C - float(course.water_C.min()) <= dip_K:
            fits = middle
        else:
            fails = middle
    crowded = most_free is not None and most_free < fits
    count = min(fits, most_free) if most_free is not None else fits
    by_room = crowded or fits == most
    mass = count * single.mass_kg
    return LargestLoad(count, mass, by_room, _largest_sentence(count, mass, set_point_C, dip_K, by_room, crowded))


def _largest_sentence(count: int, mass_kg: float, set_point_C: float, dip_K: float, by_room: bool, free: bool) -> str:
    if free and count == 0:
        return "Not one such piece hangs or lies free under water in this bath."
    dip, at, mass = quantity(dip_K, "K"), quantity(set_point_C, "C"), quantity(mass_kg, "kg")
    if free:
        limit = "the room for them to hang or lie free under water"
    else:
        limit = "the room in the vessel" if by_room else "the heater and the water"
    if count == 0:
        return f"Not one such piece leaves the bath within {dip} of {at}; the limit is {limit}."
    if count == 1:
        return f"One such piece at once, {mass}, keeps the bath within {dip} of {at}; the limit is {limit}."
    return f"At once, {count} such pieces, {mass}, keep the bath within {dip} of {at}; the limit is {limit}."


def _course(bath: Bath, set_point_C: float, load: Load, duration_s: float, end: End, film: float) -> Trace:
    moved = replace(load, h_W_m2K=load.h_W_m2K * (1 + film * number("film", "share")))
    food = uptake_of(moved, set_point_C)
    return march(bath, set_point_C, duration_s, set_point_C=set_point_C, end=end, food=food, until_held_s=_HELD_s)


def _recovery_s(trace: Trace, set_point_C: float) -> float:
    back = set_point_C - number("control", "recovered_within_K")
    low = int(trace.water_C.argmin())
    if trace.water_C[low] >= back:
        return 0.0
    reached = first_crossing(trace.time_s[low:], trace.water_C[low:], back)
    return inf if reached is None else reached


def _sentences(set_point_C: float, load: Load, lowest: Spread, recovery: Spread) -> tuple[str, ...]:
    dip = lowest.map(lambda T: set_point_C - T)
    if dip.high < number("control", "recovered_within_K"):
        return (f"The heater holds {quantity(set_point_C, 'C')} while {quantity(load.mass_kg, 'kg')} of food goes in.",)
    return (
        f"{quantity(load.mass_kg, 'kg')} of food at {quantity(load.start_C, 'C')} takes the bath down by "
        f"{ranged(dip, 'K')}.",
        "The heater does not bring it back."
        if recovery.nominal == inf
        else f"It is back near {quantity(set_point_C, 'C')} after {ranged(recovery, 's')}.",
    )


def _finding(bath: Bath, set_point_C: float, load: Load, lowest: Spread, recovery: Spread) -> Finding:
    verdict = Verdict.NOT_KNOWN
    if recovery.high < inf:
        verdict = Verdict.MET
    elif recovery.low == inf:
        verdict = Verdict.NOT_MET
    food = f"{quantity(load.mass_kg, 'kg')} of food at {quantity(load.start_C, 'C')}"
    back = "does not bring it back" if recovery.nominal == inf else f"brings it back in {ranged(recovery, 's')}"
    why = f"{food} takes the bath down to {ranged(lowest, 'C')}; a heater of {bath.heater.power_W:.0f} W {back}."
    if recovery.high == 0:
        why = f"With {food} a heater of {bath.heater.power_W:.0f} W keeps the bath near {quantity(set_point_C, 'C')}."
    return Finding(
        rule="bath-load-recovers",
        title="The heater brings the bath back after the food goes in",
        verdict=verdict,
        binding=True,
        why=why,
        source="heat balance of water and food; surface coefficient of pouches after Baldwin 2012",
        assumptions=("All pieces go in together.", "The pump keeps the bath at one temperature."),
    )
