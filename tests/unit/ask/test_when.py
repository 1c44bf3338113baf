"""Table times as typed."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from corebath.ask.restate import spelt
from corebath.ask.when import parse_ahead, parse_when, parse_zone
from corebath.units import Ambiguous, NotUnderstood

PARIS = ZoneInfo("Europe/Paris")
LORD_HOWE = ZoneInfo("Australia/Lord_Howe")
# A Wednesday.
NOW = datetime(2027, 10, 27, 12, 0, tzinfo=PARIS)


def at(day: int, hour: int, minute: int = 0) -> datetime:
    return datetime(2027, 10, day, hour, minute, tzinfo=PARIS)


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("19:30", at(27, 19, 30)),
        ("19.30", at(27, 19, 30)),
        ("19h30", at(27, 19, 30)),
        ("19h", at(27, 19)),
        ("7:30 pm", at(27, 19, 30)),
        ("7pm", at(27, 19)),
        ("7 p.m.", at(27, 19)),
        ("12 am", at(28, 0)),
        ("12:30 pm", at(27, 12, 30)),
        ("11:00", at(28, 11)),
        ("12:00", at(28, 12)),
        ("12:01", at(27, 12, 1)),
        ("today 19:30", at(27, 19, 30)),
        ("tonight at 8 pm", at(27, 20)),
        ("tomorrow 7:30 pm", at(28, 19, 30)),
        ("7:30 pm tomorrow", at(28, 19, 30)),
        ("Fri 18:30", at(29, 18, 30)),
        ("friday, 18:30", at(29, 18, 30)),
        ("Wed 18:30", at(27, 18, 30)),
        ("Wed 11:00", datetime(2027, 11, 3, 11, tzinfo=PARIS)),
        ("on Sun at 18:30", at(31, 18, 30)),
        ("2027-10-31 18:30", at(31, 18, 30)),
        ("2027-10-31T18:30", at(31, 18, 30)),
        ("Sun 2027-10-31 18:30", at(31, 18, 30)),
        ("2027-10-31T18:30+01:00", at(31, 18, 30)),
        ("2027-10-31T17:30Z", at(31, 18, 30)),
        ("2027-10-31 12:30-0500", at(31, 18, 30)),
        ("  19:30  ", at(27, 19, 30)),
    ],
)
def test_a_table_time_as_typed(typed: str, meant: datetime) -> None:
    moment = parse_when(typed, NOW, PARIS)
    assert moment == meant
    assert moment.tzinfo is PARIS


@pytest.mark.parametrize(
    "typed",
    [
        "", " ", "soon", "19", "7", "25:00", "19:60", "13 pm", "0 am", "19:30 pm", "7:30 7:30", "12:30:45:11",
        "2027-02-30 19:00", "2027-13-01 19:00", "2027-10-31", "0000-01-01 10:00", "Mon 2027-10-31 18:30",
        "2027-10-31T25:00+01:00", "2027-10-31T10:00+99:00", "19:30 on the moon", "🍖", "19:30\x00", "\u202e19:30",
        "9" * 70, "-1:30", "1e1:30", "NaN", "19:3", "٣٠", "on", "Sunday",
    ],
)  # fmt: skip
def test_a_table_time_that_is_not_understood(typed: str) -> None:
    with pytest.raises(NotUnderstood) as caught:
        parse_when(typed, NOW, PARIS)
    assert str(caught.value)
    assert str(caught.value).isprintable()
    assert len(str(caught.value)) < 200


def test_an_hour_that_is_skipped_is_refused() -> None:
    with pytest.raises(NotUnderstood, match="does not exist in Europe/Paris: the clocks go forward"):
        parse_when("2027-03-28 02:30", NOW, PARIS)


def test_an_hour_that_comes_twice_is_asked_about() -> None:
    with pytest.raises(NotUnderstood, match="comes twice") as caught:
        parse_when("2027-10-31 02:30", NOW, PARIS)
    first, second = "2027-10-31T02:30+0200", "2027-10-31T02:30+0100"
    assert first in str(caught.value)
    assert second in str(caught.value)
    assert parse_when(second, NOW, PARIS) - parse_when(first, NOW, PARIS) == timedelta(0)
    # Both stand at 02:30 on the clock, an hour apart in fact.
    apart = parse_when(second, NOW, PARIS).astimezone(UTC) - parse_when(first, NOW, PARIS).astimezone(UTC)
    assert apart == timedelta(hours=1)


def test_half_an_hour_comes_twice_on_lord_howe() -> None:
    with pytest.raises(NotUnderstood, match="comes twice"):
        parse_when("2027-04-04 01:45", NOW, LORD_HOWE)
    assert parse_when("2027-04-04 02:15", NOW, LORD_HOWE).utcoffset() == timedelta(hours=10.5)


def test_a_clock_time_that_came_twice_and_has_passed_means_tomorrow() -> None:
    noon = datetime(2027, 10, 31, 12, 0, tzinfo=PARIS)
    assert parse_when("02:30", noon, PARIS) == datetime(2027, 11, 1, 2, 30, tzinfo=PARIS)
    assert parse_when("02:30", datetime(2027, 3, 28, 12, tzinfo=PARIS), PARIS).day == 29


def test_the_day_is_the_cook_s_not_the_server_s() -> None:
    # 23:30 UTC on the 27th is half past one on the 28th in Paris.
    now = datetime(2027, 10, 27, 23, 30, tzinfo=UTC)
    assert parse_when("today 19:30", now, PARIS) == at(28, 19, 30)
    assert parse_when("tomorrow 19:30", now, PARIS) == at(29, 19, 30)


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("demain 19h30", at(28, 19, 30)),
        ("demain à 19 h 30", at(28, 19, 30)),
        ("morgen 19:30", at(28, 19, 30)),
        ("Morgen um 19 Uhr 30", at(28, 19, 30)),
        ("mañana a las 19:30", at(28, 19, 30)),
        ("übermorgen 19:30", at(29, 19, 30)),
        ("pasado mañana 19:30", at(29, 19, 30)),
        ("aujourd’hui 19:30", at(27, 19, 30)),
        ("heute 19 Uhr", at(27, 19)),
        ("ce soir 20h", at(27, 20)),
        ("Sonntag 18:30", at(31, 18, 30)),
        ("am Sonntag um 18:30", at(31, 18, 30)),
        ("So. 18:30", at(31, 18, 30)),
        ("dimanche 18:30", at(31, 18, 30)),
        ("el domingo 18:30", at(31, 18, 30)),
        ("mardi 19:00", datetime(2027, 11, 2, 19, tzinfo=PARIS)),
        ("31.10.2027 18:30", at(31, 18, 30)),
        ("31.10. 18:30", at(31, 18, 30)),
        ("1.2. 18:30", datetime(2028, 2, 1, 18, 30, tzinfo=PARIS)),
        ("31/10/2027 18:30", at(31, 18, 30)),
        ("10/31/2027 6:30 pm", at(31, 18, 30)),
        ("noon", at(28, 12)),
        ("tomorrow noon", at(28, 12)),
        ("midi", at(28, 12)),
        ("midnight", at(28, 0)),
        ("tonight midnight", at(28, 0)),
        ("24:00", at(28, 0)),
        ("Fri 24:00", at(30, 0)),
        ("tonight 00:30", at(28, 0, 30)),
        ("tonight 12 am", at(28, 0)),
        ("tonight 23:00", at(27, 23)),
        ("heute Nacht 1:00", at(28, 1)),
        ("half past seven pm", at(27, 19, 30)),
        ("tonight half past seven", at(27, 19, 30)),
        ("quarter to eight pm", at(27, 19, 45)),
        ("7 o'clock pm", at(27, 19)),
    ],
)
def test_a_table_time_in_the_words_of_cooks(typed: str, meant: datetime) -> None:
    assert parse_when(typed, NOW, PARIS) == meant


@pytest.mark.parametrize(
    ("typed", "choices"),
    [
        ("5/6/2028 18:30", ("2028-06-05", "2028-05-06")),
        ("half past seven", ("07:30", "19:30")),
        ("7 o'clock", ("07:00", "19:00")),
        ("Sat midnight", ("Sat 00:00", "Sat 24:00")),
    ],
)
def test_a_time_of_two_meanings_is_asked_about(typed: str, choices: tuple[str, str]) -> None:
    with pytest.raises(Ambiguous) as caught:
        parse_when(typed, NOW, PARIS)
    assert caught.value.choices == choices
    assert all(choice in str(caught.value) for choice in choices)


@pytest.mark.parametrize("typed", ["tonight", "Sunday", "demain", "2027-10-31"])
def test_a_day_alone_says_that_a_time_is_missing(typed: str) -> None:
    with pytest.raises(NotUnderstood, match="names no time of day: type one beside it"):
        parse_when(typed, NOW, PARIS)


@pytest.mark.parametrize("typed", ["tomorrow Sunday 18:30", "today tomorrow 19:00", "Mon Tue 19:00"])
def test_two_days_are_refused(typed: str) -> None:
    with pytest.raises(NotUnderstood, match="more than one day"):
        parse_when(typed, NOW, PARIS)


def test_the_small_hours_of_tonight_are_the_next_day_s() -> None:
    evening = datetime(2027, 10, 27, 17, 30, tzinfo=PARIS)
    assert parse_when("tonight 00:30", evening, PARIS) == at(28, 0, 30)
    small_hours = datetime(2027, 10, 27, 0, 10, tzinfo=PARIS)
    assert parse_when("tonight 00:30", small_hours, PARIS) == at(27, 0, 30)
    assert parse_when("today 00:30", evening, PARIS) == at(27, 0, 30)


def test_a_span_from_now_is_a_table_time() -> None:
    for typed in ("in 3 hours", "dans 3 heures", "in 3 Stunden", "en 3 horas", "In 3 h"):
        assert parse_ahead(typed, NOW, PARIS) == at(27, 15)
    assert parse_ahead("19:30", NOW, PARIS) == at(27, 19, 30)
    with pytest.raises(NotUnderstood):
        parse_ahead("in a while", NOW, PARIS)
    with pytest.raises(NotUnderstood):
        parse_when("in 3 hours", NOW, PARIS)


@given(st.text(max_size=80))
def test_no_text_crashes_the_reader_of_times(text: str) -> None:
    try:
        moment = parse_ahead(text, NOW, PARIS)
    except NotUnderstood:
        return
    assert moment.tzinfo is not None


@given(st.from_regex(r"[0-9]{4}-[0-9]{2}-[0-9]{2}[ T][0-9]{2}:[0-9]{2}(Z|[+-][0-9]{4})?", fullmatch=True))
def test_no_date_crashes_the_reader_of_times(text: str) -> None:
    try:
        parse_when(text, NOW, PARIS)
    except NotUnderstood:
        return


@given(
    st.datetimes(datetime(2027, 1, 1), datetime(2028, 1, 1)),
    st.sampled_from(["Europe/Paris", "America/New_York", "Australia/Lord_Howe", "UTC", "Asia/Kathmandu"]),
)
def test_a_moment_spelt_out_is_read_back(naive: datetime, name: str) -> None:
    zone = ZoneInfo(name)
    moment = naive.replace(second=0, microsecond=0, tzinfo=UTC).astimezone(zone)
    read = parse_when(spelt(moment), NOW, zone)
    assert read.astimezone(UTC) == moment.astimezone(UTC)


@pytest.mark.parametrize(
    "name", ["Europe/Paris", "UTC", "Australia/Lord_Howe", "America/Argentina/Buenos_Aires", " UTC "]
)
def test_a_zone_by_its_name(name: str) -> None:
    assert parse_zone(name).key == name.strip()


@pytest.mark.parametrize(
    "name", ["", "Paris", "Europe", "../etc/passwd", "/etc/passwd", "Europe/Paris\x00", "🍖", "x" * 1000, "a" * 51, "."]
)
def test_what_is_no_zone(name: str) -> None:
    with pytest.raises(NotUnderstood, match="is no time zone"):
        parse_zone(name)


@given(st.text(max_size=60))
def test_no_text_crashes_the_reader_of_zones(text: str) -> None:
    try:
        parse_zone(text)
    except NotUnderstood:
        return
