"""Plans shared by a link: a question, and of the kitchen only what the plan was reckoned with."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass, replace
from datetime import datetime

from .gear import Kitchen, NamedHeater, NamedVessel
from .texts import check_text, limits


@dataclass(frozen=True, slots=True)
class Shared:
    """A shared plan.

    name : of the food;  query : the question, as an address carries it;  kitchen : as `nameless` makes it
    created_at, expires_at : with a zone;  id : None before it is stored

    Raises ValueError for a long text, and when it expires before it begins.
    """

    name: str
    query: str
    kitchen: Kitchen
    created_at: datetime
    expires_at: datetime
    id: int | None = None

    def __post_init__(self) -> None:
        check_text(self.name, limits().name_characters, "the name of a shared plan", shortest=1)
        check_text(self.query, limits().question_characters, "a question", shortest=1)
        if self.expires_at <= self.created_at:
            raise ValueError("a shared plan must expire after it was shared")


def nameless(kitchen: Kitchen, vessel: str = "", heater: str = "") -> Kitchen:
    """A kitchen with what a plan is reckoned with, and nothing else: one vessel and one heater, without their names.

    vessel, heater : name of the one the question takes, empty or unknown for the usual one
    """
    one_vessel, one_heater = kitchen.vessel(vessel) or kitchen.vessel(), kitchen.heater(heater) or kitchen.heater()
    return replace(
        kitchen,
        vessels=() if one_vessel is None else (NamedVessel("vessel", one_vessel.vessel),),
        heaters=() if one_heater is None else (NamedHeater("heater", one_heater.heater),),
        price_per_kWh=None,
    )


def hash_of(token: str) -> str:
    """What the store keeps of a link's token: who reads the store cannot open the link."""
    return hashlib.sha256(token.encode("utf-8", "replace")).hexdigest()
