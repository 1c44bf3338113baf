"""The water as data: what becomes of a bath, and what it is made of."""

from __future__ import annotations

from typing import Any

from corebath.bath.buoyancy import Float
from corebath.bath.delayed_start import IceWait
from corebath.bath.fit import Fit
from corebath.bath.gear import Bath
from corebath.bath.level import Night, Schedule
from corebath.bath.load import Dip
from corebath.bath.outage import Outage
from corebath.bath.warm_up import WarmUp
from corebath.plan.equipment import Equipment
from corebath.plan.water import Water
from corebath.units import Preference, render

from .json_parts import finding_as_json, finite, spread_as_json


def water_as_json(water: Water, equipment: Equipment, preference: Preference) -> dict[str, Any]:
    """The water of a plan."""
    return {
        "litres": water.filled.volume_m3(equipment.fill_C) * 1000,
        "level": level_as_json(water.filled, equipment, water.night),
        "warm_up": warm_up_as_json(water.warm_up),
        "fit": None if water.fit is None else fit_as_json(water.fit),
        "dip": None if water.dip is None else dip_as_json(water.dip),
        "ice": None if water.ice is None else ice_as_json(water.ice),
        "buoyancy": None if water.floating is None else float_as_json(water.floating),
        "night": night_as_json(water.night),
        "schedule": schedule_as_json(water.schedule),
        "outage": outage_as_json(water.outage),
        "cost": None if water.cost is None else {"currency": equipment.currency, "price": spread_as_json(water.cost)},
        "statements": [render(line, preference) for line in water.statements],
        "details": [render(line, preference) for line in water.details],
        "findings": [finding_as_json(f, preference) for f in water.findings],
    }


def equipment_as_json(equipment: Equipment) -> dict[str, Any]:
    """Vessel, heater, cover, water and room as they were understood."""
    vessel, heater, room = equipment.vessel, equipment.heater, equipment.room
    return {
        "vessel": {
            "round": vessel.width_m is None,
            "length_m": vessel.length_m,
            "width_m": vessel.width_m,
            "depth_m": vessel.depth_m,
            "wall": vessel.wall.key,
            "wrap_m2K_W": vessel.wrap_m2K_W,
        },
        "heater": {"power_W": heater.power_W, "lowest_m": heater.lowest_m, "highest_m": heater.highest_m},
        "cover": equipment.cover.key,
        "room": {
            "air_C": room.air_C,
            "humidity": room.humidity,
            "altitude_m": room.altitude_m,
            "draught_m_s": room.draught_m_s,
        },
        "litres": equipment.litres,
        "fill_C": equipment.fill_C,
        "top_up_C": equipment.top_up_C,
        "price_per_kWh": equipment.price_per_kWh,
        "currency": equipment.currency,
        "bagging": equipment.bagging,
        "weight_kg": equipment.weight_kg,
    }


def level_as_json(filled: Bath, equipment: Equipment, night: Night) -> dict[str, Any]:
    """The level before and with the food, and what it has to stay between."""
    return {
        "filled_m": filled.level_m(equipment.fill_C),
        "with_food_m": night.start_m,
        "lowest_m": equipment.heater.lowest_m,
        "highest_m": equipment.heater.highest_m,
        "rim_m": equipment.vessel.depth_m,
    }


def warm_up_as_json(warm: WarmUp) -> dict[str, Any]:
    """From the tap to the set point."""
    return {
        "time_s": spread_as_json(warm.time_s),
        "energy_kWh": spread_as_json(warm.energy_kWh),
        "holds_W": spread_as_json(warm.holds_W),
    }


def fit_as_json(fit: Fit) -> dict[str, Any]:
    """How the bags stand."""
    return {
        "fits": fit.fits,
        "flat": fit.flat,
        "layers": fit.layers,
        "most_free": fit.most_free,
        "gap_m": fit.gap_m,
        "rise_m": fit.rise_m,
        "fill_to_m": fit.fill_to_m,
        "top_m": fit.top_m,
    }


def dip_as_json(dip: Dip) -> dict[str, Any]:
    """What cold food does to the bath."""
    return {
        "lowest_C": spread_as_json(dip.lowest_C),
        "lowest_at_s": dip.lowest_at_s,
        "recovery_s": spread_as_json(dip.recovery_s),
    }


def ice_as_json(ice: IceWait) -> dict[str, Any]:
    """The wait in ice water before the heater starts."""
    return {
        "ice_kg": ice.ice_kg,
        "needed_kg": spread_as_json(ice.ice_needed_kg),
        "advised_kg": ice.ice_advised_kg,
        "cold_s": spread_as_json(ice.cold_s),
        "level_m": ice.level_m,
        "warming_s": finite(ice.warming_s),
    }


def float_as_json(lift: Float) -> dict[str, Any]:
    """Whether a bag floats."""
    return {
        "gas_m3": spread_as_json(lift.gas_m3),
        "lift_kg": spread_as_json(lift.lift_kg),
        "weight_kg": spread_as_json(lift.weight_kg),
        "above_share": spread_as_json(lift.above_share),
    }


def night_as_json(night: Night) -> dict[str, Any]:
    """The level while nobody looks."""
    return {
        "start_m": night.start_m,
        "end_m": spread_as_json(night.end_m),
        "fall_m_h": spread_as_json(night.fall_m_h),
        "water_loss_kg_h": spread_as_json(night.water_loss_kg_h),
        "trips_s": spread_as_json(night.trips_s),
        "bare_s": spread_as_json(night.bare_s),
    }


def schedule_as_json(schedule: Schedule) -> dict[str, Any]:
    """When to pour what."""
    return {
        "possible": schedule.possible,
        "top_ups": [
            {"at_s": pour.at_s, "water_kg": pour.water_kg, "water_C": pour.water_C} for pour in schedule.top_ups
        ],
        "dip_K": schedule.dip_K,
        "recovery_s": finite(schedule.recovery_s),
    }


def outage_as_json(outage: Outage) -> dict[str, Any]:
    """The bath without power."""
    return {
        "lasts_s": float(outage.trace.time_s[-1]),
        "end_C": spread_as_json(outage.end_C),
        "crossed": [{"level_C": level, "after_s": spread_as_json(when)} for level, when in outage.crossed_s],
    }
