"""Quantities at the edges: parse what a cook typed, print what a cook reads."""

from __future__ import annotations

from corebath.units.factors import LengthUnit, MassUnit, TemperatureUnit, VolumeUnit
from corebath.units.marks import MarkUnit, mark, render
from corebath.units.show import (
    METRIC,
    US,
    Preference,
    show_duration,
    show_length,
    show_mass,
    show_set_point,
    show_temperature,
    show_temperature_difference,
    show_volume,
    snap_set_point,
)

__all__ = [
    "METRIC",
    "US",
    "LengthUnit",
    "MarkUnit",
    "MassUnit",
    "Preference",
    "TemperatureUnit",
    "VolumeUnit",
    "mark",
    "render",
    "show_duration",
    "show_length",
    "show_mass",
    "show_set_point",
    "show_temperature",
    "show_temperature_difference",
    "show_volume",
    "snap_set_point",
]
