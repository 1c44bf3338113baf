"""Moments that have been: when something happened, told soon afterwards."""

from __future__ import annotations

import re
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from corebath.units import NotUnderstood, parse_duration

from .when import parse_when
from .when_words import days_of

_AGO = re.compile(r"(.+?)\s+ago", re.IGNORECASE)
_WITH_SECONDS = re.compile(r"(.*\d{1,2}:\d{2}):(\d{2})")
_YESTERDAY = re.compile(r"\byesterday\b", re.IGNORECASE)
_ACCEPTED = "a time such as 18:05, 20 min ago, yesterday 22:30 or 2027-10-30 18:05, or leave it empty for now"
_SLACK = timedelta(minutes=1)  # a phone's clock and ours may differ by some seconds
_FARTHEST = timedelta(days=60)
_DAY_LONG, _WEEK_LONG = timedelta(days=1), timedelta(days=7)


def parse_past(text: str, now: datetime, zone: ZoneInfo) -> datetime:
    """A moment that lies behind, up to 60 days.

    text : "" or "now", "20 min ago", "18:05" for the last such time, "yesterday 22:30", "Thu 22:30" for the last
        such day, or a date and a time, with seconds or an offset where wanted

    Raises NotUnderstood, also for a moment that lies ahead and for a clock time that the zone skips or has twice.
    """
    typed = text.strip()
    if typed.lower() in ("", "now", "just now"):
        return now
    ago = _AGO.fullmatch(typed)
    if ago:
        return _behind(now - timedelta(seconds=parse_duration(ago[1])), now)
    seconds = _WITH_SECONDS.fullmatch(typed)
    if seconds and int(seconds[2]) < 60:
        return _behind(_moment(seconds[1], now, zone) + timedelta(seconds=int(seconds[2])), now)
    return _behind(_moment(typed, now, zone), now)


def _moment(typed: str, now: datetime, zone: ZoneInfo) -> datetime:
    """The last such moment; one with a date or an offset may lie ahead."""
    found = days_of(typed)
    if found.days or found.dates:
        return _parsed(typed, now, zone)
    if _YESTERDAY.search(typed):
        day = now.astimezone(zone).date() - _DAY_LONG
        return _parsed(_YESTERDAY.sub(day.isoformat(), typed), now, zone)
    # The next such moment from a day (a week) ago on is the last one by now.
    step = _WEEK_LONG if found.weekdays else _DAY_LONG
    moment = _parsed(typed, now + _SLACK - step, zone)
    return moment if moment <= now + _SLACK else _parsed(typed, now - step - _DAY_LONG, zone)


def _parsed(typed: str, now: datetime, zone: ZoneInfo) -> datetime:
    return parse_when(typed, now, zone, asked="time", accepted=_ACCEPTED)


def _behind(moment: datetime, now: datetime) -> datetime:
    if moment > now + _SLACK:
        raise NotUnderstood(
            f"{moment:%H:%M} on {moment:%-d %B} lies ahead: say when it happened, such as 18:05 or 20 min ago"
        )
    if moment < now - _FARTHEST:
        raise NotUnderstood(f"that is more than {_FARTHEST.days} days ago: say when it happened, such as 20 min ago")
    return moment
