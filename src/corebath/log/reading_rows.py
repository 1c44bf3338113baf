"""Readings in their table: many, so they go by bulk statements and come as arrays."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import islice

import numpy as np
from numpy.typing import NDArray
from sqlalchemy import Table, delete, func, select
from sqlalchemy.orm import Session

from .cook import Place, Reading
from .moments import to_us
from .tables import ReadingRow

Array = NDArray[np.float64]
Raw = tuple[str, int, float, str]  # place, moment [us], value [degC], source

_AT_ONCE = 20_000
# Plain statements for the drivers: ten thousands of readings are not worth a trip through the layer above.
_SQLITE = 'INSERT INTO reading (cook_id, place, at_us, "value_C", source) VALUES (?, ?, ?, ?, ?) ON CONFLICT DO NOTHING'
# On a server one statement with four arrays, for a statement a reading would wait for the network each time.
_POSTGRES = (
    'INSERT INTO reading (cook_id, place, at_us, "value_C", source) SELECT %s, * FROM unnest('
    "%s::varchar[], %s::bigint[], %s::double precision[], %s::varchar[]) ON CONFLICT DO NOTHING"
)


def raw(readings: Iterable[Reading]) -> Iterator[Raw]:
    """Readings as the table keeps them. Raises ValueError for a moment it cannot keep."""
    return ((r.place.value, to_us(r.at), float(r.value_C), r.source) for r in readings)


def insert_readings(session: Session, cook_id: int, readings: Iterable[Raw]) -> int:
    """Write readings, each once; returns how many were new."""
    connection, new, left = session.connection(), 0, iter(readings)
    postgres = connection.dialect.name == "postgresql"
    while some := list(islice(left, _AT_ONCE)):
        if postgres:
            columns = [list(column) for column in zip(*some, strict=True)]
            new += connection.exec_driver_sql(_POSTGRES, (cook_id, *columns)).rowcount
        else:
            new += connection.exec_driver_sql(_SQLITE, [(cook_id, *row) for row in some]).rowcount
    return new


def read_readings(session: Session, cook_id: int, place: Place) -> tuple[Array, Array]:
    """Moments [s since 1970 UTC], rising, and values [degC]; values of one moment are averaged."""
    t = _table().c
    wanted = select(t.at_us, t.value_C).where(t.cook_id == cook_id, t.place == place.value).order_by(t.at_us, t.value_C)
    rows = session.connection().execute(wanted).all()
    at_us = np.fromiter((row[0] for row in rows), np.int64, len(rows))
    values = np.fromiter((row[1] for row in rows), np.float64, len(rows))
    if rows and not np.all(np.diff(at_us)):
        at_us, which, count = np.unique(at_us, return_inverse=True, return_counts=True)
        values = np.bincount(which, values) / count
    return at_us / 1e6, values


def raw_readings(session: Session, cook_id: int) -> Iterator[Raw]:
    """Every reading of a cook as it was told, in the order of place, source, moment and value."""
    t = _table().c
    wanted = select(t.place, t.at_us, t.value_C, t.source).where(t.cook_id == cook_id)
    found = session.connection().execute(wanted.order_by(t.place, t.source, t.at_us, t.value_C))
    return (tuple(row) for row in found)


def count_sources(session: Session, cook_id: int, place: Place | None = None) -> dict[str, int]:
    """How many readings a cook has from each source, of one place or of all."""
    t = _table().c
    wanted = select(t.source, func.count()).where(t.cook_id == cook_id).group_by(t.source).order_by(t.source)
    if place is not None:
        wanted = wanted.where(t.place == place.value)
    return {row[0]: row[1] for row in session.connection().execute(wanted)}


def delete_readings(session: Session, cook_id: int, source: str) -> int:
    """Take back all readings of one source; returns how many they were."""
    t = _table().c
    return session.connection().execute(delete(_table()).where(t.cook_id == cook_id, t.source == source)).rowcount


def _table() -> Table:
    table = ReadingRow.__table__
    assert isinstance(table, Table)
    return table
