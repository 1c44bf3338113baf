"""How much ice: what melts, what leaks in from the room, and what should still float at the end."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from math import isfinite

from corebath.chill.tables import settings
from corebath.safety.finding import Finding, Verdict
from corebath.units import between, mark

SHORT = "These times hold only while ice floats, and the ice at hand does not last."


@dataclass(frozen=True, slots=True)
class IceNeed:
    """Ice for one chill.

    food_kg, water_kg : ice melted by the food and by cooling the water [kg]
    room_low_kg, room_high_kg : ice melted by heat from the room [kg]
    melts_kg : at least this melts: food and water [kg]
    plan_low_kg, plan_high_kg : ice to have at hand, room and what should still float included [kg]
    """

    food_kg: float
    water_kg: float
    room_low_kg: float
    room_high_kg: float
    melts_kg: float
    plan_low_kg: float
    plan_high_kg: float
    statements: tuple[str, ...]


def melted_kg(heat_J: float, end_C: float) -> float:
    """Ice at 0 degC that a heat melts and warms to `end_C` [kg]. heat_J : 0 or more;  end_C : 0 to 20"""
    ice, water = settings()["ice"], settings()["water"]
    return float(heat_J / (ice["latent_J_kg"] + water["cp_J_kgK"] * end_C))


def ice_needed(
    *,
    food_kg: float,
    food_cp_J_kgK: float,
    from_C: float,
    to_C: float,
    water_kg: float,
    water_C: float,
    end_C: float = 0.0,
    chill_s: float = 0.0,
    room_C: float = 20.0,
) -> IceNeed:
    """Ice for all bags of one chill together.

    food_kg : all bags together, above 0 to 200 [kg];  food_cp_J_kgK : 1500 to 4300 [J/(kg K)]
    from_C, to_C : the food's mean, before and after, 0 to 100 [degC]
    water_kg, water_C : water in the vessel at first, 0 to 500 [kg], 0 to 60 [degC]
    end_C : the bath when done, 0 to 10 and no warmer than `to_C` [degC];  chill_s : how long, 0 to 48 h [s]

    Raises ValueError outside those ranges. The room's share takes the vessel as a cube of the water's volume.
    """
    ranges: tuple[tuple[str, float, float, float, str], ...] = (
        ("the food", food_kg, 1e-3, 200.0, "kg"),
        ("the food's first temperature", from_C, 0.0, 100.0, "C"),
        ("the food's last temperature", to_C, 0.0, from_C, "C"),
        ("the water", water_kg, 0.0, 500.0, "kg"),
        ("the water's temperature", water_C, 0.0, 60.0, "C"),
        ("the bath's last temperature", end_C, 0.0, min(10.0, to_C), "C"),
        ("the time", chill_s, 0.0, 172_800.0, "s"),
        ("the room", room_C, 0.0, 50.0, "C"),
    )
    if not (isfinite(food_cp_J_kgK) and 1500 <= food_cp_J_kgK <= 4300):
        raise ValueError(f"the specific heat must lie between 1500 and 4300 J/(kg K), got {food_cp_J_kgK:g}")
    for checked in ranges:
        between(*checked)
    cp = settings()["water"]["cp_J_kgK"]
    food = melted_kg(food_kg * food_cp_J_kgK * (from_C - to_C), end_C)
    water = melted_kg(water_kg * cp * max(water_C - end_C, 0.0), end_C)
    walls_m2 = 6 * ((water_kg + food_kg) / 1000) ** (2 / 3)
    leak_J_h = walls_m2 * (room_C - end_C) * chill_s
    room = [melted_kg(settings()["vessel"][f"{side}_h_W_m2K"] * leak_J_h, end_C) for side in ("low", "high")]
    left = settings()["ice_left"]
    melts = food + water
    plan = [(melts + room[i]) * (1 + left[side]) for i, side in enumerate(("low", "high"))]
    return IceNeed(
        food_kg=food,
        water_kg=water,
        room_low_kg=room[0],
        room_high_kg=room[1],
        melts_kg=melts,
        plan_low_kg=plan[0],
        plan_high_kg=plan[1],
        statements=(
            f"At least {mark(melts + room[0], 'kg')} of ice melts, {mark(melts + room[1], 'kg')} on cautious figures: "
            f"{mark(food, 'kg')} for the food, {mark(water, 'kg')} for the water, the rest by the heat of the room.",
            f"Have {mark(plan[0], 'kg')} to {mark(plan[1], 'kg')} at hand, so that ice still floats at the end.",
        ),
    )


def short_of_ice(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Findings of a chill whose ice does not last: what was met is not known any more."""
    return tuple(
        replace(f, verdict=Verdict.NOT_KNOWN, why=f"{f.why} {SHORT}", achieved=None) if f.verdict is Verdict.MET else f
        for f in findings
    )


def ice_finding(have_kg: float, need: IceNeed) -> Finding:
    """Whether the ice at hand will do. have_kg : 0 or more [kg]. Raises ValueError otherwise."""
    if not (isfinite(have_kg) and have_kg >= 0):
        raise ValueError(f"the ice must weigh {mark(0.0, 'kg')} or more")
    least = need.melts_kg + need.room_low_kg
    verdict = Verdict.MET if have_kg >= need.plan_low_kg else Verdict.NOT_KNOWN
    return Finding(
        rule="chill-ice",
        title="ice still floats when the food is cold",
        verdict=Verdict.NOT_MET if have_kg < least else verdict,
        binding=False,
        why=(
            f"{mark(have_kg, 'kg')} of ice are at hand; {mark(least, 'kg')} melt at the least and "
            f"{mark(need.plan_low_kg, 'kg')} to {mark(need.plan_high_kg, 'kg')} should be there."
        ),
        source=f"heat balance; {settings()['ice']['source']}; ice left over: {settings()['ice_left']['source']}",
        assumptions=(f"The ice is at {mark(0.0, 'C')} and drained.",),
        achieved=have_kg / least,
    )
