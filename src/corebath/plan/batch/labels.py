"""What goes on a bag, as data: whoever prints labels takes these."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime


@dataclass(frozen=True, slots=True)
class Label:
    """The text of one bag's label.

    key : of the bag, unique in its batch, such as "3"
    title : the food with its count, one line
    lines : what was done and what to do, one for each line, quantities as marks
    cooked : when the bag is pulled, with its zone
    use_by : last day to eat it, None while it is frozen and has no day
    rule : the rule that says so, in words with marks, with its authority where that has a name
    frozen : it goes into the freezer on the day it is cooked
    """

    key: str
    title: str
    lines: tuple[str, ...]
    cooked: datetime
    use_by: date | None
    rule: str
    frozen: bool = False


def day_words(day: date) -> str:
    """A day in few words, the same in every language setting: "Sun 7 Mar 2027"."""
    return f"{_DAYS[day.weekday()]} {day.day} {_MONTHS[day.month - 1]} {day.year}"


def moment_words(at: datetime) -> str:
    """A moment by its own clock, with its day: "12:30 on Sun 7 Mar 2027"."""
    return f"{at:%H:%M} on {day_words(at.date())}"


_DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
