"""Gear: the kitchen's vessels, heaters and habits, as a plan needs them."""

from __future__ import annotations

from dataclasses import dataclass, field
from math import isfinite
from typing import TypeVar
from zoneinfo import ZoneInfo

from corebath.bath.cover import Cover
from corebath.bath.gear import Bath, Room
from corebath.bath.heater import Heater
from corebath.bath.vessel import Vessel
from corebath.plan.data import defaults
from corebath.safety.authority import Authority
from corebath.units import METRIC, MarkUnit, Preference, TemperatureUnit, mark

T = TypeVar("T", "NamedVessel", "NamedHeater")
_LONGEST_NAME = 40


@dataclass(frozen=True, slots=True)
class NamedVessel:
    """A vessel the kitchen owns. Raises ValueError for an empty or long name."""

    name: str
    vessel: Vessel

    def __post_init__(self) -> None:
        _check_name(self.name, "vessel")


@dataclass(frozen=True, slots=True)
class NamedHeater:
    """A heater the kitchen owns. Raises ValueError for an empty or long name."""

    name: str
    heater: Heater

    def __post_init__(self) -> None:
        _check_name(self.name, "heater")


@dataclass(frozen=True, slots=True)
class Kitchen:
    """What holds for every question asked here, unless the question says otherwise.

    zone, preference, authority : time zone, units shown first, whose food rules
    room : the air around the bath, with the altitude
    cold_tap_C, hot_tap_C : 0 to 40 and 0 to 80 [degC];  freezer_C : -40 to -5 [degC]
    fridge_C : as measured between the food, -2 to 15, None when it was not measured [degC]
    probe_offset_K : what the thermometer reads too high, -5 to 5 [K]
    price_per_kWh, currency : of energy, None when not told
    cover : key of the cover usually used
    vessels, heaters : what the kitchen owns, the usual one first
    units_chosen : the units were kept as the kitchen's own, so that a bare temperature is one of them

    Raises ValueError outside those ranges and for two things of one name.
    """

    zone: ZoneInfo
    preference: Preference = METRIC
    authority: Authority = Authority.US
    room: Room = field(default_factory=Room)
    cold_tap_C: float = 15.0
    hot_tap_C: float = 45.0
    fridge_C: float | None = None
    freezer_C: float = -18.0
    probe_offset_K: float = 0.0
    price_per_kWh: float | None = None
    currency: str = "EUR"
    cover: str = "none"
    vessels: tuple[NamedVessel, ...] = ()
    heaters: tuple[NamedHeater, ...] = ()
    units_chosen: bool = field(default=False, compare=False)

    def __post_init__(self) -> None:
        ranges: tuple[tuple[str, float, float, float, MarkUnit], ...] = (
            ("the cold tap", self.cold_tap_C, 0.0, 40.0, "C"),
            ("the hot tap", self.hot_tap_C, 0.0, 80.0, "C"),
            ("the fridge", 4.0 if self.fridge_C is None else self.fridge_C, -2.0, 15.0, "C"),
            ("the freezer", self.freezer_C, -40.0, -5.0, "C"),
            ("the thermometer's offset", self.probe_offset_K, -5.0, 5.0, "K"),
        )
        for name, value, low, high, unit in ranges:
            if not (isfinite(value) and low <= value <= high):
                raise ValueError(f"{name} must lie between {mark(low, unit)} and {mark(high, unit)}")
        if self.price_per_kWh is not None and not 0 <= self.price_per_kWh <= 100:
            raise ValueError("the price of energy must lie between 0 and 100 a kWh")
        Cover.named(self.cover)
        for things in (self.vessels, self.heaters):
            names = [thing.name.casefold() for thing in things]
            if len(set(names)) < len(names):
                raise ValueError("two things of a kind cannot have the same name")

    @property
    def degree(self) -> TemperatureUnit | None:
        """The unit of a bare temperature, None where nobody chose one."""
        return self.preference.temperature if self.units_chosen or self.preference != METRIC else None

    @property
    def likely_fridge_C(self) -> float:
        """The fridge as measured, or as fridges usually are [degC]."""
        return float(defaults()["start_C"]["fridge"]) if self.fridge_C is None else self.fridge_C

    def vessel(self, name: str = "") -> NamedVessel | None:
        """The vessel of a name, the usual one for an empty name, None when the kitchen has none of that name."""
        return _named(self.vessels, name)

    def heater(self, name: str = "") -> NamedHeater | None:
        """The heater of a name, the usual one for an empty name, None when the kitchen has none of that name."""
        return _named(self.heaters, name)

    @property
    def usual_bath(self) -> str:
        """Names of the usual vessel and heater, empty when the kitchen lacks one of them."""
        vessel, heater = self.vessel(), self.heater()
        return f"{vessel.name}, {heater.name}" if vessel is not None and heater is not None else ""

    def bath(self, vessel: Vessel, heater: Heater, cover: Cover, litres: float) -> Bath:
        """A bath of so many litres of cold tap water in this kitchen's room. Raises ValueError when it overflows."""
        return Bath.filled(vessel, litres, heater, cover, self.room, at_C=self.cold_tap_C)


def _named(things: tuple[T, ...], name: str) -> T | None:
    if not name:
        return things[0] if things else None
    return next((thing for thing in things if thing.name.casefold() == name.casefold()), None)


def _check_name(name: str, what: str) -> None:
    if not name.strip() or len(name) > _LONGEST_NAME or not name.isprintable():
        raise ValueError(f"the name of a {what} must have 1 to {_LONGEST_NAME} characters")
