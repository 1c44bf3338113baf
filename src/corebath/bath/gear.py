"""A bath as it stands: vessel, water, heater, cover, and the air of the room around it."""

from __future__ import annotations

from dataclasses import dataclass, replace

from corebath.bath.altitude import pressure_Pa
from corebath.bath.cover import Cover
from corebath.bath.files import number
from corebath.bath.heater import Heater
from corebath.bath.vessel import Vessel
from corebath.bath.water import boiling_point_C, liquid_cp_J_kgK, liquid_density_kg_m3, saturation_Pa
from corebath.units import between


@dataclass(frozen=True, slots=True)
class Room:
    """The air around a bath; walls of the room are as warm as its air.

    air_C : -10 to 50 [degC];  humidity : relative humidity, 0 to 1 [-]
    altitude_m : -500 to 5000 [m];  draught_m_s : speed of the air over the water, 0 to 2 [m/s]

    Raises ValueError outside those ranges.
    """

    air_C: float = 20.0
    humidity: float = 0.5
    altitude_m: float = 0.0
    draught_m_s: float = 0.0

    def __post_init__(self) -> None:
        between("the room's air", self.air_C, number("losses", "lowest_air_C"), number("losses", "highest_air_C"), "C")
        between("the humidity", self.humidity, 0.0, 1.0, "(as a share)")
        between("the draught", self.draught_m_s, 0.0, number("losses", "highest_draught_m_s"), "m/s")
        between(
            "the altitude", self.altitude_m, number("atmosphere", "lowest_m"), number("atmosphere", "highest_m"), "m"
        )

    @property
    def pressure_Pa(self) -> float:
        """Pressure of the air [Pa]."""
        return pressure_Pa(self.altitude_m)

    @property
    def vapour_Pa(self) -> float:
        """Partial pressure of vapour in the air [Pa]; below 0 degC that over supercooled water."""
        return self.humidity * float(saturation_Pa(self.air_C))

    @property
    def boiling_C(self) -> float:
        """Temperature at which water boils here [degC]."""
        return boiling_point_C(self.pressure_Pa)


@dataclass(frozen=True, slots=True)
class Bath:
    """A vessel with water in it.

    water_kg : mass of the water, above 0, at most what the vessel holds at 20 degC [kg]

    Raises ValueError when the vessel does not hold it.
    """

    vessel: Vessel
    water_kg: float
    heater: Heater
    cover: Cover
    room: Room

    def __post_init__(self) -> None:
        if not self.water_kg > 0:
            raise ValueError(f"a bath needs some water, got {self.water_kg:g} kg")
        self.level_m(20.0)

    @classmethod
    def filled(
        cls, vessel: Vessel, litres: float, heater: Heater, cover: Cover, room: Room, at_C: float = 20.0
    ) -> Bath:
        """A bath of so many litres, measured at a temperature of 0 to 100 degC."""
        between("the temperature of the water", at_C, 0.0, 100.0, "C")
        return cls(vessel, litres / 1000 * float(liquid_density_kg_m3(at_C)), heater, cover, room)

    def level_m(self, water_C: float, displaced_m3: float = 0.0) -> float:
        """Height of the surface above the floor at a water temperature, food under water included [m].

        Raises ValueError when water and food do not fit under the rim.
        """
        return self.vessel.level_m(self.volume_m3(water_C) + displaced_m3)

    def volume_m3(self, water_C: float) -> float:
        """Volume of the water at a temperature of 0 to 100 degC [m3]."""
        return self.water_kg / float(liquid_density_kg_m3(water_C))

    def heat_capacity_J_K(self, water_C: float) -> float:
        """Heat that water and wetted vessel take per kelvin [J/K]."""
        level = self.volume_m3(water_C) / self.vessel.area_m2
        return self.water_kg * float(liquid_cp_J_kgK(water_C)) + self.vessel.heat_capacity_J_K(level)

    def with_cover(self, cover: Cover) -> Bath:
        """The same bath under another cover."""
        return replace(self, cover=cover)

    def with_water(self, water_kg: float) -> Bath:
        """The same bath with another mass of water [kg]."""
        return replace(self, water_kg=water_kg)

    def check_water(self, water_C: float) -> None:
        """Raise ValueError unless the water is liquid here: from 0 degC to a kelvin below boiling."""
        between("the water's temperature at this altitude", water_C, 0.0, round(self.room.boiling_C - 1, 2), "C")
