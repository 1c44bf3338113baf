"""Calendar files by the rules of RFC 5545, read again by other programs' readers (vobject, dateutil).

Rules checked, each by its section of RFC 5545 (2009), values from memory: lines end in CRLF and are folded at 75 octets
(3.1); VCALENDAR needs PRODID and VERSION 2.0 (3.6); VEVENT needs UID and a DTSTAMP in UTC (3.6.1, 3.8.7.2); a DISPLAY
alarm needs DESCRIPTION and TRIGGER (3.6.6); a TZID needs its VTIMEZONE (3.2.19); a local time that comes twice means
the first (3.3.5); durations of days are nominal, those of hours exact (3.3.6).
"""

from __future__ import annotations

import re
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
import vobject
from hypothesis import given
from hypothesis import strategies as st
from tests.unit.show.handed_plans import WORKING, handed

from corebath.plan.clock import after
from corebath.plan.menu.answer import MenuTask
from corebath.show.calendar import Entry, entries_calendar, plan_calendar, tasks_calendar
from corebath.show.calendar_zone import zone_component
from corebath.show.handed import NotHandedOn
from corebath.units import METRIC, US

STAMP = datetime(2027, 5, 1, 12, 0, 0, 5, tzinfo=ZoneInfo("Asia/Tokyo"))
PARIS = ZoneInfo("Europe/Paris")


def _lines(written: bytes) -> list[str]:
    return written.decode("utf-8").replace("\r\n ", "").split("\r\n")


@pytest.mark.parametrize("name", WORKING)
def test_every_file_keeps_the_rules(name: str) -> None:
    written = plan_calendar(handed(name)[0], STAMP)
    assert written.endswith(b"\r\n")
    assert b"\n" not in written.replace(b"\r\n", b"")
    assert b"\r" not in written.replace(b"\r\n", b"")
    assert max(len(line) for line in written.split(b"\r\n")) <= 75
    lines = _lines(written)
    assert "VERSION:2.0" in lines
    assert any(line.startswith("PRODID:") for line in lines)
    events = written.count(b"BEGIN:VEVENT")
    assert sum(line == "DTSTAMP:20270501T030000Z" for line in lines) == events > 4
    assert len({line for line in lines if line.startswith("UID:")}) == events
    zones = {line.removeprefix("TZID:") for line in lines if line.startswith("TZID:")}
    assert {m[1] for line in lines if (m := re.match(r"DTSTART;TZID=([^:]*):", line))} == zones
    alarms = written.count(b"BEGIN:VALARM")
    assert sum(line.startswith("TRIGGER:") for line in lines) == alarms
    assert lines.count("ACTION:DISPLAY") == alarms >= events
    assert not any(re.match(r"DURATION:P\d+[DW]", line) for line in lines)


@pytest.mark.parametrize("name", WORKING)
def test_another_reader_finds_the_run_sheet(name: str) -> None:
    plan, ends = handed(name)
    read = vobject.readOne(plan_calendar(plan, STAMP, tasks=ends.run_sheet).decode("utf-8"))
    found = [(e.dtstart.value.astimezone(UTC), e.description.value) for e in read.vevent_list]
    for task in (t for t in ends.run_sheet if t.is_action):
        minute = task.at.astimezone(UTC).replace(second=0, microsecond=0)
        assert any(at == minute for at, _ in found), task
    assert any("leftovers" in said.lower() for _, said in found)


def test_a_cook_over_the_change_of_the_clocks_ends_by_elapsed_time() -> None:
    # EU directive 2000/84/EC: the clocks go back on the last Sunday of October at 01:00 UTC.
    plan, _ = handed("ribs")
    read = vobject.readOne(plan_calendar(plan, STAMP).decode("utf-8"))
    at = {e.summary.value.split(": ")[-1]: e.dtstart.value for e in read.vevent_list}
    assert at["pull"].astimezone(UTC) - at["drop in"].astimezone(UTC) == timedelta(hours=36)
    assert at["pull"].utcoffset() == timedelta(hours=1)
    assert at["drop in"].utcoffset() == timedelta(hours=2)


@pytest.mark.parametrize(
    "zone", ["Europe/Paris", "America/New_York", "Australia/Lord_Howe", "Asia/Kolkata", "America/Sao_Paulo", "UTC"]
)
def test_the_zone_written_is_the_zone_meant(zone: str) -> None:
    # vobject hands the VTIMEZONE to dateutil, which reads its onsets and knows nothing of the name of the zone.
    first = datetime(2027, 1, 15, 12, tzinfo=UTC)
    written = zone_component(ZoneInfo(zone), first, first + timedelta(days=300), timedelta(days=60)).to_ical()
    calendar = f"BEGIN:VCALENDAR\r\n{written.decode('utf-8')}END:VCALENDAR\r\n"
    read = vobject.readOne(calendar).vtimezone.tzinfo
    for hours in range(0, 300 * 24, 5):
        moment = first + timedelta(hours=hours)
        meant = moment.astimezone(ZoneInfo(zone))
        if meant.replace(fold=0).utcoffset() == meant.replace(fold=1).utcoffset():
            assert meant.replace(tzinfo=read).utcoffset() == meant.utcoffset(), meant


def test_what_falls_into_the_hour_that_comes_twice_is_told_in_utc() -> None:
    first = datetime(2027, 10, 31, 0, 30, tzinfo=UTC).astimezone(PARIS)
    entries = [Entry("check", first + timedelta(0), "", "a"), Entry("check", after(first, 3600, PARIS), "", "b")]
    lines = _lines(entries_calendar("x", entries, PARIS, STAMP, METRIC, seed="x"))
    assert [line for line in lines if re.fullmatch(r"DTSTART:2027\d{4}T\d{6}Z", line)] == [
        "DTSTART:20271031T003000Z", "DTSTART:20271031T013000Z",
    ]  # fmt: skip


def test_the_same_question_keeps_its_entries() -> None:
    def uids(plan_name: str, stamp: datetime) -> list[str]:
        return [line for line in _lines(plan_calendar(handed(plan_name)[0], stamp)) if line.startswith("UID:")]

    assert uids("steak", STAMP) == uids("steak", STAMP + timedelta(days=1))
    assert not set(uids("steak", STAMP)) & set(uids("chicken", STAMP))
    assert not set(uids("steak", STAMP)) & set(uids("next week", STAMP))


def test_days_ahead_stand_on_evenings_before_and_never_in_the_past() -> None:
    read = vobject.readOne(plan_calendar(handed("next week")[0], STAMP).decode("utf-8"))
    thaw = next(e for e in read.vevent_list if e.summary.value.endswith(": thaw"))
    salt = next(e for e in read.vevent_list if e.summary.value.endswith(": salt"))
    assert salt.dtstart.value - thaw.dtstart.value >= timedelta(days=1)
    assert thaw.dtstart.value.hour == 18
    # Asked at nine for the same evening, there is no evening left.
    assert b": thaw" not in plan_calendar(handed("steak")[0], STAMP)
    assert b": ice" in plan_calendar(handed("in ice")[0], STAMP)


def test_alarms_ring_at_the_time_and_before_what_must_not_be_missed() -> None:
    read = vobject.readOne(plan_calendar(handed("steak")[0], STAMP).decode("utf-8"))
    rings = {e.summary.value.split(": ")[-1]: [a.trigger.value for a in e.valarm_list] for e in read.vevent_list}
    for key in ("preheat", "drop in", "pull"):
        assert sorted(rings[key]) == [timedelta(minutes=-10), timedelta(0)]
    assert rings["serve"] == [timedelta(0)]
    lasting = {e.summary.value.split(": ")[-1]: e.contents.get("duration") for e in read.vevent_list}
    assert lasting["preheat"] is not None
    assert lasting["pull"] is None


def test_the_tasks_of_a_menu_name_their_dishes() -> None:
    at = datetime(2027, 3, 28, 1, 30, tzinfo=PARIS)
    tasks = [
        MenuTask("change", at, 0.0, ("carrots", "ribeye; rare"), "pot", "Bring it to {54|C}."),
        MenuTask("reheat", after(at, 3600, PARIS), 3600.0, ("ribs",), "", "Warm, in {10|L}."),
        MenuTask("milestone", at, 0.0, (), "", "nothing", is_action=False),
    ]
    read = vobject.readOne(tasks_calendar("Sunday", tasks, PARIS, STAMP, US).decode("utf-8"))
    one, two = read.vevent_list
    assert "Carrots, ribeye; rare" in one.summary.value
    assert "129 °F (54 °C)" in one.description.value
    assert two.dtstart.value.astimezone(UTC) - one.dtstart.value.astimezone(UTC) == timedelta(hours=1)
    with pytest.raises(ValueError, match="needs a task"):
        tasks_calendar("Sunday", tasks[2:], PARIS, STAMP)


def test_a_plan_that_does_not_work_has_no_calendar() -> None:
    with pytest.raises(NotHandedOn):
        plan_calendar(handed("cold")[0], STAMP)


@given(st.text(st.characters(blacklist_categories=("Cs", "Cc")), min_size=1, max_size=120))
def test_any_words_come_back_as_they_were(words: str) -> None:
    entry = Entry("else", datetime(2027, 3, 1, 9, tzinfo=PARIS), "", words)
    written = entries_calendar("x", [entry], PARIS, STAMP, METRIC, seed="x")
    assert max(len(line) for line in written.split(b"\r\n")) <= 75
    assert vobject.readOne(written.decode("utf-8")).vevent.description.value == words
