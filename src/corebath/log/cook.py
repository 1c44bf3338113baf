"""A cook: one executed plan, as it happened."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from math import isfinite

from corebath.units import mark

from .texts import check_bath, check_readings, check_text, limits


class Happening(StrEnum):
    """What the cook tells by one tap."""

    DROPPED_IN = "dropped in"
    TOPPED_UP = "topped up"
    BATH_OFF = "bath was off"
    BATH_ON = "bath is on again"
    SEEN_FINE = "bath seen fine"
    POWER_HELD = "power held"
    SET_POINT = "set point changed"
    PULLED = "pulled"
    SERVED = "served"
    DONE = "done"
    NOTE = "note"


class Place(StrEnum):
    """What a reading was taken of."""

    CORE = "core"
    BATH = "bath"


@dataclass(frozen=True, slots=True)
class Event:
    """One thing that happened.

    id : None before it is stored;  at : when it happened;  told_at : when it was entered, both with a zone
    value_C : the new set point, for `SET_POINT` [degC];  text : a note, or the key of the task that is `DONE`

    Raises ValueError without a zone, for a long text, and for a set point without its temperature.
    """

    happening: Happening
    at: datetime
    told_at: datetime
    value_C: float | None = None
    text: str = ""
    id: int | None = None

    def __post_init__(self) -> None:
        if self.at.tzinfo is None or self.told_at.tzinfo is None:
            raise ValueError("an event needs a time zone")
        if self.value_C is None and self.happening is Happening.SET_POINT:
            raise ValueError("a changed set point needs its temperature")
        if self.value_C is not None and not (isfinite(self.value_C) and 0 <= self.value_C <= 100):
            raise ValueError(f"a set point must lie between {mark(0, 'C')} and {mark(100, 'C')}")
        check_text(self.text, limits().note_characters, "a note")


@dataclass(frozen=True, slots=True)
class Reading:
    """One temperature. at : with a zone;  value_C : as a kitchen's thermometer reads [degC]
    source : "typed", a file's name, a topic

    Raises ValueError outside that range, without a zone and for a long or empty source.
    """

    at: datetime
    place: Place
    value_C: float
    source: str = "typed"

    def __post_init__(self) -> None:
        if self.at.tzinfo is None:
            raise ValueError("a reading needs a time zone")
        check_readings(self.value_C)
        check_text(self.source, limits().source_characters, "the source of a reading", shortest=1)

    def of_water(self) -> Reading:
        """The same reading. Raises ValueError where it is of the bath and no water has that temperature.

        For readings as they come in; those that were kept before stay as they are, and a verdict leaves them out.
        """
        if self.place is Place.BATH:
            check_bath(self.value_C)
        return self


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
        check_text(self.note, limits().note_characters, "a note")


@dataclass(frozen=True, slots=True)
class Cook:
    """One executed plan.

    id : None before it is stored;  question : the question's query, which makes the plan again
    planned_at : the moment the plan was made for;  name : what the cook calls it
    food, set_point_C, thickness_m, planned_bath_s : the plan in short, for lists and comparison
    events : in order of `at`;  rating : None before the meal;  ended : nothing more is expected
    revision : rises with every change

    Raises ValueError without a zone, for a name of no or too many characters and for figures that are none.
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

    def __post_init__(self) -> None:
        if self.planned_at.tzinfo is None:
            raise ValueError("a cook needs a time zone")
        check_text(self.name, limits().name_characters, "the name of a cook", shortest=1)
        check_text(self.food, limits().name_characters, "the food of a cook", shortest=1)
        check_text(self.question, limits().question_characters, "the question of a cook")
        if not (isfinite(self.set_point_C) and 0 <= self.set_point_C <= 100):
            raise ValueError(f"a set point must lie between {mark(0, 'C')} and {mark(100, 'C')}")
        if not (isfinite(self.thickness_m) and self.thickness_m > 0):
            raise ValueError("the thickness of a cook must be above nothing")
        if not (isfinite(self.planned_bath_s) and self.planned_bath_s >= 0):
            raise ValueError("the planned time in the bath must be 0 or more")

    def first(self, happening: Happening) -> Event | None:
        """The first event of a kind, or None."""
        return next((event for event in self.events if event.happening is happening), None)

    @property
    def cooked_at(self) -> datetime:
        """The cook's date: when it dropped in, else when it was pulled, else when it was started from its plan."""
        known = self.first(Happening.DROPPED_IN) or self.first(Happening.PULLED)
        return self.planned_at if known is None else known.at

    @property
    def bath_s(self) -> float | None:
        """Time in the bath as it happened [s], None before both ends are told."""
        start, end = self.first(Happening.DROPPED_IN), self.first(Happening.PULLED)
        return None if start is None or end is None else (end.at - start.at).total_seconds()
