"""Rows of the records as typed: what is understood, what is asked for, and what is offered from a cook."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.unit.log.cooks import a_cook, a_record

from corebath.ask.records import (
    RecordQuestion,
    parse_moment,
    span_of,
    understand_action,
    understand_days,
    understand_record,
)
from corebath.ask.records_offer import answers_of, offered, typed_degrees, typed_moment
from corebath.ask.understand import Misunderstood
from corebath.bath.gear import Room
from corebath.log.cook import Cook, Event, Happening, Place, Reading
from corebath.log.gear import Kitchen
from corebath.log.record import Entry, Point, Record, Step
from corebath.log.store import Store
from corebath.safety.authority import Authority
from corebath.units import METRIC, US, NotUnderstood

ZONE = ZoneInfo("Europe/Paris")
KITCHEN = Kitchen(zone=ZONE, probe_offset_K=0.5, room=Room(altitude_m=600.0), units_chosen=True)
NOW = datetime(2027, 3, 12, 18, 0, 30, 5, tzinfo=UTC)  # 19:00 in Paris
LONG = "\n".join(f"{h:02}:{m:02} 4" for h in range(5) for m in range(0, 60, 6))
KEEP = {"step": "keep", "batch": "fridge 2", "measured": "18:05 3.8 C", "by": "JM"}


def understood(
    answers: Mapping[str, str] | None = None, *, kitchen: Kitchen = KITCHEN, about: Cook | None = None, **more: str
) -> Record:
    question = RecordQuestion.of({**(answers or {}), **more})
    return understand_record(question, NOW, kitchen, cook=about)


def refused(**answers: str) -> dict[str, str]:
    with pytest.raises(Misunderstood) as told:
        understood(answers)
    for sentence in told.value.sentences.values():
        assert sentence[0] == sentence[0].upper() or sentence.startswith("'")
        assert sentence[-1] in ".?"
    return told.value.sentences


def test_a_row_is_understood() -> None:
    row = understood(
        step="cook", batch="chicken", by="JM", food="chicken breast", began="16:30", ended="18:30", set="62",
        measured="17:40 61,2\n18:30 61.9 °C\n", guests="risk", note="two bags", rules="uk",
    )  # fmt: skip
    assert row.step is Step.COOK
    assert [(m.at.astimezone(ZONE).strftime("%H:%M"), m.value_C) for m in row.measured] == [
        ("17:40", 61.2), ("18:30", 61.9),
    ]  # fmt: skip
    assert row.subject is not None
    assert (row.subject.kind, row.subject.handling, row.subject.guests_at_risk) == ("chicken", "intact", True)
    assert row.authority is Authority.UK
    assert row.set_C == 62.0
    assert row.offset_K == 0.5
    assert row.told_at == NOW.replace(microsecond=0)


@pytest.mark.parametrize(
    ("line", "clock", "value_C"),
    [
        ("18:05 3.8 C", "03-12 18:05:00", 3.8),
        ("18:05 -18", "03-12 18:05:00", -18.0),
        ("  18:05,   38.5 f", "03-12 18:05:00", 65 / 18),
        ("4 C", "03-12 19:00:00", 4.0),
        ("20 min ago 4.5", "03-12 18:40:00", 4.5),
        ("yesterday 22:30 5 C", "03-11 22:30:00", 5.0),
        ("2027-01-02 22:30 5 C", "01-02 22:30:00", 5.0),
        ("2026-06-01 22:30:15 5 C", "06-01 22:30:15", 5.0),
        ("2026-10-25T02:30:00+01:00 5 C", "10-25 02:30:00", 5.0),
    ],
)
def test_a_reading_is_a_time_and_a_temperature(line: str, clock: str, value_C: float) -> None:
    (found,) = understood(KEEP | {"measured": line}).measured
    assert f"{found.at.astimezone(ZONE):%m-%d %H:%M:%S}" == clock
    assert found.value_C == pytest.approx(value_C)


def test_readings_are_put_in_the_order_of_time() -> None:
    row = understood(KEEP | {"measured": "18:05 4; 17:05 5;\n\n16:05 6"})
    assert [m.value_C for m in row.measured] == [6.0, 5.0, 4.0]


@pytest.mark.parametrize(
    ("answers", "field", "said"),
    [
        ({"step": ""}, "step", "Say which step it is: bag, cook"),
        ({"step": "eat"}, "step", "accepted are bag, cook, chill, keep, reheat, probe"),
        ({"step": "action"}, "step", "accepted are bag"),
        ({"by": ""}, "by", "by initials"),
        ({"by": "JMJMJMJMJM"}, "by", "Initials must have 1 to 8"),
        ({"batch": ""}, "batch", "the batch or the bag"),
        ({"batch": "x" * 90}, "batch", "1 to 80 characters"),
        ({"measured": ""}, "measured", "Say what was read"),
        ({"measured": "18:05"}, "measured", "'18:05' is not understood as a reading"),
        ({"measured": "18.05"}, "measured", "may be a time or a temperature"),
        ({"measured": "25:00 4 C"}, "measured", "no time of day"),
        ({"measured": "18:05 4 C\n18:05 5 C"}, "measured", "one for each moment"),
        ({"measured": "18:05 400 C"}, "measured", "A reading must lie between"),
        ({"measured": "2027-03-13 18:05 4 C"}, "measured", "lies ahead"),
        ({"measured": "1999-03-13 18:05 4 C"}, "measured", "too long ago"),
        ({"measured": "18:05 warm"}, "measured", "not understood as a reading"),
        (
            {"measured": LONG},
            "measured",
            "at most 48",
        ),
        ({"began": "tomorrow"}, "began", "names no time of day"),
        ({"began": "2027-02-30"}, "began", "not understood as a day"),
        ({"began": "18:00", "ended": "17:00"}, "ended", "cannot end before it began"),
        ({"set": "hot"}, "set", "not understood as a temperature"),
        ({"set": "150 C"}, "set", "A set point must lie between"),
        ({"pasteurised": "maybe"}, "pasteurised", "accepted are yes, no"),
        ({"rules": "ZZ"}, "rules", "accepted are US, UK, AU"),
        ({"food": "unicorn"}, "food", "unicorn"),
        ({"cook": "seven"}, "cook", "type a whole number"),
        ({"corrects": "-1"}, "corrects", "type a whole number"),
        ({"corrects": "3"}, "note", "why the old row was wrong"),
        ({"step": "probe", "where": ""}, "where", "ice or boiling water"),
        ({"step": "probe", "where": "oven"}, "where", "accepted are ice, boiling"),
        ({"step": "cook"}, "food", "Say what it is"),
    ],
)
def test_what_is_not_clear_is_asked_for_in_one_sentence(answers: dict[str, str], field: str, said: str) -> None:
    assert said in refused(**(KEEP | answers))[field]


def test_every_unclear_answer_is_told_at_once() -> None:
    assert refused(step="cook", measured="hot").keys() >= {"batch", "by", "measured", "food"}


def test_a_probe_is_checked_at_the_kitchen_s_altitude_and_without_its_offset() -> None:
    row = understood(step="probe", batch="red", where="boiling", measured="98.1 C", by="JM")
    assert (row.point, row.altitude_m, row.offset_K) == (Point.BOILING, 600.0, 0.0)


def test_bare_figures_are_in_the_kitchen_s_unit() -> None:
    row = understood(KEEP | {"measured": "18:05 39.2"}, kitchen=replace(KITCHEN, preference=US))
    assert row.measured[0].value_C == pytest.approx(4.0)


WORDS = st.one_of(
    st.text(max_size=40),
    st.sampled_from(
        [
            "18:05 4 C",
            "4",
            "yes",
            "hot",
            "ice",
            "risk",
            "ribeye",
            "today",
            "2027-03-01",
            "57 C",
            "1",
            "UK",
            "\x00",
            "NaN C",
        ]
    ),
)


@settings(max_examples=200)
@given(st.dictionaries(st.sampled_from(RecordQuestion.names()), WORDS))
def test_nothing_typed_crashes(answers: dict[str, str]) -> None:
    try:
        row = understood(KEEP | answers)
    except Misunderstood:
        return
    assert row.initials


def test_an_action_says_what_was_done_and_who_did_it() -> None:
    entry = Entry(replace(a_record(), id=7))
    done = understand_action(entry, " Thrown away ", "AB", NOW)
    assert (done.step, done.points_at, done.action, done.batch) == (Step.ACTION, 7, "Thrown away", "Chicken, 12 bags")
    for did, by, field in (("", "AB", "action"), ("x", "", "by"), ("x", "A" * 9, "by"), ("\x00", "AB", "action")):
        with pytest.raises(Misunderstood) as told:
            understand_action(entry, did, by, NOW)
        assert set(told.value.sentences) == {field}


def test_days_are_told_or_the_last_31() -> None:
    assert understand_days("", "", NOW, ZONE) == (date(2027, 2, 10), date(2027, 3, 12))
    assert understand_days("", "", NOW, ZONE, whole=True)[0] == date(2000, 1, 1)
    assert understand_days("2027-03-01", "yesterday", NOW, ZONE) == (date(2027, 3, 1), date(2027, 3, 11))
    start, end = span_of((date(2027, 3, 28), date(2027, 3, 28)), ZONE)
    assert end - start == timedelta(hours=23)  # the clocks go forward
    for first, last, field in (("x", "", "from"), ("", "2027-13-01", "to"), ("2027-03-02", "2027-03-01", "from"),
                               ("1888-01-01", "", "from")):  # fmt: skip
        with pytest.raises(Misunderstood) as told:
            understand_days(first, last, NOW, ZONE)
        assert field in told.value.sentences


def test_a_moment_may_lie_far_back_only_with_its_date() -> None:
    assert parse_moment("2026-01-01 12:00", NOW, ZONE) == datetime(2026, 1, 1, 11, 0, tzinfo=UTC)
    with pytest.raises(NotUnderstood):
        parse_moment("90 days ago", NOW, ZONE)


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    opened = Store(tmp_path / "kitchen.db")
    yield opened
    opened.close()


def cooked(store: Store) -> Cook:
    """Chicken dropped in at 13:00 and pulled at 15:00 UTC, its core read every second until 17:00, colder at once."""
    question = "food=chicken+breast&thick=38+mm&want=62+C&eat=2027-03-12T20:00"
    cook = store.start_cook(replace(a_cook("Sunday chicken", planned_at=NOW - timedelta(hours=8)), question=question))
    assert cook.id is not None
    start = datetime(2027, 3, 12, 13, 0, tzinfo=UTC)
    for happening, hours in ((Happening.DROPPED_IN, 0), (Happening.PULLED, 2)):
        at = start + timedelta(hours=hours)
        store.add_event(cook.id, Event(happening, at, at))
    values = [min(62.0, 5 + i / 60) if i <= 7200 else 62.0 - (i - 7200) / 120 for i in range(0, 14_400, 10)]
    values[500] = 40.25  # a dip at 14:23:20
    store.add_readings(
        cook.id, [Reading(start + timedelta(seconds=10 * i), Place.CORE, v) for i, v in enumerate(values)]
    )
    return store.cook(cook.id)


def test_a_cook_of_the_log_fills_in_what_happened(store: Store) -> None:
    cook = cooked(store)
    answers = offered(Step.COOK, cook, store, KITCHEN)
    assert answers["batch"] == "Sunday chicken"
    assert (answers["began"], answers["ended"]) == ("2027-03-12 14:00", "2027-03-12 16:00")
    assert answers["set"] == "57 C"
    lines = answers["measured"].splitlines()
    assert lines[0] == "2027-03-12 14:00 5 C"
    assert "2027-03-12 15:23:20 40.25 C" in lines  # the coldest of its span is not lost
    assert len(lines) <= 14
    row = understood(answers, about=cook, by="JM")
    assert row.subject is not None
    assert row.subject.kind == "chicken"
    assert row.food == "chicken breast, skinless"
    chill = offered(Step.CHILL, cook, store, KITCHEN)
    assert chill["began"] == "2027-03-12 16:00"
    assert understood(chill, about=cook, by="JM").measured[-1].value_C < 62
    keep = offered(Step.KEEP, cook, store, KITCHEN)
    assert keep == {"step": "keep", "cook": "1", "batch": "Sunday chicken", "began": "2027-03-12"}
    assert set(offered(Step.BAG, cook, store, KITCHEN)) == {"step", "cook", "batch"}


def test_a_keep_is_pasteurised_once_a_row_of_its_cook_shows_that(store: Store) -> None:
    cook = cooked(store)
    row = understood(about=cook, by="JM", step="cook", batch="x", began="14:00", ended="16:00",
                     measured="14:50 60 C\n16:00 62 C")  # fmt: skip
    store.add_record(replace(row, cook_id=cook.id))
    assert offered(Step.KEEP, cook, store, KITCHEN)["pasteurised"] == "yes"


def test_a_row_typed_again_is_the_same_row(store: Store) -> None:
    row = understood(
        step="reheat", batch="soup", by="JM", food="beef short ribs", began="16:30", ended="18:30", set="62.25 C",
        measured="17:40 61.25\n18:30:20 143.6 F", guests="risk", bag="garlic", hold="hot", handling="rolled", sear="no",
    )  # fmt: skip
    kept = store.add_record(row).record
    for kitchen in (KITCHEN, replace(KITCHEN, preference=US)):
        again = understood(answers_of(kept, kitchen), kitchen=kitchen, by="JM", note="x")
        same = replace(kept, id=None, points_at=kept.id, note="x")
        assert [m.at for m in again.measured] == [m.at for m in same.measured]
        assert [m.value_C for m in again.measured] == pytest.approx([m.value_C for m in same.measured], abs=1e-4)
        assert replace(again, measured=(), set_C=0.0) == replace(same, measured=(), set_C=0.0)


def test_a_time_that_comes_twice_is_offered_with_its_offset() -> None:
    twice = datetime(2026, 10, 25, 1, 30, tzinfo=UTC)
    assert typed_moment(twice, ZONE) == "2026-10-25T02:30:00+01:00"
    assert parse_moment(typed_moment(twice, ZONE), NOW, ZONE) == twice
    assert typed_degrees(57.0, US) == "134.6 F"
    assert typed_degrees(57.25, METRIC) == "57.25 C"


@pytest.mark.parametrize("typed", ["20:45", "8:45 pm", "20:45:10"])
def test_an_end_later_today_is_not_taken_for_yesterday(typed: str) -> None:
    said = refused(**(KEEP | {"began": "18:00", "ended": typed}))
    assert said["ended"].startswith(f"{typed} lies ahead, read as today")
    assert "began" not in said


def test_an_end_that_was_yesterday_is_taken_as_typed() -> None:
    row = understood(KEEP | {"began": "yesterday 18:00", "ended": "20:45"})
    assert row.ended is not None
    assert row.ended.astimezone(ZONE).day == 11
    assert "cannot end before it began" in refused(**(KEEP | {"began": "18:00", "ended": "yesterday 20:45"}))["ended"]
