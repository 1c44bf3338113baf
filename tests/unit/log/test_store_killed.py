"""Writers killed at any instant, and disks that are full: nothing acknowledged is lost, and nothing is half done.

A kill leaves the system's memory of the file whole, so this is no test of a power cut; for that every commit is
written through to the disk (`synchronous=FULL`, checked in test_store_opening.py).
"""

from __future__ import annotations

import json
import os
import random
import resource
import signal
import sqlite3
import subprocess
import sys
import time
from collections import defaultdict
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager
from pathlib import Path

import pytest
from tests.unit.log.cooks import NOON, a_cook, a_jpeg, exported, fill, trace
from tests.unit.log.writer import BATCH

from corebath.log.cook import Place
from corebath.log.photo import Photo
from corebath.log.store import Store, StoreError

KILLS = 40
MOST_ACTS = 5
LATEST_S = 0.02
OPENING_S = 0.12
NEW_STORE_EVERY = 8


class Told:
    """What the store acknowledged before the kill."""

    def __init__(self) -> None:
        self.cooks: set[str] = set()
        self.events: dict[str, set[str]] = defaultdict(set)
        self.readings: dict[str, int] = defaultdict(int)
        self.ratings: dict[str, str] = {}

    def take(self, line: str) -> None:
        act = json.loads(line)
        name = act["cook"]
        self.cooks.add(name)
        if "event" in act:
            self.events[name].add(act["event"])
        self.readings[name] += act.get("readings", 0)
        if "rating" in act:
            self.ratings[name] = act["rating"]

    def check(self, store: Store) -> None:
        """Everything acknowledged is there; of what was under way when the kill came, all or nothing is."""
        listed = {c.name: c for c in store.cooks(most=100_000).cooks}
        assert self.cooks <= listed.keys()
        for name, cook in listed.items():
            number = cook.id or 0
            assert self.events[name] <= {e.text for e in cook.events}
            found = store.readings(number, Place.CORE)[0].size
            assert found in (self.readings[name], self.readings[name] + BATCH)
            step = int(self.ratings[name].rsplit(" ", 1)[-1]) if name in self.ratings else -1
            noted = -1 if cook.rating is None else int(cook.rating.note.rsplit(" ", 1)[-1])
            assert noted in (step, step + 1)


@contextmanager
def writers() -> Iterator[subprocess.Popen[str]]:
    """The program that forks writers."""
    with subprocess.Popen(
        [sys.executable, "-m", "tests.unit.log.writer"],
        cwd=Path(__file__).parents[3], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True,
    ) as running:  # fmt: skip
        try:
            yield running
        finally:
            assert running.stdin is not None
            running.stdin.close()
            running.wait(30)


def kill_one(
    running: subprocess.Popen[str], address: str, number: int, after_acts: int | None, after_s: float
) -> list[str]:
    """Start a writer and kill it; what it acknowledged.

    after_acts : the kill comes so long after so many writes were acknowledged, or after its start when None. Counting
    writes and not only time lets kills fall amid them on a slow machine too.
    """
    assert running.stdin is not None
    assert running.stdout is not None
    running.stdin.write(json.dumps([address, number]) + "\n")
    running.stdin.flush()
    pid = 0
    acts: list[str] = []
    until = "pid" if after_acts is None else "open"
    seen: set[str] = set()
    while not {"pid", until} <= seen or len(acts) < (after_acts or 0):  # the writer may speak before who forked it
        line = running.stdout.readline()
        seen.add(line.split()[0])
        if line.startswith("pid"):
            pid = int(line.split()[1])
        elif line.startswith("{"):
            acts.append(line)
    time.sleep(after_s)
    os.kill(pid, signal.SIGKILL)
    while (line := running.stdout.readline()) != "gone\n":
        assert line, "the program that forks writers died"
        if line.startswith("{"):
            acts.append(line)
    return acts


def test_nothing_acknowledged_is_lost_when_writers_are_killed(new_address: Callable[[], str]) -> None:
    acts = kill_many(new_address, KILLS, seed=5)
    print(f"{KILLS} kills, {acts} acknowledged writes, none lost")
    assert acts > KILLS


def kill_many(new_address: Callable[[], str], kills: int, seed: int) -> int:
    """Kill writers one after another and look after each; how many writes were acknowledged in all."""
    chance = random.Random(seed)
    address, told, acts = new_address(), Told(), 0
    with writers() as running:
        for number in range(kills):
            opening = number % NEW_STORE_EVERY == 0
            if opening:  # so that some kills hit the making of the tables
                address, told = new_address(), Told()
            if opening:
                lines = kill_one(running, address, number, None, chance.uniform(0.0, OPENING_S))
            else:
                lines = kill_one(running, address, number, chance.randrange(MOST_ACTS), chance.uniform(0.0, LATEST_S))
            acts += len(lines)
            for line in lines:
                told.take(line)
            store = Store(address)
            told.check(store)
            store.close()
            if "://" not in address:
                check_file(Path(address))
    return acts


def check_file(file: Path) -> None:
    """The database itself finds nothing wrong with the file."""
    connection = sqlite3.connect(file)
    assert connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
    assert connection.execute("PRAGMA foreign_key_check").fetchall() == []
    connection.close()


@contextmanager
def small_disk(folder: Path) -> Iterator[Callable[[], None]]:
    """A file system of 1.5 MB over a folder, and a way to make room on it."""
    command = ["mount", "-t", "tmpfs", "-o", "size=1536k", "tmpfs", str(folder)]
    if subprocess.run(command, capture_output=True, check=False).returncode:
        pytest.skip("no right to mount a small file system here")
    ballast = folder / "ballast"
    ballast.write_bytes(bytes(600_000))
    try:
        yield ballast.unlink
    finally:
        subprocess.run(["umount", "--lazy", folder], check=True)


@contextmanager
def short_files(_: Path) -> Iterator[Callable[[], None]]:
    """No file may grow beyond 600 kB, for this process, until that is lifted."""
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (600_000, hard))

    def lift() -> None:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))

    try:
        yield lift
    finally:
        lift()


@pytest.mark.parametrize("way", [small_disk, short_files])
def test_a_full_disk_is_told_in_one_sentence_and_costs_nothing_written(
    tmp_path: Path, way: Callable[[Path], AbstractContextManager[Callable[[], None]]]
) -> None:
    folder = tmp_path / "disk"
    folder.mkdir()
    with way(folder) as make_room:
        store = Store(folder / "kitchen.db")
        number = store.start_cook(a_cook()).id or 0
        kept, long = 0, trace([20.0] * 50_000)
        with pytest.raises(StoreError, match=r"^the store cannot be written: the disk is full( or failing)?$"):  # noqa: PT012
            while True:
                kept += store.add_readings(number, long[kept : kept + 500])
        assert kept
        assert store.readings(number, Place.CORE)[0].size == kept
        with pytest.raises(StoreError, match="the disk is full"):
            store.add_photo(number, Photo(a_jpeg(bytes(1_500_000)), NOON))
        store.close()
        make_room()
        again = Store(folder / "kitchen.db")
        assert again.readings(number, Place.CORE)[0].size == kept
        assert again.photos(number) == ()
        assert again.add_readings(number, long[kept : kept + 500]) == 500
        again.close()
        check_file(folder / "kitchen.db")


def test_files_on_a_full_disk_are_refused_and_leave_nothing_behind(tmp_path: Path) -> None:
    store, folder = Store(tmp_path / "kitchen.db"), tmp_path / "disk"
    fill(store)
    store.add_photo(1, Photo(a_jpeg(random.Random(1).randbytes(2_000_000)), NOON))
    whole = exported(store, tmp_path)
    folder.mkdir()
    with small_disk(folder) as make_room:
        with pytest.raises(StoreError, match=r"^the export cannot be written: .*the disk is full$"):
            store.export(folder / "export.jsonl")
        with pytest.raises(StoreError, match=r"^the backup cannot be written: the disk is full$"):
            store.backup(folder / "copy.db")
        assert [file.name for file in folder.iterdir()] == ["ballast"]
        make_room()
        (tmp_path / "export.jsonl").write_bytes(whole)
        other = Store(folder / "kitchen.db")
        with pytest.raises(StoreError, match="the disk is full"):
            other.import_from(tmp_path / "export.jsonl")
        assert other.cooks().total == 0
        assert other.kitchen() is None
        other.close()
    store.close()
