"""Heaters: power, the marks the water must stay between, and how still they hold the bath."""

from __future__ import annotations

from dataclasses import dataclass

from corebath.units import between

_ROUNDING_m = 1e-6  # a level counted from litres and a density is off in its last digits


@dataclass(frozen=True, slots=True)
class Heater:
    """An immersion heater with a pump, which keeps the bath at one even temperature.

    power_W : heating power, 100 to 4000 [W]
    lowest_m, highest_m : its marks above the vessel's floor, lowest below highest, 0 to 1 [m]
    sd_K : standard deviation of the bath about its set point while it holds, 0 to 2 [K]
    room_m : stretch of the vessel it takes up, wall to bags, 0 to 0.3 [m]

    Raises ValueError outside those ranges.
    """

    power_W: float
    lowest_m: float
    highest_m: float
    sd_K: float = 0.1
    room_m: float = 0.10

    def __post_init__(self) -> None:
        between("the power of the heater", self.power_W, 100.0, 4000.0, "W")
        between("the heater's lowest mark", self.lowest_m, 0.0, 1.0, "m")
        between("the heater's highest mark", self.highest_m, 0.0, 1.0, "m")
        between("the heater's spread", self.sd_K, 0.0, 2.0, "K")
        between("the room the heater takes", self.room_m, 0.0, 0.3, "m")
        if self.highest_m <= self.lowest_m:
            raise ValueError("the heater's highest mark must be above its lowest one")

    def takes(self, level_m: float) -> bool:
        """Whether a level stands between the marks, a mark itself included [m]."""
        return self.lowest_m - _ROUNDING_m <= level_m <= self.highest_m + _ROUNDING_m
