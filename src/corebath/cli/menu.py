"""`corebath menu`: several foods, one or several table times, the baths, pans and hands there are."""

from __future__ import annotations

import json
from datetime import UTC, datetime
from pathlib import Path

import click

from corebath.ask.menu import menu_preference, understand_menu
from corebath.ask.menu_file import example_file, read_menu
from corebath.ask.tables import MOST_CHARACTERS
from corebath.ask.understand import Misunderstood
from corebath.plan.menu.answer import MenuPlan
from corebath.plan.request import BadRequest
from corebath.show.calendar import tasks_calendar
from corebath.show.lanes_chart import lanes_drawing
from corebath.show.menu_csv import menu_as_csv
from corebath.show.menu_json import menu_as_json
from corebath.show.menu_text import menu_as_text
from corebath.show.menu_words import menu_broken, menu_name, works
from corebath.units import METRIC, Preference, render

from .asking import kitchen, refuse
from .charts import print_chart, save_chart
from .say import echo
from .writing import why_not_written

_WRITTEN = click.Path(dir_okay=False, path_type=Path)


@click.command("menu", help="Plan the several foods of FILE, a TOML file, for one or several table times.")
@click.argument("file", required=False, type=click.Path(path_type=Path))
@click.option("--example", is_flag=True, help="Print a menu file to begin with, and do nothing else.")
@click.option("--json", "as_json", is_flag=True, help="Print as JSON (docs/json-menu.md) instead of text.")
@click.option("--chart", type=_WRITTEN, help="Write the lanes to a .svg, .png or .pdf.")
@click.option("--csv", "table", type=_WRITTEN, help="Write the run sheet as a table.")
@click.option("--ics", "calendar", type=_WRITTEN, help="Write the run sheet as a calendar.")
def command(
    file: Path | None, example: bool, as_json: bool, chart: Path | None, table: Path | None, calendar: Path | None
) -> None:
    """Plan a menu. Exit code 1 when it has no answer or a binding rule is not met, 2 when it is not understood."""
    if example:
        click.echo(example_file(), nl=False)
        return
    if file is None:
        refuse(["Name a menu file, or print one to begin with: corebath menu --example."])
    text, place, now = _read(file), kitchen(), datetime.now(UTC)
    preference = METRIC
    try:
        question = read_menu(text)
        preference = menu_preference(question, place)
        menu = understand_menu(question, now, place)
    except Misunderstood as error:
        refuse([render(sentence, preference) for sentence in error.sentences.values()])
    from corebath.plan.menu.solve import plan_menu  # the search is slow to load, and a file may not be understood

    try:
        plan = plan_menu(menu)
    except BadRequest as error:
        refuse([f"{render(str(error), preference)}."])
    if works(plan):
        _write(plan, preference, now, chart, table, calendar)
    if as_json:
        click.echo(json.dumps(menu_as_json(plan, preference), ensure_ascii=False, indent=2))
    else:
        echo(menu_as_text(plan, preference))
        print_chart(lambda wide: lanes_drawing(plan, preference, wide=wide))
    if not works(plan) and (chart or table or calendar):
        echo("This menu has no answer as asked, so no file was written.", err=True)
    raise SystemExit(0 if works(plan) and not menu_broken(plan) else 1)


def _read(file: Path) -> str:
    try:
        if file.stat().st_size > 4 * MOST_CHARACTERS:
            refuse([f"The file {file} is too large: a menu file can have {MOST_CHARACTERS} characters at most."])
        return file.read_text(encoding="utf-8-sig")
    except OSError as error:
        refuse([f"The file {file} cannot be read: {error.strerror}."])
    except UnicodeDecodeError:
        refuse([f"The file {file} is no text in UTF-8: save it as such."])


def _write(
    plan: MenuPlan, preference: Preference, now: datetime, chart: Path | None, table: Path | None, calendar: Path | None
) -> None:
    if chart is not None:
        save_chart(lambda: lanes_drawing(plan, preference, wide=True), chart)
    try:
        if table is not None:
            table.write_text(menu_as_csv(plan, preference), encoding="utf-8-sig", newline="")
        if calendar is not None:
            calendar.write_bytes(tasks_calendar(menu_name(plan), plan.run_sheet, plan.menu.zone, now, preference))
    except (ValueError, OSError) as error:
        refuse([f"The file could not be written: {why_not_written(error)}."])
