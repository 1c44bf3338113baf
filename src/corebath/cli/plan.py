"""`corebath plan`: one food, one table time."""

from __future__ import annotations

import json
from pathlib import Path

import click

from corebath.plan.make import make_plan
from corebath.show.as_text import as_text
from corebath.show.core_chart import core_drawing

from .asking import asked, asks, kitchen
from .calendar_file import write_calendar
from .charts import print_chart, save_chart, takes_chart
from .explaining import explain, explains
from .say import echo


@click.command("plan", help="Plan one FOOD for one table time.")
@click.argument("food")
@asks
@click.option("--json", "as_json", is_flag=True, help="Print the plan as JSON (docs/json.md) instead of text.")
@explains("come-up")
@takes_chart
@click.option("--ics", type=click.Path(dir_okay=False, path_type=Path), help="Write the run sheet as a calendar file.")
def command(
    food: str, as_json: bool, why: str | None, chart: Path | None, ics: Path | None, **answers: str | None
) -> None:
    """Plan one food for one table time. Exit code 1 when the wish cannot be met, 2 when it is not understood."""
    request, preference, question = asked(food, answers)
    plan = make_plan(request)
    if chart is not None:
        # Slow to load, and most plans are not drawn.
        from corebath.plan.map import make_map
        from corebath.show.sheet import sheet_drawing

        save_chart(lambda: sheet_drawing(plan, make_map(plan), preference), chart)
    if ics is not None and plan.works:
        write_calendar(plan, preference, ics)
    if why is not None:
        # Slow to load, as the salt, the sear and the cold are, and most plans are not asked for reasons.
        from corebath.ask.told import told_of
        from corebath.plan.ends import make_ends
        from corebath.plan.why.whole import ends_whys, plan_whys

        told = told_of(question, kitchen())
        whys = (*plan_whys(plan, told), *ends_whys(plan, make_ends(plan), told))
        explain(whys, why, preference, as_json=as_json, code=0 if plan.works else 1)
    if as_json:
        from corebath.ask.told import told_of  # as above
        from corebath.show.as_json import plan_as_json

        told = told_of(question, kitchen())
        click.echo(json.dumps(plan_as_json(plan, preference, told), ensure_ascii=False, indent=2))
    else:
        echo(as_text(plan, preference))
        print_chart(lambda wide: core_drawing(plan, preference, wide=wide))
    if ics is not None and not plan.works:
        echo("This plan does not work as asked, so no calendar was written.", err=True)
    raise SystemExit(0 if plan.works else 1)
