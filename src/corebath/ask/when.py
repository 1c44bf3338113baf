"""Table times as cooks say them: "19:30", "7:30 pm tomorrow", "Sun 18:30", "2027-10-31 18:30"."""

from __future__ import annotations

import re
from datetime import UTC, datetime, time, timedelta
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from corebath.units import NotUnderstood

_DAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
_LONGEST = 60
_CLOCK = re.compile(r"(?P<h>\d{1,2})(?:[:.h](?P<m>\d{2}))?\s*(?P<half>am|pm|a\.m\.|p\.m\.|h)?")
_DATE = re.compile(r"(\d{4})-(\d{2})-(\d{2})")
_ACCEPTED = "a time such as 19:30, 7:30 pm tomorrow, Sun 18:30 or 2027-10-31 18:30"


def parse_when(
    text: str, now: datetime, zone: ZoneInfo, *, asked: str = "table time", accepted: str = _ACCEPTED
) -> datetime:
    """A moment in the cook's zone.

    A bare clock time is the next one to come. A weekday is the next such day on which the time lies ahead.
    asked, accepted : what is asked for, and examples of it, for the sentences of refusal
    Raises NotUnderstood, also for a clock time that the zone skips or has twice on that day.
    """
    typed = text.strip()
    if not typed:
        raise NotUnderstood(f"the {asked} is empty: type {accepted}")
    if len(typed) > _LONGEST or not typed.isprintable():
        raise NotUnderstood(f"{_quoted(typed)} is not understood as a {asked}: type {accepted}")
    with_offset = _iso_with_offset(typed, zone)
    if with_offset is not None:
        return with_offset
    words = typed.lower().replace(",", " ")
    words = re.sub(r"(\d{4}-\d{2}-\d{2})\s*t\s*", r"\1 ", words)
    today = now.astimezone(zone).date()
    date = None
    weekday = None
    rest: list[str] = []
    for word in words.split():
        match = _DATE.fullmatch(word)
        day = _weekday(word)
        if match:
            try:
                date = datetime(int(match[1]), int(match[2]), int(match[3])).date()
            except ValueError:
                raise NotUnderstood(f"there is no such date as {word}") from None
        elif word in ("today", "tonight"):
            date = today
        elif word == "tomorrow":
            date = today + timedelta(days=1)
        elif day is not None:
            weekday = day
        elif word not in ("at", "on"):
            rest.append(word)
    clock = _clock(" ".join(rest), typed, asked, accepted)
    if date is not None:
        if weekday is not None and weekday != date.weekday():
            raise NotUnderstood(f"{date} is a {date:%A}: leave out the day or the date")
        return _local(datetime.combine(date, clock), zone)
    first = 0 if weekday is None else (weekday - today.weekday()) % 7
    naive = datetime.combine(today + timedelta(days=first), clock)
    if _last_of(naive, zone) <= now:
        naive += timedelta(days=1 if weekday is None else 7)
    return _local(naive, zone)


def parse_zone(text: str) -> ZoneInfo:
    """A time zone by its name in the tz database, such as Europe/Paris. Raises NotUnderstood."""
    name = text.strip()
    try:
        if not re.fullmatch(r"[A-Za-z0-9_+\-/]{1,50}", name):
            raise ValueError
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        raise NotUnderstood(f"{_quoted(name)} is no time zone: type one such as Europe/Paris or UTC") from None


def _weekday(word: str) -> int | None:
    if len(word) < 3:
        return None
    return next((i for i, day in enumerate(_DAYS) if day.startswith(word)), None)


def _clock(words: str, typed: str, asked: str, accepted: str) -> time:
    match = _CLOCK.fullmatch(words.strip())
    if match is None or (match["m"] is None and match["half"] is None):
        raise NotUnderstood(f"{_quoted(typed)} is not understood as a {asked}: type {accepted}")
    hour, minute, half = int(match["h"]), int(match["m"] or 0), (match["half"] or "").replace(".", "")
    if half in ("am", "pm"):
        if not 1 <= hour <= 12:
            raise NotUnderstood(f"{_quoted(typed)} mixes a 24-hour time with am or pm")
        hour = hour % 12 + (12 if half == "pm" else 0)
    if hour > 23 or minute > 59:
        raise NotUnderstood(f"{_quoted(typed)} is no time of day: type {accepted}")
    return time(hour, minute)


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
