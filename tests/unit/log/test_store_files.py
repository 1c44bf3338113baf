"""Backups, exports and imports: whole or not at all, and the same again on the other side."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from threading import Event as Signal
from threading import Thread
from zoneinfo import ZoneInfo

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from tests.unit.log.cooks import NOON, a_cook, an_event, exported, fill, trace

from corebath.log.cook import Place
from corebath.log.demo import demo_kitchen
from corebath.log.gear import Kitchen
from corebath.log.store import Malformed, Moved, Store, StoreError


@pytest.fixture
def target(new_address: Callable[[], str]) -> Iterator[Store]:
    opened = Store(new_address())
    yield opened
    opened.close()


@pytest.fixture(scope="module")
def full(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    """An export of a store that has something of everything."""
    folder = tmp_path_factory.mktemp("full")
    store = Store(folder / "kitchen.db")
    fill(store)
    store.close()
    store = Store(folder / "kitchen.db")
    try:
        return exported(store, folder)
    finally:
        store.close()


def test_everything_goes_through_a_file_and_comes_out_the_same(store: Store, target: Store, tmp_path: Path) -> None:
    fill(store)
    moved = store.export(tmp_path / "store.jsonl")
    assert moved == Moved(cooks=2, readings=12_004, photos=2, kitchen=True, records=4)
    assert target.import_from(tmp_path / "store.jsonl") == moved
    assert target.kitchen() == store.kitchen()
    for mine, theirs in zip(store.cooks().cooks, target.cooks().cooks, strict=True):
        numbered = tuple(replace(e, id=None) for e in mine.events)
        assert replace(mine, id=None, revision=0, events=numbered) == replace(
            theirs, id=None, revision=0, events=tuple(replace(e, id=None) for e in theirs.events)
        )
        for place in Place:
            ours, others = store.readings(mine.id or 0, place), target.readings(theirs.id or 0, place)
            assert [a.tolist() for a in ours] == [a.tolist() for a in others]
        assert [store.photo(p.id).data for p in store.photos(mine.id or 0)] == [
            target.photo(p.id).data for p in target.photos(theirs.id or 0)
        ]
    assert target.cooks("trop tendre").total == 1
    assert exported(target, tmp_path) == (tmp_path / "store.jsonl").read_bytes()


def test_a_file_from_one_kind_of_store_goes_into_the_other_and_back(
    new_postgres: Callable[[], str], tmp_path: Path, full: bytes
) -> None:
    file, stores = tmp_path / "0.jsonl", [Store(new_postgres()), Store(tmp_path / "back.db")]
    file.write_bytes(full)
    for number, store in enumerate(stores, start=1):
        store.import_from(file)
        file = tmp_path / f"{number}.jsonl"
        store.export(file)
        store.close()
        assert file.read_bytes() == full


def test_an_import_adds_what_is_missing_and_leaves_what_is_there(store: Store, tmp_path: Path, full: bytes) -> None:
    file = tmp_path / "store.jsonl"
    file.write_bytes(full)
    mine = Kitchen(ZoneInfo("Asia/Tokyo"))
    store.save_kitchen(mine, 0)
    own = store.start_cook(a_cook("My own"))
    assert store.import_from(file) == Moved(cooks=2, readings=12_004, photos=2, known=0, kitchen=False, records=4)
    eggs = store.cooks("eggs").cooks[0]
    store.add_event(eggs.id or 0, an_event(text="changed since"))
    before = exported(store, tmp_path, "before.jsonl")
    assert store.import_from(file) == Moved(known=2)
    assert exported(store, tmp_path, "after.jsonl") == before
    assert store.kitchen() == (mine, 1)
    assert store.cook(own.id or 0) == own


def test_an_empty_store_goes_through_a_file_too(store: Store, target: Store, tmp_path: Path) -> None:
    assert store.export(tmp_path / "empty.jsonl") == Moved()
    assert target.import_from(tmp_path / "empty.jsonl") == Moved()


def edited(full: bytes, kind: str, change: Callable[[dict[str, object]], object]) -> bytes:
    """The export with the first line of a kind changed."""
    lines = full.splitlines(keepends=True)
    at = next(i for i, line in enumerate(lines) if line.startswith(f'{{"{kind}"'.encode()))
    whole = json.loads(lines[at])
    change(whole if kind == "format" else whole[kind])
    lines[at] = json.dumps(whole).encode() + b"\n"
    return b"".join(lines)


def put(key: str, value: object) -> Callable[[dict[str, object]], object]:
    return lambda line: line.update({key: value})


DAMAGES: dict[str, tuple[Callable[[bytes], bytes], str]] = {
    "empty": (lambda _: b"", "the file is cut off after line 0"),
    "another file": (lambda _: b"date,core\n2026-11-25,57\n", "the file is not an export of a store"),
    "another JSON file": (lambda _: b'{"schema": "corebath.plan/1"}\n', "the file is not an export of a store"),
    "bytes": (lambda _: b"\xff\xfe\x00", "the file is not an export of a store"),
    "later version": (lambda f: edited(f, "format", put("version", 3)), "of version 3 .* up to 2: use a later"),
    "no such version": (lambda f: edited(f, "format", put("version", 0)), "line 1 .* version 0 never was"),
    "true version": (lambda f: edited(f, "format", put("version", True)), "version must be a whole number"),
    "cut at a line": (lambda f: b"".join(f.splitlines(keepends=True)[:-1]), "the file is cut off after line"),
    "cut in a line": (lambda f: f[:-40], "is not JSON"),
    "line gone": (
        lambda f: b"".join(f.splitlines(keepends=True)[:2] + f.splitlines(keepends=True)[3:]),
        "line 3 .* cook",
    ),
    "last cook gone": (lambda f: b"".join([*f.splitlines(keepends=True)[:-2], b'{"end": 10}\n']), "lines are missing"),
    "more after the end": (lambda f: f + b'{"end": 11}\n', "it follows the end"),
    "two kitchens": (lambda f: f.replace(b'{"cook"', f.splitlines()[1] + b'\n{"cook"', 1), "a second kitchen"),
    "unknown kind": (lambda f: f.replace(b'{"photo"', b'{"film"'), "'film' is not known"),
    "two kinds": (lambda f: f.replace(b'{"photo"', b'{"a": 1, "photo"'), "an object with one key"),
    "key twice": (lambda f: f.replace(b'"caption"', b'"caption": "", "caption"'), "a key stands twice"),
    "unknown key": (lambda f: edited(f, "cook", put("wine", "red")), "'wine' is not known"),
    "key gone": (lambda f: edited(f, "cook", lambda c: c.pop("name")), "name is missing"),
    "no number": (lambda f: edited(f, "cook", put("thickness_m", "3 cm")), "thickness_m must be a number"),
    "true for a number": (lambda f: edited(f, "cook", put("thickness_m", True)), "thickness_m must be a number"),
    "not finite": (lambda f: f.replace(b'"thickness_m": 0.03', b'"thickness_m": NaN'), "NaN is not a number"),
    "too large": (lambda f: f.replace(b'"thickness_m": 0.03', b'"thickness_m": 1e999'), "thickness_m must be a number"),
    "no zone": (lambda f: edited(f, "cook", put("planned_at", "2026-11-25T12:00:00")), "a moment with its offset"),
    "no moment": (lambda f: edited(f, "cook", put("planned_at", "noon")), "noon"),
    "far moment": (lambda f: edited(f, "cook", put("planned_at", "9999-12-31T23:59:59-23:00")), "before 2200"),
    "no uid": (lambda f: edited(f, "cook", put("uid", "7")), "32 small hexadecimal digits"),
    "uid twice": (lambda f: f.replace(b'{"end"', f.splitlines()[2] + b'\n{"end"'), "that no other cook has"),
    "no happening": (lambda f: f.replace(b'"dropped in"', b'"eaten"'), "'eaten' is not a valid"),
    "no event": (lambda f: edited(f, "cook", put("events", [1])), "an object with the keys happening"),
    "no rating": (lambda f: edited(f, "cook", put("rating", {"tender": 9})), "juicy is missing"),
    "rating out of range": (lambda f: f.replace(b'"tender": 1', b'"tender": 9'), "rated from -2 to 2"),
    "no such wall": (lambda f: f.replace(b'"wall": "', b'"wall": "soft '), "soft"),
    "no such zone": (lambda f: f.replace(b"Europe/Paris", b"Europe/Nowhere"), "Nowhere"),
    "no such units": (lambda f: f.replace(b'"units": "metric"', b'"units": "cubits"'), "'cubits' is not known"),
    "lists of two lengths": (lambda f: edited(f, "readings", put("at_us", [1])), "of one length"),
    "reading out of range": (lambda f: edited(f, "readings", put("value_C", [9e9] * 3)), "a reading must lie"),
    "moment out of range": (lambda f: edited(f, "readings", put("at_us", [10**30] * 3)), "too large"),
    "no place": (lambda f: edited(f, "readings", put("place", "oven")), "'oven' is not a valid"),
    "no such cook": (lambda f: edited(f, "readings", put("cook", "0" * 32)), "its cook does not stand before it"),
    "no base64": (lambda f: edited(f, "photo", put("base64", "é!")), "line 8"),
    "no picture": (lambda f: edited(f, "photo", put("base64", "R0lGODlh")), "must be a JPEG or PNG"),
    "no such step": (lambda f: edited(f, "record", put("step", "eat")), "'eat' is not a valid"),
    "no such authority": (lambda f: edited(f, "record", put("authority", "ZZ")), "'ZZ' is not a valid"),
    "no initials": (lambda f: edited(f, "record", put("initials", "")), "initials must have 1 to 8 characters"),
    "a row twice": (lambda f: f.replace(b'{"end"', f.splitlines()[-2] + b'\n{"end"'), "that no other row has"),
    "row before its own": (lambda f: edited(f, "record", put("points_at", "0" * 32)), "does not stand before it"),
    "no such food": (lambda f: f.replace(b'"kind": "chicken"', b'"kind": "unicorn"'), "'unicorn' is not known"),
    "readings in no order": (
        lambda f: edited(f, "record", lambda r: r.update(measured=r["measured"][::-1])),  # type: ignore[index]
        "follow each other in time",
    ),
    "nested": (lambda f: f.replace(b'{"end"', b"[" * 200_000 + b'\n{"end"'), "nested too deep|not JSON"),
    "long number": (lambda f: f.replace(b'"thickness_m": 0.03', b'"thickness_m": ' + b"9" * 5000), "line 3"),
    "line without end": (lambda f: f.replace(b'{"end"', b" " * 9_000_000 + b'{"end"'), "longer than"),
}


@pytest.mark.parametrize("damage", DAMAGES)
def test_a_damaged_file_is_refused_in_one_sentence_and_nothing_is_written(
    tmp_path: Path, full: bytes, damage: str
) -> None:
    spoil, why = DAMAGES[damage]
    file = tmp_path / "store.jsonl"
    file.write_bytes(spoil(full))
    assert file.read_bytes() != full
    store = Store(tmp_path / "kitchen.db")
    store.start_cook(a_cook("My own"))
    before = exported(store, tmp_path)
    with pytest.raises(Malformed, match=why) as told:
        store.import_from(file)
    assert "\n" not in str(told.value)
    assert not str(told.value).endswith(".")
    assert exported(store, tmp_path) == before
    store.close()


def test_a_damaged_file_leaves_a_server_alone_too(new_postgres: Callable[[], str], tmp_path: Path, full: bytes) -> None:
    file = tmp_path / "store.jsonl"
    file.write_bytes(full[:-20])
    store = Store(new_postgres())
    with pytest.raises(Malformed):
        store.import_from(file)
    assert store.cooks().total == 0
    assert store.kitchen() is None
    store.close()


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(data=st.data())
def test_any_few_wrong_bytes_are_refused_or_harmless(
    tmp_path_factory: pytest.TempPathFactory, full: bytes, data: st.DataObject
) -> None:
    # The long lists of readings would swallow nearly every change.
    short = bytearray(b"".join(line for line in full.splitlines(keepends=True) if len(line) < 5000))
    for _ in range(data.draw(st.integers(1, 3))):
        at = data.draw(st.integers(0, len(short) - 1))
        short[at : at + data.draw(st.integers(0, 3))] = data.draw(st.binary(max_size=4) | st.just(b'"') | st.just(b"{"))
    folder = tmp_path_factory.mktemp("spoiled")
    (folder / "store.jsonl").write_bytes(short)
    store = Store(folder / "kitchen.db")
    try:
        store.import_from(folder / "store.jsonl")
    except Malformed:
        assert store.cooks().total == 0
        assert store.kitchen() is None
    else:
        exported(store, folder)
    finally:
        store.close()


def test_a_backup_is_a_store_of_its_own(tmp_path: Path) -> None:
    store = Store(tmp_path / "kitchen.db")
    fill(store)
    store.backup(tmp_path / "copy.db")
    before = exported(store, tmp_path)
    store.start_cook(a_cook("later"))
    copy = Store(tmp_path / "copy.db")
    assert exported(copy, tmp_path) == before
    copy.close()
    store.close()


def test_a_backup_made_while_others_write_holds_one_moment(tmp_path: Path) -> None:
    store, stop = Store(tmp_path / "kitchen.db"), Signal()
    number = store.start_cook(a_cook()).id or 0
    written = 0

    def write() -> None:
        nonlocal written
        other = Store(tmp_path / "kitchen.db")
        while not stop.is_set():
            some = trace([20.0] * (written + 50))[written:]
            written += other.add_readings(number, some)
        other.close()

    thread = Thread(target=write)
    thread.start()
    counts = []
    for k in range(5):
        store.backup(tmp_path / f"copy{k}.db")
        copy = sqlite3.connect(tmp_path / f"copy{k}.db")
        assert copy.execute("PRAGMA integrity_check").fetchone() == ("ok",)
        counts.append(copy.execute("SELECT count(*) FROM reading").fetchone()[0])
        copy.close()
    stop.set()
    thread.join()
    store.close()
    assert counts == sorted(counts)
    assert all(count % 50 == 0 for count in counts)
    assert counts[-1] <= written


def test_no_file_is_ever_written_over(tmp_path: Path) -> None:
    store, taken = Store(tmp_path / "kitchen.db"), tmp_path / "taken"
    taken.write_text("precious", encoding="utf-8")
    for write in (store.backup, store.export):
        with pytest.raises(StoreError, match="is there already: choose another name"):
            write(taken)
        with pytest.raises(StoreError, match=r"cannot be written: .*(No such file|cannot be made or opened)"):
            write(tmp_path / "nowhere" / "file")
    assert taken.read_text(encoding="utf-8") == "precious"
    with pytest.raises(StoreError, match=r"the file cannot be read: .*No such file"):
        store.import_from(tmp_path / "nowhere")
    with pytest.raises(StoreError, match=r"the file cannot be read: .*Is a directory"):
        store.import_from(tmp_path)
    assert sorted(p.name for p in tmp_path.iterdir() if not p.name.startswith("kitchen")) == ["taken"]
    store.close()


def test_a_server_makes_its_own_backups(new_postgres: Callable[[], str], tmp_path: Path) -> None:
    store = Store(new_postgres())
    with pytest.raises(StoreError, match="a store on a server is backed up there"):
        store.backup(tmp_path / "copy.db")
    store.close()


def test_the_demo_kitchen_is_exported_as_it_is_documented(tmp_path: Path) -> None:
    store = Store(tmp_path / "kitchen.db")
    store.save_kitchen(demo_kitchen(ZoneInfo("UTC")), 0)
    store.start_cook(replace(a_cook(), events=(an_event(),)))
    head, kitchen, cook, end = map(json.loads, exported(store, tmp_path).splitlines())
    store.close()
    assert head == {"format": "corebath store", "version": 2}
    assert kitchen["kitchen"]["zone"] == "UTC"
    assert kitchen["kitchen"]["vessels"][0]["name"] == "soup pot"
    assert cook["cook"]["planned_at"] == NOON.isoformat()
    assert cook["cook"]["events"][0]["happening"] == "dropped in"
    assert end == {"end": 3}
