"""The question of a whole menu: courses, dishes and baths as rows of answers, as a file or an address carries them."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, fields, replace
from typing import Any, Self
from urllib.parse import urlencode

from .question import Question

TOP = ("zone", "rules", "units", "guests")
KITCHEN = ("pans", "hands", "asleep", "fridge")
COURSE = ("name", "eat")
DISH = (
    "name", "course", "food", "pieces", "thick", "wide", "long", "shape", "mass", "state", "start", "handling",
    "layers", "fish", "bag", "want", "bath", "salt", "sear", "pan", "hot", "surface", "guests", "ahead",
)  # fmt: skip
BATH = ("name", "vessel", "heater", "cover", "litres", "sealed", "weight")
MOST_ROWS = 99
_ROW = re.compile(r"([cdb])([1-9][0-9]?)\.([a-z]+)")


@dataclass(frozen=True, slots=True)
class Row(Question):
    """The answers about one course, dish or bath, under the names of `Question`, and three of its own.

    name : what it is called;  course : name of the course a dish belongs to
    ahead : may, never or must, whether a dish may be cooked ahead
    """

    name: str = ""
    course: str = ""
    ahead: str = ""


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of row. letter : before its number in an address;  accepted : its answers, the first one always kept"""

    letter: str
    word: str
    rows: str
    accepted: tuple[str, ...]
    lead: str


KINDS = (
    Kind("c", "course", "courses", COURSE, "eat"),
    Kind("d", "dish", "dishes", DISH, "food"),
    Kind("b", "bath", "baths", BATH, "vessel"),
)


@dataclass(frozen=True, slots=True)
class MenuQuestion:
    """Every answer about a menu as the cook typed it; an empty string is no answer.

    zone, rules, units, guests : as in `Question`, for the whole menu
    pans, hands : how many;  asleep : hours in which nothing is asked of the cook ("23:00-07:00"), or "never"
    fridge : as measured between the food
    courses, dishes, baths : one row each; no bath means the usual one of the kitchen
    """

    zone: str = ""
    rules: str = ""
    units: str = ""
    guests: str = ""
    pans: str = ""
    hands: str = ""
    asleep: str = ""
    fridge: str = ""
    courses: tuple[Row, ...] = ()
    dishes: tuple[Row, ...] = ()
    baths: tuple[Row, ...] = ()

    @classmethod
    def of(cls, answers: Iterable[tuple[str, str]]) -> Self:
        """The question in an address: "pans", "c1.eat", "d2.food", "b1.vessel"; names that are not ours are ignored."""
        plain: dict[str, Any] = {}
        rows: dict[str, dict[int, dict[str, str]]] = {kind.letter: {} for kind in KINDS}
        accepted = {kind.letter: kind.accepted for kind in KINDS}
        for name, value in answers:
            match = _ROW.fullmatch(name)
            if name in (*TOP, *KITCHEN):
                plain[name] = value.strip()
            elif match is not None and match[3] in accepted[match[1]]:
                rows[match[1]].setdefault(int(match[2]), {})[match[3]] = value.strip()
        made: dict[str, Any] = {
            kind.rows: tuple(Row(**r) for _, r in sorted(rows[kind.letter].items())) for kind in KINDS
        }
        return cls(**plain, **made)

    def pairs(self) -> list[tuple[str, str]]:
        """The answers that are not empty, and the first of every row, so that an empty row is a row still."""
        out = [(name, value) for name in (*TOP, *KITCHEN) if (value := getattr(self, name))]
        for kind in KINDS:
            for i, row in enumerate(self.rows(kind), start=1):
                out += [
                    (f"{kind.letter}{i}.{name}", value)
                    for name in kind.accepted
                    if (value := getattr(row, name)) or name == kind.lead
                ]
        return out

    def query(self) -> str:
        """The question as the query of an address."""
        return urlencode(self.pairs())

    def rows(self, kind: Kind) -> tuple[Row, ...]:
        """The rows of a kind."""
        found: tuple[Row, ...] = getattr(self, kind.rows)
        return found

    def with_rows(self, kind: Kind, rows: tuple[Row, ...]) -> Self:
        """The question with other rows of a kind."""
        changed: dict[str, Any] = {kind.rows: rows}
        return replace(self, **changed)

    def is_empty(self) -> bool:
        """True when nothing was answered at all."""
        return all(not getattr(self, field.name) for field in fields(self))

    def more(self, word: str) -> Self:
        """The question with one empty row more; word : course, dish or bath, anything else changes nothing.

        Dishes without a course belong to the only one there was.
        """
        kind = next((k for k in KINDS if k.word == word), None)
        if kind is None or len(self.rows(kind)) >= MOST_ROWS:
            return self
        grown = self.with_rows(kind, (*self.rows(kind), Row()))
        if word != "course" or len(self.courses) != 1:
            return grown
        only = self.courses[0].name or "course 1"
        return replace(grown, dishes=tuple(d if d.course else d.changed(course=only) for d in grown.dishes))

    def without(self, row: str) -> Self:
        """The question without a row, named as in an address ("d2"); a row that is not there changes nothing.

        Dishes of a course that is taken off have none.
        """
        kind = next((k for k in KINDS if row[:1] == k.letter), None)
        number = int(row[1:]) if row[1:].isascii() and row[1:].isdecimal() and len(row) < 4 else 0
        if kind is None or not 1 <= number <= len(self.rows(kind)):
            return self
        gone = self.rows(kind)[number - 1]
        left = self.with_rows(kind, tuple(r for i, r in enumerate(self.rows(kind), 1) if i != number))
        if kind.word != "course":
            return left
        name = (gone.name or f"course {number}").casefold()
        return replace(
            left, dishes=tuple(d.changed(course="") if d.course.casefold() == name else d for d in left.dishes)
        )
