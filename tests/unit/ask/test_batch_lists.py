"""Thicknesses with their counts, and days with their portions, as typed."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from corebath.ask.batch_lists import parse_pieces, parse_portions
from corebath.plan.request import BadRequest
from corebath.units import METRIC, US, NotUnderstood, Preference

SUNDAY = date(2027, 3, 7)


@pytest.mark.parametrize(
    ("text", "prefer", "sizes"),
    [
        ("38 mm x10", METRIC, [(38.0, 10, False)]),
        ("22 mm x2, 28 mm x4, 38 mm x4", METRIC, [(22.0, 2, False), (28.0, 4, False), (38.0, 4, False)]),
        ("22 mm x2,28 mm x4", METRIC, [(22.0, 2, False), (28.0, 4, False)]),
        ("1 1/2 in x 3", US, [(38.1, 3, False)]),
        ("1 1/2 in × 3; 1 in x2", US, [(38.1, 3, False), (25.4, 2, False)]),
        ("2,5 cm x2, 3 cm", METRIC, [(25.0, 2, False), (30.0, 1, False)]),
        ("28 mm x2 overlapping", METRIC, [(28.0, 2, True)]),
        ("22 mm and 30 mm x2", METRIC, [(22.0, 1, False), (30.0, 2, False)]),
        ("38 x4", METRIC, [(38.0, 4, False)]),
    ],
)
def test_thicknesses_are_read(text: str, prefer: Preference, sizes: list[tuple[float, int, bool]]) -> None:
    read = [(p.thickness_m * 1000, p.count, p.overlapping) for p in parse_pieces(text, prefer)]
    assert [r[1:] for r in read] == [s[1:] for s in sizes]
    assert [r[0] for r in read] == pytest.approx([s[0] for s in sizes])


def test_a_single_thickness_takes_the_count_told_elsewhere() -> None:
    assert parse_pieces("38 mm", METRIC, 10)[0].count == 10
    assert parse_pieces("38 mm x2", METRIC, 10)[0].count == 2


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "nothing was typed"),
        ("thick", "not understood"),
        ("38 mm x0", "between 1 and"),
        ("38 mm x61", "between 1 and 60"),
        ("2 m x2", "must lie between"),
        ("28 mm overlapping", "between 2 and 6"),
        ("28 mm x7 overlapping", "between 2 and 6"),
        ("-3 mm", "negative"),
        (", ,", "not understood"),
        ("9" * 300, "too long"),
    ],
)
def test_unclear_thicknesses_get_one_sentence(text: str, says: str) -> None:
    with pytest.raises((NotUnderstood, BadRequest)) as caught:
        parse_pieces(text, METRIC)
    assert says in str(caught.value)


@pytest.mark.parametrize(
    ("text", "pieces", "counts"),
    [
        ("Mon to Fri", 10, [2, 2, 2, 2, 2]),
        ("mon-fri", 12, [3, 3, 2, 2, 2]),
        ("Mon to Fri 2", 12, [2, 2, 2, 2, 2]),
        ("Mon 2, Wed 3", 10, [2, 0, 3]),
        ("Mon 4, Tue, Wed", 10, [4, 3, 3]),
        ("2027-03-08 to 2027-03-10", 3, [1, 1, 1]),
        ("Monday", 7, [7]),
        ("Mo bis Fr", 10, [2, 2, 2, 2, 2]),
        ("von Montag bis Mittwoch 2", 6, [2, 2, 2]),
        ("Mo 2 und Mi 3", 5, [2, 0, 3]),
        ("du lundi au vendredi", 5, [1, 1, 1, 1, 1]),
        ("lun. 2, mer. 3", 5, [2, 0, 3]),
        ("lunes a miércoles", 3, [1, 1, 1]),
        ("el lunes 2 y el miércoles 1", 3, [2, 0, 1]),
        ("tomorrow 2, übermorgen 1", 3, [2, 1]),
        ("demain au mercredi", 3, [1, 1, 1]),
        ("8.3.2027 bis 10.3.2027", 3, [1, 1, 1]),
    ],
)
def test_days_are_read_from_the_day_of_cooking_on(text: str, pieces: int, counts: list[int]) -> None:
    portions = parse_portions(text, SUNDAY, pieces, SUNDAY)
    expected = {SUNDAY + timedelta(days=i + 1): n for i, n in enumerate(counts) if n}
    assert {p.day: p.count for p in portions} == expected


def test_tomorrow_is_counted_from_today_and_not_from_the_day_of_cooking() -> None:
    assert parse_portions("tomorrow", SUNDAY, 1, SUNDAY - timedelta(days=1))[0].day == SUNDAY


def test_the_day_of_cooking_is_a_day_too() -> None:
    assert parse_portions("Sun 2, Mon", SUNDAY, 3, SUNDAY)[0].day == SUNDAY


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "nothing was typed"),
        ("someday", "not understood"),
        ("Mon, Mon", "twice"),
        ("Mon to Fri", "3 pieces cannot be eaten on 5 days"),
        ("2027-02-30", "no such date"),
        ("2027-03-10 to 2027-03-08", "not a row of days"),
        ("2027-03-08 to 2028-03-08", "not a row of days"),
    ],
)
def test_unclear_days_get_one_sentence(text: str, says: str) -> None:
    with pytest.raises((NotUnderstood, BadRequest)) as caught:
        parse_portions(text, SUNDAY, 3, SUNDAY)
    assert says in str(caught.value)


@given(st.lists(st.tuples(st.integers(5, 200), st.integers(1, 60)), min_size=1, max_size=8))
def test_what_is_written_is_read_again(sizes: list[tuple[int, int]]) -> None:
    read = parse_pieces(", ".join(f"{mm} mm x{n}" for mm, n in sizes), METRIC)
    assert [(round(p.thickness_m * 1000), p.count) for p in read] == sizes


@given(st.text(max_size=60), st.integers(1, 60))
def test_nothing_typed_breaks_anything_else(text: str, pieces: int) -> None:
    for read in (lambda: parse_pieces(text, METRIC), lambda: parse_portions(text, SUNDAY, pieces, SUNDAY)):
        try:
            read()
        except (NotUnderstood, BadRequest):
            continue


@given(st.integers(1, 7), st.integers(1, 60))
def test_all_pieces_are_eaten_where_no_number_is_named(days: int, pieces: int) -> None:
    names = ["Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"][:days]
    if pieces < days:
        return
    portions = parse_portions(", ".join(names), SUNDAY, pieces, SUNDAY)
    assert sum(p.count for p in portions) == pieces
    assert max(p.count for p in portions) - min(p.count for p in portions) <= 1
