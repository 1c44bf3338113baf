"""Equipment: what a plan's bath is made of."""

from __future__ import annotations

from dataclasses import dataclass, field

from corebath.bath.cover import Cover
from corebath.bath.delayed_start import check_ice
from corebath.bath.files import number
from corebath.bath.gear import Bath, Room
from corebath.bath.heater import Heater
from corebath.bath.vessel import Vessel
from corebath.units import mark


@dataclass(frozen=True, slots=True)
class IceStart:
    """Food that waits in ice water until a timer starts the heater.

    wait_s : from the ice to the heater's start, 60 s to 48 h [s];  ice_kg : 0 to 100 [kg]

    Raises ValueError outside those ranges.
    """

    wait_s: float
    ice_kg: float

    def __post_init__(self) -> None:
        check_ice(self.wait_s, self.ice_kg)


@dataclass(frozen=True, slots=True)
class Equipment:
    """A vessel with its heater, cover and water.

    litres : cold water filled in, or None to fill as high as the food allows [L]
    fill_C : water that the vessel is filled with;  top_up_C : water poured in later [degC]
    price_per_kWh, currency : of energy, None when not told
    bagging : "displacement" or "vacuum";  weight_kg : the weight that holds each bag under [kg]
    """

    vessel: Vessel
    heater: Heater
    cover: Cover
    room: Room = field(default_factory=Room)
    litres: float | None = None
    fill_C: float = 15.0
    top_up_C: float = 45.0
    price_per_kWh: float | None = None
    currency: str = "EUR"
    bagging: str = "displacement"
    weight_kg: float = 0.0

    def filled(self, food_m3: float, hot_C: float, ice_m3: float = 0.0) -> Bath:
        """The bath before the food goes in: the litres given, or so much that it stands highest with the food in.

        food_m3, ice_m3 : volume of the food, and of ice that is to float in it [m3]
        hot_C : set point, since warm water takes more room [degC]

        The level then goes to the heater's highest mark, or under the rim, whichever is lower. Raises ValueError
        when the litres do not fit the vessel, or when food and ice leave less room for water than they take.
        """
        if self.litres is not None:
            return Bath.filled(self.vessel, self.litres, self.heater, self.cover, self.room, at_C=self.fill_C)
        level_m = min(self.heater.highest_m, self.vessel.depth_m - number("fit", "under_rim_m"))
        room_m3 = self.vessel.volume_at_m3(level_m)
        solid_m3 = food_m3 + ice_m3
        if solid_m3 > room_m3 / 2:
            raise ValueError(
                f"{mark(round(solid_m3 * 1000, 2), 'L')} of food{' and ice' if ice_m3 else ''} in a vessel that holds "
                f"{mark(round(room_m3 * 1000, 2), 'L')} up to the heater's highest mark leaves too little water"
            )
        litres = (room_m3 - solid_m3) * 1000
        return Bath.filled(self.vessel, litres, self.heater, self.cover, self.room, at_C=hot_C)
