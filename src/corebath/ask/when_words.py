"""Words for days and hours in a typed time: what day they name, and what is left of the text."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from functools import cache
from typing import Any

from corebath.data_files import read_toml

_DATE = re.compile(r"\d{4}-\d{2}-\d{2}|\d{1,2}\.\d{1,2}\.(?:\d{4})?|\d{1,2}/\d{1,2}/\d{4}")
_ISO_T = re.compile(r"(\d{4}-\d{2}-\d{2})\s*[tT]\s*")


@dataclass(frozen=True, slots=True)
class Said:
    """What a text says of a day.

    days : days from today, each once;  night : one of them is an evening;  weekdays : 0 for Monday
    dates : dates as typed;  rest : the other words
    """

    days: frozenset[int]
    night: bool
    weekdays: frozenset[int]
    dates: tuple[str, ...]
    rest: tuple[str, ...]

    @property
    def names_day(self) -> bool:
        """Whether a day is named at all."""
        return bool(self.days or self.weekdays or self.dates)


def words() -> dict[str, Any]:
    """The tables of words."""
    return read_toml("corebath.ask", "when.toml")


def folded(text: str) -> str:
    """Small letters without accents, with plain apostrophes and single spaces."""
    bare = "".join(c for c in unicodedata.normalize("NFD", text.casefold()) if not unicodedata.combining(c))
    return " ".join(bare.replace("’", "'").split())


def days_of(typed: str) -> Said:
    """The days that a typed time names, and its other words."""
    text = folded(_ISO_T.sub(r"\1 ", typed))
    days, night = set(), False
    for pattern, day in _phrases():
        text, count = pattern.subn(" ", text)
        if count:
            days.add(day["from_today"])
            night |= day.get("night", False)
    parts = text.replace(",", " ").split()
    # German "am Sonntag", but English "7 am".
    parts = [w for i, w in enumerate(parts) if w != "am" or (i > 0 and parts[i - 1][-1].isdigit())]
    dates = tuple(word for word in parts if _DATE.fullmatch(word))
    named = ((word, weekday(word)) for word in parts)
    weekdays = {word: number for word, number in named if number is not None}
    known = {*dates, *weekdays, *words()["said"]["filler"]}
    rest = tuple(word for word in parts if word not in known)
    return Said(frozenset(days), night, frozenset(weekdays.values()), dates, rest)


@cache
def _phrases() -> tuple[tuple[re.Pattern[str], dict[str, Any]], ...]:
    """Patterns of the day words, the longest first."""
    each = sorted(((w, day) for day in words()["day"] for w in day["words"]), key=lambda pair: -len(pair[0]))
    return tuple((re.compile(rf"(?<![\w-]){re.escape(word)}(?![\w-])"), day) for word, day in each)


def weekday(word: str) -> int | None:
    """The day of the week that a folded word names, or begins to name in three letters or more; 0 for Monday."""
    table, bare = words()["weekdays"], word.removesuffix(".")
    if bare in table["short"]:
        return int(table["short"].index(bare))
    if len(bare) < 3:
        return None
    fits = {i for i, names in enumerate(table["names"]) for name in names if name.startswith(bare)}
    return fits.pop() if len(fits) == 1 else None
