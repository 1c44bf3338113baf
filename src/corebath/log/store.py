"""The store: one embedded SQLite file by default, any SQLAlchemy address otherwise."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from sqlite3 import DatabaseError
from typing import Any
from zoneinfo import ZoneInfo

from alembic import command
from alembic.config import Config
from alembic.util.exc import CommandError
from sqlalchemy import Engine, create_engine, delete, event, select
from sqlalchemy.engine import make_url
from sqlalchemy.exc import DBAPIError, IntegrityError, SQLAlchemyError
from sqlalchemy.orm import Session
from sqlalchemy.orm.exc import StaleDataError

from corebath.bath.gear import Room
from corebath.bath.heater import Heater
from corebath.bath.vessel import Vessel, Wall
from corebath.safety.authority import Authority
from corebath.units import METRIC, US

from .gear import Kitchen, NamedHeater, NamedVessel
from .tables import HeaterRow, KitchenRow, VesselRow

_MIGRATIONS = Path(__file__).parent / "migrations"
_UNITS = {"metric": METRIC, "us": US}
_CHANGED = "the kitchen was changed in another window meanwhile: look at it again, then change it"


class StoreError(Exception):
    """The store cannot be opened, read or written; the message is one sentence."""


class Outdated(StoreError):  # noqa: N818 - it is the change that is outdated
    """Somebody else changed the same thing meanwhile; nothing was written."""


class Store:
    """A kitchen's store. Opening it brings its tables up to date.

    address : path of a SQLite file, or an SQLAlchemy address (`postgresql+psycopg://...`)

    Raises StoreError when it cannot be opened. Writes go one at a time and are on disk when the call returns.
    """

    def __init__(self, address: str | Path) -> None:
        url = str(address)
        self._writing = threading.Lock()
        with _told("opened"):
            if "://" not in url:
                Path(url).parent.mkdir(parents=True, exist_ok=True)
                url = f"sqlite:///{url}"
            self._engine = create_engine(url)
            if make_url(url).get_backend_name() == "sqlite":
                _tune(self._engine)
            self._upgrade()

    def close(self) -> None:
        """Let go of the file."""
        self._engine.dispose()

    def kitchen(self) -> tuple[Kitchen, int] | None:
        """The kitchen and its revision, or None in a new store."""
        with _told("read"), Session(self._engine) as session:
            row = session.get(KitchenRow, 1)
            if row is None:
                return None
            vessels = session.scalars(select(VesselRow).order_by(VesselRow.place)).all()
            heaters = session.scalars(select(HeaterRow).order_by(HeaterRow.place)).all()
            try:
                return _kitchen(row, list(vessels), list(heaters)), row.revision
            except (ValueError, KeyError) as error:
                raise StoreError(f"the store holds a kitchen that is not understood: {error}") from error

    def save_kitchen(self, kitchen: Kitchen, revision: int) -> int:
        """Write the kitchen whose `revision` was read (0 for a new one); returns the new revision.

        Raises Outdated, and writes nothing, when it was changed since it was read.
        """
        with self._write() as session:
            row = session.get(KitchenRow, 1)
            if (row.revision if row else 0) != revision:
                raise Outdated(_CHANGED)
            if row is None:
                row = KitchenRow(id=1)
                session.add(row)
            _fill(row, kitchen, revision + 1)
            try:
                # The row is written only where its revision still is the one read, whoever else writes.
                session.flush()
            except (StaleDataError, IntegrityError) as error:
                raise Outdated(_CHANGED) from error
            session.execute(delete(VesselRow))
            session.execute(delete(HeaterRow))
            session.add_all(_vessel_rows(kitchen))
            session.add_all(_heater_rows(kitchen))
        return revision + 1

    @contextmanager
    def _write(self) -> Iterator[Session]:
        with self._writing, _told("written"), Session(self._engine) as session, session.begin():
            yield session

    def _upgrade(self) -> None:
        config = Config()
        config.set_main_option("script_location", str(_MIGRATIONS))
        with self._engine.begin() as connection:
            config.attributes["connection"] = connection
            command.upgrade(config, "head")


@contextmanager
def _told(done: str) -> Iterator[None]:
    try:
        yield
    except DBAPIError as error:
        raise StoreError(f"the store cannot be {done}: {str(error.orig or error).strip()}") from error
    except (SQLAlchemyError, CommandError, DatabaseError, ImportError, OSError) as error:
        # A wrong address, a driver that is not there, tables of a later version, a folder that cannot be made.
        raise StoreError(f"the store cannot be {done}: {str(error).strip().rstrip('.')}") from error


def _tune(engine: Engine) -> None:
    """SQLite as a careful store: readers beside one writer, keys enforced, every commit on disk."""

    @event.listens_for(engine, "connect")
    def _(connection: Any, _record: Any) -> None:
        cursor = connection.cursor()
        for pragma in ("journal_mode=WAL", "synchronous=FULL", "foreign_keys=ON", "busy_timeout=5000"):
            cursor.execute(f"PRAGMA {pragma}")
        cursor.close()


def _kitchen(row: KitchenRow, vessels: list[VesselRow], heaters: list[HeaterRow]) -> Kitchen:
    return Kitchen(
        zone=ZoneInfo(row.zone),
        preference=_UNITS[row.units],
        authority=Authority(row.authority),
        room=Room(row.air_C, row.humidity, row.altitude_m, row.draught_m_s),
        cold_tap_C=row.cold_tap_C,
        hot_tap_C=row.hot_tap_C,
        fridge_C=row.fridge_C,
        freezer_C=row.freezer_C,
        probe_offset_K=row.probe_offset_K,
        price_per_kWh=row.price_per_kWh,
        currency=row.currency,
        cover=row.cover,
        vessels=tuple(
            NamedVessel(v.name, Vessel(v.length_m, v.width_m, v.depth_m, Wall.named(v.wall), v.wrap_m2K_W))
            for v in vessels
        ),
        heaters=tuple(
            NamedHeater(h.name, Heater(h.power_W, h.lowest_m, h.highest_m, h.sd_K, h.room_m)) for h in heaters
        ),
    )


def _fill(row: KitchenRow, kitchen: Kitchen, revision: int) -> None:
    row.revision = revision
    row.zone = kitchen.zone.key
    row.units = next(name for name, preference in _UNITS.items() if preference == kitchen.preference)
    row.authority = kitchen.authority.value
    room = kitchen.room
    row.air_C, row.humidity, row.altitude_m, row.draught_m_s = (
        room.air_C, room.humidity, room.altitude_m, room.draught_m_s,
    )  # fmt: skip
    for name in (
        "cold_tap_C", "hot_tap_C", "fridge_C", "freezer_C", "probe_offset_K", "price_per_kWh", "currency", "cover",
    ):  # fmt: skip
        setattr(row, name, getattr(kitchen, name))


def _vessel_rows(kitchen: Kitchen) -> Iterator[VesselRow]:
    for place, named in enumerate(kitchen.vessels):
        v = named.vessel
        yield VesselRow(
            kitchen_id=1, place=place, name=named.name, length_m=v.length_m, width_m=v.width_m, depth_m=v.depth_m,
            wall=v.wall.key, wrap_m2K_W=v.wrap_m2K_W,
        )  # fmt: skip


def _heater_rows(kitchen: Kitchen) -> Iterator[HeaterRow]:
    for place, named in enumerate(kitchen.heaters):
        h = named.heater
        yield HeaterRow(
            kitchen_id=1, place=place, name=named.name, power_W=h.power_W, lowest_m=h.lowest_m,
            highest_m=h.highest_m, sd_K=h.sd_K, room_m=h.room_m,
        )  # fmt: skip
