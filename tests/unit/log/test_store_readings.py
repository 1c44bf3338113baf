"""Readings in the store, on both kinds of it."""

from __future__ import annotations

from datetime import datetime, timedelta
from pathlib import Path
from threading import Thread
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from tests.unit.log.cooks import NOON, a_cook, trace

from corebath.log.cook import Place, Reading
from corebath.log.store import Store

MANY = 100_000


def started(store: Store) -> int:
    number = store.start_cook(a_cook()).id
    assert number is not None
    return number


def test_readings_come_back_as_rising_arrays_for_each_place(store: Store) -> None:
    number = started(store)
    paris = ZoneInfo("Europe/Paris")
    told = [
        Reading(NOON + timedelta(seconds=30, microseconds=1), Place.CORE, 21.5),
        Reading(NOON.astimezone(paris), Place.CORE, 20.25),
        Reading(NOON, Place.BATH, 57.3),
    ]
    assert store.add_readings(number, told) == 3
    times, values = store.readings(number, Place.CORE)
    assert (times - NOON.timestamp()).tolist() == pytest.approx([0.0, 30.000001], abs=3e-7)
    assert values.tolist() == [20.25, 21.5]
    assert [a.tolist() for a in store.readings(number, Place.BATH)] == [[NOON.timestamp()], [57.3]]
    assert [a.size for a in store.readings(started(store), Place.CORE)] == [0, 0]


def test_the_repeated_hour_of_autumn_stays_two_hours(store: Store) -> None:
    """Europe/Paris leaves summer time on 2026-10-25 at 03:00, so 02:30 comes twice (time zone database)."""
    number, paris = started(store), ZoneInfo("Europe/Paris")
    twice = [datetime(2026, 10, 25, 2, 30, tzinfo=paris, fold=fold) for fold in (0, 1)]
    assert store.add_readings(number, [Reading(at, Place.BATH, 57.0) for at in twice]) == 2
    times, _ = store.readings(number, Place.BATH)
    assert np.diff(times).tolist() == [3600.0]


def test_the_same_reading_is_kept_once_however_often_it_is_told(store: Store) -> None:
    number = started(store)
    readings = trace([20.0, 20.5, 21.0])
    assert store.add_readings(number, readings + readings) == 3
    assert store.add_readings(number, readings) == 0
    assert store.add_readings(number, trace([20.0, 20.5, 21.0, 21.5], source="another name")) == 1
    assert store.add_readings(number, []) == 0
    assert store.readings(number, Place.CORE)[1].tolist() == [20.0, 20.5, 21.0, 21.5]
    other = started(store)
    assert store.add_readings(other, readings) == 3


def test_two_values_of_one_moment_are_both_kept_and_read_as_their_mean(store: Store) -> None:
    number = started(store)
    store.add_readings(number, trace([20.0, 30.0]))
    store.add_readings(number, [*trace([21.0]), *trace([99.0], Place.BATH)])
    times, values = store.readings(number, Place.CORE)
    assert (times - NOON.timestamp()).tolist() == [0.0, 1.0]
    assert values.tolist() == [20.5, 30.0]


def test_the_readings_of_one_source_can_be_taken_back(store: Store) -> None:
    number = started(store)
    store.add_readings(number, trace([20.0, 21.0], source="wrong.csv"))
    store.add_readings(number, trace([57.0], Place.BATH, "right.csv"))
    assert store.sources(number) == {"right.csv": 1, "wrong.csv": 2}
    assert store.remove_readings(number, "wrong.csv") == 2
    assert store.remove_readings(number, "wrong.csv") == 0
    assert store.sources(number) == {"right.csv": 1}


def test_readings_leave_the_revision_alone(store: Store) -> None:
    number = started(store)
    seen = store.cook(number)
    store.add_readings(number, trace([20.0]))
    assert store.cook(number) == seen
    store.end_cook(number, seen.revision)


def test_a_reading_that_cannot_be_kept_keeps_the_others_out_too(store: Store) -> None:
    number = started(store)
    with pytest.raises(ValueError, match="must lie after 1970"):
        store.add_readings(number, [*trace([20.0]), Reading(NOON.replace(year=2500), Place.CORE, 20.0)])
    assert store.readings(number, Place.CORE)[0].size == 0
    with pytest.raises(ValueError, match="source of a reading must have 1 to 80"):
        Reading(NOON, Place.CORE, 20.0, "")


def test_a_long_trace_goes_in_and_comes_out_whole(store: Store) -> None:
    number = started(store)
    values = np.round(np.random.default_rng(3).uniform(-20, 90, MANY), 3)
    assert store.add_readings(number, trace(values.tolist())) == MANY
    times, found = store.readings(number, Place.CORE)
    assert np.array_equal(times, NOON.timestamp() + np.arange(MANY))
    assert np.array_equal(found, values)


def test_writers_in_several_windows_lose_nothing(store: Store, address: str) -> None:
    number = started(store)
    windows = [Store(address) for _ in range(3)]
    new = [0, 0, 0]

    def write(mine: int) -> None:
        for start in range(0, 300, 30):
            some = [
                Reading(NOON + timedelta(seconds=start + i), Place.BATH, 50.0 + (mine > 0) / 2, f"window {mine}")
                for i in range(30)
            ]
            new[mine] += windows[mine].add_readings(number, some)

    threads = [Thread(target=write, args=(mine,)) for mine in range(3)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    for window in windows:
        window.close()
    assert new[0] == 300
    assert new[1] + new[2] == 300
    assert store.readings(number, Place.BATH)[1].tolist() == [50.25] * 300
    assert sum(store.sources(number).values()) == 600


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("store") / "kitchen.db"


told_readings = st.lists(
    st.builds(
        lambda us, place, value: Reading(NOON + timedelta(microseconds=us), place, value),
        st.integers(0, 20) | st.integers(-(10**14), 10**14),
        st.sampled_from(Place),
        st.integers(-60, 150).map(float) | st.floats(-60, 150),
    ),
    max_size=40,
)


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(told_readings, max_size=4))
def test_what_is_kept_is_the_set_of_what_was_told(kept: Path, batches: list[list[Reading]]) -> None:
    store = Store(kept)
    try:
        number = started(store)
        model: set[tuple[Place, datetime, float]] = set()
        for batch in batches:
            before = len(model)
            model |= {(r.place, r.at, r.value_C) for r in batch}
            assert store.add_readings(number, batch) == len(model) - before
        for place in Place:
            moments = sorted({at for where, at, _ in model if where is place})
            means = [np.mean([v for w, a, v in model if w is place and a == at]) for at in moments]
            times, values = store.readings(number, place)
            assert times.tolist() == pytest.approx([at.timestamp() for at in moments], rel=0, abs=1e-6)
            assert values.tolist() == pytest.approx(means)
    finally:
        store.close()
