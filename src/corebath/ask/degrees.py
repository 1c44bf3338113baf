"""Answers in degrees: one rule for a number without a unit, whatever it answers."""

from __future__ import annotations

from corebath.data_files import read_toml
from corebath.log.gear import Kitchen
from corebath.units import METRIC, US, TemperatureUnit, parse_temperature

UNITS = {"metric": METRIC, "us": US}


def degree_of(units: str, kitchen: Kitchen) -> TemperatureUnit | None:
    """The unit of a bare temperature: that of the question's units, else the kitchen's own; None when nobody chose.

    units : "metric", "us", or anything else for none
    """
    return UNITS[units].temperature if units in UNITS else kitchen.degree


def parse_degrees(field: str, text: str, degree: TemperatureUnit | None) -> float:
    """The temperature that an answer means [degC].

    field : its name, which says what can be meant;  degree : as of `degree_of`
    Raises NotUnderstood, and Ambiguous for a bare number where nobody chose a unit.
    """
    low, high = read_toml("corebath.ask", "degrees.toml")["between_C"][field]
    return parse_temperature(text, prefer=degree, between=(low, high))
