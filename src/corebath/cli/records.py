"""`corebath records`: the kitchen's records, their rows and what was done about them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from datetime import UTC, date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, NoReturn

import click

from corebath.units import Preference, render

from .asking import fresh_kitchen, refuse, takes
from .writing import why_not_written

if TYPE_CHECKING:
    from corebath.ask.understand import Misunderstood
    from corebath.log.gear import Kitchen
    from corebath.log.record import Entry
    from corebath.log.store import Store
    from corebath.show.records_lines import Line

_OWN = {
    "batch": ("NAME", "What it is about: the batch or the bag; of a probe check the thermometer."),
    "by": ("INITIALS", "Whose hand."),
    "began": ("TIME", "Out of the cold, dropped in, out of the bath; of a keep the day it was cooked."),
    "ended": ("TIME", "Sealed, pulled, into the cold, served."),
    "set": ("TEMP", "Set point of the bath."),
    "food": ("FOOD", "What it is, by any of its names; a cook of the log knows it."),
    "pasteurised": ("YES/NO", "Whether the heat treatment that binds was met (default: no)."),
    "opened": ("YES/NO", "Whether its bag was opened."),
    "hold": ("HOT", '"hot" when it is held hot.'),
    "where": ("POINT", "ice or boiling: where the thermometer was held."),
    "action": ("TEXT", "What was done about a missed limit."),
    "note": ("TEXT", "Anything else; of a correction, why."),
}
_COOK = click.option("--cook", metavar="N", default="", help="Number of a cook in the log that it is about.")


@click.group("records", invoke_without_command=True, help="Show the kitchen's records, or add to them.")
@click.option("--from", "first", metavar="DAY", default="", help="First day: 2027-01-03 (default: 31 days).")
@click.option("--to", "last", metavar="DAY", default="", help="Last day (default: today).")
@_COOK
@click.option("--csv", "table", type=click.Path(dir_okay=False, path_type=Path), help="Write a table to this file.")
@click.option("--json", "as_json", is_flag=True, help="Print as JSON (docs/records.md) instead of text.")
@click.pass_context
def command(context: click.Context, first: str, last: str, cook: str, table: Path | None, as_json: bool) -> None:
    """Show the records. Exit code 1 while a row asks for a corrective action, 2 when something is not understood."""
    if context.invoked_subcommand is not None:
        if first or last or cook or table is not None or as_json:
            refuse(["Options of the list stand without a command after them: say either."])
        return
    from corebath.ask.records import span_of, understand_days
    from corebath.ask.understand import Misunderstood

    now = datetime.now(UTC)
    with _opened() as (store, kitchen):
        try:
            days = understand_days(first, last, now, kitchen.zone, whole=bool(cook))
        except Misunderstood as error:
            _refuse(error, kitchen.preference)
        since, until = span_of(days, kitchen.zone)
        found = [] if store is None else store.records(since, until, cook_id=_number(cook, "a cook"))
        lines = _lines(found, kitchen)
        _show(lines, days, kitchen, table, as_json)
    raise SystemExit(1 if any(line.asks for line in lines) else 0)


@command.command("add", help="Add a row: STEP is bag, cook, chill, keep, reheat or probe.")
@click.argument("step")
@click.option("--measured", multiple=True, metavar="READING", help='Time and value, "18:05 57.2 C"; once a reading.')
@takes("handling", "guests", "fish", "bag", "sear", "rules", "zone", "units", **_OWN)
@_COOK
def add(step: str, measured: tuple[str, ...], cook: str, **answers: str | None) -> None:
    """Add a row. Exit code 1 when it missed a limit and nothing was done about it yet."""
    _add({"step": step, "measured": "\n".join(measured), "cook": cook} | _given(answers))


@command.command("correct", help="Correct row NUMBER by a new row; what is not given stays as it was.")
@click.argument("number")
@click.option("--measured", multiple=True, metavar="READING", help="All readings anew, once a reading.")
@takes("handling", "guests", "fish", "bag", "sear", "rules", "zone", "units", **_OWN)
def correct(number: str, measured: tuple[str, ...], **answers: str | None) -> None:
    """Add a row that points at the old one, which stays. The note says why."""
    from corebath.ask.records_offer import answers_of

    with _opened(needed=True) as (store, kitchen):
        assert store is not None
        old = answers_of(store.record(_number(number, "a row") or 0).record, kitchen)
    if old["step"] == "action":
        refuse(["A corrective action is not corrected: write another one about the same row."])
    anew = {"measured": "\n".join(measured)} if measured else {}
    _add(old | anew | _given(answers))


@command.command("action", help="Record what was DONE about row NUMBER.")
@click.argument("number")
@click.argument("done")
@click.option("--by", metavar="INITIALS", default="", help="Whose hand.")
def action(number: str, done: str, by: str) -> None:
    """Add a corrective action about a row."""
    from corebath.ask.records import understand_action
    from corebath.ask.understand import Misunderstood

    with _opened(needed=True) as (store, kitchen):
        assert store is not None
        entry = store.record(_number(number, "a row") or 0)
        try:
            store.add_record(understand_action(entry, done, by, datetime.now(UTC)))
        except Misunderstood as error:
            _refuse(error, kitchen.preference)
        _tell(store.record(entry.record.id or 0), kitchen)


def _add(answers: dict[str, str]) -> None:
    from corebath.ask.records import RecordQuestion, understand_record
    from corebath.ask.understand import Misunderstood, preference_of
    from corebath.log.store import Store

    question = RecordQuestion.of(answers)
    with _opened(needed=True, new=True) as (store, kitchen):
        assert isinstance(store, Store)
        number = _number(question.cook, "a cook")
        cook = None if number is None else store.cook(number)
        target = _number(question.corrects, "a row")
        old = None if target is None else store.record(target).record
        preference = preference_of(question, kitchen)
        try:
            record = understand_record(question, datetime.now(UTC), kitchen, cook=cook, old=old)
        except Misunderstood as error:
            _refuse(error, preference)
        entry = store.add_record(record)
        line = _tell(entry, kitchen, preference)
    raise SystemExit(1 if line.asks else 0)


def _given(answers: dict[str, str | None]) -> dict[str, str]:
    return {name: value for name, value in answers.items() if value is not None}


def _tell(entry: Entry, kitchen: Kitchen, preference: Preference | None = None) -> Line:
    from corebath.show.records_lines import line_of
    from corebath.show.records_text import row_text

    line = line_of(entry, preference or kitchen.preference, kitchen.zone)
    click.echo(row_text(line), nl=False)
    return line


def _lines(entries: Sequence[Entry], kitchen: Kitchen) -> list[Line]:
    from corebath.show.records_lines import line_of

    return [line_of(entry, kitchen.preference, kitchen.zone) for entry in entries]


def _show(lines: list[Line], days: tuple[date, date], kitchen: Kitchen, table: Path | None, as_json: bool) -> None:
    import json

    from corebath.show.records_csv import records_csv
    from corebath.show.records_json import records_as_json
    from corebath.show.records_lines import whose_limits
    from corebath.show.records_text import records_text

    limits = whose_limits([line.entry.record.authority for line in lines] or [kitchen.authority])
    if table is not None:
        try:
            # The mark at the front tells spreadsheets that it is UTF-8.
            table.write_text(records_csv(lines, kitchen.zone), encoding="utf-8-sig", newline="")
        except OSError as error:
            refuse([f"The table could not be written: {why_not_written(error)}."])
    if as_json:
        data = records_as_json(lines, days, limits, kitchen.preference, kitchen.zone)
        click.echo(json.dumps(data, ensure_ascii=False, indent=2))
    else:
        click.echo(records_text(lines, limits), nl=False)


@contextmanager
def _opened(*, needed: bool = False, new: bool = False) -> Iterator[tuple[Store | None, Kitchen]]:
    """The store and its kitchen; None and a fresh kitchen where there is no store, which asking does not make."""
    from corebath.log.place import store_address
    from corebath.log.store import Store, StoreError

    address = store_address()
    if not new and "://" not in str(address) and not Path(address).exists():
        if needed:
            refuse([f"There is no store yet at {address}."])
        yield None, fresh_kitchen()
        return
    try:
        store = Store(address)
        try:
            kept = store.kitchen()
            yield store, kept[0] if kept is not None else fresh_kitchen()
        finally:
            store.close()
    except (StoreError, ValueError) as error:
        refuse([f"{render(str(error), fresh_kitchen().preference).rstrip('.')}."])


def _number(text: str, what: str) -> int | None:
    from corebath.ask.records import number_of

    return number_of(text, what)


def _refuse(error: Misunderstood, preference: Preference) -> NoReturn:
    refuse([render(sentence, preference) for sentence in error.sentences.values()])
