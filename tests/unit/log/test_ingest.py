"""What loggers send, made into readings of a cook."""

from __future__ import annotations

import json
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.unit.log.cooks import NOON, a_cook

from corebath.log.cook import Place
from corebath.log.ingest import ingest, readings_of
from corebath.log.store import Missing, Store
from corebath.log.texts import limits

BEFORE = NOON - timedelta(minutes=1)


def taken(payload: object, place: Place | None = None) -> list[tuple[datetime, Place, float]]:
    found = readings_of(payload, received_at=NOON, source="http", place=place)
    return [(r.at, r.place, round(r.value_C, 6)) for r in found]


@pytest.mark.parametrize(
    ("payload", "place", "expected"),
    [
        (57.3, Place.BATH, [(NOON, Place.BATH, 57.3)]),
        (57, Place.CORE, [(NOON, Place.CORE, 57.0)]),
        ("57.3", Place.BATH, [(NOON, Place.BATH, 57.3)]),
        (" 57,3 °C\n", Place.BATH, [(NOON, Place.BATH, 57.3)]),
        (b"135 F", Place.BATH, [(NOON, Place.BATH, 57.222222)]),
        ('"212 F"', Place.BATH, [(NOON, Place.BATH, 100.0)]),
        ({"core": 57.3}, None, [(NOON, Place.CORE, 57.3)]),
        ({"core": "57,3"}, None, [(NOON, Place.CORE, 57.3)]),
        ('{"core": 54.1, "bath": 57}', None, [(NOON, Place.CORE, 54.1), (NOON, Place.BATH, 57.0)]),
        ({"core": None, "bath": 57}, Place.CORE, [(NOON, Place.BATH, 57.0)]),
        ({"bath": 140, "unit": "F"}, None, [(NOON, Place.BATH, 60.0)]),
        ({"bath": "60 C", "unit": "F"}, None, [(NOON, Place.BATH, 60.0)]),
        ({"t": BEFORE.isoformat(), "core": 1}, None, [(BEFORE, Place.CORE, 1.0)]),
        ({"t": "2026-11-25T12:59:00+01:00", "core": 1}, None, [(BEFORE, Place.CORE, 1.0)]),
        ({"t": "2026-11-25T11:59:00Z", "core": 1}, None, [(BEFORE, Place.CORE, 1.0)]),
        ({"t": BEFORE.timestamp(), "core": 1}, None, [(BEFORE, Place.CORE, 1.0)]),
        ({"t": None, "core": 1}, None, [(NOON, Place.CORE, 1.0)]),
        (
            [{"t": BEFORE.timestamp(), "bath": 1}, {"bath": 2}],
            None,
            [(BEFORE, Place.BATH, 1.0), (NOON, Place.BATH, 2.0)],
        ),
        ([], None, []),
    ],
)
def test_a_payload_becomes_readings(
    payload: object, place: Place | None, expected: list[tuple[datetime, Place, float]]
) -> None:
    assert taken(payload, place) == expected


@pytest.mark.parametrize(
    ("payload", "why"),
    [
        ("57.3", "does not say whether it is of the core or of the bath"),
        (57.3, "does not say whether it is of the core or of the bath"),
        ("[57.3]", "must hold objects with a core or a bath temperature"),
        ({"bath": 149}, "a reading of the bath must lie between"),
        ({"bath": -20, "core": 4}, "a reading of the bath must lie between"),
        ({}, "needs a core or a bath temperature"),
        ({"t": 1, "unit": "C"}, "clock is not set: it says 1970"),
        ({"t": 1795607940, "unit": "C"}, "needs a core or a bath temperature"),
        ({"core": 57, "fan": 3}, "'fan' is not known in a reading: it has t, core, bath, unit"),
        ({"core": 57, "x" * 90: 3}, "'x{40}' is not known"),
        ({"core": True}, "must be a number such as 57.3"),
        ({"core": [57]}, "must be a number such as 57.3"),
        ({"core": float("nan")}, "must be a number such as 57.3"),
        ({"core": 10**400}, "must be a number such as 57.3"),
        ('{"core": NaN}', "must be a number such as 57.3"),
        ('{"core": 1e999}', "must be a number such as 57.3"),
        ({"core": "hot"}, "'hot' is not understood as a temperature"),
        ({"core": 573}, "a reading must lie between"),
        ({"core": -61}, "a reading must lie between"),
        ({"core": 57, "unit": "K"}, "unit of a reading must be C or F"),
        ({"core": 57, "unit": ["C"]}, "unit of a reading must be C or F"),
        ({"core": 57, "t": "noon"}, "must be ISO 8601 with its offset, or seconds since 1970 UTC"),
        ({"core": 57, "t": True}, "must be ISO 8601"),
        ({"core": 57, "t": [1]}, "must be ISO 8601"),
        ({"core": 57, "t": 1e300}, "must be ISO 8601"),
        ({"core": 57, "t": 1795608000000}, "must be ISO 8601"),
        ({"core": 57, "t": "2026-11-25T12:00:00"}, "needs its offset, as in"),
        ({"core": 57, "t": (NOON + timedelta(minutes=6)).isoformat()}, "clock is ahead"),
        ({"core": 57, "t": "9999-12-31T23:59:59-14:00"}, "clock is ahead"),
        ({"core": 57, "t": "0001-01-01T00:00:00+14:00"}, "clock is not set: it says 1"),
        ("{", "the readings are not JSON"),
        ("[" * 100_000, "the readings are not JSON"),
        (b"\xff\xfe", "not text in UTF-8"),
        ([{"core": 1}] * 10_001, "at most 10000 readings are taken at once"),
        ("9" * 2_000_000, "at most 1048576 bytes of readings"),
        (None, "does not say whether"),
    ],
)
def test_a_payload_that_is_not_understood_is_refused_in_one_sentence(payload: object, why: str) -> None:
    with pytest.raises(ValueError, match=why) as told:
        taken(payload)
    assert "\n" not in str(told.value)
    assert not str(told.value).endswith(".")


json_like = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(),
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(st.sampled_from(["t", "core", "bath", "unit"]) | st.text(), inner, max_size=4)
    ),
    max_leaves=8,
)


@given(json_like | st.binary() | st.text() | json_like.map(json.dumps), st.sampled_from([None, *Place]))
def test_any_payload_is_taken_or_refused_and_never_fails_otherwise(payload: object, place: Place | None) -> None:
    try:
        readings = readings_of(payload, received_at=NOON, source="http", place=place)
    except ValueError as error:
        assert str(error)  # noqa: PT017 - both ways are right
    else:
        assert all(-60 <= r.value_C <= 150 and r.at <= NOON + timedelta(minutes=5) for r in readings)


@given(st.integers(0, limits().readings_a_payload), st.floats(0, 100))
def test_a_time_in_seconds_is_that_moment(seconds: int, value: float) -> None:
    ((at, place, found),) = taken({"t": 1_700_000_000 + seconds, "core": value})
    assert at == datetime(2023, 11, 14, 22, 13, 20, tzinfo=UTC) + timedelta(seconds=seconds)
    assert (place, found) == (Place.CORE, round(value, 6))


def test_what_a_logger_sends_twice_is_kept_once_and_what_is_half_wrong_not_at_all(tmp_path: Path) -> None:
    store = Store(tmp_path / "kitchen.db")
    number = store.start_cook(a_cook()).id or 0
    payload = [{"t": BEFORE.timestamp(), "core": 50.0, "bath": 57.0}, {"t": NOON.isoformat(), "core": 51.0}]
    assert ingest(store, number, payload, received_at=NOON) == 3
    assert ingest(store, number, json.dumps(payload), received_at=NOON + timedelta(hours=1)) == 0
    assert store.sources(number) == {"http": 3}
    with pytest.raises(ValueError, match="a reading must lie"):
        ingest(store, number, [{"core": 52.0}, {"core": 520.0}], received_at=NOON)
    assert store.readings(number, Place.CORE)[1].tolist() == [50.0, 51.0]
    with pytest.raises(Missing):
        ingest(store, number + 1, payload, received_at=NOON)
    store.close()


def test_a_bare_number_of_a_bath_is_water() -> None:
    with pytest.raises(ValueError, match="as water does"):
        readings_of("149", received_at=NOON, source="t", place=Place.BATH)
    assert readings_of("-20", received_at=NOON, source="t", place=Place.CORE)[0].value_C == -20.0
