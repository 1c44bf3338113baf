"""Records in their tables: written once, never changed."""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import asdict, replace
from datetime import datetime
from typing import Any
from uuid import uuid4

from sqlalchemy import Select, select
from sqlalchemy.orm import Session

from corebath.safety.authority import Authority
from corebath.safety.subject import Subject

from .cook_rows import cook_row
from .errors import Missing, Outdated
from .moments import from_us, to_us
from .record import Entry, Measured, Point, Record, Step
from .tables import CookRow, MeasuredRow, RecordRow

_PLAIN = (
    "batch", "initials", "set_C", "food", "pasteurised", "opened", "held_hot", "altitude_m", "offset_K", "action",
    "note",
)  # fmt: skip
_AT_ONCE = 500  # databases take only so many figures in one statement


def insert_record(session: Session, record: Record) -> int:
    """Write a new row; returns its number.

    Raises Missing for a row or a cook it points at that is not there, Outdated when the row was corrected meanwhile,
    and ValueError for what no row can be.
    """
    if record.points_at is not None:
        _check_target(session, record, record_row(session, record.points_at))
    cook_uid = None if record.cook_id is None else cook_row(session, record.cook_id).uid
    return put_record(session, record, uuid4().hex, record.points_at, cook_uid)


def put_record(session: Session, record: Record, uid: str, points_at: int | None, cook_uid: str | None) -> int:
    """Write a row as it is, `points_at` and `cook_uid` in place of its own; returns its number."""
    row = RecordRow(
        uid=uid, step=record.step.value, authority=record.authority.value, at_us=to_us(record.at),
        told_at_us=to_us(record.told_at), began_at_us=_us(record.began), ended_at_us=_us(record.ended),
        subject=None if record.subject is None else json.dumps(asdict(record.subject)),
        point=None if record.point is None else record.point.value, points_at=points_at, cook_uid=cook_uid,
        **{name: getattr(record, name) for name in _PLAIN},
    )  # fmt: skip
    session.add(row)
    session.flush()
    session.add_all(MeasuredRow(record_id=row.id, at_us=to_us(m.at), value_C=m.value_C) for m in record.measured)
    session.flush()
    return row.id


def read_entry(session: Session, number: int) -> Entry:
    """One row with what points at it. Raises Missing."""
    return _entries(session, [record_row(session, number)])[0]


def list_entries(
    session: Session, since: datetime | None, until: datetime | None, cook_id: int | None, unanswered: bool
) -> tuple[Entry, ...]:
    """Rows, actions apart, in the order of their moments; actions stand with the rows they are about."""
    wanted = select(RecordRow).where(RecordRow.step != Step.ACTION.value)
    if since is not None:
        wanted = wanted.where(RecordRow.at_us >= to_us(since))
    if until is not None:
        wanted = wanted.where(RecordRow.at_us < to_us(until))
    if cook_id is not None:
        wanted = wanted.where(RecordRow.cook_uid == cook_row(session, cook_id).uid)
    if unanswered:
        pointed = select(RecordRow.points_at).where(RecordRow.points_at.is_not(None))
        wanted = wanted.where(RecordRow.action == "", RecordRow.id.not_in(pointed))
    return tuple(_entries(session, session.scalars(wanted.order_by(RecordRow.at_us, RecordRow.id)).all()))


def record_row(session: Session, number: int) -> RecordRow:
    """The row of a number. Raises Missing."""
    row = session.get(RecordRow, number) if -(2**31) < number < 2**31 else None
    if row is None:
        raise Missing(f"there is no row {number} in these records")
    return row


def all_rows(session: Session) -> list[tuple[Record, str, str | None, str | None]]:
    """Every row with its uid and the uids of the row and the cook it points at, in the order they were written."""
    rows = session.scalars(select(RecordRow).order_by(RecordRow.id)).all()
    uids = {row.id: row.uid for row in rows}
    pointed = (None if row.points_at is None else uids[row.points_at] for row in rows)
    made = zip(_records(session, rows), rows, pointed, strict=True)
    return [(record, row.uid, target, row.cook_uid) for record, row, target in made]


def _check_target(session: Session, record: Record, target: RecordRow) -> None:
    if target.step == Step.ACTION.value:
        raise ValueError(f"row {target.id} is a corrective action: write another one about the row it is about")
    corrected = session.scalar(_pointing([target.id]).where(RecordRow.step != Step.ACTION.value))
    if corrected is not None:
        raise Outdated(f"row {target.id} was corrected by row {corrected.id} meanwhile: look at that one")
    if record.step not in (Step.ACTION, Step(target.step)):
        raise ValueError(f"row {target.id} is of another step, {target.step}: a correction is of the same one")


def _pointing(numbers: Sequence[int]) -> Select[RecordRow]:
    return select(RecordRow).where(RecordRow.points_at.in_(numbers)).order_by(RecordRow.id)


def _entries(session: Session, rows: Sequence[RecordRow]) -> list[Entry]:
    pointing = [
        row
        for first in range(0, len(rows), _AT_ONCE)
        for row in session.scalars(_pointing([r.id for r in rows[first : first + _AT_ONCE]]))
    ]
    actions: dict[int, list[Record]] = defaultdict(list)
    corrected: dict[int, int] = {}
    for row, record in zip(pointing, _records(session, pointing), strict=True):
        assert row.points_at is not None
        if record.step is Step.ACTION:
            actions[row.points_at].append(record)
        else:
            corrected[row.points_at] = row.id
    made = zip(rows, _records(session, rows), strict=True)
    return [Entry(record, tuple(actions[row.id]), corrected.get(row.id)) for row, record in made]


def _records(session: Session, rows: Sequence[RecordRow]) -> list[Record]:
    measured: dict[int, list[Measured]] = defaultdict(list)
    cooks: dict[str, int] = {}
    for first in range(0, len(rows), _AT_ONCE):
        some = rows[first : first + _AT_ONCE]
        found = select(MeasuredRow).where(MeasuredRow.record_id.in_([row.id for row in some]))
        for value in session.scalars(found.order_by(MeasuredRow.at_us)):
            measured[value.record_id].append(Measured(from_us(value.at_us), value.value_C))
        uids = {row.cook_uid for row in some if row.cook_uid is not None}
        known = session.execute(select(CookRow.uid, CookRow.id).where(CookRow.uid.in_(uids)))
        cooks |= dict(known.all())
    return [replace(_record(row, tuple(measured[row.id])), cook_id=cooks.get(row.cook_uid or "")) for row in rows]


def _record(row: RecordRow, measured: tuple[Measured, ...]) -> Record:
    plain: dict[str, Any] = {name: getattr(row, name) for name in _PLAIN}
    return Record(
        step=Step(row.step), told_at=from_us(row.told_at_us), authority=Authority(row.authority), measured=measured,
        began=_moment(row.began_at_us), ended=_moment(row.ended_at_us),
        subject=None if row.subject is None else Subject(**json.loads(row.subject)),
        point=None if row.point is None else Point(row.point), points_at=row.points_at, id=row.id, **plain,
    )  # fmt: skip


def _us(at: datetime | None) -> int | None:
    return None if at is None else to_us(at)


def _moment(us: int | None) -> datetime | None:
    return None if us is None else from_us(us)
