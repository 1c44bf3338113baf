"""The bath through time: heat and water balance of heater, losses, food and top-ups.

Per step: (m cp + vessel) dT = heater - losses - food, losses at the middle of the step, the food's share
solved together with the water. The heater is an ideal controller of limited power: it holds the set point
when it can and gives all it has when it cannot. Vapour carries its heat of evaporation out.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import inf

import numpy as np
from numpy.typing import NDArray

from corebath.bath.gear import Bath
from corebath.bath.losses import End, LossCurve
from corebath.bath.uptake import Uptake
from corebath.bath.water import liquid_cp_J_kgK
from corebath.heat.history import first_crossing
from corebath.heat.stage import Stage

Array = NDArray[np.float64]
_FIRST_STEP_s, _LONGEST_STEP_s, _GROWTH, _TURN_K = 1.0, 300.0, 1.15, 0.3
_SAME_s = 1e-6
_TRACE_WITHIN_K = 0.02
_JUMP_s = 1e-3  # a stage's knots must rise: a jump takes this long


@dataclass(frozen=True, slots=True)
class TopUp:
    """Water poured in: when [s], how much [kg], how warm [degC]."""

    at_s: float
    water_kg: float
    water_C: float


@dataclass(frozen=True, slots=True)
class Trace:
    """A bath's course; arrays of shape (n,), sums counted from the start.

    time_s : rising; a top-up shows as two rows at one time [s]
    water_C [degC]; water_kg [kg]
    heater_J, lost_J, food_J : heat given by the heater, lost to the room, drawn by the food [J]
    vapour_kg : water gone as vapour [kg]
    """

    time_s: Array
    water_C: Array
    water_kg: Array
    heater_J: Array
    lost_J: Array
    food_J: Array
    vapour_kg: Array

    def reaches(self, level_C: float) -> float | None:
        """First time the water is at or above a temperature [s], or None."""
        return first_crossing(self.time_s, self.water_C, level_C)

    def falls_to(self, level_C: float) -> float | None:
        """First time the water is at or below a temperature [s], or None."""
        return first_crossing(self.time_s, -self.water_C, -level_C)

    def stage(self, name: str, h_W_m2K: float) -> Stage:
        """The course as a stage for the food's history, thinned to 0.02 K."""
        keep = thinned(self.time_s, self.water_C, _TRACE_WITHIN_K)
        t, y = self.time_s[keep], self.water_C[keep]
        jump = np.append(False, np.diff(t) <= 0)
        return Stage.trace(name, t + np.where(jump, _JUMP_s, 0.0), y, h_W_m2K)


def march(
    bath: Bath,
    start_C: float,
    duration_s: float,
    *,
    set_point_C: float | None,
    end: End = "nominal",
    food: Uptake | None = None,
    top_ups: Sequence[TopUp] = (),
    off_s: float = 0.0,
    until_C: float | None = None,
    until_held_s: float = inf,
) -> Trace:
    """Take a bath through time.

    start_C : water at the start [degC];  duration_s : above 0 [s]
    set_point_C : what the heater holds, None when it is off [degC]
    end : which end of the losses' range;  food : what is in the water
    top_ups : in rising time, inside the duration;  off_s : the heater stays off until then [s]
    until_C : stop early once the water has come to this temperature from either side [degC]
    until_held_s : stop early once the heater has held the set point for so long [s]

    Raises ValueError when a temperature is not that of liquid water here, or for no duration.
    """
    bath.check_water(start_C)
    if set_point_C is not None:
        bath.check_water(set_point_C)
    if not 0 < duration_s < inf:
        raise ValueError(f"a bath needs a duration above 0, got {duration_s:g} s")
    run = _Run(bath, LossCurve.of(bath, end), start_C, food)
    pours = {pour.at_s: pour for pour in top_ups}
    if len(pours) < len(top_ups) or any(not 0 <= at <= duration_s for at in pours):
        raise ValueError("top-ups must come one at a time, inside the duration")
    for stop_s in sorted({*pours, min(max(off_s, 0.0), duration_s), duration_s}):
        run.heat(None if run.time_s < off_s - _SAME_s else set_point_C)
        while run.time_s < stop_s - _SAME_s:
            before = run.water_C
            run.step(stop_s - run.time_s)
            if until_C is not None and (before - until_C) * (run.water_C - until_C) <= 0:
                return run.trace()
            if run.held_s >= until_held_s:
                return run.trace()
        if stop_s in pours:
            run.pour(pours[stop_s])
    return run.trace()


class _Run:
    """The state of a march."""

    def __init__(self, bath: Bath, curve: LossCurve, start_C: float, food: Uptake | None) -> None:
        self.curve, self.food = curve, food
        self.set_C: float | None = None
        self.most_W, self.power_W = 0.0, bath.heater.power_W
        self.vessel_J_K = bath.vessel.heat_capacity_J_K(bath.volume_m3(20.0) / bath.vessel.area_m2)
        self.time_s, self.water_C, self.water_kg = 0.0, start_C, bath.water_kg
        self.heater_J = self.lost_J = self.food_J = self.vapour_kg = 0.0
        self.next_s = _FIRST_STEP_s
        self.held_s = 0.0
        self.rows: list[tuple[float, ...]] = []
        self._record()

    def heat(self, set_point_C: float | None) -> None:
        """Give the heater a set point, or switch it off."""
        if set_point_C != self.set_C:
            self.next_s = _FIRST_STEP_s
        self.set_C = set_point_C
        self.most_W = 0.0 if set_point_C is None else self.power_W

    def step(self, longest_s: float) -> None:
        """One step of at most so many seconds."""
        step = min(self.next_s, longest_s)
        old = self.water_C
        first, second = self.food.draw(old, step) if self.food else (0.0, 0.0)
        capacity = self.water_kg * float(liquid_cp_J_kgK(old)) + self.vessel_J_K
        full = self._free(self.most_W, step, capacity, first, second)
        if self.food is None and self.set_C is not None and old < self.set_C < full:
            step *= max((self.set_C - old) / (full - old), 1e-3)
            full = self._free(self.most_W, step, capacity, 0.0, 0.0)
        if self.set_C is None or full <= self.set_C:
            new, heater_J = full, self.most_W * step
        else:
            off = self._free(0.0, step, capacity, first, second)
            new = max(off, self.set_C)
            heater_J = 0.0
        heat_W, _, vapour = self.curve.at((old + new) / 2)
        food_J = self.food.advance(old, new, step) if self.food else 0.0
        if self.set_C is not None and new == self.set_C and heater_J == 0.0:
            heater_J = capacity * (new - old) + heat_W * step + food_J
        self.heater_J += heater_J
        self.lost_J += heat_W * step
        self.food_J += food_J
        self.vapour_kg += vapour * step
        self.water_kg -= vapour * step
        self.time_s += step
        self.water_C = new
        self.held_s = self.held_s + step if new == self.set_C else 0.0
        if self.water_kg <= 0:
            raise ValueError("the bath boils dry within this time")
        self._record()
        turn = abs(new - old) / step
        self.next_s = min(step * _GROWTH, _TURN_K / turn if turn > 1e-6 else inf, _LONGEST_STEP_s)
        self.next_s = max(self.next_s, _FIRST_STEP_s)

    def pour(self, top_up: TopUp) -> None:
        """Mix water in at once."""
        cp = float(liquid_cp_J_kgK((self.water_C + top_up.water_C) / 2))
        held = self.water_kg * cp + self.vessel_J_K
        added = top_up.water_kg * cp
        self.water_C = (held * self.water_C + added * top_up.water_C) / (held + added)
        self.water_kg += top_up.water_kg
        self.next_s = _FIRST_STEP_s
        self._record()

    def trace(self) -> Trace:
        """What happened so far."""
        return Trace(*(np.array(column) for column in zip(*self.rows, strict=True)))

    def _free(self, power_W: float, step: float, capacity: float, first: float, second: float) -> float:
        """New temperature under a given power: losses linear about the middle of the step, twice."""
        old, middle = self.water_C, self.water_C
        new = old
        for _ in range(2):
            heat, slope, _ = self.curve.at(middle)
            # capacity (new - old) = (P - heat - slope ((old + new)/2 - middle)) step - first - second new
            gain = (power_W - heat - slope * (old / 2 - middle)) * step - first
            new = (capacity * old + gain) / (capacity + slope * step / 2 + second)
            middle = min(max((old + new) / 2, float(self.curve.water_C[0])), float(self.curve.water_C[-1]))
        return new

    def _record(self) -> None:
        self.rows.append(
            (
                self.time_s,
                self.water_C,
                self.water_kg,
                self.heater_J,
                self.lost_J,
                self.food_J,
                self.vapour_kg,
            )
        )


def thinned(x: Array, y: Array, within: float) -> NDArray[np.intp]:
    """Rows to keep so that straight lines between them stay within `within` of every row (Douglas, Peucker)."""
    keep = np.zeros(x.size, dtype=bool)
    keep[[0, -1]] = True
    open_spans = [(0, x.size - 1)]
    while open_spans:
        i, j = open_spans.pop()
        if j - i < 2:
            continue
        run = x[j] - x[i]
        line = y[i] + (y[j] - y[i]) * ((x[i : j + 1] - x[i]) / run if run > 0 else 0.0)
        off = np.abs(y[i : j + 1] - line)
        k = i + int(np.argmax(off))
        if off[k - i] > within:
            keep[k] = True
            open_spans += [(i, k), (k, j)]
    return np.flatnonzero(keep)
