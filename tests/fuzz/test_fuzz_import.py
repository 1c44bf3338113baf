"""A file of another kitchen, damaged anyhow: it is imported whole or not at all, and a refusal is one sentence."""

from __future__ import annotations

import copy
import json
import os
import shutil
import sqlite3
from collections.abc import Callable, Iterator
from pathlib import Path
from random import Random
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from tests.unit.log.cooks import JPEG, NOON, a_cook, a_record, an_event, exported, trace

from corebath.log.cook import Happening, Place, Rating
from corebath.log.demo import demo_kitchen
from corebath.log.errors import Malformed
from corebath.log.photo import Photo
from corebath.log.record import Step
from corebath.log.store import Store

EXAMPLES = int(os.environ.get("FUZZ_EXAMPLES", "0")) or 300
SEED = 20270312
ODD: tuple[Any, ...] = (
    None, True, False, 0, -1, 1, 2**31, 2**63, -(2**70), 1e308, -1e308, 1e-320, 0.5, "", " ", "x", "\x00", "é" * 5000,
    "nan",
    "2027-03-12T11:00:00", "2027-03-12T11:00:00+01:00", "0001-01-01T00:00:00+14:00", "9999-12-31T23:59:59-12:00",
    "f" * 32, "F" * 32, [], {}, [None], [[]], {"x": {}}, [1, 2], ["a", "b"], "AAAA", "\ud800",
)  # fmt: skip


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    """An export with something of everything, small."""
    folder = tmp_path_factory.mktemp("whole")
    store = Store(folder / "kitchen.db")
    store.save_kitchen(demo_kitchen(ZoneInfo("Europe/Paris")), 0)
    for name in ("Ribeye for four", "Zweites"):
        cook = store.start_cook(a_cook(name))
        number = cook.id or 0
        store.add_event(number, an_event())
        store.add_event(number, an_event(Happening.SET_POINT, 20))
        store.add_readings(number, trace([5.0, 6.0, 7.5]))
        store.add_readings(number, trace([57.0, 57.1], Place.BATH, "bath.csv"))
        store.add_photo(number, Photo(JPEG, NOON, "A slice"))
        store.rate(number, Rating(tender=1, note="a bit dry"), store.cook(number).revision)
    kept = store.add_record(a_record(Step.KEEP, 4.0, 12.0)).record
    store.add_record(a_record(Step.KEEP, 4.0, 4.5, points_at=kept.id, note="misread"))
    file = exported(store, folder)
    store.close()
    return file


class Target:
    """A store that is empty again whenever something was imported into it."""

    def __init__(self, folder: Path) -> None:
        self._empty, self._file, self._sent = folder / "empty.db", folder / "target.db", folder / "sent.jsonl"
        Store(self._empty).close()
        self._open()

    def _open(self) -> None:
        for file in self._file.parent.glob("target.db*"):
            file.unlink()
        shutil.copy(self._empty, self._file)
        self.store = Store(self._file)

    def rows(self) -> int:
        """How many rows there are in all tables."""
        connection = sqlite3.connect(self._file)
        tables = [name for (name,) in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")]
        found = sum(
            int(connection.execute(f"SELECT count(*) FROM {table}").fetchone()[0])
            for table in tables
            if not table.startswith(("alembic", "sqlite"))
        )
        connection.close()
        return found

    def takes(self, data: bytes) -> bool:
        """Import a file. True when it was taken, and then it can be exported and its parts are as many as told."""
        self._sent.write_bytes(data)
        before = self.rows()
        try:
            moved = self.store.import_from(self._sent)
        except Malformed as refused:
            said = str(refused)
            assert said
            assert "\n" not in said
            assert len(said) < 400, said
            assert self.rows() == before, said
            return False
        assert self.store.cooks().total == moved.cooks
        again = self._sent.with_name("again.jsonl")
        assert self.store.export(again) == moved
        self.store.close()
        again.unlink()
        self._open()
        return True


@pytest.fixture(scope="module")
def target(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Target]:
    opened = Target(tmp_path_factory.mktemp("target"))
    yield opened
    opened.store.close()


def _bytes(random: Random, data: bytes) -> bytes:
    """Some bytes changed, left out, put in or doubled."""
    at, span = random.randrange(len(data)), random.choice((1, 1, 1, 3, 40, 2000))
    new = random.choice(
        (b"", random.randbytes(span), bytes([data[at] ^ (1 << random.randrange(8))]), data[at : at + span] * 2)
    )
    return data[:at] + new + data[at + span :]


def _lines(random: Random, data: bytes) -> bytes:
    """Lines left out, doubled, changed about, or cut off."""
    lines = data.splitlines(keepends=True)
    at, other = random.randrange(len(lines)), random.randrange(len(lines))
    match random.randrange(5):
        case 0:
            del lines[at]
        case 1:
            lines.insert(other, lines[at])
        case 2:
            lines[at], lines[other] = lines[other], lines[at]
        case 3:
            lines = [*lines[:at], lines[at][: random.randrange(len(lines[at]))]]
        case _:
            lines.insert(
                at, random.choice((b"\n", b"{}\n", b"null\n", b"[" * 20_000 + b"\n", b'{"x": 1}\n', b"\xef\xbb\xbf"))
            )
    return b"".join(lines)


def _values(random: Random, data: bytes) -> bytes:
    """A value of a line put in place of another, a key left out or renamed; the number of lines stays."""
    lines = data.splitlines()
    at = random.randrange(len(lines))
    line = json.loads(lines[at])
    places: list[tuple[Any, Any]] = []

    def walk(value: Any) -> None:
        for key, inner in value.items() if isinstance(value, dict) else enumerate(value):
            places.append((value, key))
            if isinstance(inner, dict | list):
                walk(inner)

    walk(line)
    holder, key = random.choice(places)
    match random.randrange(4):
        case 0 if isinstance(holder, dict):
            del holder[key]
        case 1 if isinstance(holder, dict):
            holder[f"{key}x"] = holder.pop(key)
        case 2:
            other, name = random.choice(places)
            holder[key] = copy.deepcopy(other[name]) if name in other or isinstance(other, list) else None
        case _:
            holder[key] = random.choice(ODD)
    lines[at] = json.dumps(line).encode()
    return b"\n".join(lines) + b"\n"


WAYS: dict[str, Callable[[Random, bytes], bytes]] = {"bytes": _bytes, "lines": _lines, "values": _values}


def test_the_whole_file_is_taken(target: Target, whole: bytes) -> None:
    assert target.takes(whole)
    assert target.rows() == 0


@pytest.mark.parametrize("way", WAYS)
def test_a_damaged_file_is_taken_whole_or_not_at_all(target: Target, whole: bytes, way: str) -> None:
    random = Random(SEED)
    taken = 0
    for _ in range(EXAMPLES // 3):
        damaged = whole
        for _ in range(random.choice((1, 1, 2, 5))):
            try:
                damaged = WAYS[way](random, damaged)
            except (ValueError, TypeError, IndexError, KeyError):
                break  # damaged so far that it is no file of lines any more
        taken += target.takes(damaged)
    assert taken < EXAMPLES // 3 / 2
    print(way, EXAMPLES // 3, "files,", taken, "of them taken")
