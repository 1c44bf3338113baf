"""The water level over a long cook: when the heater trips, when food is bare, and when to top up."""

from __future__ import annotations

from dataclasses import dataclass
from math import inf

from corebath.bath.balance import TopUp
from corebath.bath.files import number
from corebath.bath.gear import Bath
from corebath.bath.losses import LossCurve, losses
from corebath.bath.say import quantity, ranged
from corebath.bath.spread import Spread
from corebath.bath.water import liquid_cp_J_kgK, liquid_density_kg_m3
from corebath.safety.finding import Finding, Verdict
from corebath.units import between

_LONGEST_s = 14 * 86400.0


@dataclass(frozen=True, slots=True)
class Night:
    """The level while a bath holds its set point and nobody looks.

    start_m, end_m : level above the floor with the food in, at the start and the end [m]
    fall_m_h : fall of the level; water_loss_kg_h : water that leaves [m/h], [kg/h]
    trips_s : until the level is at the heater's lowest mark, endless when it does not fall [s]
    bare_s : until the highest food is bare, None when no food height was given [s]
    statements, findings
    """

    start_m: float
    end_m: Spread
    fall_m_h: Spread
    water_loss_kg_h: Spread
    trips_s: Spread
    bare_s: Spread | None
    statements: tuple[str, ...]
    findings: tuple[Finding, ...]


def night(
    bath: Bath, set_point_C: float, duration_s: float, food_m3: float = 0.0, food_top_m: float | None = None
) -> Night:
    """Follow the level over a hold at the set point without a top-up.

    set_point_C : liquid water here [degC];  duration_s : above 0 [s]
    food_m3 : volume under water that the food takes, >= 0 [m3]
    food_top_m : height of the highest food above the floor [m], or None

    Evaporation does not slow as the level falls (the vessel is as wide below). Raises ValueError outside the
    ranges or when water and food do not fit the vessel.
    """
    between("the duration", duration_s, 1.0, _LONGEST_s, "s")
    between("the volume of the food", food_m3, 0.0, 1.0, "m3")
    bath.check_water(set_point_C)
    start = bath.level_m(set_point_C, food_m3)
    loss = losses(bath, set_point_C).water_loss_kg_h
    per_m = float(liquid_density_kg_m3(set_point_C)) * bath.vessel.area_m2
    fall = loss.map(lambda kg_h: kg_h / per_m)
    end = fall.map(lambda m_h: max(start - m_h * duration_s / 3600, 0.0))
    trips = _until(start - bath.heater.lowest_m, fall)
    bare = None if food_top_m is None else _until(start - food_top_m, fall)
    return Night(
        start, end, fall, loss, trips, bare,
        _sentences(bath, set_point_C, duration_s, start, loss, fall, trips, bare),
        _findings(bath, start, duration_s, trips, bare),
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class Schedule:
    """Top-ups over a hold.

    top_ups : when, how much, how warm;  dip_K : fall of the bath at the largest of them [K]
    recovery_s : until the heater has made up for that dip, endless when it cannot [s]
    possible : False when the water does not last a stretch that nobody can top up
    statements : one sentence each
    """

    top_ups: tuple[TopUp, ...]
    dip_K: float
    recovery_s: float
    possible: bool
    statements: tuple[str, ...]


def top_up_schedule(
    bath: Bath,
    set_point_C: float,
    duration_s: float,
    water_C: float,
    food_m3: float = 0.0,
    food_top_m: float | None = None,
    asleep_s: tuple[tuple[float, float], ...] = (),
) -> Schedule:
    """The fewest top-ups that keep heater and food under water, at the high end of the losses.

    A pour worth the walk is waited for where the clearance over food and mark leaves room for less, but never until
    the water over them is less than half a centimetre.

    water_C : the water poured in [degC];  asleep_s : stretches when nobody can pour, from and to [s]
    Other arguments as `night`. Each top-up comes as late as it may and fills to the starting level; the one
    before a sleep comes right before it when the water would not last through.
    """
    between("the top-up water", water_C, 0.0, bath.room.boiling_C, "C")
    lasting = night(bath, set_point_C, duration_s, food_m3, food_top_m)
    start = lasting.start_m
    floor = max(bath.heater.lowest_m, (food_top_m or 0.0) + number("control", "clearance_m"))
    rate_m_s = lasting.fall_m_h.high / 3600
    per_m = float(liquid_density_kg_m3(set_point_C)) * bath.vessel.area_m2
    if lasting.fall_m_h.nominal > 0:
        worth_m = number("top_up", "pour_kg") / per_m * lasting.fall_m_h.high / lasting.fall_m_h.nominal
        least = max(bath.heater.lowest_m, food_top_m or 0.0) + number("top_up", "cover_m")
        floor = min(floor, max(start - worth_m, least))
    endurance = inf if rate_m_s <= 0 else (start - floor) / rate_m_s
    times, possible = _pour_times(endurance, duration_s, asleep_s)
    pours = []
    before = 0.0
    for at in times:
        pours.append(TopUp(at, lasting.fall_m_h.nominal / 3600 * (at - before) * per_m, water_C))
        before = at
    largest = max((pour.water_kg for pour in pours), default=0.0)
    dip = _dip_K(bath, set_point_C, largest, water_C)
    spare_W = bath.heater.power_W - LossCurve.of(bath).at(set_point_C)[0]
    held = bath.heat_capacity_J_K(set_point_C)
    recovery = 0.0 if dip <= 0 else (inf if spare_W <= 0 else dip * held / spare_W)
    return Schedule(
        tuple(pours), dip, recovery, possible,
        _schedule_sentences(pours, set_point_C, dip, recovery, endurance, possible),
    )  # fmt: skip


def _pour_times(
    endurance_s: float, duration_s: float, asleep_s: tuple[tuple[float, float], ...]
) -> tuple[list[float], bool]:
    """Times of the pours, each as late as it may come; False when some stretch cannot be bridged."""
    times: list[float] = []
    last = 0.0
    if endurance_s <= 0:
        return [], False
    while last + endurance_s < duration_s:
        at = last + endurance_s
        for begins, ends in sorted(asleep_s, reverse=True):
            if begins < at < ends:
                at = begins
        if at <= last + 1.0:
            return times, False
        times.append(at)
        last = at
    return times, True


def _dip_K(bath: Bath, set_point_C: float, poured_kg: float, water_C: float) -> float:
    """Fall of a full bath that lost `poured_kg` and gets it back as other water [K]."""
    cp = float(liquid_cp_J_kgK((set_point_C + water_C) / 2))
    full = bath.heat_capacity_J_K(set_point_C)
    return poured_kg * cp * (set_point_C - water_C) / full


def _until(height_m: float, fall_m_h: Spread) -> Spread:
    def hours(m_h: float) -> float:
        if height_m <= 0:
            return 0.0
        return inf if m_h <= 0 else height_m / m_h * 3600

    return fall_m_h.map(hours)


def _sentences(
    bath: Bath, set_point_C: float, duration_s: float, start_m: float, loss: Spread, fall: Spread, trips: Spread,
    bare: Spread | None,
) -> tuple[str, ...]:  # fmt: skip
    falls = fall.map(lambda m_h: min(10 * _not_below_0(m_h), start_m))
    level = f"the level falls {ranged(falls, 'm')} in ten hours"
    if falls.low >= start_m:
        level = "with nothing poured in the vessel runs dry within ten hours"
    elif falls.high >= start_m:
        level += "; with nothing poured in the vessel may run dry by then"
    said = [
        f"At {quantity(set_point_C, 'C')} under {bath.cover.words} the bath loses "
        f"{ranged(loss.map(_not_below_0), 'kg')} of water an hour; {level}.",
    ]
    if trips.low < _LONGEST_s:
        said.append(
            f"From {quantity(start_m, 'm')} it reaches the heater's lowest mark, "
            f"{quantity(bath.heater.lowest_m, 'm')}, in {ranged(trips, 's')}."
        )
    if bare is not None and bare.low < _LONGEST_s:
        said.append(f"The highest food is bare in {ranged(bare, 's')}.")
    first = min(trips.low, bare.low if bare is not None else inf)
    said.append(
        f"The water lasts the {quantity(duration_s, 's')} without a top-up."
        if first > duration_s
        else f"The water may not last the {quantity(duration_s, 's')}: cover it or top it up."
    )
    return tuple(said)


def _schedule_sentences(
    pours: list[TopUp], set_point_C: float, dip_K: float, recovery_s: float, endurance_s: float, possible: bool
) -> tuple[str, ...]:
    if not possible:
        stretch = quantity(max(endurance_s, 0.0), "s")
        return (f"No schedule works: a full bath lasts {stretch}, less than the time nobody can pour. Cover it.",)
    if not pours:
        return ("No top-up is needed.",)
    said = [
        f"At {quantity(pour.at_s, 's')} pour in {quantity(pour.water_kg, 'kg')} "
        f"of water at {quantity(pour.water_C, 'C')}."
        for pour in pours
    ]
    back = "the heater does not make up for it" if recovery_s == inf else f"back after {quantity(recovery_s, 's')}"
    said.append(f"The largest top-up dips the bath by {quantity(max(dip_K, 0.0), 'K')}, {back}.")
    if dip_K > 1.0:
        said.append(f"Water near {quantity(set_point_C, 'C')} would not dip it: use hot water.")
    return tuple(said)


def _findings(bath: Bath, start_m: float, duration_s: float, trips: Spread, bare: Spread | None) -> tuple[Finding, ...]:
    marks = bath.heater.takes(start_m)
    found = [
        Finding(
            rule="bath-between-marks",
            title="The water stands between the heater's marks",
            verdict=Verdict.MET if marks else Verdict.NOT_MET,
            binding=True,
            why=(
                f"With the food in, the level is {quantity(start_m, 'm')}; the marks are "
                f"{quantity(bath.heater.lowest_m, 'm')} and {quantity(bath.heater.highest_m, 'm')}."
            ),
            source="the heater's own marks",
        ),
        _lasts("bath-heater-covered", "The heater stays under water to the end without a top-up", duration_s, trips),
    ]
    if bare is not None:
        found.append(
            _lasts("bath-food-covered", "The food stays under water to the end without a top-up", duration_s, bare)
        )
    return tuple(found)


def _lasts(rule: str, title: str, duration_s: float, until: Spread) -> Finding:
    verdict = Verdict.NOT_KNOWN
    if until.low >= duration_s:
        verdict = Verdict.MET
    elif until.high < duration_s:
        verdict = Verdict.NOT_MET
    reach = f"gets there in {ranged(until, 's')}" if until.low < _LONGEST_s else "lasts two weeks or more"
    return Finding(
        rule=rule,
        title=title,
        verdict=verdict,
        binding=True,
        why=f"Without a top-up the level {reach}; the cook takes {quantity(duration_s, 's')}.",
        source="evaporation by the analogy of heat and mass transfer, range 20 % after Shah 2002",
        assumptions=("The cover stays as it is.",),
        achieved=None if until.low == inf else until.low / duration_s,
    )


def _not_below_0(value: float) -> float:
    return max(value, 0.0)
