"""Times in loggers' files: orders of dates, zones, the repeated hour, counts from a start.

Clock changes are those of the tz database (`zoneinfo`, a general library); spreadsheet serials count from 30 December
1899, common practice, checked against the calendar of `datetime`.
"""

from __future__ import annotations

from contextlib import suppress
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.unit.log.traces import PARIS

from corebath.log.cook import Place
from corebath.log.csv_import import Choices, Understood, read_csv
from corebath.log.csv_table import Unclear

BACK = datetime(2027, 10, 31, 1, 0, tzinfo=UTC)  # the clocks of Paris go from 3:00 back to 2:00


def read(times: list[str], choices: Choices | None = None, zone: ZoneInfo = PARIS, name: str = "time") -> Understood:
    rows = [f"{t};{57 + 0.1 * (i % 3):.1f}" for i, t in enumerate(times)]
    return read_csv("\n".join([f"{name};bath (C)", *rows]), zone, choices)


def moments(found: Understood) -> list[datetime]:
    bath = found.of(Place.BATH)
    assert bath is not None
    return [datetime.fromtimestamp(float(s), UTC) for s in bath.time_s]


@pytest.mark.parametrize(
    "text",
    [
        "2027-05-01 18:05:00", "2027/5/1 18:05", "2027-05-01T18:05:00", "2027-05-01T16:05:00Z",
        "2027-05-01T18:05:00+02:00",
        "2027-05-01T16:05:00.000Z", "1 May 2027 18:05", "May 1, 2027 6:05 PM", "1. Mai 2027 18:05",
        "Sat, 1 May 2027 18:05",
        "1-may-27 18:05", "2027-05-01, 6:05:00 p.m.", "01.05.2027 18:05",
    ],
)  # fmt: skip
def test_one_moment_in_many_manners(text: str) -> None:
    later = text.replace(":05", ":06", 1)
    assert moments(read([text, later]))[0] == datetime(2027, 5, 1, 16, 5, tzinfo=UTC)


def test_epochs_in_seconds_and_finer() -> None:
    moment = datetime(2027, 5, 1, 16, 5, tzinfo=UTC)
    for factor in (1, 1000, 1_000_000):
        stamps = [str(int((moment.timestamp() + 60 * i) * factor)) for i in range(3)]
        assert moments(read(stamps, name="timestamp"))[0] == moment


def test_serial_days_of_spreadsheets() -> None:
    zero = datetime(1899, 12, 30, tzinfo=UTC)
    local = datetime(2027, 5, 1, 18, 5, tzinfo=UTC)
    days = [(local + timedelta(minutes=i) - zero) / timedelta(days=1) for i in range(3)]
    found = moments(read([f"{d:.8f}" for d in days]))
    assert abs((found[0] - datetime(2027, 5, 1, 16, 5, tzinfo=UTC)).total_seconds()) < 0.01


def test_day_or_month_first_is_found_out_where_it_shows() -> None:
    assert moments(read(["13/04/2027 18:00", "13/04/2027 18:01"]))[0].month == 4
    assert moments(read(["04/13/2027 18:00", "04/13/2027 18:01"]))[0].day == 13
    over_midnight = ["03/04/2027 23:59", "04/04/2027 00:01"]
    assert moments(read(over_midnight))[0].month == 4
    assert moments(read(["04/03/2027 23:59", "04/04/2027 00:01"]))[0].month == 4
    assert moments(read(["04/04/2027 18:00", "04/04/2027 18:01"]))[0].month == 4


def test_day_or_month_first_is_asked_where_it_does_not() -> None:
    times = ["03/04/2027 18:00", "03/04/2027 18:01"]
    with pytest.raises(Unclear) as asked:
        read(times)
    assert asked.value.field == "day_first"
    assert moments(read(times, Choices(day_first=True)))[0].month == 4
    assert moments(read(times, Choices(day_first=False)))[0].month == 3


def local(moments_utc: list[datetime]) -> list[str]:
    return [f"{m.astimezone(PARIS):%Y-%m-%d %H:%M}" for m in moments_utc]


def test_the_repeated_hour_is_told_apart_by_the_order() -> None:
    true = [BACK + timedelta(minutes=5 * i) for i in range(-30, 31)]
    found = read(local(true))
    assert moments(found) == true
    assert "comes twice" in " ".join(found.sentences)
    turned = read(list(reversed(local(true))))
    assert moments(turned) == true


def test_the_repeated_hour_at_the_beginning_or_end_of_a_file() -> None:
    true = [BACK + timedelta(minutes=5 * i) for i in range(-30, 31)]
    begins_inside = [m for m in true if m >= BACK + timedelta(minutes=10)]
    assert moments(read(local(begins_inside))) == begins_inside
    ends_inside = [m for m in true if m <= BACK - timedelta(minutes=20)]
    assert moments(read(local(ends_inside))) == ends_inside


def test_an_hour_lost_just_then_is_asked_about() -> None:
    true = [BACK + timedelta(minutes=5 * i) for i in range(-30, 31)]
    hour = timedelta(hours=1)
    for kept in ([m for m in true if m < BACK - hour or m >= BACK], [m for m in true if m < BACK or m >= BACK + hour]):
        with pytest.raises(Unclear):
            read(local(kept))


def test_the_repeated_hour_alone_is_asked_about() -> None:
    times = ["2027-10-31 02:10", "2027-10-31 02:15", "2027-10-31 02:20"]
    with pytest.raises(Unclear) as asked:
        read(times)
    assert asked.value.field == "repeated"
    first, second = (moments(read(times, Choices(repeated=r)))[0] for r in ("first", "second"))
    assert second - first == timedelta(hours=1)


def test_a_logger_that_keeps_its_clock_through_the_change_is_asked_about() -> None:
    times = [f"2027-10-31 {h:02d}:{m:02d}" for h in (1, 2, 3) for m in range(0, 60, 5)]
    with pytest.raises(Unclear):
        read(times)
    assert len(moments(read(times, Choices(zone=ZoneInfo("Etc/GMT-1"))))) == 36


@settings(max_examples=60, deadline=None)
@given(
    start=st.integers(-120, 60), every=st.sampled_from([1, 5, 7, 10]), count=st.integers(40, 200),
    name=st.sampled_from(["Europe/Paris", "America/New_York", "Australia/Lord_Howe", "Asia/Kathmandu"]),
)  # fmt: skip
def test_local_times_come_back_as_they_were(start: int, every: int, count: int, name: str) -> None:
    zone = ZoneInfo(name)
    begin = BACK + timedelta(minutes=start)
    true = [begin + timedelta(minutes=every * i) for i in range(count)]
    found = None
    with suppress(Unclear):
        found = read([f"{m.astimezone(zone):%Y-%m-%d %H:%M}" for m in true], zone=zone)
    assert found is None or moments(found) == true


def test_counts_from_a_start() -> None:
    for name, factor in (("elapsed (s)", 1.0), ("t [min]", 60.0), ("time (ms)", 0.001), ("Laufzeit h", 3600.0)):
        found = read(["0", "10", "20"], name=name)
        bath = found.of(Place.BATH)
        assert bath is not None
        assert not found.absolute
        assert np.allclose(bath.time_s, [0, 10 * factor, 20 * factor]), name
        assert "does not say when it began" in " ".join(found.sentences)
    began = read(["0", "10"], Choices(start=BACK), name="seconds")
    assert moments(began) == [BACK, BACK + timedelta(seconds=10)]


def test_the_unit_of_a_count_is_asked_about() -> None:
    with pytest.raises(Unclear) as asked:
        read(["0", "10", "20"])
    assert asked.value.field == "elapsed_unit"
    assert read(["0", "10", "20"], Choices(elapsed_unit="min")).last_s == 1200.0


def test_clock_times_without_a_date_go_on_past_midnight() -> None:
    found = read(["23:58", "23:59", "00:00", "00:01"])
    assert not found.absolute
    assert found.last_s - found.first_s == 180.0
    elapsed = read(["00:00:00", "00:00:30", "26:00:30"], name="elapsed")
    assert elapsed.last_s == 26 * 3600 + 30


def test_the_file_may_name_its_zone_row_by_row() -> None:
    found = read(["2027-10-31 02:30+02:00", "2027-10-31 02:30+01:00"])
    assert moments(found)[1] - moments(found)[0] == timedelta(hours=1)
