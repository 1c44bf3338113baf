"""The question of a batch: what holds for all of it, and a row of answers for each food."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Self
from urllib.parse import urlencode

from .question import Question

TOP = (
    "begin", "done", "days", "at", "fridge", "water", "ice", "order", "guests", "rules", "vessel", "heater", "cover",
    "litres", "sealed", "weight", "zone", "units",
)  # fmt: skip
LOT = (
    "food", "name", "thick", "wide", "long", "shape", "pieces", "mass", "total", "want", "bath", "days", "state",
    "start", "handling", "guests", "fish", "bag", "sear", "reheat", "serve",
)  # fmt: skip
MOST_ROWS = 30
_ROW = re.compile(r"l([1-9][0-9]?)\.([a-z]+)")


@dataclass(frozen=True, slots=True)
class Top(Question):
    """What holds for the whole batch: answers of `Question`, and some of its own; an empty string is no answer.

    begin, done : when the work begins, or by when everything is cold
    days : on which days it is eaten ("Mon to Fri", "Mon 2, Wed 3");  at : time of day at which it is eaten
    fridge : as measured between the bags;  water, ice : in the ice bath, and the ice at hand
    order : "cooler first" or "hotter first", for two set points in one bath
    """

    begin: str = ""
    done: str = ""
    days: str = ""
    at: str = ""
    fridge: str = ""
    water: str = ""
    order: str = ""


@dataclass(frozen=True, slots=True)
class LotRow(Question):
    """The answers about one food: those of `Question`, and some of its own.

    name : what it is called;  thick : of its pieces ("22 mm x2, 38 mm x4, 28 mm x2 overlapping")
    total : mass of all pieces;  days : on which days it is eaten
    reheat : set point of the bath it is warmed in;  serve : core to serve at
    """

    name: str = ""
    total: str = ""
    days: str = ""
    reheat: str = ""
    serve: str = ""


@dataclass(frozen=True, slots=True)
class BatchQuestion:
    """Every answer about a batch as the cook typed it."""

    top: Top = Top()
    lots: tuple[LotRow, ...] = ()

    @classmethod
    def of(cls, answers: Iterable[tuple[str, str]]) -> Self:
        """The question in an address: "begin", "l1.food", "l2.thick"; names that are not ours are ignored."""
        plain: dict[str, str] = {}
        rows: dict[int, dict[str, str]] = {}
        for name, value in answers:
            match = _ROW.fullmatch(name)
            if name in TOP:
                plain[name] = value.strip()
            elif match is not None and match[2] in LOT:
                rows.setdefault(int(match[1]), {})[match[2]] = value.strip()
        lots = tuple(LotRow(**row) for _, row in sorted(rows.items()))
        return cls(Top(**plain), lots[:MOST_ROWS])

    def pairs(self) -> list[tuple[str, str]]:
        """The answers that are not empty, and the food of every row, so that an empty row is a row still."""
        out = [(name, value) for name in TOP if (value := getattr(self.top, name))]
        for i, row in enumerate(self.lots, start=1):
            out += [(f"l{i}.{name}", value) for name in LOT if (value := getattr(row, name)) or name == "food"]
        return out

    def query(self) -> str:
        """The question as the query of an address."""
        return urlencode(self.pairs())

    def is_empty(self) -> bool:
        """True when nothing was answered at all."""
        return not any(value for _, value in self.pairs()) and not self.lots

    def changed(self, **answers: str) -> Self:
        """The question with some answers for the whole batch changed."""
        return replace(self, top=self.top.changed(**answers))

    def more(self) -> Self:
        """The question with one empty food more."""
        return self if len(self.lots) >= MOST_ROWS else replace(self, lots=(*self.lots, LotRow()))

    def without(self, row: str) -> Self:
        """The question without the food of a number; one that is not there changes nothing."""
        return replace(self, lots=tuple(lot for i, lot in enumerate(self.lots, start=1) if str(i) != row))
