"""`corebath batch`: a week's portions cooked at once, from a file or from options."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import click

from corebath.ask.batch import batch_preference, misunderstood, understand_batch
from corebath.ask.batch_file import example_file, read_batch
from corebath.ask.batch_question import LOT, TOP, BatchQuestion, LotRow, Top
from corebath.ask.tables import MOST_CHARACTERS
from corebath.ask.understand import Misunderstood
from corebath.log.gear import Kitchen
from corebath.plan.batch.answer import BatchPlan
from corebath.plan.batch.make import make_batch
from corebath.plan.request import BadRequest
from corebath.show.batch_csv import bags_as_csv, days_as_csv
from corebath.show.batch_json import batch_as_json
from corebath.show.batch_text import batch_as_text
from corebath.show.batch_words import batch_broken
from corebath.units import Preference, render

from .asking import OPTIONS, kitchen, refuse, takes
from .say import echo
from .writing import why_not_written

_OWN = {
    "begin": ("TIME", 'When the work begins: "Sun 14:00"; or --done.'),
    "done": ("TIME", "By when everything is out and, if kept, cold."),
    "days": ("DAYS", 'On which days it is eaten: "Mon to Fri", "Mon 2, Wed 3".'),
    "at": ("TIME", "Time of day at which it is eaten, 12:30 if not given."),
    "fridge": ("TEMP", "Fridge as measured between the bags."),
    "water": ("VOLUME", "Water in the ice bath, as much as the food weighs if not given."),
    "ice": ("MASS", "Ice at hand."),
    "order": ("WHICH", '"cooler first" (default) or "hotter first", for two set points in one bath.'),
    "food": ("FOOD", "One food, where no file is given; with the options for it."),
    "thick": ("SIZES", '"22 mm x2, 38 mm x4, 28 mm x2 overlapping".'),
    "total": ("MASS", "Mass of all pieces."),
    "reheat": ("TEMP", "Set point of the bath it is warmed in."),
    "serve": ("TEMP", "Core to serve at."),
}
_FROM_PLAN = tuple(n for n in (*LOT, *TOP) if n in OPTIONS and n not in _OWN)


@click.command("batch", help="Cook a week's portions at once: FILE is a batch file, or name one food with options.")
@click.argument("file", required=False, type=click.Path(dir_okay=False, path_type=Path))
@takes(*dict.fromkeys(_FROM_PLAN), **_OWN)
@click.option("--example", is_flag=True, help="Print a batch file to begin with.")
@click.option("--json", "as_json", is_flag=True, help="Print as JSON (docs/json-batch.md) instead of text.")
@click.option("--csv", "bags", type=click.Path(dir_okay=False, path_type=Path), help="Write a table of the bags.")
@click.option("--days-csv", type=click.Path(dir_okay=False, path_type=Path), help="Write a table of the week's tasks.")
@click.option("--ics", type=click.Path(dir_okay=False, path_type=Path), help="Write the week's tasks as a calendar.")
@click.option(
    "--labels", type=click.Path(dir_okay=False, path_type=Path), help="Write a sheet of bag labels as a .pdf."
)
def command(
    file: Path | None,
    example: bool,
    as_json: bool,
    bags: Path | None,
    days_csv: Path | None,
    ics: Path | None,
    labels: Path | None,
    **answers: str | None,
) -> None:
    """Plan a batch. Exit code 1 when part of it fails or a binding rule is not met, 2 when it is not understood."""
    if example:
        click.echo(example_file(), nl=False)
        return
    question, place = BatchQuestion(), kitchen()
    try:
        question = _question(file, {name: text for name, text in answers.items() if text is not None})
        preference = batch_preference(question, place)
        plan = _made(question, place)
    except Misunderstood as error:
        refuse([render(s, batch_preference(question, place)) for s in error.sentences.values()])
    except ValueError as error:
        refuse([f"{render(str(error), preference).rstrip('.')}."])
    if bags is not None:
        _write(bags, bags_as_csv(plan, preference).encode())
    if days_csv is not None:
        _write(days_csv, days_as_csv(plan, preference).encode())
    if ics is not None:
        _write(ics, _calendar(plan, preference))
    if labels is not None:
        from corebath.show.labels_sheet import labels_pdf  # typesetting is slow to load, and most ask for no labels

        _write(labels, labels_pdf(plan.labels, preference))
    if as_json:
        click.echo(json.dumps(batch_as_json(plan, preference), ensure_ascii=False, indent=2))
    else:
        echo(batch_as_text(plan, preference))
    raise SystemExit(0 if plan.works and not batch_broken(plan) else 1)


def _question(file: Path | None, answers: dict[str, str]) -> BatchQuestion:
    """The file's question with the options for the whole batch laid over it, or the one food of the options."""
    top = {name: text for name, text in answers.items() if name in TOP}
    lot = {name: text for name, text in answers.items() if name in LOT and name not in TOP}
    if file is None:
        if not answers:
            raise Misunderstood({"file": "name a batch file, or one food with --food; --example prints a file"}, {})
        return BatchQuestion(Top(**top), (LotRow(**lot),))
    if lot:
        names = ", ".join(f"--{name}" for name in lot)
        raise Misunderstood({"file": f"{names} belongs to a food: write it into the file"}, {})
    try:
        if file.stat().st_size > 4 * MOST_CHARACTERS:
            raise Misunderstood({"file": f"a batch file can have {MOST_CHARACTERS} characters at most"}, {})
        text = file.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError):
        raise Misunderstood({"file": f"the file {str(file)[:80]!r} cannot be read as text"}, {}) from None
    question = read_batch(text)
    return replace(question, top=question.top.changed(**top))


def _made(question: BatchQuestion, place: Kitchen) -> BatchPlan:
    try:
        return make_batch(understand_batch(question, datetime.now(UTC), place))
    except BadRequest as error:
        raise misunderstood(error) from None


def _calendar(plan: BatchPlan, preference: Preference) -> bytes:
    from corebath.show.calendar import tasks_calendar  # slow to load, and most ask for no calendar

    name = " and ".join(lot.name for lot in plan.batch.lots)
    return tasks_calendar(f"Batch: {name}", plan.run_sheet, plan.batch.zone, datetime.now(UTC), preference)


def _write(path: Path, content: bytes) -> None:
    try:
        path.write_bytes(content)
    except OSError as error:
        refuse([f"{path} could not be written: {why_not_written(error)}."])
