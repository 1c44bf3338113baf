"""`corebath plan`: one food, one table time."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import click

from corebath.plan.make import make_plan
from corebath.plan.map import make_map
from corebath.show.as_json import plan_as_json
from corebath.show.as_text import as_text
from corebath.show.core_chart import core_drawing
from corebath.show.files import write_chart
from corebath.show.sheet import sheet_drawing
from corebath.show.svg import to_svg
from corebath.show.terminal import to_terminal

from .asking import asked, asks, refuse
from .calendar_file import write_calendar

_NARROWEST, _WIDE_FROM, _WIDEST = 60, 110, 140


@click.command("plan", help="Plan one FOOD for one table time.")
@click.argument("food")
@asks
@click.option("--json", "as_json", is_flag=True, help="Print the plan as JSON (docs/json.md) instead of text.")
@click.option(
    "--chart", type=click.Path(dir_okay=False, path_type=Path), help="Write the charts to a .svg, .png or .pdf."
)
@click.option("--ics", type=click.Path(dir_okay=False, path_type=Path), help="Write the run sheet as a calendar file.")
def command(food: str, as_json: bool, chart: Path | None, ics: Path | None, **answers: str | None) -> None:
    """Plan one food for one table time. Exit code 1 when the wish cannot be met, 2 when it is not understood."""
    request, preference, _ = asked(food, answers)
    plan = make_plan(request)
    if chart is not None:
        try:
            write_chart(to_svg(sheet_drawing(plan, make_map(plan), preference), standalone=True), chart)
        except (ValueError, OSError) as error:
            refuse([f"The chart could not be written: {error}."])
    if ics is not None and plan.works:
        write_calendar(plan, preference, ics)
    if as_json:
        click.echo(json.dumps(plan_as_json(plan, preference), ensure_ascii=False, indent=2))
    else:
        click.echo(as_text(plan, preference))
        columns = min(max(shutil.get_terminal_size().columns, _NARROWEST), _WIDEST)
        click.echo(to_terminal(core_drawing(plan, preference, wide=columns >= _WIDE_FROM), columns))
    if ics is not None and not plan.works:
        click.echo("This plan does not work as asked, so no calendar was written.", err=True)
    raise SystemExit(0 if plan.works else 1)
