"""A cook: one executed plan, as it happened."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from math import isfinite

from corebath.units import mark


class Happening(StrEnum):
    """What the cook tells by one tap."""

    DROPPED_IN = "dropped in"
    TOPPED_UP = "topped up"
    BATH_OFF = "bath was off"
    BATH_ON = "bath is on again"
    SET_POINT = "set point changed"
    PULLED = "pulled"
    SERVED = "served"
    NOTE = "note"


class Place(StrEnum):
    """What a reading was taken of."""

    CORE = "core"
    BATH = "bath"


@dataclass(frozen=True, slots=True)
class Event:
    """One thing that happened.

    id : None before it is stored;  at : when it happened;  told_at : when it was entered, both with a zone
    value_C : the new set point, for `SET_POINT` [degC];  text : a note
    """

    happening: Happening
    at: datetime
    told_at: datetime
    value_C: float | None = None
    text: str = ""
    id: int | None = None


@dataclass(frozen=True, slots=True)
class Reading:
    """One temperature. at : with a zone;  value_C : -60 to 150 [degC];  source : "typed", a file's name, "http", a topic

    Raises ValueError outside that range or without a zone.
    """

    at: datetime
    place: Place
    value_C: float
    source: str = "typed"

    def __post_init__(self) -> None:
        if self.at.tzinfo is None:
            raise ValueError("a reading needs a time zone")
        if not (isfinite(self.value_C) and -60 <= self.value_C <= 150):
            raise ValueError(f"a reading must lie between {mark(-60, 'C')} and {mark(150, 'C')}")


@dataclass(frozen=True, slots=True)
class Rating:
    """What the table thought, each from -2 (far too little) to +2 (far too much), 0 just right, None not told.

    tender : -2 far too firm to +2 far too soft;  juicy : -2 far too dry to +2 too wet
    done : -2 far too pink or raw to +2 far too grey or cooked;  crust, salt : too little to too much
    """

    tender: int | None = None
    juicy: int | None = None
    done: int | None = None
    crust: int | None = None
    salt: int | None = None
    note: str = ""

    def __post_init__(self) -> None:
        for name in ("tender", "juicy", "done", "crust", "salt"):
            value = getattr(self, name)
            if value is not None and value not in range(-2, 3):
                raise ValueError(f"{name} is rated from -2 to 2")


@dataclass(frozen=True, slots=True)
class Cook:
    """One executed plan.

    id : None before it is stored;  question : the question's query, which makes the plan again
    planned_at : the moment the plan was made for;  name : what the cook calls it
    food, set_point_C, thickness_m, planned_bath_s : the plan in short, for lists and comparison
    events : in order of `at`;  rating : None before the meal;  ended : nothing more is expected
    revision : rises with every change
    """

    question: str
    planned_at: datetime
    name: str
    food: str
    set_point_C: float
    thickness_m: float
    planned_bath_s: float
    events: tuple[Event, ...] = ()
    rating: Rating | None = None
    ended: bool = False
    id: int | None = None
    revision: int = 0

    def first(self, happening: Happening) -> Event | None:
        """The first event of a kind, or None."""
        return next((event for event in self.events if event.happening is happening), None)

    @property
    def bath_s(self) -> float | None:
        """Time in the bath as it happened [s], None before both ends are told."""
        start, end = self.first(Happening.DROPPED_IN), self.first(Happening.PULLED)
        return None if start is None or end is None else (end.at - start.at).total_seconds()
