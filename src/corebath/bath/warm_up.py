"""From the tap to the set point: time, energy, money; and what this heater can hold at all."""

from __future__ import annotations

from dataclasses import dataclass
from math import inf

from corebath.bath.altitude import at_altitude, boiling_finding
from corebath.bath.balance import Trace, march
from corebath.bath.cover import Cover, covers
from corebath.bath.files import number
from corebath.bath.gear import Bath
from corebath.bath.losses import ENDS, End, LossCurve, losses
from corebath.bath.say import quantity, ranged
from corebath.bath.spread import Spread
from corebath.bath.water import latent_heat_J_kg
from corebath.safety.finding import Finding, Verdict
from corebath.units import between

_LONGEST_s = 24 * 3600.0
_STALLED_s = 4 * 3600.0  # of course to show when the heater does not get there
J_PER_KWH = 3.6e6


@dataclass(frozen=True, slots=True)
class WarmUp:
    """How a bath gets to its set point.

    time_s : to within 0.05 K of the set point, endless when the heater does not get there [s]
    energy_kWh : drawn until then, endless likewise [kWh]
    holds_W : what it takes to hold the set point [W]
    trace : the nominal course;  statements : one sentence each;  findings : reach, and clear of boiling
    """

    time_s: Spread
    energy_kWh: Spread
    holds_W: Spread
    trace: Trace
    statements: tuple[str, ...]
    findings: tuple[Finding, ...]

    def cost(self, hold_s: float, price_per_kWh: float) -> Spread:
        """Price of the warm-up and of holding for a time, in the currency of the price.

        hold_s : time at the set point, >= 0 [s];  price_per_kWh : >= 0. Else ValueError.
        """
        between("the hold", hold_s, 0.0, inf, "s")
        between("the price", price_per_kWh, 0.0, inf, "per kWh")
        warm, hold = self.energy_kWh, self.holds_W.map(lambda power: power * hold_s / J_PER_KWH)
        return Spread(*((w + h) * price_per_kWh for w, h in zip(_three(warm), _three(hold), strict=True)))


@dataclass(frozen=True, slots=True)
class CoverLimit:
    """The highest set point a heater holds under one cover; low end for the losses' high end [degC]."""

    cover: Cover
    set_point_C: Spread


def warm_up(bath: Bath, set_point_C: float, start_C: float) -> WarmUp:
    """Heat a bath from its filling temperature with the losses on the way.

    set_point_C, start_C : liquid water here, to a kelvin below boiling [degC]; else ValueError

    Range: from the low and the high end of the losses.
    """
    traces, reached = {}, {}
    for end in ENDS:
        gets_there = LossCurve.of(bath, end).at(set_point_C)[0] < bath.heater.power_W
        longest = _LONGEST_s if gets_there else min(_STALLED_s, _half_dry_s(bath, set_point_C))
        trace = march(bath, start_C, longest, set_point_C=set_point_C, end=end, until_C=set_point_C)
        traces[end], reached[end] = trace, _reached(trace, start_C, set_point_C)
    time = Spread.of(*(_or_never(reached[end]) for end in ENDS))
    energy = Spread.of(*(_energy(traces[end], reached[end]) for end in ENDS))
    holds = _holds_W(bath, set_point_C)
    findings = (_reach_finding(bath, set_point_C, holds), boiling_finding(set_point_C, bath.room.altitude_m))
    if time.nominal < inf:
        first = (
            f"From {quantity(start_C, 'C')} the bath reaches {quantity(set_point_C, 'C')} in {ranged(time, 's')}, "
            f"with {energy.nominal:.2g} kWh."
        )
    else:
        does = "does not" if time.low == inf else "likely does not"
        first = f"This heater {does} bring the bath to {quantity(set_point_C, 'C')} under {bath.cover.words}."
    hold = (
        f"Holding it takes about {holds.nominal:.0f} W ({holds.low:.0f} to {holds.high:.0f} W) "
        f"of {bath.heater.power_W:.0f} W."
    )
    more = what_to_change(bath, set_point_C) if holds.high > bath.heater.power_W else ()
    return WarmUp(time, energy, holds, traces["nominal"], (first, hold, *more), findings)


def highest_set_points(bath: Bath) -> tuple[CoverLimit, ...]:
    """The highest set point this heater holds in this vessel under every cover, at most clear of boiling."""
    cap = at_altitude(bath.room.altitude_m).highest_set_point_C
    return tuple(_limit(bath.with_cover(cover), cap) for cover in covers())


def what_to_change(bath: Bath, set_point_C: float) -> tuple[str, ...]:
    """Ways to hold a set point that the bath as it stands may not hold, one sentence each."""
    advice = [
        f"Under {limit.cover.words} it holds {quantity(set_point_C, 'C')}: highest set point there "
        f"{ranged(limit.set_point_C, 'C')}."
        for limit in highest_set_points(bath)
        if limit.set_point_C.low >= set_point_C and limit.cover.key != bath.cover.key
    ]
    needed_W = _holds_W(bath, set_point_C).high
    advice.append(f"Without another cover it takes {needed_W:.0f} W, or a vessel with less open water.")
    advice.append("Starting with hot water shortens the warm-up but does not raise what the heater can hold.")
    return tuple(advice)


def _holds_W(bath: Bath, set_point_C: float) -> Spread:
    """What it takes to hold a set point: its losses themselves, which the curve for marching only joins by lines."""
    return losses(bath, set_point_C).total_W.map(lambda power: max(power, 0.0))


def _limit(bath: Bath, cap_C: float) -> CoverLimit:
    from scipy.optimize import brentq  # slow to load, and most plans do without it

    def highest(end: End) -> float:
        curve = LossCurve.of(bath, end)

        def spare(T: float) -> float:
            return bath.heater.power_W - curve.at(T)[0]

        if spare(cap_C) >= 0:
            return cap_C
        # A weak heater under a large open surface may not even hold the room's temperature.
        return 0.0 if spare(0.0) < 0 else float(brentq(spare, 0.0, cap_C, xtol=1e-3))

    return CoverLimit(bath.cover, Spread.of(*(highest(end) for end in ENDS)))


def _reach_finding(bath: Bath, set_point_C: float, holds_W: Spread) -> Finding:
    power = bath.heater.power_W
    verdict = Verdict.MET if holds_W.high <= power else Verdict.NOT_MET
    if holds_W.low <= power < holds_W.high:
        verdict = Verdict.NOT_KNOWN
    return Finding(
        rule="bath-heater-holds",
        title="The heater can hold the set point",
        verdict=verdict,
        binding=True,
        why=(
            f"Holding {quantity(set_point_C, 'C')} takes {holds_W.low:.0f} to {holds_W.high:.0f} W; "
            f"the heater gives {power:.0f} W."
        ),
        source="heat balance of the bath; losses by the analogy of heat and mass transfer, range after Shah 2002",
        assumptions=(
            f"The room is {quantity(bath.room.air_C, 'C')} with {bath.room.humidity * 100:.0f} % humidity.",
            f"The water is under {bath.cover.words}." if bath.cover.key != "none" else "The water is uncovered.",
        ),
        achieved=power / holds_W.high if holds_W.high > 0 else None,
    )


def _half_dry_s(bath: Bath, set_point_C: float) -> float:
    """Time in which the heater's whole power would turn half of the water into vapour [s]."""
    return 0.5 * bath.water_kg * float(latent_heat_J_kg(set_point_C)) / bath.heater.power_W


def _reached(trace: Trace, start_C: float, set_point_C: float) -> float | None:
    near = number("control", "reached_within_K")
    if start_C > set_point_C:
        return trace.falls_to(set_point_C + near)
    return trace.reaches(set_point_C - near)


def _energy(trace: Trace, reached_s: float | None) -> float:
    if reached_s is None:
        return inf
    i = int((trace.time_s <= reached_s + 1e-9).sum()) - 1
    j = min(i + 1, trace.time_s.size - 1)
    span = float(trace.time_s[j] - trace.time_s[i])
    rest = (reached_s - float(trace.time_s[i])) / span if span > 0 else 0.0
    return float(trace.heater_J[i] + rest * (trace.heater_J[j] - trace.heater_J[i])) / J_PER_KWH


def _or_never(time_s: float | None) -> float:
    return inf if time_s is None else time_s


def _three(spread: Spread) -> tuple[float, float, float]:
    return spread.nominal, spread.low, spread.high
