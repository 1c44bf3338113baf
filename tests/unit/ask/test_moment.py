"""Moments that lie behind: how a cook tells when something happened."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from corebath.ask.moment import parse_past
from corebath.units import NotUnderstood

PARIS = ZoneInfo("Europe/Paris")
# A Friday.
NOW = datetime(2027, 3, 12, 18, 30, 20, tzinfo=PARIS)


def _at(day: int, hour: int, minute: int, second: int = 0) -> datetime:
    return datetime(2027, 3, day, hour, minute, second, tzinfo=PARIS)


@pytest.mark.parametrize(
    ("text", "moment"),
    [
        ("", NOW),
        ("  ", NOW),
        ("now", NOW),
        ("Just now", NOW),
        ("20 min ago", NOW - timedelta(minutes=20)),
        ("1 h 30 ago", NOW - timedelta(minutes=90)),
        ("18:05", _at(12, 18, 5)),
        ("6:05 pm", _at(12, 18, 5)),
        ("6 pm", _at(12, 18, 0)),
        ("18h05", _at(12, 18, 5)),
        ("18:05:30", _at(12, 18, 5, 30)),
        ("18:31", _at(12, 18, 31)),  # the phone is ahead by a few seconds
        ("19:00", _at(11, 19, 0)),  # not yet today, so it was yesterday
        ("yesterday 22:30", _at(11, 22, 30)),
        ("22:30 yesterday", _at(11, 22, 30)),
        ("today 07:00", _at(12, 7, 0)),
        ("Thu 22:30", _at(11, 22, 30)),
        ("Friday 18:05", _at(12, 18, 5)),
        ("Fri 19:00", _at(5, 19, 0)),
        ("Sat 10:00", _at(6, 10, 0)),
        ("2027-03-12T18:05", _at(12, 18, 5)),
        ("2027-03-12T18:05:13", _at(12, 18, 5, 13)),  # as a browser's own field writes it
        ("2027-03-12 18:05", _at(12, 18, 5)),
        ("2027-03-12T17:05:13Z", _at(12, 18, 5, 13)),
    ],
)
def test_a_moment_is_understood(text: str, moment: datetime) -> None:
    assert parse_past(text, NOW, PARIS) == moment


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("tomorrow 10:00", "lies ahead"),
        ("2027-03-12T18:45", "lies ahead"),
        ("2031-01-01T00:00:00+01:00", "lies ahead"),
        ("2026-03-12T18:45", "more than 60 days"),
        ("90 days ago", "more than 60 days"),
        ("1000000000000 days ago", "too large for a duration"),
        ("-5 min ago", "cannot be negative"),
        ("ages ago", "not understood as a duration"),
        ("half past six", "06:30 or 18:30"),
        ("18", "not understood as a time"),
        ("25:00", "no time of day"),
        ("18:05:77", "not understood as a time"),
        ("2027-02-30 10:00", "no such date"),
        ("\x00", "not understood as a time"),
        ("9" * 500, "not understood as a time"),
    ],
)
def test_what_cannot_have_been_is_refused_in_one_sentence(text: str, said: str) -> None:
    with pytest.raises(NotUnderstood, match=said) as caught:
        parse_past(text, NOW, PARIS)
    assert "table" not in str(caught.value)
    assert "\n" not in str(caught.value)


def test_the_hour_that_comes_twice_is_asked_about_and_can_be_told() -> None:
    now = datetime(2027, 10, 31, 9, 0, tzinfo=PARIS)
    with pytest.raises(NotUnderstood, match="comes twice"):
        parse_past("02:30", now, PARIS)
    early = parse_past("2027-10-31T02:30+0200", now, PARIS)
    late = parse_past("2027-10-31T02:30:00+01:00", now, PARIS)
    assert late.astimezone(UTC) - early.astimezone(UTC) == timedelta(hours=1)


def test_the_hour_that_does_not_come_is_refused() -> None:
    with pytest.raises(NotUnderstood, match="does not exist"):
        parse_past("2027-03-28 02:30", datetime(2027, 3, 28, 9, 0, tzinfo=PARIS), PARIS)


@given(
    st.datetimes(datetime(2026, 1, 1), datetime(2028, 1, 1)).map(lambda d: d.replace(tzinfo=UTC)),
    st.times().map(lambda t: f"{t:%H:%M}"),
)
def test_a_clock_time_is_the_last_such_one(now: datetime, text: str) -> None:
    """It stands on the cook's clock as typed, and lies within a day behind (25 h when the clocks go back)."""
    moment, refused = _tried(text, now)
    if moment is None:
        assert "comes twice" in refused or "does not exist" in refused
    else:
        assert f"{moment.astimezone(PARIS):%H:%M}" == text
        assert timedelta(minutes=-1) <= now - moment.astimezone(UTC) <= timedelta(hours=25)


@given(st.text(max_size=40))
def test_any_text_is_a_moment_behind_or_a_sentence(text: str) -> None:
    moment, refused = _tried(text, NOW)
    assert refused if moment is None else moment <= NOW + timedelta(minutes=1)


def _tried(text: str, now: datetime) -> tuple[datetime | None, str]:
    try:
        return parse_past(text, now, PARIS), ""
    except NotUnderstood as error:
        return None, str(error)
