"""Rows of the records in the store, on both kinds of it: written once, corrected by new rows, never lost."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import timedelta
from pathlib import Path
from threading import Barrier, Thread
from zoneinfo import ZoneInfo

import pytest
from tests.unit.log.cooks import NOON, a_cook, a_record, exported

from corebath.log.record import Entry, Measured, Point, Record, Step
from corebath.log.store import Malformed, Missing, Outdated, Store
from corebath.safety.authority import Authority
from corebath.safety.subject import Subject

SUBJECT = Subject("fish", "stuffed", 0.1, True, True, True, True)


def test_a_row_comes_back_as_it_went_in(store: Store) -> None:
    cook_id = store.start_cook(a_cook()).id
    zone = ZoneInfo("Asia/Kolkata")
    told = a_record(
        Step.COOK, 5.25, 61.0, began=NOON.astimezone(zone), ended=NOON + timedelta(hours=2), set_C=61.5, food="ø fish",
        subject=SUBJECT, pasteurised=True, opened=True, held_hot=True, offset_K=-0.25, action="a\nb", note="ø '\" % \\",
        authority=Authority.AU, cook_id=cook_id,
    )  # fmt: skip
    kept = store.add_record(told)
    assert kept == Entry(replace(told, id=kept.record.id))
    assert store.record(kept.record.id or 0) == kept
    assert store.records() == (kept,)
    probe = a_record(Step.PROBE, 99.1, 99.2, point=Point.BOILING, altitude_m=250.0)
    assert store.add_record(probe).record == replace(probe, id=(kept.record.id or 0) + 1)


def test_rows_are_listed_by_their_moments_and_narrowed(store: Store) -> None:
    cook_id = store.start_cook(a_cook()).id
    later = store.add_record(a_record(Step.KEEP, 4.0, 4.1, cook_id=cook_id, action="none needed"))
    first = store.add_record(a_record(Step.KEEP, 3.0))
    assert [e.record.id for e in store.records()] == [first.record.id, later.record.id]
    half = NOON + timedelta(minutes=30)
    assert store.records(until=half) == (first,)
    assert store.records(since=half) == (later,)
    assert store.records(cook_id=cook_id) == (later,)
    assert store.records(unanswered=True) == (first,)
    with pytest.raises(Missing, match="there is no cook 99"):
        store.records(cook_id=99)
    with pytest.raises(Missing, match="there is no row 99"):
        store.record(99)


def test_a_correction_and_an_action_point_at_a_row_that_stays_as_it_was(store: Store) -> None:
    old = store.add_record(a_record(Step.CHILL, 57.0, 30.0)).record
    assert old.id is not None
    done = store.add_record(a_record(Step.ACTION, action="Into fresh ice", points_at=old.id)).record
    better = store.add_record(a_record(Step.CHILL, 57.0, 20.0, note="misread", points_at=old.id)).record
    seen = store.record(old.id)
    assert seen == Entry(old, (done,), better.id)
    assert seen.answered
    assert [e.record.id for e in store.records()] == [old.id, better.id]  # an action stands with its row
    for late in (
        a_record(Step.CHILL, 57.0, 19.0, note="misread again", points_at=old.id),
        a_record(Step.ACTION, action="Thrown away", points_at=old.id),
    ):
        with pytest.raises(Outdated, match=f"row {old.id} was corrected by row {better.id} meanwhile"):
            store.add_record(late)
    with pytest.raises(ValueError, match=f"row {better.id} is of another step, chill"):
        store.add_record(a_record(Step.KEEP, 4.0, note="misread", points_at=better.id))
    with pytest.raises(ValueError, match="is a corrective action"):
        store.add_record(a_record(Step.ACTION, action="more", points_at=done.id))
    with pytest.raises(Missing, match="there is no row 77"):
        store.add_record(a_record(Step.ACTION, action="more", points_at=77))


def test_of_two_windows_that_correct_one_row_exactly_one_succeeds(store: Store, address: str) -> None:
    for _ in range(5):
        old = store.add_record(a_record()).record.id
        windows, start, told = [Store(address), Store(address)], Barrier(2), list[str]()

        def correct(window: Store, target: int | None, together: Barrier, said: list[str]) -> None:
            together.wait()
            try:
                window.add_record(a_record(Step.KEEP, 5.0, note="misread", points_at=target))
                said.append("wrote")
            except Outdated:
                said.append("outdated")

        threads = [Thread(target=correct, args=(w, old, start, told)) for w in windows]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        for window in windows:
            window.close()
        assert sorted(told) == ["outdated", "wrote"]


def test_rows_outlive_the_cook_they_are_about(store: Store) -> None:
    cook = store.start_cook(a_cook())
    row = store.add_record(a_record(cook_id=cook.id)).record
    store.remove_cook(cook.id or 0, cook.revision)
    assert store.records() == (Entry(replace(row, cook_id=None)),)


@pytest.mark.parametrize(
    ("step", "other", "why"),
    [
        (Step.KEEP, {"initials": ""}, "initials must have 1 to 8 characters"),
        (Step.KEEP, {"initials": "J\nM"}, "stand on one line"),
        (Step.KEEP, {"batch": "x" * 81}, "what a record is about must have 1 to 80 characters"),
        (Step.KEEP, {"note": "\x00"}, "a note holds a character that cannot be kept"),
        (Step.KEEP, {"set_C": 101.0}, "a set point must lie between"),
        (Step.KEEP, {"set_C": float("nan")}, "a set point must lie between"),
        (Step.KEEP, {"offset_K": 9.0}, "offset must lie between"),
        (Step.KEEP, {"told_at": NOON.replace(tzinfo=None)}, "needs a time zone"),
        (Step.KEEP, {"began": NOON, "ended": NOON - timedelta(minutes=1)}, "cannot end before it began"),
        (Step.KEEP, {"measured": (Measured(NOON, 500.0),)}, "a reading must lie between"),
        (Step.KEEP, {"measured": (Measured(NOON, 4.0), Measured(NOON, 5.0))}, "must follow each other in time"),
        (Step.KEEP, {"measured": tuple(Measured(NOON + timedelta(hours=i), 4.0) for i in range(49))}, "at most 48"),
        (Step.KEEP, {"points_at": 1}, "says in its note why the old row was wrong"),
        (Step.KEEP, {"point": Point.ICE, "altitude_m": 0.0}, "a check of a thermometer, and nothing else"),
        (Step.PROBE, {}, "a check of a thermometer, and nothing else"),
        (Step.PROBE, {"point": Point.ICE, "altitude_m": 9000.0}, "the altitude must lie between"),
        (Step.ACTION, {"action": "done"}, "what was done, and about which row"),
        (Step.ACTION, {"points_at": 1}, "what was done, and about which row"),
    ],
)
def test_what_no_row_can_be_is_refused(step: Step, other: dict[str, object], why: str) -> None:
    with pytest.raises(ValueError, match=why):
        a_record(step, **other)


def test_a_correction_from_another_store_is_taken_in_beside_its_row(store: Store, tmp_path: Path) -> None:
    store.add_record(a_record())
    before = exported(store, tmp_path)
    store.add_record(a_record(Step.KEEP, 5.0, note="misread", points_at=1))
    (tmp_path / "all.jsonl").write_bytes(exported(store, tmp_path))
    (tmp_path / "before.jsonl").write_bytes(before)
    other = Store(tmp_path / "other.db")
    assert other.import_from(tmp_path / "before.jsonl").records == 1
    assert other.import_from(tmp_path / "all.jsonl").records == 1
    assert other.records()[0].corrected_by == 2
    assert exported(other, tmp_path) == (tmp_path / "all.jsonl").read_bytes()
    other.close()


def test_a_file_of_the_first_version_is_still_read(store: Store, tmp_path: Path) -> None:
    store.start_cook(a_cook())
    lines = exported(store, tmp_path).splitlines(keepends=True)
    first = b'{"format": "corebath store", "version": 1}\n'
    (tmp_path / "first.jsonl").write_bytes(b"".join([first, *lines[1:]]))
    other = Store(tmp_path / "other.db")
    assert other.import_from(tmp_path / "first.jsonl").cooks == 1
    other.close()


def test_a_row_that_points_at_one_of_another_step_in_a_file_is_refused(store: Store, tmp_path: Path) -> None:
    store.add_record(a_record())
    store.add_record(a_record(Step.KEEP, 5.0, note="misread", points_at=1))
    lines = exported(store, tmp_path).splitlines()
    row = json.loads(lines[-2])
    row["record"]["step"] = "chill"
    (tmp_path / "wrong.jsonl").write_text(
        "\n".join([*(line.decode() for line in lines[:-2]), json.dumps(row), lines[-1].decode()]) + "\n"
    )
    other = Store(tmp_path / "other.db")
    with pytest.raises(Malformed, match="is of another step"):
        other.import_from(tmp_path / "wrong.jsonl")
    assert other.records() == ()
    other.close()


def test_a_row_is_a_value_of_its_own(store: Store) -> None:
    assert isinstance(hash(store.add_record(a_record(subject=SUBJECT)).record), int)
    assert store.records()[0].record != Record(Step.KEEP, "other", NOON, "JM")
