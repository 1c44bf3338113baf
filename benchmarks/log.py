"""Timings of the store of the log, on an embedded file on this disk, every write through to it."""

from __future__ import annotations

import tempfile
import time
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

from corebath.log.cook import Cook, Event, Happening, Place, Reading
from corebath.log.store import Store

Row = tuple[str, float, str]

START = datetime(2026, 11, 25, 12, 0, tzinfo=UTC)
READINGS = 100_000
COOKS = 500


def timed(run: Callable[[], object]) -> float:
    """Time of one run [s]; what was written cannot be written again as new."""
    begun = time.perf_counter()
    run()
    return time.perf_counter() - begun


def rows() -> Iterator[Row]:
    """Name, seconds and note of every timing."""
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "kitchen.db"
        yield "open a new store", timed(lambda: Store(file).close()), "makes the tables"
        yield "open the store", min(timed(lambda: Store(file).close()) for _ in range(5)), ""
        store = Store(file)
        number = started(store, 0)
        readings = [Reading(START + timedelta(seconds=i), Place.BATH, 57.0 + i % 7 / 10) for i in range(READINGS)]
        budget = "budget with judging 2000 ms"
        yield "import 100,000 readings", timed(lambda: store.add_readings(number, readings)), budget
        yield "import them again", timed(lambda: store.add_readings(number, readings)), "all known"
        yield "read 100,000 readings", min(timed(lambda: store.readings(number, Place.BATH)) for _ in range(3)), ""
        one = [Reading(START + timedelta(days=2, seconds=i), Place.BATH, 57.0) for i in range(20)]
        each = timed(lambda: [store.add_readings(number, [reading]) for reading in one]) / len(one)
        yield "write one reading", each, "on disk when it returns"
        for k in range(1, COOKS):
            started(store, k)
        yield "list 500 cooks", min(timed(lambda: store.cooks(most=COOKS)) for _ in range(3)), "with their events"
        yield "search 500 cooks", min(timed(lambda: store.cooks("cook 7")) for _ in range(3)), "first 50 of them"
        yield "export all", timed(lambda: store.export(Path(folder) / "store.jsonl")), ""
        yield "back up", timed(lambda: store.backup(Path(folder) / "copy.db")), "copied and checked"
        store.close()
        other = Store(Path(folder) / "other.db")
        yield (
            "import all",
            timed(lambda: other.import_from(Path(folder) / "store.jsonl")),
            "500 cooks, 100,000 readings",
        )
        other.close()


def started(store: Store, k: int) -> int:
    """Number of a new cook with three events."""
    at = START + timedelta(hours=k)
    events = tuple(Event(h, at, at) for h in (Happening.DROPPED_IN, Happening.TOPPED_UP, Happening.PULLED))
    number = store.start_cook(Cook("food=ribeye", at, f"cook {k}", "beef_ribeye", 57.0, 0.03, 7200.0, events)).id
    assert number is not None
    return number
