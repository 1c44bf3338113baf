"""Conversion factors, all exact by definition, and the names of the units a cook may prefer.

Sources: international yard and pound agreement of 1959 (inch, foot, pound, ounce); US gallon = 231 cubic
inches; Fahrenheit scale = 9/5 of a kelvin from 32 at 0 °C (NIST SP 811, appendix B).
"""

from __future__ import annotations

from typing import Final, Literal

TemperatureUnit = Literal["C", "F"]
LengthUnit = Literal["mm", "in"]
MassUnit = Literal["g", "lb"]
VolumeUnit = Literal["L", "qt"]

M_PER_IN: Final = 0.0254
M_PER_FT: Final = 0.3048
KG_PER_LB: Final = 0.45359237
KG_PER_OZ: Final = KG_PER_LB / 16
L_PER_GAL: Final = 3.785411784
L_PER_QT: Final = L_PER_GAL / 4
L_PER_FL_OZ: Final = L_PER_GAL / 128
FAHRENHEIT_PER_K: Final = 1.8
FAHRENHEIT_AT_0_C: Final = 32.0
ABSOLUTE_ZERO_C: Final = -273.15


def fahrenheit(value_C: float) -> float:
    """Degrees Fahrenheit of a temperature in degrees Celsius."""
    return value_C * FAHRENHEIT_PER_K + FAHRENHEIT_AT_0_C


def celsius(value_F: float) -> float:
    """Degrees Celsius of a temperature in degrees Fahrenheit."""
    return (value_F - FAHRENHEIT_AT_0_C) / FAHRENHEIT_PER_K
