"""The bath by itself as data, by the schema bath.schema.json."""

from __future__ import annotations

from typing import Any

from corebath.data_files import read_json
from corebath.plan.alone.bath import BathAnswer, FoodAnswer
from corebath.units import Preference, render

from .json_parts import finding_as_json, spread_as_json
from .water_json import (
    dip_as_json,
    equipment_as_json,
    fit_as_json,
    float_as_json,
    ice_as_json,
    level_as_json,
    night_as_json,
    outage_as_json,
    schedule_as_json,
    warm_up_as_json,
)

SCHEMA = "corebath.bath/1"


def bath_schema() -> dict[str, Any]:
    """The JSON Schema every `bath_as_json` follows."""
    return read_json("corebath.show", "bath.schema.json")


def bath_as_json(answer: BathAnswer, preference: Preference) -> dict[str, Any]:
    """Everything about one bath, ready for `json.dumps`; a time that never comes is null."""
    gear, lost, heights, mix = answer.request.equipment, answer.losses, answer.heights, answer.mix
    return {
        "schema": SCHEMA,
        "request": _request(answer),
        "litres": answer.filled.volume_m3(gear.fill_C) * 1000,
        "level": level_as_json(answer.filled, gear, answer.night),
        "warm_up": warm_up_as_json(answer.warm_up),
        "from_hot": None if answer.from_hot is None else warm_up_as_json(answer.from_hot),
        "mix": None if mix is None else {"hot_L": mix.hot_L, "cold_L": mix.cold_L, "lands_C": mix.lands_C},
        "limits": [{"cover": x.cover.key, "set_point_C": spread_as_json(x.set_point_C)} for x in answer.limits],
        "losses": {
            "evaporation_W": lost.evaporation_W,
            "convection_W": lost.convection_W,
            "radiation_W": lost.radiation_W,
            "cover_W": lost.cover_W,
            "wall_W": lost.wall_W,
            "base_W": lost.base_W,
            "total_W": spread_as_json(lost.total_W),
            "water_loss_kg_h": spread_as_json(lost.water_loss_kg_h),
        },
        "altitude": None
        if heights is None
        else {
            "pressure_Pa": heights.pressure_Pa,
            "boiling_C": spread_as_json(heights.boiling_C),
            "highest_set_point_C": heights.highest_set_point_C,
        },
        "ice": None if answer.ice is None else ice_as_json(answer.ice),
        "food": None if answer.food is None else _food(answer.food),
        "night": night_as_json(answer.night),
        "schedule": schedule_as_json(answer.schedule),
        "outage": outage_as_json(answer.outage),
        "keeping": [
            {"cover": way.cover.key, "towels": way.towels, "lasts_s": spread_as_json(way.lasts_s)}
            for way in answer.keeping
        ],
        "swap": None if answer.swap is None else {"swap_L": answer.swap.swap_L},
        "cost": None if answer.cost is None else {"currency": gear.currency, "price": spread_as_json(answer.cost)},
        "sections": [
            {
                "title": render(section.title, preference),
                "statements": [render(line, preference) for line in section.statements],
            }
            for section in answer.sections
        ],
        "findings": [finding_as_json(f, preference) for f in answer.findings],
    }


def _request(answer: BathAnswer) -> dict[str, Any]:
    request, piece = answer.request, answer.request.piece
    return {
        "equipment": equipment_as_json(request.equipment),
        "set_point_C": request.set_point_C,
        "hold_s": request.hold_s,
        "starts": request.starts.astimezone(request.zone).isoformat(),
        "zone": request.zone.key,
        "asleep": [f"{moment:%H:%M}" for moment in request.night],
        "hot_C": request.hot_C,
        "swap_C": request.swap_C,
        "swap_with_C": None if request.swap_C is None else request.swap_with_C,
        "off_s": request.off_s,
        "above_C": request.above_C,
        "dip_K": request.dip_K,
        "food": None if piece is None else {"key": piece.food.key, "name": piece.food.name},
        "pieces": None if piece is None else piece.pieces,
        "food_kg": None if piece is None else piece.food_kg,
        "start_C": None if piece is None else request.start_C,
        "ice": None if request.ice is None else {"wait_s": request.ice.wait_s, "ice_kg": request.ice.ice_kg},
    }


def _food(food: FoodAnswer) -> dict[str, Any]:
    crowding, most = food.crowding, food.most
    return {
        "fit": None if food.fit is None else fit_as_json(food.fit),
        "crowding": None if crowding is None else {"alone_s": crowding.alone_s, "together_s": crowding.together_s},
        "dip": None if food.dip is None else dip_as_json(food.dip),
        "most": None if most is None else {"count": most.count, "mass_kg": most.mass_kg, "by_room": most.by_room},
        "buoyancy": float_as_json(food.floating),
    }
