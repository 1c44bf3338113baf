"""The demo kitchen."""

from __future__ import annotations

from zoneinfo import ZoneInfo

from corebath.bath.heater import Heater
from corebath.bath.vessel import Vessel, Wall

from .gear import Kitchen, NamedHeater, NamedVessel
from .settings import settings


def demo_kitchen(zone: ZoneInfo) -> Kitchen:
    """An invented kitchen with two vessels and a heater, in the cook's own time zone."""
    data = settings("demo")
    return Kitchen(
        zone=zone,
        cold_tap_C=data["cold_tap_C"],
        hot_tap_C=data["hot_tap_C"],
        price_per_kWh=data["price_per_kWh"],
        currency=data["currency"],
        cover=data["cover"],
        vessels=tuple(
            NamedVessel(v["name"], Vessel(v["length_m"], v.get("width_m"), v["depth_m"], Wall.named(v["wall"])))
            for v in data["vessels"]
        ),
        heaters=tuple(
            NamedHeater(h["name"], Heater(h["power_W"], h["lowest_m"], h["highest_m"])) for h in data["heaters"]
        ),
    )
