"""Moments that have been: when something happened, told soon afterwards."""

from __future__ import annotations

import re
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from corebath.units import NotUnderstood, parse_duration

from .when import parse_when

_AGO = re.compile(r"(.+?)\s+ago", re.IGNORECASE)
_CLOCK_ONLY = re.compile(r"\d{1,2}[:.]\d{2}(\s*[ap]m)?", re.IGNORECASE)
_SLACK = timedelta(minutes=1)  # a phone's clock and ours may differ by some seconds


def parse_past(text: str, now: datetime, zone: ZoneInfo) -> datetime:
    """A moment that lies behind: "" is now, "18:05" the last such time, "20 min ago", or a date and a time.

    Raises NotUnderstood, also for a moment that lies ahead.
    """
    typed = text.strip()
    if not typed:
        return now
    ago = _AGO.fullmatch(typed)
    if ago:
        return now - timedelta(seconds=parse_duration(ago[1]))
    if _CLOCK_ONLY.fullmatch(typed):
        yesterday = now - timedelta(days=1)
        moment = parse_when(typed, yesterday, zone)
        return moment if moment <= now + _SLACK else parse_when(typed, yesterday - timedelta(days=1), zone)
    moment = parse_when(typed, now, zone)
    if moment > now + _SLACK:
        raise NotUnderstood(
            f"{moment:%H:%M} on {moment:%-d %B} lies ahead: say when it happened, such as 18:05 or 20 min ago"
        )
    return moment
