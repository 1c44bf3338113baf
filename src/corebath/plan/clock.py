"""Elapsed time on the cook's clock: arithmetic in UTC, so that a changed clock never stretches a cook."""

from __future__ import annotations

from datetime import UTC, datetime, time, timedelta
from math import ceil, floor
from zoneinfo import ZoneInfo


def after(moment: datetime, seconds: float, zone: ZoneInfo) -> datetime:
    """The moment that many elapsed seconds later (or earlier, when negative), in the cook's zone."""
    return (moment.astimezone(UTC) + timedelta(seconds=round(seconds))).astimezone(zone)


def elapsed_s(start: datetime, end: datetime) -> float:
    """Elapsed seconds between two moments [s]."""
    return (end.astimezone(UTC) - start.astimezone(UTC)).total_seconds()


def floor_to(moment: datetime, step_s: float, zone: ZoneInfo) -> datetime:
    """The last full step of the clock at or before a moment."""
    stamp = moment.astimezone(UTC).timestamp()
    return datetime.fromtimestamp(floor(stamp / step_s) * step_s, UTC).astimezone(zone)


def ceil_to(moment: datetime, step_s: float, zone: ZoneInfo) -> datetime:
    """The first full step of the clock at or after a moment."""
    stamp = moment.astimezone(UTC).timestamp()
    return datetime.fromtimestamp(ceil(stamp / step_s) * step_s, UTC).astimezone(zone)


def clocks_change(start: datetime, end: datetime, zone: ZoneInfo) -> timedelta:
    """How far the cook's clock is put forward (positive) or back between two moments."""
    before, later = start.astimezone(zone).utcoffset(), end.astimezone(zone).utcoffset()
    assert before is not None
    assert later is not None
    return later - before


def long_day(moment: datetime) -> str:
    """Its day in words, without the year: "Sunday 31 October"."""
    return f"{moment:%A} {moment.day} {moment:%B}"


def last_evening(moment: datetime, hour: int) -> datetime:
    """The last evening hour before a moment, by its own clock."""
    same = datetime.combine(moment.date(), time(hour), moment.tzinfo)
    return same if same < moment else datetime.combine(moment.date() - timedelta(days=1), time(hour), moment.tzinfo)
