"""Files the store writes: whole or not at all, and never over another."""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from sqlalchemy import Engine

from .errors import StoreError


@contextmanager
def new_file(path: Path) -> Iterator[Path]:
    """A file to write beside `path`, which takes its name once it is whole and on disk.

    Raises StoreError when `path` is there already, and what the system raises.
    """
    if path.exists():
        raise StoreError(f"{path} is there already: choose another name, or move it away")
    part = path.with_name(f".{path.name}.part")
    part.unlink(missing_ok=True)
    try:
        yield part
        _sync(part)
        os.replace(part, path)
        with suppress(OSError):  # not every system can open a folder
            _sync(path.parent)
    finally:
        part.unlink(missing_ok=True)


def copy_sqlite(engine: Engine, path: Path) -> None:
    """Copy a store's file as it is at one moment, while others read and write it, and check the copy."""
    with new_file(path) as part:
        source = engine.raw_connection()
        try:
            source.cursor().execute("VACUUM INTO ?", (str(part),))
        finally:
            source.close()
        copy = sqlite3.connect(part)
        try:
            if copy.execute("PRAGMA integrity_check").fetchall() != [("ok",)]:
                raise StoreError("the store is damaged: go back to an earlier backup")
        finally:
            copy.close()


def _sync(path: Path) -> None:
    number = os.open(path, os.O_RDONLY)
    try:
        os.fsync(number)
    finally:
        os.close(number)
