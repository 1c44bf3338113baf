"""What a scenario holds: the question, the commands, the numbers with their bands, and what has to be said."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from .asking import Ask, Told, ask_all

Answers = dict[str, Told]


@dataclass(frozen=True, slots=True)
class Number:
    """One number against its band.

    of : reads it from the answers, in `unit`
    band : lowest and highest that were worked out beforehand, by an independent model or by arithmetic
    why : where it lies outside: which of the two is right, and why
    """

    what: str
    unit: str
    band: tuple[float, float]
    of: Callable[[Answers], float]
    why: str = ""

    def inside(self, value: float) -> bool:
        """Whether it lies in the band as printed: times to a minute, all else to a tenth."""
        if self.unit == "clock":
            return self.band[0] <= value <= self.band[1]
        return self.band[0] <= round(value, 0 if self.unit == "min" and value >= 10 else 1) <= self.band[1]


@dataclass(frozen=True, slots=True)
class Said:
    """Something the answer has to say, or to refuse. of : whether it does"""

    what: str
    of: Callable[[Answers], bool]


@dataclass(frozen=True, slots=True)
class Scenario:
    """One cook at the door.

    key : name of its page;  story : what the cook tells;  bands_from : where the bands come from
    now : when it is asked;  altitude_m [m] : of its kitchen;  short : what the tool does not do for this cook
    pages, by_pages : where there is no command, the steps in the browser, and a run of them
    """

    key: str
    title: str
    story: str
    bands_from: str
    now: datetime
    asks: tuple[Ask, ...]
    numbers: tuple[Number, ...]
    said: tuple[Said, ...]
    short: tuple[str, ...] = ()
    altitude_m: float = 0.0
    pages: tuple[str, ...] = ()
    by_pages: Callable[[], Answers] | None = None

    def answers(self) -> Answers:
        """Its commands' answers, at its moment and in its kitchen."""
        return ask_all(self.asks, self.now, self.altitude_m) if self.by_pages is None else self.by_pages()


def minutes_of(plan: dict[str, Any], rule: str) -> float:
    """Minutes [min] in which a piece as measured meets a heat rule."""
    return float(next(r["nominal_s"] for r in plan["timing"]["lethality"] if r["rule"] == rule)) / 60.0


def come_up(plan: dict[str, Any]) -> float:
    """Minutes [min] in which the core of a piece as measured is hot."""
    return float(plan["timing"]["come_up"]["nominal_s"]) / 60.0


def clock(moment: str) -> float:
    """Time of day [h]."""
    at = datetime.fromisoformat(moment)
    return at.hour + at.minute / 60.0


def texts(part: Any) -> Iterator[str]:
    """Every text in an answer, however deep."""
    if isinstance(part, str):
        yield part
    elif isinstance(part, dict):
        for inner in part.values():
            yield from texts(inner)
    elif isinstance(part, list):
        for inner in part:
            yield from texts(inner)


def says(told: Told, *words: str) -> bool:
    """Whether each of the words stands somewhere in the answer."""
    whole = told.text + "\n" + "\n".join(texts(told.answer))
    return all(word in whole for word in words)


def task(plan: dict[str, Any], key: str) -> dict[str, Any]:
    """The first line of a run sheet that is of this kind."""
    return next(t for t in plan["run_sheet"] if t["key"] == key)
