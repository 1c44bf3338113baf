"""Opening a store: its address, its two engines and its tables of the right version."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from sqlite3 import OperationalError
from time import monotonic, sleep
from typing import Any

from sqlalchemy import URL, Connection, Engine, create_engine, event, inspect, text
from sqlalchemy.engine import make_url
from sqlalchemy.exc import ArgumentError

from .errors import StoreError

_MIGRATIONS = Path(__file__).parent / "migrations"
_WRITES = "corebath_writes"
# Any number will do, as long as every program that writes to one PostgreSQL store takes the same.
_LOCK = "SELECT pg_advisory_xact_lock(757135)"
_PATIENCE_s = 10  # how long a program waits for another that is writing
_PAUSE_s = 0.02


@dataclass(frozen=True, slots=True)
class Engines:
    """Two views of one pool of connections: each transaction of `reading` sees one moment, of `writing` is alone."""

    reading: Engine
    writing: Engine

    @property
    def file(self) -> Path | None:
        """The store's file, None when a server keeps it."""
        url = self.reading.url
        return Path(url.database) if url.get_backend_name() == "sqlite" and url.database else None


def open_engines(address: str | Path) -> Engines:
    """The engines of a store whose tables are up to date; a missing file and its folder are made.

    address : path of a SQLite file, or an address such as `postgresql://cook@server/kitchen`

    Raises StoreError for another kind of address, a missing driver and a store of a later version, and what the
    database raises.
    """
    url = _url(address)
    sqlite = url.get_backend_name() == "sqlite"
    if sqlite and url.database:
        Path(url.database).parent.mkdir(parents=True, exist_ok=True)
    try:
        engine = create_engine(url)
    except ImportError as error:
        raise StoreError(
            "the store cannot be opened: PostgreSQL needs the extra 'postgres' (pip install 'corebath[postgres]')"
        ) from error
    _tune_sqlite(engine) if sqlite else _tune_postgres(engine)
    reading = engine if sqlite else engine.execution_options(isolation_level="REPEATABLE READ")
    engines = Engines(reading, engine.execution_options(**{_WRITES: True}))
    try:
        _upgrade(engines)
    except BaseException:
        engine.dispose()
        raise
    return engines


def known_versions() -> tuple[str, ...]:
    """The versions of the tables this program knows, the latest last."""
    return tuple(sorted(path.stem for path in (_MIGRATIONS / "versions").glob("[0-9]*.py")))


def shown_address(address: str | Path) -> str:
    """An address as it may be printed: without its password."""
    if "://" not in str(address):
        return str(address)
    return _url(address).render_as_string(hide_password=True)


def _url(address: str | Path) -> URL:
    if "://" not in str(address):
        return URL.create("sqlite", database=str(address))
    try:
        url = make_url(str(address))
    except (ArgumentError, ValueError) as error:
        raise StoreError("the store cannot be opened: its address is not understood") from error
    if url.get_backend_name() not in ("sqlite", "postgresql"):
        raise StoreError(
            f"the store cannot be opened: it is a file or a postgresql:// address, not {url.get_backend_name()}://"
        )
    return url.set(drivername="postgresql+psycopg") if url.drivername == "postgresql" else url


def _tune_sqlite(engine: Engine) -> None:
    """Readers beside one writer, keys enforced, every commit on disk."""

    @event.listens_for(engine, "connect")
    def _(connection: Any, _record: Any) -> None:
        # The driver would begin a transaction only at its first write, too late to wait for another writer.
        connection.isolation_level = None
        cursor = connection.cursor()
        cursor.execute(f"PRAGMA busy_timeout={1000 * _PATIENCE_s}")
        _keep_a_write_ahead_log(cursor)
        for pragma in ("synchronous=FULL", "foreign_keys=ON"):
            cursor.execute(f"PRAGMA {pragma}")
        cursor.close()

    @event.listens_for(engine, "begin")
    def _(connection: Connection) -> None:
        writes = connection.get_execution_options().get(_WRITES, False)
        connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")


def _keep_a_write_ahead_log(cursor: Any) -> None:
    """Ask for the write-ahead log until it is given: the change of mode itself does not wait for other programs."""
    until = monotonic() + _PATIENCE_s
    while True:
        try:
            cursor.execute("PRAGMA journal_mode=WAL")
            return
        except OperationalError:
            if monotonic() > until:
                raise
            sleep(_PAUSE_s)


def _tune_postgres(engine: Engine) -> None:
    """One writer at a time, every commit on disk whatever the server's habit."""

    @event.listens_for(engine, "connect")
    def _(connection: Any, _record: Any) -> None:
        connection.execute("SET SESSION synchronous_commit = on")
        connection.commit()

    @event.listens_for(engine, "begin")
    def _(connection: Connection) -> None:
        if connection.get_execution_options().get(_WRITES, False):
            connection.exec_driver_sql(_LOCK)


def _upgrade(engines: Engines) -> None:
    """Bring the tables up to date, in one transaction; does nothing, quickly, when they are."""
    known = known_versions()
    with engines.reading.connect() as connection:
        found = _version(connection)
    if found == known[-1]:
        return
    if found is not None and found not in known:
        raise StoreError("the store cannot be opened: a later corebath made it, so use that one or another store")
    from alembic import command  # slow to load, and seldom needed
    from alembic.config import Config

    config = Config()
    config.set_main_option("script_location", str(_MIGRATIONS).replace("%", "%%"))
    with engines.writing.begin() as connection:
        config.attributes["connection"] = connection
        command.upgrade(config, "head")


def _version(connection: Connection) -> str | None:
    if not inspect(connection).has_table("alembic_version"):
        return None
    found: str | None = connection.scalar(text("SELECT version_num FROM alembic_version"))
    return found
