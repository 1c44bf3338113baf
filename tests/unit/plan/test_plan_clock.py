"""Elapsed hours hold whatever the cook's clock does."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.unit.plan.planning import NOW, PARIS, asked, planned

from corebath.plan.clock import after, ceil_to, clocks_change, elapsed_s, floor_to
from corebath.plan.make import make_plan

# Zone, table time on the day after the clocks change, and the change. Source: tz database; both 2027 changes of
# Paris also stand in the EU directive 2000/84/EC (last Sundays of March and October).
CHANGES = (
    ("Europe/Paris", datetime(2027, 10, 31, 18, 30), -3600),
    ("Europe/Paris", datetime(2027, 3, 28, 18, 30), 3600),
    ("America/New_York", datetime(2027, 11, 7, 18, 30), -3600),
    ("America/New_York", datetime(2027, 3, 14, 18, 30), 3600),
    ("Australia/Lord_Howe", datetime(2027, 4, 4, 18, 30), -1800),
    ("Australia/Lord_Howe", datetime(2027, 10, 3, 18, 30), 1800),
)

moments = st.datetimes(datetime(2027, 1, 1), datetime(2028, 1, 1), timezones=st.just(UTC))
zones = st.sampled_from([ZoneInfo(name) for name, _, _ in CHANGES])


@pytest.mark.parametrize(("zone", "table", "change_s"), CHANGES, ids=lambda v: str(v))
def test_thirty_six_hours_across_a_change_of_clocks(zone: str, table: datetime, change_s: int) -> None:
    place = ZoneInfo(zone)
    table = table.replace(tzinfo=place)
    now = table - timedelta(days=3)
    plan = make_plan(
        asked("beef-short-rib", now=now, zone=place, table_time=table, bath_s=36 * 3600.0, set_point_C=60.0),
        offer=False,
    )
    assert elapsed_s(plan.drop_in, plan.pull) == 36 * 3600
    assert clocks_change(plan.drop_in, plan.pull, place).total_seconds() == change_s
    # On the clock the same cook seems longer or shorter by the change.
    seems = plan.pull.replace(tzinfo=None) - plan.drop_in.replace(tzinfo=None)
    assert seems.total_seconds() == 36 * 3600 + change_s
    pull = next(t for t in plan.run_sheet if t.key == "pull")
    assert ("back" if change_s < 0 else "forward") in pull.what
    for task in plan.run_sheet:
        assert elapsed_s(plan.drop_in, task.at) == pytest.approx(task.since_drop_in_s, abs=1.0)
        assert task.at.utcoffset() == task.at.astimezone(place).utcoffset()


def test_no_change_of_clocks_is_told_where_there_is_none() -> None:
    pull = next(t for t in planned().run_sheet if t.key == "pull")
    assert "clocks" not in pull.what


@given(moments, st.integers(-200_000, 200_000), zones)
def test_elapsed_time_undoes_after(moment: datetime, seconds: int, zone: ZoneInfo) -> None:
    moment = moment.replace(microsecond=0)
    later = after(moment, seconds, zone)
    assert elapsed_s(moment, later) == seconds
    assert later.tzinfo is zone


@given(moments, zones)
def test_steps_of_the_clock_enclose_a_moment(moment: datetime, zone: ZoneInfo) -> None:
    low, high = floor_to(moment, 300, zone), ceil_to(moment, 300, zone)
    assert low <= moment <= high
    assert elapsed_s(low, high) in (0, 300)
    assert low.minute % 5 == 0
    assert low.second == high.second == 0


def test_the_drop_in_stands_on_a_step_of_five_minutes() -> None:
    plan = planned(table_time=NOW.replace(hour=19, minute=37))
    assert plan.drop_in.minute % 5 == 0
    assert plan.drop_in.second == 0
    assert plan.drop_in.tzinfo is PARIS
