"""How the store refuses: always one sentence, without its full stop."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from sqlite3 import DatabaseError

from sqlalchemy.exc import DBAPIError, SQLAlchemyError

# What databases say, by a part of it in small letters, and what we make of it.
_SAID = (
    ("disk is full", "the disk is full"),
    ("no space left", "the disk is full"),
    ("disk i/o error", "the disk is full or failing"),
    ("is locked", "another program is busy writing to it, so try again in a moment"),
    ("readonly", "it may be read only"),
    ("not a database", "the file is something else"),
    ("malformed", "the file is damaged, so go back to a backup"),
    ("unable to open database", "its file cannot be made or opened there"),
)


class StoreError(Exception):
    """The store cannot be opened, read or written; the message is one sentence."""


class Outdated(StoreError):  # noqa: N818 - it is the change that is outdated
    """Somebody else changed the same thing meanwhile; nothing was written."""


class Missing(StoreError):  # noqa: N818 - reads as the answer it is
    """The store has no such cook, event or photo (any more); nothing was written."""


class Malformed(StoreError):  # noqa: N818 - it is the file that is malformed
    """A file to be imported is not understood; nothing was written."""


@contextmanager
def told(cannot: str) -> Iterator[None]:
    """Tell what a database or the system raises as a StoreError: "the store cannot be read: why"."""
    try:
        yield
    except DBAPIError as error:
        raise StoreError(f"{cannot}: {_reason(str(error.orig or error))}") from error
    except OSError as error:
        where = f"{error.filename}: " if error.filename else ""
        raise StoreError(f"{cannot}: {where}{_reason(error.strerror or str(error))}") from error
    except (SQLAlchemyError, DatabaseError) as error:
        raise StoreError(f"{cannot}: {_reason(str(error))}") from error


def _reason(said: str) -> str:
    lowered = said.casefold()
    for part, sentence in _SAID:
        if part in lowered:
            return sentence
    first = said.strip().splitlines()[0] if said.strip() else "no reason was given"
    return first.strip().rstrip(".")
