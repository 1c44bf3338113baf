"""Rows of the records as lines of the exported file, docs/store.md."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from datetime import datetime
from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session

from corebath.safety.authority import Authority
from corebath.safety.subject import Subject

from .record import Measured, Point, Record, Step
from .record_rows import put_record
from .tables import RecordRow

Spec = Mapping[str, tuple[type, bool]]
Taken = Callable[[object, Spec], dict[str, Any]]

_UID = re.compile("[0-9a-f]{32}")
_RECORD: Spec = {
    "uid": (str, False), "points_at": (str, True), "cook": (str, True), "step": (str, False), "batch": (str, False),
    "told_at": (datetime, False), "initials": (str, False), "authority": (str, False), "measured": (list, False),
    "began": (datetime, True), "ended": (datetime, True), "set_C": (float, True), "food": (str, False),
    "subject": (dict, True), "pasteurised": (bool, False), "opened": (bool, False), "held_hot": (bool, False),
    "point": (str, True), "altitude_m": (float, True), "offset_K": (float, False), "action": (str, False),
    "note": (str, False),
}  # fmt: skip
_MEASURED: Spec = {"at": (datetime, False), "value_C": (float, False)}
_SUBJECT: Spec = {
    "kind": (str, False), "handling": (str, False), "fat": (float, False), "guests_at_risk": (bool, False),
    "seared": (bool, False), "parasites_frozen": (bool, False), "garlic_or_oil": (bool, False),
    "parasites": (bool, False),
}  # fmt: skip


def record_line(record: Record, uid: str, points_at: str | None, cook_uid: str | None) -> dict[str, Any]:
    """A row as the value of its line."""
    subject = record.subject
    return {
        "uid": uid,
        "points_at": points_at,
        "cook": cook_uid,
        "step": record.step.value,
        "batch": record.batch,
        "told_at": record.told_at.isoformat(),
        "initials": record.initials,
        "authority": record.authority.value,
        "measured": [{"at": m.at.isoformat(), "value_C": m.value_C} for m in record.measured],
        "began": None if record.began is None else record.began.isoformat(),
        "ended": None if record.ended is None else record.ended.isoformat(),
        "set_C": record.set_C,
        "food": record.food,
        "subject": None if subject is None else {name: getattr(subject, name) for name in _SUBJECT},
        "pasteurised": record.pasteurised,
        "opened": record.opened,
        "held_hot": record.held_hot,
        "point": None if record.point is None else record.point.value,
        "altitude_m": record.altitude_m,
        "offset_K": record.offset_K,
        "action": record.action,
        "note": record.note,
    }


class RecordsIn:
    """Takes the rows of a file into a store; one that is there already, by its `uid`, stays as it is."""

    def __init__(self, session: Session) -> None:
        self._session = session
        self._here = dict(session.execute(select(RecordRow.uid, RecordRow.id)).all())
        self._seen: dict[str, Step] = {}

    def take(self, value: object, taken: Taken) -> bool:
        """Write the row of a line; True when it was new. taken : reads an object that must have certain keys

        Raises ValueError for what no row can be, and for one that points at a row that does not stand before it.
        """
        values = taken(value, _RECORD)
        uid, target, cook_uid = (values.pop(name) for name in ("uid", "points_at", "cook"))
        if _UID.fullmatch(uid) is None or uid in self._seen:
            raise ValueError("its uid must be 32 small hexadecimal digits that no other row has")
        if cook_uid is not None and _UID.fullmatch(cook_uid) is None:
            raise ValueError("its cook must be named by 32 small hexadecimal digits")
        step = Step(values.pop("step"))
        if target is not None and not self._may_point(step, self._seen.get(target)):
            raise ValueError("the row it points at does not stand before it, or is of another step")
        subject, point = values.pop("subject"), values.pop("point")
        measured = tuple(Measured(**taken(m, _MEASURED)) for m in values.pop("measured"))
        record = Record(
            step=step, authority=Authority(values.pop("authority")), measured=measured,
            subject=None if subject is None else Subject(**taken({"parasites": False} | subject, _SUBJECT)),
            point=None if point is None else Point(point),
            points_at=None if target is None else 0, **values,
        )  # fmt: skip
        self._seen[uid] = step
        if uid in self._here:
            return False
        number = None if target is None else self._here[target]
        self._here[uid] = put_record(self._session, record, uid, number, cook_uid)
        return True

    def _may_point(self, step: Step, target: Step | None) -> bool:
        return target is not None and target is not Step.ACTION and step in (Step.ACTION, target)
