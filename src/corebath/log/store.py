"""The store: one embedded SQLite file by default, a PostgreSQL server by address."""

from __future__ import annotations

import threading
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path

from sqlalchemy import delete
from sqlalchemy.orm import Session

from . import cook_rows, files, gear_rows, photo_rows, reading_rows, record_rows, share_rows, transfer, transfer_read
from .cook import Cook, Event, Place, Rating, Reading
from .cook_rows import CookList
from .errors import Malformed, Missing, Outdated, StoreError, told
from .gear import Kitchen
from .opening import open_engines
from .photo import Photo, PhotoLabel
from .reading_rows import Array
from .record import Entry, Record
from .share import Shared
from .tables import CookRow
from .transfer import Moved

__all__ = ["CookList", "Malformed", "Missing", "Moved", "Outdated", "Store", "StoreError"]


class Store:
    """A kitchen's store. Opening it brings its tables up to date.

    address : path of a SQLite file, or an address such as `postgresql://cook@server/kitchen`

    Raises StoreError when it cannot be opened. Writes go one at a time, whoever writes, and are on disk when the
    call returns; each is done whole or not at all. Every call raises StoreError, in one sentence, when the store
    fails, and Missing (a StoreError) for a number that it does not hold. A change of something that another window
    may have changed takes the revision that was seen, and raises Outdated (a StoreError) when there is a later one.
    Adding takes no revision: nothing is overwritten by it.
    """

    def __init__(self, address: str | Path) -> None:
        self._writing = threading.Lock()
        with told("the store cannot be opened"):
            self._engines = open_engines(address)

    def close(self) -> None:
        """Let go of the file."""
        self._engines.reading.dispose()

    @property
    def file(self) -> Path | None:
        """The store's file, None when a server keeps it."""
        return self._engines.file

    @property
    def place(self) -> str:
        """Where the store lies, without a password."""
        return self._engines.reading.url.render_as_string(hide_password=True)

    def kitchen(self) -> tuple[Kitchen, int] | None:
        """The kitchen and its revision, or None in a new store."""
        with self._read() as session:
            return gear_rows.read_kitchen(session)

    def save_kitchen(self, kitchen: Kitchen, revision: int) -> int:
        """Write the kitchen whose `revision` was read (0 for a new one); returns the new revision."""
        with self._write() as session:
            return gear_rows.write_kitchen(session, kitchen, revision)

    def start_cook(self, cook: Cook) -> Cook:
        """Write a new cook (any `id` and `revision` it has are ignored); returns it with its number."""
        with self._write() as session:
            return cook_rows.read_cook(session, cook_rows.insert_cook(session, cook))

    def cook(self, cook_id: int) -> Cook:
        """One cook, its events in order of `at`; all moments in UTC."""
        with self._read() as session:
            return cook_rows.read_cook(session, cook_id)

    def cooks(self, search: str = "", *, ended: bool | None = None, first: int = 0, most: int = 50) -> CookList:
        """Cooks, the last cooked first (`Cook.cooked_at`).

        search : words that must all stand in the name, the food or the notes;  ended : only the ended, or only the
        others;  first, most : which part of the list
        """
        with self._read() as session:
            return cook_rows.list_cooks(session, search, ended, first, most)

    def rename_cook(self, cook_id: int, name: str, revision: int) -> Cook:
        """Give a cook another name; raises ValueError for one it cannot have."""
        with self._change(cook_id, revision) as (session, row):
            cook_rows.rename(row, name)
            return cook_rows.changed(session, row)

    def end_cook(self, cook_id: int, revision: int) -> Cook:
        """Nothing more is expected of a cook."""
        with self._change(cook_id, revision) as (session, row):
            row.ended = True
            return cook_rows.changed(session, row)

    def reopen_cook(self, cook_id: int, revision: int) -> Cook:
        """A cook that was ended goes on."""
        with self._change(cook_id, revision) as (session, row):
            row.ended = False
            return cook_rows.changed(session, row)

    def remove_cook(self, cook_id: int, revision: int) -> None:
        """Forget a cook with all its events, readings and photos. Its number is not given again."""
        with self._change(cook_id, revision) as (session, row):
            session.execute(delete(CookRow).where(CookRow.id == row.id))

    def add_event(self, cook_id: int, event: Event) -> Cook:
        """Write what happened (any `id` of the event is ignored); returns the cook."""
        with self._change(cook_id) as (session, row):
            cook_rows.insert_event(session, row.id, event)
            return cook_rows.changed(session, row)

    def change_event(self, cook_id: int, event: Event, revision: int) -> Cook:
        """Write the event of this `id` anew, its time for instance; returns the cook."""
        with self._change(cook_id, revision) as (session, row):
            cook_rows.update_event(session, row.id, event)
            return cook_rows.changed(session, row)

    def remove_event(self, cook_id: int, event_id: int, revision: int) -> Cook:
        """Take back what did not happen; returns the cook."""
        with self._change(cook_id, revision) as (session, row):
            session.delete(cook_rows.event_row(session, row.id, event_id))
            return cook_rows.changed(session, row)

    def rate(self, cook_id: int, rating: Rating | None, revision: int) -> Cook:
        """Write what the table thought, or take it back with None; returns the cook."""
        with self._change(cook_id, revision) as (session, row):
            cook_rows.write_rating(session, row.id, rating)
            return cook_rows.changed(session, row)

    def add_readings(self, cook_id: int, readings: Iterable[Reading]) -> int:
        """Write readings; returns how many were new. The same value at the same moment and place is kept once.

        Does not change the revision: they come every few seconds, and overwrite nothing. Raises ValueError, and
        writes none, for a moment that cannot be kept.
        """
        rows = list(reading_rows.raw(readings))
        with self._change(cook_id) as (session, _):
            return reading_rows.insert_readings(session, cook_id, rows)

    def readings(self, cook_id: int, place: Place) -> tuple[Array, Array]:
        """Moments [s since 1970-01-01 UTC], strictly rising, and temperatures [degC], shape (n,) each.

        Different values told for one moment (two probes, a logger that writes whole seconds) are averaged.
        """
        with self._read() as session:
            cook_rows.cook_row(session, cook_id)
            return reading_rows.read_readings(session, cook_id, place)

    def sources(self, cook_id: int, place: Place | None = None) -> dict[str, int]:
        """How many readings a cook has from each source."""
        with self._read() as session:
            cook_rows.cook_row(session, cook_id)
            return reading_rows.count_sources(session, cook_id, place)

    def remove_readings(self, cook_id: int, source: str) -> int:
        """Take back all readings of one source, a file imported by mistake for instance; returns how many."""
        with self._change(cook_id) as (session, _):
            return reading_rows.delete_readings(session, cook_id, source)

    def add_photo(self, cook_id: int, photo: Photo) -> PhotoLabel:
        """Write a photo; raises ValueError when the cook has as many as it may have."""
        with self._change(cook_id) as (session, _):
            return photo_rows.insert_photo(session, cook_id, photo)

    def photos(self, cook_id: int) -> tuple[PhotoLabel, ...]:
        """What is known of a cook's photos, the earliest first."""
        with self._read() as session:
            cook_rows.cook_row(session, cook_id)
            return photo_rows.list_photos(session, cook_id)

    def photo(self, photo_id: int) -> Photo:
        """One photo with its bytes."""
        with self._read() as session:
            return photo_rows.read_photo(session, photo_id)

    def remove_photo(self, photo_id: int) -> None:
        """Forget a photo."""
        with self._write() as session:
            session.delete(photo_rows.photo_row(session, photo_id))

    def add_record(self, record: Record) -> Entry:
        """Write a row of the records (any `id` it has is ignored); returns it with its number. None is ever changed.

        Raises Outdated for a row that points at one that was corrected meanwhile, and ValueError for one of another
        step.
        """
        with self._write() as session:
            return record_rows.read_entry(session, record_rows.insert_record(session, record))

    def record(self, number: int) -> Entry:
        """One row of the records, with the actions about it."""
        with self._read() as session:
            return record_rows.read_entry(session, number)

    def records(
        self,
        since: datetime | None = None,
        until: datetime | None = None,
        *,
        cook_id: int | None = None,
        unanswered: bool = False,
    ) -> tuple[Entry, ...]:
        """Rows of the records in order of their moments, each with the actions about it; all moments in UTC.

        since, until : the earliest moment, and the first that is too late;  cook_id : only of this cook
        unanswered : only rows without a corrective action that were not corrected
        """
        with self._read() as session:
            return record_rows.list_entries(session, since, until, cook_id, unanswered)

    def share(self, shared: Shared, token_hash: str, most: int) -> Shared:
        """Write a plan that is shared by a link (any `id` it has is ignored), at most so many; see `share.hash_of`."""
        with self._write() as session:
            return share_rows.insert_shared(session, shared, token_hash, most)

    def shared(self, token_hash: str, now: datetime) -> Shared:
        """The plan of a link; raises Missing when its link does not hold (any more)."""
        with self._read() as session:
            return share_rows.read_shared(session, token_hash, now)

    def shares(self, now: datetime) -> tuple[Shared, ...]:
        """Plans whose links hold, the last shared first."""
        with self._read() as session:
            return share_rows.list_shared(session, now)

    def revoke_share(self, shared_id: int) -> None:
        """Stop sharing a plan: its link is void."""
        with self._write() as session:
            share_rows.revoke(session, shared_id)

    def backup(self, file: Path) -> None:
        """Copy the store into a new file that can be opened in its stead; others may read and write meanwhile.

        Raises StoreError when the file is there already, and for a store that a server keeps.
        """
        if self._engines.file is None:
            raise StoreError(
                "a store on a server is backed up there, or exported into a file that any store can import"
            )
        with told("the backup cannot be written"):
            files.copy_sqlite(self._engines.reading, file)

    def export(self, file: Path) -> Moved:
        """Write all that the store holds, as it is at one moment, into a new file (docs/store.md); returns how much."""
        with (
            told("the export cannot be written"),
            files.new_file(file) as part,
            part.open("x", encoding="utf-8", newline="\n") as out,
            Session(self._engines.reading) as session,
        ):
            return transfer.write_out(session, out)

    def import_from(self, file: Path) -> Moved:
        """Take in what an exported file holds and the store does not; all of it, or nothing.

        A cook that both have stays as the store has it, and so does the store's kitchen. Raises Malformed.
        """
        with told("the file cannot be read"), file.open("rb") as lines, self._write() as session:
            return transfer_read.take_in(session, lines)

    @contextmanager
    def _read(self) -> Iterator[Session]:
        with told("the store cannot be read"), Session(self._engines.reading) as session:
            yield session

    @contextmanager
    def _write(self) -> Iterator[Session]:
        with (
            self._writing,
            told("the store cannot be written"),
            Session(self._engines.writing) as session,
            session.begin(),
        ):
            yield session

    @contextmanager
    def _change(self, cook_id: int, revision: int | None = None) -> Iterator[tuple[Session, CookRow]]:
        """Write to a cook that is there, and is of the revision that was seen."""
        with self._write() as session:
            yield session, cook_rows.cook_row(session, cook_id, revision)
