"""`corebath keep`: how long a chilled piece may be kept, by which rule, and what goes on its bag."""

from __future__ import annotations

from datetime import UTC, datetime

import click

from corebath.ask.ends import understand_keep
from corebath.plan.alone.keep import answer_keep
from corebath.plan.why.alone import keep_answer_whys
from corebath.show.ends_json import keep_as_json
from corebath.show.ends_text import keep_text

from .answering import answered, code_of, told, writes
from .asking import takes
from .explaining import explain, explains


@click.command("keep", help="Keep one FOOD chilled or frozen: days by named rules, and the bag's label.")
@click.argument("food")
@takes(
    "thick", "wide", "long", "shape", "layers", "handling", "bath", "bag", "guests", "rules", "units",
    fridge=("TEMP", "Fridge as measured between the bags; one not measured counts as warm."),
    pasteurised=("YES/NO", '"yes" when the core met its heat treatment; no by default.'),
    opened=("YES/NO", '"yes" when the bag was opened since.'),
    cooked=("TEMP", "Set point it was cooked at."),
    day=("DATE", 'Day it was cooked, today by default: "2027-01-03".'),
)  # fmt: skip
@writes
@explains("keeping")
def command(food: str, as_json: bool, why: str | None, **answers: str | None) -> None:
    """Answer about the keeping. Exit code 1 when no rule allows it, or the fridge was not measured."""
    answer, preference, whose = answered(
        food, answers, lambda question, place: answer_keep(understand_keep(question, datetime.now(UTC), place))
    )
    if why is not None:
        whys = keep_answer_whys(answer, whose)
        explain(whys, why, preference, as_json=as_json, code=code_of(answer.findings))
    told(keep_text(answer, preference), keep_as_json(answer, preference), answer.findings, as_json=as_json)
