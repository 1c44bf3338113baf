"""`corebath chill`: how long in ice water, how much ice, and what the cooling rules say."""

from __future__ import annotations

from pathlib import Path

import click

from corebath.ask.ends import understand_chill
from corebath.plan.alone.chill import answer_chill
from corebath.plan.why.alone import chill_answer_whys
from corebath.show.chill_chart import chill_drawing
from corebath.show.ends_json import chill_as_json
from corebath.show.ends_text import chill_text

from .answering import answered, code_of, shows, told
from .asking import takes
from .explaining import explain, explains


@click.command("chill", help="Chill one FOOD out of the bath: time, ice, and the cooling rules.")
@click.argument("food")
@takes(
    "thick", "wide", "long", "shape", "pieces", "mass", "layers", "start", "handling", "guests", "rules", "units",
    medium=("WHERE", "ice-water-still (default), ice-water-stirred, fridge or counter."),
    at=("TEMP", "That as measured, if it was."),
    water=("VOLUME", "Water in the vessel before the ice."),
    ice=("MASS", "Ice at hand, to see whether it will do."),
)  # fmt: skip
@shows
@explains("chill-time")
def command(food: str, as_json: bool, why: str | None, chart: Path | None, **answers: str | None) -> None:
    """Answer about the chill. Exit code 1 when a binding cooling rule is broken."""
    answer, preference, whose = answered(
        food, answers, lambda question, place: answer_chill(understand_chill(question, place))
    )
    if why is not None:
        whys = chill_answer_whys(answer, whose)
        explain(whys, why, preference, as_json=as_json, code=code_of(answer.findings))
    told(
        chill_text(answer, preference),
        chill_as_json(answer, preference),
        answer.findings,
        as_json=as_json,
        draw=lambda wide: chill_drawing(answer, preference, wide=wide),
        chart=chart,
    )
