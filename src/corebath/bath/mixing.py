"""Hot and cold water, or a kettle, to land on a temperature; and swapping water to change it."""

from __future__ import annotations

from dataclasses import dataclass

from corebath.bath.gear import Bath
from corebath.bath.say import quantity
from corebath.bath.water import liquid_cp_J_kgK, liquid_density_kg_m3
from corebath.units import between


@dataclass(frozen=True, slots=True)
class Mix:
    """Hot and cold water that land on a temperature.

    hot_L, cold_L : volumes as poured [L];  lands_C : temperature once mixed in the vessel [degC]
    statement : one sentence, quantities as marks
    """

    hot_L: float
    cold_L: float
    lands_C: float
    statement: str


def mix(bath: Bath, target_C: float, hot_C: float, cold_C: float) -> Mix:
    """Fill a vessel at room temperature from hot and cold water so that it lands on a target.

    target_C, hot_C, cold_C : 0 to 100 [degC]; hot above cold. A tap's hot water, or a kettle's, serves as hot.

    Heat balance of water and wetted vessel, no losses while pouring. Where hot water alone does not reach the
    target the mix is all hot and `lands_C` says where it lands. Raises ValueError outside the ranges.
    """
    for what, value in (("the target", target_C), ("the hot water", hot_C), ("the cold water", cold_C)):
        between(what, value, 0.0, 100.0, "C")
    if hot_C <= cold_C:
        raise ValueError(
            f"the hot water must be warmer than the cold, got {quantity(hot_C, 'C')} and {quantity(cold_C, 'C')}"
        )
    room_C = bath.room.air_C
    vessel = bath.vessel.heat_capacity_J_K(bath.volume_m3(20.0) / bath.vessel.area_m2)
    hot_J_kgK, cold_J_kgK = liquid_cp_J_kgK((hot_C + target_C) / 2), liquid_cp_J_kgK((cold_C + target_C) / 2)
    # share of hot: x cp_h (hot - target) = (1 - x) cp_c (target - cold) + vessel (target - room) / mass
    wanted = cold_J_kgK * (target_C - cold_C) + vessel * (target_C - room_C) / bath.water_kg
    share = min(max(wanted / (hot_J_kgK * (hot_C - target_C) + cold_J_kgK * (target_C - cold_C)), 0.0), 1.0)
    if hot_C <= target_C:
        share = 1.0
    hot, cold = share * bath.water_kg * hot_J_kgK, (1 - share) * bath.water_kg * cold_J_kgK
    lands = (hot * hot_C + cold * cold_C + vessel * room_C) / (hot + cold + vessel)
    hot_L = share * bath.water_kg / liquid_density_kg_m3(hot_C) * 1000
    cold_L = (1 - share) * bath.water_kg / liquid_density_kg_m3(cold_C) * 1000
    if 0.0 < share < 1.0:
        said = (
            f"{quantity(hot_L, 'L')} at {quantity(hot_C, 'C')} and {quantity(cold_L, 'L')} at "
            f"{quantity(cold_C, 'C')} land on {quantity(lands, 'C')}."
        )
    else:
        only = hot_C if share == 1.0 else cold_C
        said = f"Filled with water at {quantity(only, 'C')} alone it starts near {quantity(round(lands), 'C')}."
    return Mix(hot_L, cold_L, lands, said)


@dataclass(frozen=True, slots=True)
class Swap:
    """Water to take out and replace. swap_L : as taken out [L];  statement : one sentence"""

    swap_L: float
    statement: str


def swap(bath: Bath, now_C: float, target_C: float, with_C: float) -> Swap:
    """Take water out of a bath and replace the same mass by other water to land on a target.

    now_C, target_C, with_C : 0 to 100, the target between the other two [degC]; else ValueError
    """
    for what, value in (("the bath", now_C), ("the target", target_C), ("the new water", with_C)):
        between(what, value, 0.0, 100.0, "C")
    if not min(now_C, with_C) < target_C < max(now_C, with_C):
        raise ValueError(
            f"a mix of {quantity(now_C, 'C')} and {quantity(with_C, 'C')} does not land on {quantity(target_C, 'C')}"
        )
    cp = liquid_cp_J_kgK((now_C + with_C) / 2)
    vessel = bath.heat_capacity_J_K(now_C) - bath.water_kg * liquid_cp_J_kgK(now_C)
    # (M - m) cp (now - target) + vessel (now - target) = m cp (target - with)
    mass = (bath.water_kg * cp + vessel) * (now_C - target_C) / (cp * (now_C - with_C))
    if mass > bath.water_kg:
        raise ValueError(
            f"even all water at {quantity(with_C, 'C')} would not bring this vessel to {quantity(target_C, 'C')}"
        )
    litres = mass / liquid_density_kg_m3(now_C) * 1000
    return Swap(
        litres,
        f"Take out {quantity(litres, 'L')} and pour in the same mass at {quantity(with_C, 'C')}: "
        f"the bath goes from {quantity(now_C, 'C')} to {quantity(target_C, 'C')}.",
    )
