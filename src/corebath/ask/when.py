"""Table times as cooks say them: "19:30", "7:30 pm tomorrow", "Sonntag 18:30", "demain 19h30", "31.10.2027 18:30"."""

from __future__ import annotations

import re
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from corebath.units import Ambiguous, NotUnderstood, parse_duration

from .when_words import Said, days_of, folded, words

_LONGEST = 60
_CLOCK = re.compile(
    r"(?P<h>\d{1,2})(?:\s*(?:[:.]|h|uhr)\s*(?P<m>\d{2}))?\s*(?P<half>am|pm|a\.m\.|p\.m\.|h|uhr)?(?:\s*uhr)?"
)
_SPOKEN = re.compile(
    r"(?:(?P<part>half|quarter) (?P<side>past|to) )?(?P<h>\d{1,2}|[a-z]+)(?P<oclock> o'clock)?\s*(?P<half>am|pm)?"
)
_ISO = re.compile(r"(\d{4})-(\d{2})-(\d{2})")
_DOTTED = re.compile(r"(\d{1,2})\.(\d{1,2})\.(\d{4})?")
_SLASHED = re.compile(r"(\d{1,2})/(\d{1,2})/(\d{4})")
_FARTHEST = timedelta(days=400)
_ACCEPTED = "a time such as 19:30, 7:30 pm tomorrow, Sun 18:30 or 2027-10-31 18:30"


def parse_when(
    text: str, now: datetime, zone: ZoneInfo, *, asked: str = "table time", accepted: str = _ACCEPTED
) -> datetime:
    """A moment in the cook's zone, from words of English, French, German or Spanish.

    A bare clock time is the next one to come. A weekday is the next such day on which the time lies ahead. A time of
    "tonight" before six is one of the small hours that follow.
    asked, accepted : what is asked for, and examples of it, for the sentences of refusal
    Raises NotUnderstood, also for a clock time that the zone skips or has twice on that day, and Ambiguous.
    """
    typed = text.strip()
    if not typed:
        raise NotUnderstood(f"the {asked} is empty: type {accepted}")
    if len(typed) > _LONGEST or not typed.isprintable():
        raise NotUnderstood(f"{_quoted(typed)} is not understood as a {asked}: type {accepted}")
    with_offset = _iso_with_offset(typed, zone)
    if with_offset is not None:
        return with_offset
    found = days_of(typed)
    today = now.astimezone(zone).date()
    date = _date(found, typed, today)
    weekday = next(iter(found.weekdays), None)
    if found.names_day and not found.rest:
        raise NotUnderstood(f"{_quoted(typed)} names no time of day: type one beside it, such as {typed[:30]} 19:30")
    clock, later = _clock(" ".join(found.rest), found, typed, asked, accepted)
    if date is not None:
        if weekday is not None and weekday != date.weekday():
            raise NotUnderstood(f"{date} is a {date:%A}: leave out the day or the date")
        if found.night and clock.hour < words()["hours"]["night_ends"] and not later:
            passed = _last_of(datetime.combine(date, clock), zone) <= now
            later = date != today or now.astimezone(zone).hour >= words()["hours"]["night_ends"] or passed
        return _local(_combined(date, clock, later, typed), zone)
    first = 0 if weekday is None else (weekday - today.weekday()) % 7
    naive = _combined(today + timedelta(days=first), clock, later, typed)
    if _last_of(naive, zone) <= now:
        naive += timedelta(days=1 if weekday is None else 7)
    return _local(naive, zone)


def parse_ahead(
    text: str, now: datetime, zone: ZoneInfo, *, near: datetime | None = None, asked: str = "table time"
) -> datetime:
    """A table time as `parse_when` reads it, or "in 3 hours" from now, to the minute.

    near : the moment after which a bare clock time comes, None for now;  asked : as in `parse_when`
    """
    lead, _, span = folded(text).partition(" ")
    if lead in words()["said"]["in"] and span and len(text) <= _LONGEST:
        moment = now + min(timedelta(seconds=parse_duration(span)), _FARTHEST * 2)
        return moment.astimezone(zone).replace(second=0, microsecond=0)
    return parse_when(text, near or now, zone, asked=asked)


def parse_zone(text: str) -> ZoneInfo:
    """A time zone by its name in the tz database, such as Europe/Paris. Raises NotUnderstood."""
    name = text.strip()
    try:
        if not re.fullmatch(r"[A-Za-z0-9_+\-/]{1,50}", name):
            raise ValueError
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        raise NotUnderstood(f"{_quoted(name)} is no time zone: type one such as Europe/Paris or UTC") from None


def _date(found: Said, typed: str, today: date) -> date | None:
    """The date that is named, None where none is or only a day of the week."""
    if len(found.days) + len(found.dates) > 1 or len(found.weekdays) > 1 or (found.days and found.weekdays):
        raise NotUnderstood(f"{_quoted(typed)} names more than one day: name one")
    if found.days:
        return today + timedelta(days=next(iter(found.days)))
    return calendar_day(found.dates[0], today) if found.dates else None


def calendar_day(word: str, today: date) -> date:
    """A date from year-month-day, day.month.year, day.month. or one with slashes whose order is clear.

    today : a date without a year is the next one from it on. Raises NotUnderstood, and Ambiguous.
    """
    try:
        if match := _ISO.fullmatch(word):
            return date(int(match[1]), int(match[2]), int(match[3]))
        if match := _DOTTED.fullmatch(word):
            this = date(int(match[3] or today.year), int(match[2]), int(match[1]))
            return this if match[3] or this >= today else this.replace(year=today.year + 1)
        match = _SLASHED.fullmatch(word)
        assert match is not None
        one, two, year = (int(number) for number in match.groups())
        if one != two and max(one, two) <= 12:
            readings = (date(year, two, one).isoformat(), date(year, one, two).isoformat())
            raise Ambiguous(f"{_quoted(word)} could be two dates: {readings[0]} or {readings[1]}?", readings)
        return date(year, two, one) if two <= 12 else date(year, one, two)
    except NotUnderstood:
        raise
    except ValueError:
        raise NotUnderstood(f"there is no such date as {word}") from None


def _combined(day: date, clock: time, later: bool, typed: str) -> datetime:
    """The clock on a day, or on the day after it."""
    try:
        return datetime.combine(day + timedelta(days=later), clock)
    except OverflowError:
        raise NotUnderstood(f"{_quoted(typed)} is not a moment that exists") from None


def _clock(text: str, found: Said, typed: str, asked: str, accepted: str) -> tuple[time, bool]:
    """The time of day, and whether it is one of the day after: 24:00, and midnight tonight."""
    hours = words()["hours"]
    if text in hours["noon"]:
        return time(12), False
    if text in hours["midnight"]:
        if found.weekdays or found.dates or found.days - {0}:
            begins, ends = (f"{_without(typed, text)} {clock}" for clock in ("00:00", "24:00"))
            raise Ambiguous(
                f"{_quoted(typed)} could be the midnight that begins the day or ends it: {begins} or {ends}?",
                (begins, ends),
            )
        return time(0), True
    match = _CLOCK.fullmatch(text)
    if match is None or (match["m"] is None and match["half"] is None):
        spoken = _spoken(text, found, typed)
        if spoken is None:
            raise NotUnderstood(f"{_quoted(typed)} is not understood as a {asked}: type {accepted}")
        return spoken, False
    hour, minute, half = int(match["h"]), int(match["m"] or 0), (match["half"] or "").replace(".", "")
    if half in ("am", "pm"):
        if not 1 <= hour <= 12:
            raise NotUnderstood(f"{_quoted(typed)} mixes a 24-hour time with am or pm")
        hour = hour % 12 + (12 if half == "pm" else 0)
    if (hour, minute) == (24, 0):
        return time(0), True
    if hour > 23 or minute > 59:
        raise NotUnderstood(f"{_quoted(typed)} is no time of day: type {accepted}")
    return time(hour, minute), False


def _spoken(text: str, found: Said, typed: str) -> time | None:
    """A time as it is spoken, "half past seven"; asked about where it does not say which half of the day."""
    match = _SPOKEN.fullmatch(text)
    if match is None or not (match["part"] or match["oclock"]):
        return None
    numbers = words()["said"]["numbers"]
    hour = int(match["h"]) if match["h"].isdigit() else numbers.index(match["h"]) + 1 if match["h"] in numbers else 0
    if not 1 <= hour <= 12 or (match["part"] == "half" and match["side"] == "to"):
        return None
    minute = {"half": 30, "quarter": 15}.get(match["part"] or "", 0)
    total = (hour % 12 * 60 + (-minute if match["side"] == "to" else minute)) % 720
    morning, evening = time(total // 60, total % 60), time(12 + total // 60, total % 60)
    if match["half"]:
        return evening if match["half"] == "pm" else morning
    if found.night:
        return evening
    choices = (f"{morning:%H:%M}", f"{evening:%H:%M}")
    raise Ambiguous(f"{_quoted(typed)} could be two times: {choices[0]} or {choices[1]}?", choices)


def _without(typed: str, word: str) -> str:
    """A typed text without its last word or its first, whichever is that word."""
    return " ".join(part for part in typed.split() if folded(part) != word)


def _iso_with_offset(typed: str, zone: ZoneInfo) -> datetime | None:
    if not re.fullmatch(r"\d{4}-\d{2}-\d{2}[T ]\d{2}:\d{2}(:\d{2})?(Z|[+-]\d{2}:?\d{2})", typed):
        return None
    try:
        return datetime.fromisoformat(typed).astimezone(zone)
    except (ValueError, OverflowError):
        raise NotUnderstood(f"{_quoted(typed)} is not a moment that exists") from None


def _last_of(naive: datetime, zone: ZoneInfo) -> datetime:
    """The last moment that a clock time can stand for, in UTC: the zone may have it twice, or skip it."""
    return max(naive.replace(tzinfo=zone, fold=fold).astimezone(UTC) for fold in (0, 1))


def _local(naive: datetime, zone: ZoneInfo) -> datetime:
    early, late = naive.replace(tzinfo=zone, fold=0), naive.replace(tzinfo=zone, fold=1)
    if early.utcoffset() == late.utcoffset():
        return early
    if early.astimezone(UTC).astimezone(zone).replace(tzinfo=None) != naive:
        raise NotUnderstood(
            f"{naive:%H:%M} on {naive.day} {naive:%B %Y} does not exist in {zone.key}: the clocks go forward"
        )
    first, second = early.strftime("%H:%M%z"), late.strftime("%H:%M%z")
    raise NotUnderstood(
        f"{naive:%H:%M} on {naive.day} {naive:%B %Y} comes twice in {zone.key}, as the clocks go back: "
        f"type {naive:%Y-%m-%d}T{first} or {naive:%Y-%m-%d}T{second}"
    )


def _quoted(text: str) -> str:
    short = text if len(text) <= 40 else text[:39] + "…"
    return "'" + "".join(c if c.isprintable() else "?" for c in short) + "'"
