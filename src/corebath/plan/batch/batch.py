"""A batch as asked: what is cooked together, when, and who eats how many portions on which day."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, time
from enum import StrEnum
from typing import Any
from zoneinfo import ZoneInfo

from corebath.data_files import read_toml
from corebath.plan.data import defaults
from corebath.plan.equipment import Equipment
from corebath.plan.request import BadRequest, Request, check_size
from corebath.units import mark


def settings() -> dict[str, Any]:
    """What a batch assumes when the cook says nothing; every table names its source."""
    return read_toml("corebath.plan.batch", "batch.toml")


class Order(StrEnum):
    """Which of two set points comes first in one bath."""

    COOLER = "cooler first"
    HOTTER = "hotter first"


@dataclass(frozen=True, slots=True)
class Pieces:
    """Pieces of one measured thickness.

    thickness_m : of each [m];  count : how many;  mass_kg : of one, when weighed [kg]
    overlapping : they lie on each other in one bag, all of them, and heat as one thicker body
    """

    thickness_m: float
    count: int
    mass_kg: float | None = None
    overlapping: bool = False

    def __post_init__(self) -> None:
        check_size("thick", self.thickness_m)
        most = settings()["limits"]["most_pieces"]
        if not 1 <= self.count <= most:
            raise BadRequest("thick", f"between 1 and {most} pieces of one thickness can be cooked, not {self.count}")
        if self.overlapping and not 2 <= self.count <= 6:
            raise BadRequest("thick", "between 2 and 6 pieces can lie on each other in one bag")

    @property
    def layers(self) -> int:
        """How many lie on each other."""
        return self.count if self.overlapping else 1


@dataclass(frozen=True, slots=True)
class Portions:
    """Portions eaten on a day: one piece is one portion. count : 1 or more"""

    day: date
    count: int


@dataclass(frozen=True, slots=True)
class Lot:
    """Pieces of one food, cooked to one result.

    name : unique in the batch
    request : what it is, how it is wanted and who eats, with the body of its thickest piece; its table time, number,
        mass and layers are not used, and it has no equipment
    pieces : as measured, any order;  eaten : on which days, in order; pieces left over have no day
    reheat_C : set point of the reheating bath, None to let the plan choose [degC]
    serve_C : core to serve at, None for the usual [degC]

    Raises BadRequest, naming the answer, for days twice or more portions than pieces.
    """

    name: str
    request: Request
    pieces: tuple[Pieces, ...]
    eaten: tuple[Portions, ...] = ()
    reheat_C: float | None = None
    serve_C: float | None = None

    def __post_init__(self) -> None:
        if not self.pieces:
            raise BadRequest("thick", "say how thick the pieces are, such as 38 mm x10")
        most = settings()["limits"]["most_pieces"]
        if self.count > most:
            raise BadRequest("thick", f"at most {most} pieces of one food can be cooked in a batch, not {self.count}")
        if any(p.overlapping for p in self.pieces) and self.request.body.is_round:
            raise BadRequest("thick", "round pieces lying on each other are not known as one body: bag them apart")
        thickest_m, most_m = max(p.layers * p.thickness_m for p in self.pieces), defaults()["limits"]["thick_m"][1]
        if thickest_m > most_m:
            raise BadRequest("thick", f"pieces lying on each other can be {mark(most_m, 'm')} thick in all at most")
        days = [portions.day for portions in self.eaten]
        if len(set(days)) < len(days) or days != sorted(days):
            raise BadRequest("days", "the days on which it is eaten must be named once each")
        if any(portions.count < 1 for portions in self.eaten):
            raise BadRequest("days", "a day needs at least one portion")
        wanted = sum(portions.count for portions in self.eaten)
        if wanted > self.count:
            raise BadRequest("days", f"{wanted} portions are eaten and {self.count} cooked: name fewer, or cook more")
        if self.reheat_C is not None and not 40.0 <= self.reheat_C <= 95.0:
            raise BadRequest("reheat", f"the reheating bath must lie between {mark(40, 'C')} and {mark(95, 'C')}")

    @property
    def count(self) -> int:
        """How many pieces there are."""
        return sum(pieces.count for pieces in self.pieces)


@dataclass(frozen=True, slots=True)
class Batch:
    """Everything the cook asks of one batch.

    lots : 1 to 12, names unique
    start : when the work begins, or None;  done_by : when everything that is kept is cold, or None; one of the two
    at : time of day at which portions are eaten;  now : moment of asking;  zone : the cook's own
    fridge_C : as measured between the bags, None when it was not [degC];  freezer_C : -40 to -5 [degC]
    equipment : vessel, heater and cover of the one bath, or None when nothing is known of it
    ice_water_kg : water in the ice bath, None for as much as there is food [kg];  tap_C : of that water [degC]
    ice_kg : ice at hand, None when not told [kg];  room_C : the kitchen [degC]
    order : which set point comes first in the one bath

    Raises BadRequest, naming the answer.
    """

    lots: tuple[Lot, ...]
    start: datetime | None
    done_by: datetime | None
    now: datetime
    zone: ZoneInfo
    at: time = time(12, 30)
    fridge_C: float | None = None
    freezer_C: float = -18.0
    equipment: Equipment | None = None
    ice_water_kg: float | None = None
    tap_C: float = 15.0
    ice_kg: float | None = None
    room_C: float = 20.0
    order: Order = Order.COOLER

    def __post_init__(self) -> None:
        limits = settings()["limits"]
        if not 1 <= len(self.lots) <= limits["most_lots"]:
            raise BadRequest("lot", f"a batch takes 1 to {limits['most_lots']} foods, not {len(self.lots)}")
        names = [lot.name.casefold() for lot in self.lots]
        if len(set(names)) < len(names):
            raise BadRequest("lot", "two foods of a batch cannot have the same name: give them names of their own")
        if (self.start is None) == (self.done_by is None):
            raise BadRequest("start", "say either when the work starts or by when everything is cold, and not both")
        if self.ice_water_kg is not None and not 0.5 <= self.ice_water_kg <= 200:
            raise BadRequest("water", f"the ice bath takes {mark(0.5, 'kg')} to {mark(200, 'kg')} of water")
        if self.ice_kg is not None and not 0 <= self.ice_kg <= 200:
            raise BadRequest("ice", f"the ice must weigh between {mark(0, 'kg')} and {mark(200, 'kg')}")
