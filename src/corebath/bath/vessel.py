"""Vessels: what holds the water, and litres against depth."""

from __future__ import annotations

from dataclasses import dataclass
from math import inf, pi

from corebath.bath.files import row
from corebath.bath.say import quantity
from corebath.units import between


@dataclass(frozen=True, slots=True)
class Wall:
    """What a vessel is made of.

    key, words : its name; thickness_m [m]; k_W_mK [W/(m K)]; rho_kg_m3 [kg/m3]; cp_J_kgK [J/(kg K)]
    emissivity : of the outer face [-]
    """

    key: str
    words: str
    thickness_m: float
    k_W_mK: float
    rho_kg_m3: float
    cp_J_kgK: float
    emissivity: float
    source: str

    @classmethod
    def named(cls, key: str) -> Wall:
        """A wall of the data file by its key. Raises ValueError that lists the keys."""
        r = row("walls.csv", key, "wall")
        return cls(
            r["key"], r["words"], float(r["thickness_m"]), float(r["k_W_mK"]), float(r["rho_kg_m3"]),
            float(r["cp_J_kgK"]), float(r["emissivity"]), r["source"],
        )  # fmt: skip

    @property
    def resistance_m2K_W(self) -> float:
        """Resistance of the wall itself [m2 K/W]."""
        return self.thickness_m / self.k_W_mK

    @property
    def capacity_J_m2K(self) -> float:
        """Heat held by a square metre [J/(m2 K)]."""
        return self.thickness_m * self.rho_kg_m3 * self.cp_J_kgK


@dataclass(frozen=True, slots=True)
class Vessel:
    """A round or rectangular vessel, inner sizes.

    length_m : length, or the diameter when width_m is None, 0.08 to 1.5 [m]
    width_m : width, 0.08 to 1.5, or None for a round vessel [m]
    depth_m : floor to rim, 0.05 to 1 [m]
    wall : what it is made of
    wrap_m2K_W : resistance of what is wrapped round the sides, 0 to 2: 0.25 for 10 mm of dry towel [m2 K/W]

    Raises ValueError outside those ranges.
    """

    length_m: float
    width_m: float | None
    depth_m: float
    wall: Wall
    wrap_m2K_W: float = 0.0

    def __post_init__(self) -> None:
        between("the length or diameter of the vessel", self.length_m, 0.08, 1.5, "m")
        if self.width_m is not None:
            between("the width of the vessel", self.width_m, 0.08, 1.5, "m")
        between("the depth of the vessel", self.depth_m, 0.05, 1.0, "m")
        between("the wrap round the vessel", self.wrap_m2K_W, 0.0, 2.0, "m2K/W")

    @classmethod
    def round(cls, diameter_m: float, depth_m: float, wall: str = "steel", wrap_m2K_W: float = 0.0) -> Vessel:
        """A round vessel with a wall of the data file."""
        return cls(diameter_m, None, depth_m, Wall.named(wall), wrap_m2K_W)

    @classmethod
    def rectangular(
        cls, length_m: float, width_m: float, depth_m: float, wall: str = "plastic", wrap_m2K_W: float = 0.0
    ) -> Vessel:
        """A rectangular vessel with a wall of the data file."""
        return cls(length_m, width_m, depth_m, Wall.named(wall), wrap_m2K_W)

    @property
    def area_m2(self) -> float:
        """Area of the water surface [m2]."""
        return pi * self.length_m**2 / 4 if self.width_m is None else self.length_m * self.width_m

    @property
    def perimeter_m(self) -> float:
        """Length of the water line [m]."""
        return pi * self.length_m if self.width_m is None else 2 * (self.length_m + self.width_m)

    @property
    def volume_m3(self) -> float:
        """Volume up to the rim [m3]."""
        return self.area_m2 * self.depth_m

    def level_m(self, volume_m3: float) -> float:
        """Height of the surface above the floor [m]. Raises ValueError for less than none or beyond the rim."""
        if not 0 <= volume_m3 <= self.volume_m3 * (1 + 1e-9):
            raise ValueError(
                f"the vessel holds {quantity(self.volume_m3 * 1000, 'L')} up to its rim, got "
                f"{quantity(volume_m3 * 1000, 'L') if 0 <= volume_m3 < inf else f'{volume_m3 * 1000:g} L'}"
            )
        return volume_m3 / self.area_m2

    def volume_at_m3(self, level_m: float) -> float:
        """Volume below a level [m3]. Raises ValueError for a level outside the vessel."""
        between("the level", level_m, 0.0, self.depth_m, "m")
        return level_m * self.area_m2

    def heat_capacity_J_K(self, level_m: float) -> float:
        """Heat held by the wetted walls and the floor, taken as warm right through [J/K]."""
        return self.wall.capacity_J_m2K * (self.area_m2 + self.perimeter_m * level_m)
