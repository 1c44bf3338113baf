"""`corebath reheat`: from the fridge or the freezer back to a core worth serving."""

from __future__ import annotations

from pathlib import Path

import click

from corebath.ask.ends import understand_reheat
from corebath.plan.alone.reheat import answer_reheat
from corebath.plan.why.alone import reheat_answer_whys
from corebath.show.chill_chart import reheat_drawing
from corebath.show.ends_json import reheat_as_json
from corebath.show.ends_text import reheat_text

from .answering import answered, code_of, shows, told
from .asking import takes
from .explaining import explain, explains


@click.command("reheat", help="Reheat one FOOD in the bath: time to serve, and what the rules ask.")
@click.argument("food")
@takes(
    "thick", "wide", "long", "shape", "layers", "state", "start", "handling", "guests", "rules", "units",
    cooked=("TEMP", "Set point it was cooked at."),
    reheat=("TEMP", "Set point of the bath it is warmed in, if not the same."),
    serve=("TEMP", "Core to serve at."),
    pasteurised=("YES/NO", '"yes" when the core met its heat treatment; no by default.'),
    hold=("HOW", '"hot" when it is held hot and not served at once.'),
)  # fmt: skip
@shows
@explains("reheat")
def command(food: str, as_json: bool, why: str | None, chart: Path | None, **answers: str | None) -> None:
    """Answer about the reheating. Exit code 1 when a binding rule is broken."""
    answer, preference, whose = answered(
        food, answers, lambda question, place: answer_reheat(understand_reheat(question, place))
    )
    if why is not None:
        whys = reheat_answer_whys(answer, whose)
        explain(whys, why, preference, as_json=as_json, code=code_of(answer.reheat.findings))
    told(
        reheat_text(answer, preference),
        reheat_as_json(answer, preference),
        answer.reheat.findings,
        as_json=as_json,
        draw=lambda wide: reheat_drawing(answer, preference, wide=wide),
        chart=chart,
    )
