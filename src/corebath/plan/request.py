"""The request: everything the cook answered, checked, in SI units."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum
from math import isfinite
from zoneinfo import ZoneInfo

from corebath.bath.altitude import at_altitude
from corebath.bath.delayed_start import ICE_FOOD_C
from corebath.food.catalogue import Food
from corebath.food.kinds import Handling
from corebath.heat.body import Body
from corebath.outcome.results import Result
from corebath.safety.authority import Authority
from corebath.safety.subject import Subject
from corebath.units import METRIC, US, mark, snap_set_point
from corebath.units.factors import FAHRENHEIT_PER_K

from .data import defaults, pace_of
from .equipment import Equipment, IceStart


class State(StrEnum):
    """Where the piece comes from."""

    FRIDGE = "fridge"
    FROZEN = "frozen"
    ROOM = "room"


class BadRequest(ValueError):  # noqa: N818 - it is the request that is bad, not the program
    """A request that cannot be planned as asked.

    field : name of the answer to change;  the message is one sentence with quantities as marks
    """

    def __init__(self, field: str, message: str) -> None:
        super().__init__(message)
        self.field = field


_SIZES = {"thick": "thickness or diameter", "wide": "second side", "long": "third side or length"}


_COMES = {
    State.FRIDGE: "food from the fridge",
    State.FROZEN: "frozen food",
    State.ROOM: "food at room temperature",
}


def check_size(field: str, size_m: float) -> None:
    """Raise BadRequest unless a size [m] leaves room for its spread; field : "thick", "wide" or "long"."""
    low, high = defaults()["limits"]["thick_m" if field == "thick" else "wide_m"]
    if not low <= size_m <= high:
        raise BadRequest(field, f"the {_SIZES[field]} must lie between {mark(low, 'm')} and {mark(high, 'm')}")


@dataclass(frozen=True, slots=True)
class Request:
    """One question of the cook.

    food : entry of the catalogue;  body : one piece as it lies in its bag
    table_time, now : when to eat and when the question is asked, both with a zone;  zone : the cook's own
    result : wanted result in words, or None when `set_point_C` is given
    set_point_C : fixed set point [degC], or None to let the plan choose
    bath_s : fixed time in the bath [s], or None to let the plan choose
    state, start_C : where the piece comes from, and its temperature when measured [degC]
    handling : None takes the catalogue's default
    pieces : how many;  piece_mass_kg : mass of one, when weighed [kg]
    layers : pieces lying against each other through the thickness; they heat as one thicker body
    guests_at_risk : someone at the table is pregnant, elderly, very young or ill
    authority : whose rules hold
    parasites_frozen, garlic_or_oil, seared : see `safety.subject.Subject`
    salt_percent : salt of the meat, or None for the food's usual dose [%]
    pan, pan_C, surface : pan material, its temperature [degC], and the surface: dry, patted or wet
    fridge_C : fridge as measured, or None [degC]
    equipment : vessel, heater and cover, or None when nothing is known of the bath
    altitude_m : of the kitchen; with equipment that of its room [m]
    ice : the food waits in ice water in the vessel until the heater starts, or None
    probe_offset_K : what the bath's thermometer reads too high [K]
    heater_in_F : the heater is set in whole degrees Fahrenheit, not in halves of a degree Celsius

    Raises BadRequest, naming the field.
    """

    food: Food
    body: Body
    table_time: datetime
    now: datetime
    zone: ZoneInfo
    result: Result | None = None
    set_point_C: float | None = None
    bath_s: float | None = None
    state: State = State.FRIDGE
    start_C: float | None = None
    handling: Handling | None = None
    pieces: int = 1
    piece_mass_kg: float | None = None
    layers: int = 1
    guests_at_risk: bool = False
    authority: Authority = Authority.US
    parasites_frozen: bool = False
    garlic_or_oil: bool = False
    seared: bool = True
    salt_percent: float | None = None
    pan: str = str(defaults()["sear"]["pan"])
    pan_C: float | None = None
    surface: str = str(defaults()["sear"]["surface"])
    fridge_C: float | None = None
    equipment: Equipment | None = None
    altitude_m: float = 0.0
    ice: IceStart | None = None
    probe_offset_K: float = 0.0
    heater_in_F: bool = False

    def __post_init__(self) -> None:
        if self.equipment is not None:
            object.__setattr__(self, "altitude_m", self.equipment.room.altitude_m)
        limits = defaults()["limits"]
        if self.table_time.tzinfo is None or self.now.tzinfo is None:
            raise BadRequest("eat", "the table time needs a time zone")
        if self.table_time <= self.now:
            raise BadRequest("eat", "the table time has passed already; choose one that lies ahead")
        days = limits["farthest_table_time_days"]
        if self.table_time - self.now > timedelta(days=days):
            raise BadRequest("eat", f"the table time lies more than {days} days ahead; choose a nearer one")
        if self.result is None and self.set_point_C is None:
            raise BadRequest("want", "say how you want it: a result in words or a bath temperature")
        if self.set_point_C is not None:
            low, high = limits["lowest_set_point_C"], self.highest_set_point_C
            if not isfinite(self.set_point_C) or not low <= self.set_point_C <= high:
                raise BadRequest(
                    "want",
                    f"the bath temperature must lie between {mark(low, 'C')} and {mark(round(high, 1), 'C')}, "
                    f"clear of boiling near {mark(round(at_altitude(self.altitude_m).boiling_C.nominal, 1), 'C')} here",
                )
        longest = limits["longest_bath_h"] * 3600
        if self.bath_s is not None and not 60 <= self.bath_s <= longest:
            raise BadRequest("bath", f"the time in the bath must lie between {mark(60, 's')} and {mark(longest, 's')}")
        if not 1 <= self.pieces <= limits["most_pieces"]:
            raise BadRequest("pieces", f"the number of pieces must lie between 1 and {limits['most_pieces']}")
        if not 1 <= self.layers <= 6:
            raise BadRequest("layers", "between 1 and 6 pieces can lie against each other")
        if self.piece_mass_kg is not None and not 0.005 <= self.piece_mass_kg <= 25:
            raise BadRequest("mass", f"one piece must weigh between {mark(0.005, 'kg')} and {mark(25, 'kg')}")
        if not (isfinite(self.probe_offset_K) and abs(self.probe_offset_K) <= 5):
            raise BadRequest("probe", f"the thermometer's offset must lie within {mark(5, 'K')}")
        if self.salt_percent is not None and not 0 <= self.salt_percent <= 5:
            raise BadRequest("salt", "the salt must lie between 0 and 5 % of the meat")
        if self.pan_C is not None and not 100 <= self.pan_C <= 350:
            raise BadRequest("hot", f"the pan must be between {mark(100, 'C')} and {mark(350, 'C')}")
        self._check_body()
        self._check_start()
        self._check_ice()

    def _check_body(self) -> None:
        body = self.body
        for field, size_m in (("thick", body.thickness_m), ("wide", body.width_m), ("long", body.length_m)):
            if size_m is not None:
                check_size(field, size_m)
        if self.layers == 1:
            return
        if body.is_round:
            raise BadRequest(
                "layers", "round pieces lying against each other are not known as one body: bag them apart, in 1 layer"
            )
        high = defaults()["limits"]["thick_m"][1]
        if self.layers * body.thickness_m > high:
            raise BadRequest("layers", f"pieces lying against each other can be {mark(high, 'm')} thick in all at most")

    def _check_start(self) -> None:
        if self.start_C is None:
            return
        low, high = (-40.0, -5.0) if self.state is State.FROZEN else (-1.0, 30.0)
        if not (isfinite(self.start_C) and low <= self.start_C <= high):
            raise BadRequest(
                "start",
                f"{_COMES[self.state]} must start between {mark(low, 'C')} and {mark(high, 'C')}",
            )

    def _check_ice(self) -> None:
        if self.ice is None:
            return
        if self.equipment is None:
            raise BadRequest("ice", "a wait in ice is computed for a vessel and a heater: say which")
        if self.state is not State.FRIDGE:
            raise BadRequest("ice", "only food from the fridge can wait in ice water")
        low, high = ICE_FOOD_C
        if not low <= self.from_C <= high:
            raise BadRequest(
                "start", f"food that waits in ice must start between {mark(low, 'C')} and {mark(high, 'C')}"
            )
        if self.piece_mass_kg is None and self.body.volume_m3 is None:
            raise BadRequest("mass", "say what one piece weighs: the ice it takes depends on it")

    @property
    def step_K(self) -> float:
        """Step in which the heater is set [K]."""
        return 1.0 / FAHRENHEIT_PER_K if self.heater_in_F else 0.5

    def on_step(self, temperature_C: float) -> float:
        """The nearest temperature the heater can be set to [degC]."""
        return snap_set_point(temperature_C, US if self.heater_in_F else METRIC)

    @property
    def highest_set_point_C(self) -> float:
        """Highest set point that keeps clear of boiling at this altitude [degC]."""
        return at_altitude(self.altitude_m).highest_set_point_C

    @property
    def from_C(self) -> float:
        """Temperature of the piece when it drops in [degC]."""
        if self.start_C is not None:
            return self.start_C
        return float(defaults()["start_C"][self.state.value])

    @property
    def starts_warm(self) -> bool:
        """True when it was out of the cold before it drops in, for a time that is not known."""
        return self.from_C > float(defaults()["warm_start"]["above_C"])

    @property
    def treated_as(self) -> Handling:
        """Handling, the catalogue's default when the cook named none."""
        return self.handling if self.handling is not None else self.food.default_handling

    @property
    def lying_together(self) -> Body:
        """The body that heats: one piece, or several against each other as one thicker body."""
        return self.body if self.layers == 1 else self.body.stacked(self.layers)

    @property
    def subject(self) -> Subject:
        """What the rules need to know."""
        return Subject(
            kind=self.food.kind,
            handling=self.treated_as,
            fat=self.food.composition.fat,
            guests_at_risk=self.guests_at_risk,
            seared=self.seared and pace_of(self.food.texture).finish == "sear",
            parasites_frozen=self.parasites_frozen or "parasites" not in self.food.hazards,
            garlic_or_oil=self.garlic_or_oil,
            parasites="parasites" in self.food.hazards,
        )
