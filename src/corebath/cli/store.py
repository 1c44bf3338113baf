"""`corebath store`: where the store lies, a copy of it, and its way into another one."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import click

from corebath.log.opening import shown_address
from corebath.log.place import store_address
from corebath.log.store import Moved, Store, StoreError
from corebath.units import METRIC, render

from .asking import refuse
from .say import echo

FILE = click.argument("file", type=click.Path(path_type=Path, dir_okay=False))


@click.group("store", help="Show, back up, export or import the store of the kitchen and its cooks.")
def command() -> None:
    """Keep the store."""


@command.command("path", help="Print where the store lies.")
def path() -> None:
    """Print the store's address, without its password."""
    with _told():
        click.echo(shown_address(store_address()))


@command.command("backup", help="Copy the store into FILE, which can be opened instead.")
@FILE
def backup(file: Path) -> None:
    """Copy the store, while others may use it."""
    with _told(), _opened() as store:
        store.backup(file)
    echo(f"Copied the store to {file}; set COREBATH_STORE to that name to open the copy")


@command.command("export", help="Write all of the store into FILE, as lines of JSON.")
@FILE
def export(file: Path) -> None:
    """Write the file that docs/store.md describes."""
    with _told(), _opened() as store:
        moved = store.export(file)
    kitchen = "the kitchen, " if moved.kitchen else ""
    echo(f"Wrote {kitchen}{_counted(moved)} to {file}")


@command.command("import", help="Take in what an exported FILE holds and the store does not.")
@FILE
def import_(file: Path) -> None:
    """Take in an exported file, all of it or nothing."""
    with _told(), _opened(new=True) as store:
        moved = store.import_from(file)
    kitchen = "the kitchen, " if moved.kitchen else ""
    known = f"; {_several(moved.known, 'cook')} were here already, and stay as they are" if moved.known else ""
    echo(f"Took in {kitchen}{_counted(moved)}{known}")


@contextmanager
def _told() -> Iterator[None]:
    try:
        yield
    except StoreError as error:
        refuse([render(f"{error}.", METRIC)])


@contextmanager
def _opened(*, new: bool = False) -> Iterator[Store]:
    address = store_address()
    if not new and "://" not in str(address) and not Path(address).exists():
        refuse([f"There is no store yet at {address}."])
    store = Store(address)
    try:
        yield store
    finally:
        store.close()


def _counted(moved: Moved) -> str:
    cooks, readings = _several(moved.cooks, "cook"), _several(moved.readings, "reading")
    photos, rows = _several(moved.photos, "photo"), _several(moved.records, "row")
    return f"{cooks}, {readings}, {photos} and {rows} of the records"


def _several(count: int, what: str) -> str:
    return f"{count} {what}" if count == 1 else f"{count} {what}s"
