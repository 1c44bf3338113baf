"""The time zone of a calendar file: the changes of the clocks around its tasks, as RFC 5545 words them."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

from icalendar import Timezone, TimezoneDaylight, TimezoneStandard

_STEP = timedelta(days=1)


def zone_component(zone: ZoneInfo, first: datetime, last: datetime, margin: timedelta) -> Timezone:
    """The VTIMEZONE of a zone that holds from `margin` before `first` until `margin` after `last`.

    Each change is an observance of its own; its onset is told by the clock that ran until then (RFC 5545, 3.6.5).
    """
    component = Timezone()
    component.add("tzid", zone.key)
    start, end = first.astimezone(UTC) - margin, last.astimezone(UTC) + margin
    component.add_component(_observance(start, start, zone))
    for before, moment in _changes(zone, start, end):
        component.add_component(_observance(before, moment, zone))
    return component


def _observance(before: datetime, moment: datetime, zone: ZoneInfo) -> TimezoneStandard | TimezoneDaylight:
    was, now = before.astimezone(zone), moment.astimezone(zone)
    offset_was, offset_now, summer = was.utcoffset(), now.utcoffset(), now.dst()
    assert offset_was is not None
    assert offset_now is not None
    part = TimezoneDaylight() if summer else TimezoneStandard()
    part.add("dtstart", (moment + offset_was).replace(tzinfo=None, microsecond=0))
    part.add("tzoffsetfrom", offset_was)
    part.add("tzoffsetto", offset_now)
    part.add("tzname", now.tzname() or zone.key)
    return part


def _changes(zone: ZoneInfo, start: datetime, end: datetime) -> Iterator[tuple[datetime, datetime]]:
    """The last second before each change of the clocks, and the moment of the change, both in UTC."""
    low = start.replace(microsecond=0)
    while low < end:
        high = min(low + _STEP, end)
        if low.astimezone(zone).utcoffset() != high.astimezone(zone).utcoffset():
            before, moment = low, high
            while moment - before > timedelta(seconds=1):
                half = before + timedelta(seconds=int((moment - before).total_seconds()) // 2)
                same = half.astimezone(zone).utcoffset() == before.astimezone(zone).utcoffset()
                before, moment = (half, moment) if same else (before, half)
            yield before, moment
        low = high
