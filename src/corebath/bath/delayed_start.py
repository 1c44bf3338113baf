"""Food waits in ice water until the heater starts: how much ice, how long it stays cold, and the warm-up after."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import inf

import numpy as np

from corebath.bath.balance import Trace, march
from corebath.bath.files import number, table
from corebath.bath.gear import Bath
from corebath.bath.losses import ENDS, End, LossCurve
from corebath.bath.say import quantity, ranged
from corebath.bath.spread import Spread
from corebath.bath.uptake import Load, uptake_of
from corebath.bath.water import liquid_cp_J_kgK
from corebath.heat.stage import Stage
from corebath.safety.finding import Finding, Verdict
from corebath.units import between

_LONGEST_s = 48 * 3600.0
ICE_WATER_C = number("wait", "ice_water_C")
ICE_FOOD_C = (0.0, 10.0)


@dataclass(frozen=True, slots=True)
class IceWait:
    """Food in ice water before the start.

    ice_needed_kg : melts by the start [kg];  ice_advised_kg : the high end with a quarter in reserve [kg]
    cold_s : how long the water stays at or below 5 degC with the ice in hand, endless when it always does [s]
    level_m : level with water, ice and food [m]
    waiting, warming : course of the water at the cautious end: until the start, and from then to the set point
    warming_s : from the start of the heater to the set point, endless beyond 48 h [s]
    ice_kg : the ice in hand [kg];  h_W_m2K : the food's surface coefficient;  statements, findings
    """

    ice_kg: float
    ice_needed_kg: Spread
    ice_advised_kg: float
    cold_s: Spread
    level_m: float
    waiting: Stage
    warming: Trace
    warming_s: float
    h_W_m2K: float
    statements: tuple[str, ...]
    findings: tuple[Finding, ...]

    @property
    def stages(self) -> tuple[Stage, Stage]:
        """Wait and warm-up as stages of the food's history, cautious."""
        return self.waiting, self.warming.stage("warming up", self.h_W_m2K)


def melt_kg(heat_J: float, end_C: float) -> float:
    """Ice at 0 degC that takes up a heat and ends as water at `end_C`, 0 to 10 degC [kg]."""
    between("the temperature of the melted ice", end_C, 0.0, 10.0, "C")
    return heat_J / (number("ice", "latent_J_kg") + float(liquid_cp_J_kgK(end_C / 2)) * end_C)


def ice_m3(ice_kg: float) -> float:
    """Volume of ice [m3]."""
    return ice_kg / number("ice", "density_kg_m3")


def check_ice(wait_s: float, ice_kg: float) -> None:
    """Raise ValueError unless a wait lies in 60 s to 48 h [s] and the ice in 0 to 100 [kg]."""
    between("the wait in ice", wait_s, 60.0, _LONGEST_s, "s")
    between("the ice", ice_kg, 0.0, 100.0, "kg")


def wait_in_ice(bath: Bath, wait_s: float, ice_kg: float, water_C: float, food: Load, set_point_C: float) -> IceWait:
    """Chill a bath with ice, leave the food in it, and start the heater later.

    bath.water_kg : the liquid water before the ice goes in;  wait_s : 60 s to 48 h [s]
    ice_kg : ice at 0 degC, 0 or more [kg];  water_C : that water, 0 to 40 [degC]
    food : not frozen, at `food.start_C`, at most 10 degC;  set_point_C : after the wait [degC]

    The water stands at 1 degC while ice is left (stirred or circulated), food and vessel are brought there by the
    ice, then the water warms. Ranges from the losses. Raises ValueError outside the ranges or when water, ice
    and food do not fit the vessel.
    """
    check_ice(wait_s, ice_kg)
    between("the water", water_C, 0.0, 40.0, "C")
    if food.is_frozen:
        raise ValueError("frozen food needs no ice water: give food that is not frozen")
    between("the food before the wait", food.start_C, *ICE_FOOD_C, "C")
    cold_C = ICE_WATER_C
    level = bath.level_m(water_C, food.total_m3 + ice_m3(ice_kg))
    first_J = _to_chill_J(bath, water_C, food, cold_C)
    courses = {end: _wait_course(bath, ice_kg, first_J, food, cold_C, end) for end in ENDS}
    needed = Spread.of(*(melt_kg(first_J + courses[end].gain_W * wait_s, cold_C) for end in ENDS))
    cold = Spread.of(*(courses[end].cold_s() for end in ENDS))
    waiting = courses["low"].stage(wait_s, food.h_W_m2K)
    ends_C = float(waiting.ambient_C[-1])
    uptake = uptake_of(replace(food, start_C=ends_C), ends_C)
    filled = bath.with_water(bath.water_kg + ice_kg)
    warming = march(filled, ends_C, _LONGEST_s, set_point_C=set_point_C, end="high", food=uptake, until_C=set_point_C)
    ramp = warming.reaches(set_point_C - number("control", "reached_within_K"))
    advised = needed.high * (1 + number("wait", "reserve_share"))
    return IceWait(
        ice_kg, needed, advised, cold, level, waiting, warming, inf if ramp is None else ramp, food.h_W_m2K,
        _sentences(wait_s, ice_kg, needed, advised, cold, ramp, set_point_C),
        (_finding(wait_s, ice_kg, cold, bath),),
    )  # fmt: skip


def _to_chill_J(bath: Bath, water_C: float, food: Load, cold_C: float) -> float:
    """Heat to take out of water, vessel and food before the wait is steady; the food's at its full [J]."""
    water = bath.water_kg * float(liquid_cp_J_kgK(water_C / 2)) * (water_C - cold_C)
    level = bath.volume_m3(20.0) / bath.vessel.area_m2
    vessel = bath.vessel.heat_capacity_J_K(level) * (bath.room.air_C - cold_C)
    return max(water + vessel + food.capacity_J_K * max(food.start_C - cold_C, 0.0), 0.0)


@dataclass(frozen=True, slots=True)
class _Course:
    """Cold water while ice is left, then warming: gain while cold [W], how long that is [s], what follows."""

    gain_W: float
    iced_s: float
    cold_C: float
    after: Trace

    def cold_s(self) -> float:
        """Until the water is above the highest temperature allowed [s]."""
        highest = number("wait", "highest_food_C")
        crossed = self.after.reaches(highest)
        return inf if crossed is None else self.iced_s + crossed

    def stage(self, wait_s: float, h_W_m2K: float) -> Stage:
        """The course up to the end of the wait."""
        if self.iced_s >= wait_s:
            return Stage.constant("ice water", wait_s, self.cold_C, h_W_m2K)
        after_s = self.after.time_s[self.after.time_s < wait_s - self.iced_s - 1.0]
        times = np.append(after_s, wait_s - self.iced_s)
        water = np.interp(times, self.after.time_s, self.after.water_C)
        if self.iced_s > 1.0:
            times, water = np.append(0.0, times + self.iced_s), np.append(self.cold_C, water)
        return Stage.trace("ice water", times, water, h_W_m2K)


def _wait_course(bath: Bath, ice_kg: float, first_J: float, food: Load, cold_C: float, end: End) -> _Course:
    gain = max(-LossCurve.of(bath, end).at(cold_C)[0], 0.0)
    spare_J = ice_kg / melt_kg(1.0, cold_C) - first_J
    filled = bath.with_water(bath.water_kg + ice_kg)
    starts_C, iced = cold_C, 0.0
    if spare_J < 0:
        starts_C = cold_C - spare_J / (filled.heat_capacity_J_K(cold_C) + food.capacity_J_K)
    else:
        iced = _LONGEST_s if gain <= 0 else min(spare_J / gain, _LONGEST_s)
    return _Course(gain, iced, cold_C, march(filled, starts_C, _LONGEST_s, set_point_C=None, end=end))


def _sentences(
    wait_s: float, ice_kg: float, needed: Spread, advised_kg: float, cold: Spread, ramp: float | None,
    set_point_C: float,
) -> tuple[str, ...]:  # fmt: skip
    return (
        f"Waiting {quantity(wait_s, 's')} melts {ranged(needed, 'kg')} of ice; put in {quantity(advised_kg, 'kg')}"
        " to have a quarter in reserve.",
        _lasts(ice_kg, cold) + ".",
        "The heater does not bring it to the set point with the food in."
        if ramp is None
        else f"From the start of the heater the water takes up to {quantity(ramp, 's')} to "
        f"{quantity(set_point_C, 'C')}; that time counts as exposure.",
    )


def _lasts(ice_kg: float, cold: Spread) -> str:
    highest = quantity(number("wait", "highest_food_C"), "C")
    if cold.high == 0:
        return f"{quantity(ice_kg, 'kg')} of ice does not bring the water down to {highest}"
    if cold.nominal == inf:
        least = "" if cold.low == inf else f"{quantity(cold.low, 's')} at the least, likely "
        return f"With {quantity(ice_kg, 'kg')} of ice the water stays at or below {highest} for {least}two days or more"
    return f"With {quantity(ice_kg, 'kg')} of ice the water stays at or below {highest} for {ranged(cold, 's')}"


def _finding(wait_s: float, ice_kg: float, cold: Spread, bath: Bath) -> Finding:
    verdict = Verdict.NOT_KNOWN
    if cold.low >= wait_s:
        verdict = Verdict.MET
    elif cold.high < wait_s:
        verdict = Verdict.NOT_MET
    return Finding(
        rule="bath-cold-until-start",
        title="The water stays cold until the heater starts",
        verdict=verdict,
        binding=True,
        why=f"{_lasts(ice_kg, cold)}; the wait is {quantity(wait_s, 's')}.",
        source=str(table("wait")["source"]),
        assumptions=(
            "Ice, water and food are stirred together at the start; that first chill of some minutes is left out.",
            "The water is stirred or circulated, so that no part stays warmer than the rest.",
            f"The room stays at {quantity(bath.room.air_C, 'C')}.",
            "The ice is at melting point; ice from a freezer takes up a little more.",
        ),
        achieved=None if cold.low == inf else cold.low / wait_s,
    )
