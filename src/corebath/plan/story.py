"""The whole story of one piece: what is done to it, its stretches, and every finding at its moment."""

from __future__ import annotations

from dataclasses import dataclass

from corebath.chill.cool import Chill
from corebath.chill.keep import Keeping
from corebath.chill.reheat import Reheat
from corebath.heat.history import History
from corebath.safety.finding import Finding
from corebath.safety.lethality import LethalityRule
from corebath.salt.brine import Salting
from corebath.sear.hot import HotFace
from corebath.sear.sear import Sear
from corebath.units import mark

from .known import KnownPiece

COLD_C = 5.0  # the core that ends the chill: cold holding
_HOUR, _DAY = 3600.0, 86_400.0


@dataclass(frozen=True, slots=True)
class Way:
    """What is done to the piece.

    set_point_C, bath_s : the cook [degC], [s]
    salt_percent, salt_s : dry brine, None for none [%], and its wait in the fridge [s]
    chill_in : medium of `chill.tables`;  fridge_C : the fridge as measured [degC];  keep_s : how long it keeps [s]
    reheat_C : set point of the second bath, None for a little below the first [degC]
    serve_C : core it is warmed to, None for the usual [degC]
    offset_K : what the thermometer of both baths reads too high; the water is that much cooler than it is set [K]
    dry_s : open to the air before the pan [s];  hot : what it is seared on, None for no sear
    film_kg_m2 : water left on its faces then [kg/m2];  room_C : the kitchen [degC]
    boiling_C : where water boils here [degC]

    Raises ValueError for a time outside 1 min to 96 h in the bath, 1 h to 30 days kept, 10 min to 7 days salted and
    1 s to 1 h dried. The other figures are checked by the rooms they go to.
    """

    set_point_C: float
    bath_s: float
    salt_percent: float | None
    salt_s: float
    hot: HotFace | None
    film_kg_m2: float
    fridge_C: float
    keep_s: float
    dry_s: float
    chill_in: str = "ice-water-still"
    reheat_C: float | None = None
    serve_C: float | None = None
    room_C: float = 20.0
    boiling_C: float = 100.0
    offset_K: float = 0.0

    @property
    def bath_C(self) -> float:
        """The water of the cook in truth [degC]."""
        return self.set_point_C - self.offset_K

    def __post_init__(self) -> None:
        for name, value_s, low_s, high_s, counts in (
            ("the time in the bath", self.bath_s, 60.0, 96 * _HOUR, True),
            ("the time it is kept", self.keep_s, _HOUR, 30 * _DAY, True),
            ("the wait after salting", self.salt_s, 600.0, 7 * _DAY, self.salt_percent is not None),
            ("the drying", self.dry_s, 1.0, _HOUR, self.hot is not None),
        ):
            if counts and not low_s <= value_s <= high_s:
                raise ValueError(f"{name} must lie between {mark(low_s, 's')} and {mark(high_s, 's')}")


@dataclass(frozen=True, slots=True)
class Leg:
    """One stretch of the story.

    key : salted, bath, chill, kept, reheat, dried, sear or rest;  name : in the cook's words
    start_s, end_s : on the story's clock [s];  statements : what is said of it
    """

    key: str
    name: str
    start_s: float
    end_s: float
    statements: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Told:
    """A finding at its moment. at_s : on the story's clock [s];  leg : key of the stretch it belongs to"""

    finding: Finding
    at_s: float
    leg: str


@dataclass(frozen=True, slots=True)
class Story:
    """One piece from the salt to the plate.

    nominal : the whole history of a piece as described
    cautious : from drop-in to the end of the reheating, the piece that is slowest to warm and to cool at once, in
        the warmest cold; findings are its, with their times from drop-in
    legs : the stretches in order;  told : every finding at its moment, in order of time
    pasteurised_by : the core treatment met in the bath, None for heated only
    """

    piece: KnownPiece
    way: Way
    nominal: History
    cautious: History
    legs: tuple[Leg, ...]
    told: tuple[Told, ...]
    pasteurised_by: LethalityRule | None
    salting: Salting | None
    chill: Chill
    keeping: Keeping
    reheat: Reheat
    seared: Sear | None

    @property
    def findings(self) -> tuple[Finding, ...]:
        """Every finding, in order of its moment."""
        return tuple(told.finding for told in self.told)

    def leg(self, key: str) -> Leg:
        """The stretch of a key. Raises KeyError when the story has none."""
        return next((leg for leg in self.legs if leg.key == key), None) or _no_leg(key)


def _no_leg(key: str) -> Leg:
    raise KeyError(f"this story has no stretch {key!r}")
