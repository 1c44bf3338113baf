"""`corebath salt`: dose and dry brine, or a brine weighed to end even."""

from __future__ import annotations

from pathlib import Path

import click

from corebath.ask.ends import understand_salt
from corebath.plan.alone.salt import answer_salt
from corebath.plan.why.alone import salt_answer_whys
from corebath.show.ends_json import salt_as_json
from corebath.show.ends_text import salt_text
from corebath.show.salt_chart import salt_drawing

from .answering import answered, code_of, shows, told
from .asking import takes
from .explaining import explain, explains


@click.command("salt", help="Salt one FOOD: how much, and how far it gets in the hours there are.")
@click.argument("food")
@takes(
    "thick", "wide", "long", "shape", "pieces", "mass", "state", "salt", "bath", "units",
    water=("VOLUME", 'Water of a brine that is weighed to end even: "1 L"; without it the salt lies on dry.'),
    hours=("TIMES", 'Waits to describe, by commas: "4 h, 12 h".'),
    faces=("WHICH", '"broad" when only the two broad faces are salted.'),
)  # fmt: skip
@shows
@explains("dose")
def command(food: str, as_json: bool, why: str | None, chart: Path | None, **answers: str | None) -> None:
    """Answer about the salt."""
    answer, preference, whose = answered(
        food, answers, lambda question, place: answer_salt(understand_salt(question, place))
    )
    if why is not None:
        whys = salt_answer_whys(answer, whose)
        explain(whys, why, preference, as_json=as_json, code=code_of(answer.findings))
    told(
        salt_text(answer, preference),
        salt_as_json(answer, preference),
        answer.findings,
        as_json=as_json,
        draw=lambda wide: salt_drawing(answer, preference, wide=wide),
        chart=chart,
    )
