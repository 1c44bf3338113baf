"""Quantities at the edges: parse what a cook typed, print what a cook reads."""

from __future__ import annotations

from corebath.units.factors import LengthUnit, MassUnit, TemperatureUnit, VolumeUnit
from corebath.units.marks import MarkUnit, between, mark, render
from corebath.units.parse import (
    Money,
    parse_duration,
    parse_length,
    parse_mass,
    parse_money,
    parse_power,
    parse_temperature,
    parse_temperature_difference,
    parse_volume,
)
from corebath.units.scan import Ambiguous, NotUnderstood
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
    "Ambiguous",
    "LengthUnit",
    "MarkUnit",
    "MassUnit",
    "Money",
    "NotUnderstood",
    "Preference",
    "TemperatureUnit",
    "VolumeUnit",
    "between",
    "mark",
    "parse_duration",
    "parse_length",
    "parse_mass",
    "parse_money",
    "parse_power",
    "parse_temperature",
    "parse_temperature_difference",
    "parse_volume",
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
