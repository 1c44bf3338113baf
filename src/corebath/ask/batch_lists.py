"""Lists of a batch as typed: thicknesses with their counts, and days with their portions."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date, timedelta
from functools import cache

from corebath.plan.batch.batch import Pieces, Portions, settings
from corebath.plan.request import BadRequest
from corebath.units import NotUnderstood, Preference, parse_length
from corebath.units.scan import plain, quoted

from .when import calendar_day
from .when_words import days_of, folded, weekday, words

_APART = re.compile(r"\s*;\s*|,\s+|(?<=[a-z\"'])\s*,\s*|(?<=[x×*]\d),|(?<=[x×*]\d\d),|\s+and\s+", re.IGNORECASE)
_COUNTED = re.compile(r"(?P<size>.+?)(?:\s*[x×*]\s*(?P<count>\d{1,3}))?(?:\s+(?P<over>overlapping))?", re.IGNORECASE)
_SIZES = "type thicknesses with their counts, such as 22 mm x2, 38 mm x4, 28 mm x2 overlapping"
_WHEN = "type days such as Mon to Fri, or days with their portions, such as Mon 2, Wed 3"


def parse_pieces(text: str, prefer: Preference, alone: int | None = None) -> tuple[Pieces, ...]:
    """Pieces from "22 mm x2, 1 1/2 in x 3, 28 mm x2 overlapping", in the order typed.

    alone : count of a single thickness that names none of its own
    Raises NotUnderstood, and BadRequest for sizes and counts no kitchen has.
    """
    parts = [part for part in _APART.split(plain(text, "the thicknesses")) if part]
    if not parts:
        raise NotUnderstood(f"{quoted(text)} holds no thickness: {_SIZES}")
    found = []
    for part in parts:
        match = _COUNTED.fullmatch(part)
        if match is None:
            raise NotUnderstood(f"{quoted(part)} is not understood as a thickness: {_SIZES}")
        count = int(match["count"]) if match["count"] else (alone if alone is not None and len(parts) == 1 else 1)
        size_m = parse_length(match["size"], prefer=prefer.length)
        found.append(Pieces(size_m, count, overlapping=match["over"] is not None))
    return tuple(found)


def parse_portions(text: str, cooked: date, pieces: int, today: date) -> tuple[Portions, ...]:
    """Portions from "Mon to Fri" or "Mon 2, Wed 3", in order of the days; in words of four languages, as table times.

    cooked : the day of cooking; a weekday is the first such day from then on;  today : for "tomorrow" and the like
    pieces : how many there are; days without a number of their own share what is left, the first ones taking more
    Raises NotUnderstood.
    """
    counts: dict[date, int | None] = {}
    apart, row = _row()
    for part in [part for part in apart.split(plain(text, "the days")) if part]:
        match = row.fullmatch(folded(part))
        if match is None:
            raise NotUnderstood(f"{quoted(part)} is not understood as days: {_WHEN}")
        for day in _days(match, cooked, today, part):
            if day in counts:
                raise NotUnderstood(f"{quoted(text)} names {day:%A} twice: name each day once")
            counts[day] = int(match["count"]) if match["count"] else None
    if not counts:
        raise NotUnderstood(f"{quoted(text)} names no day: {_WHEN}")
    open_days = sorted(day for day, count in counts.items() if count is None)
    left = pieces - sum(count for count in counts.values() if count is not None)
    if open_days and left < len(open_days):
        what = "1 piece" if pieces == 1 else f"{pieces} pieces"
        raise NotUnderstood(f"{what} cannot be eaten on {len(counts)} days: name fewer days")
    for i, day in enumerate(open_days):
        counts[day] = left // len(open_days) + (i < left % len(open_days))
    return tuple(Portions(day, counts[day] or 0) for day in sorted(counts))


@cache
def _row() -> tuple[re.Pattern[str], re.Pattern[str]]:
    """What parts the days of a list, and one folded part of it: a day or a row of days, and a number of portions."""
    said = words()["said"]
    named = sorted((w for day in words()["day"] for w in day["words"]), key=len, reverse=True)
    one = rf"(?:{_any(named)}|\d{{4}}-\d{{2}}-\d{{2}}|\d{{1,2}}\.\d{{1,2}}\.(?:\d{{4}})?|[a-z]{{2,10}}\.?)"
    lead = rf"(?:(?:{_any(said['from'])}|{_any(said['filler'])})\s+)?"
    to = rf"(?:\s+(?:{_any(said['to'])})\s+|\s*[-–]\s*)"
    count = r"(?:(?:\s*[:x×]\s*|\s+|(?<=[a-z]))(?P<count>\d{1,3}))?"
    return (
        re.compile(rf"\s*[;,]\s*|\s+(?:{_any(said['and'])})\s+", re.IGNORECASE),
        re.compile(rf"{lead}(?P<first>{one})(?:{to}(?P<last>{one}))?{count}"),
    )


def _any(phrases: list[str]) -> str:
    return "|".join(map(re.escape, phrases))


def _days(match: re.Match[str], cooked: date, today: date, typed: str) -> Iterator[date]:
    first = _day(match["first"], cooked, today, typed)
    last = first if match["last"] is None else _day(match["last"], first, today, typed)
    longest = settings()["limits"]["longest_days"]
    if not 0 <= (last - first).days <= longest:
        raise BadRequest("days", f"{quoted(typed)} is not a row of days: {_WHEN}")
    for i in range((last - first).days + 1):
        yield first + timedelta(days=i)


def _day(word: str, since: date, today: date, typed: str) -> date:
    """A date, a day counted from today, or the first such weekday from a day on."""
    if word[0].isdigit():
        return calendar_day(word, today)
    ahead = days_of(word).days
    if ahead:
        return today + timedelta(days=min(ahead))
    number = weekday(word)
    if number is None:
        raise NotUnderstood(f"{quoted(typed)} is not understood as days: {_WHEN}")
    return since + timedelta(days=(number - since.weekday()) % 7)
