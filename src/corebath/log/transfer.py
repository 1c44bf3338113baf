"""The whole store as one file of JSON lines, docs/store.md: writing it."""

from __future__ import annotations

import base64
import json
from dataclasses import asdict, dataclass
from itertools import groupby, islice
from typing import Any, TextIO

from sqlalchemy import Table, select
from sqlalchemy.orm import DeclarativeBase, Session

from .cook import Cook
from .cook_rows import read_cook
from .photo import Photo
from .photo_rows import read_photo
from .reading_rows import raw_readings
from .record_rows import all_rows
from .record_transfer import record_line
from .tables import CookRow, HeaterRow, KitchenRow, PhotoRow, VesselRow

FORMAT = "corebath store"
VERSION = 2
# Columns that only order or number the rows of one store.
LOCAL = frozenset({"id", "kitchen_id", "place", "revision"})
_READINGS_A_LINE = 5000


@dataclass(frozen=True, slots=True)
class Moved:
    """What went into a file or came out of it.

    cooks, readings, photos, records : how many (rows of the records)
    known : cooks that the store had already, which were left as they are
    kitchen : whether the kitchen went along
    """

    cooks: int = 0
    readings: int = 0
    photos: int = 0
    known: int = 0
    kitchen: bool = False
    records: int = 0


def own_columns(row: type[DeclarativeBase]) -> dict[str, tuple[type, bool]]:
    """Type, and whether it may be missing, of every column that is moved with a row of a table."""
    table = row.__table__
    assert isinstance(table, Table)
    return {c.name: (c.type.python_type, bool(c.nullable)) for c in table.columns if c.name not in LOCAL}


def write_out(session: Session, out: TextIO) -> Moved:
    """Write the whole store, as lines of JSON; returns how much that was."""
    lines = cooks = readings = photos = 0

    def put(value: dict[str, object]) -> None:
        nonlocal lines
        lines += 1
        out.write(json.dumps(value, ensure_ascii=False, allow_nan=False) + "\n")

    put({"format": FORMAT, "version": VERSION})
    kitchen = session.get(KitchenRow, 1)
    if kitchen is not None:
        owned = {"vessels": _all(session, VesselRow), "heaters": _all(session, HeaterRow)}
        put({"kitchen": {**values_of(kitchen), **owned}})
    for cook_id, uid in session.execute(select(CookRow.id, CookRow.uid).order_by(CookRow.id)).all():
        put({"cook": {"uid": uid, **_cook(read_cook(session, cook_id))}})
        cooks += 1
        for (place, source), found in groupby(raw_readings(session, cook_id), lambda raw: (raw[0], raw[3])):
            while part := list(islice(found, _READINGS_A_LINE)):
                at_us, values = [row[1] for row in part], [row[2] for row in part]
                put({"readings": {"cook": uid, "place": place, "source": source, "at_us": at_us, "value_C": values}})
                readings += len(part)
        wanted = select(PhotoRow.id).where(PhotoRow.cook_id == cook_id).order_by(PhotoRow.at_us, PhotoRow.id)
        for photo_id in session.scalars(wanted).all():
            put({"photo": {"cook": uid, **_photo(read_photo(session, photo_id))}})
            photos += 1
            session.expunge_all()  # one picture at a time in memory
    rows = all_rows(session)
    for record, uid, points_at, cook_uid in rows:
        put({"record": record_line(record, uid, points_at, cook_uid)})
    put({"end": lines})
    return Moved(cooks, readings, photos, kitchen=kitchen is not None, records=len(rows))


def values_of(row: DeclarativeBase) -> dict[str, Any]:
    """The columns that are moved with a row."""
    return {name: getattr(row, name) for name in own_columns(type(row))}


def _all(session: Session, table: type[VesselRow | HeaterRow]) -> list[dict[str, Any]]:
    return [values_of(row) for row in session.scalars(select(table).order_by(table.place))]


def _cook(cook: Cook) -> dict[str, Any]:
    return {
        "question": cook.question,
        "planned_at": cook.planned_at.isoformat(),
        "name": cook.name,
        "food": cook.food,
        "set_point_C": cook.set_point_C,
        "thickness_m": cook.thickness_m,
        "planned_bath_s": cook.planned_bath_s,
        "ended": cook.ended,
        "events": [
            {
                "happening": e.happening.value, "at": e.at.isoformat(), "told_at": e.told_at.isoformat(),
                "value_C": e.value_C, "text": e.text,
            }
            for e in cook.events
        ],
        "rating": None if cook.rating is None else asdict(cook.rating),
    }  # fmt: skip


def _photo(photo: Photo) -> dict[str, Any]:
    data = base64.b64encode(photo.data).decode("ascii")
    return {"at": photo.at.isoformat(), "caption": photo.caption, "base64": data}
