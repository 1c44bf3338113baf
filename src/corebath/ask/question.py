"""The question: answers as typed, one short string a field, as an address or a command line carries them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, fields, replace
from typing import Self
from urllib.parse import urlencode


def short(text: str) -> str:
    """A typed text as a sentence can hold it: at most 40 letters."""
    return text if len(text) <= 40 else text[:39] + "…"


@dataclass(frozen=True, slots=True)
class Question:
    """Every answer as the cook typed it; an empty string is no answer.

    food : name of the food
    shape, thick, wide, long : body; thick is the diameter of a round piece
    pieces, mass : how many, and the mass of one
    state, start : fridge, frozen or room, and the measured temperature
    handling : intact, tenderised, rolled, minced or stuffed
    want : result in words or bath temperature;  bath : fixed time in the bath
    eat : table time;  zone : time zone
    guests : "risk" when someone at the table is at higher risk
    rules : US, UK or AU;  layers : pieces lying against each other
    fish : "frozen" when frozen against parasites;  bag : "garlic" when raw garlic, herbs or oil are inside
    sear : "no" when no hot sear follows
    salt : percent of the meat;  pan, hot, surface : pan material, its heat, and dry, patted or wet
    vessel, heater : name of one the kitchen owns, or sizes and powers as typed ("24 cm x 14 cm", "1.1 kW, 9 to 12 cm")
    cover, litres, weight : what lies over the water, cold water filled in, the weight that holds each bag under
    sealed : displacement or vacuum;  ice : wait in ice water before the heater starts, and the ice ("7 h, 3 kg")
    eaters, appetite : how many eat ("4, 2 small"), and small, usual or large;  paid : price of the food ("32/kg")
    units : metric or us
    """

    food: str = ""
    shape: str = ""
    thick: str = ""
    wide: str = ""
    long: str = ""
    pieces: str = ""
    mass: str = ""
    state: str = ""
    start: str = ""
    handling: str = ""
    want: str = ""
    bath: str = ""
    eat: str = ""
    zone: str = ""
    guests: str = ""
    rules: str = ""
    layers: str = ""
    fish: str = ""
    bag: str = ""
    sear: str = ""
    salt: str = ""
    pan: str = ""
    hot: str = ""
    surface: str = ""
    vessel: str = ""
    heater: str = ""
    cover: str = ""
    litres: str = ""
    weight: str = ""
    sealed: str = ""
    ice: str = ""
    eaters: str = ""
    appetite: str = ""
    paid: str = ""
    units: str = ""

    @classmethod
    def names(cls) -> tuple[str, ...]:
        """Names of all answers, in the order of the page."""
        return tuple(f.name for f in fields(cls))

    @classmethod
    def of(cls, answers: Mapping[str, str] | Iterable[tuple[str, str]]) -> Self:
        """The question in a mapping such as the query of an address; names that are not ours are ignored."""
        known = set(cls.names())
        return cls(**{k: v.strip() for k, v in dict(answers).items() if k in known})

    def given(self) -> dict[str, str]:
        """The answers that are not empty."""
        return {name: value for name in self.names() if (value := getattr(self, name))}

    def query(self) -> str:
        """The question as the query of an address."""
        return urlencode(self.given())

    def changed(self, **answers: str) -> Self:
        """The question with some answers changed."""
        return replace(self, **answers)
