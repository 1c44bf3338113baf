"""`corebath buy`: how much to buy, what it costs, and what other cut would do."""

from __future__ import annotations

import json
from datetime import UTC, datetime
from pathlib import Path

import click

from corebath.ask.buying import BuyQuestion, understand_buy
from corebath.ask.understand import Misunderstood, preference_of
from corebath.plan.buying_answer import answer_buy
from corebath.show.buying_json import buying_as_json
from corebath.show.buying_text import buying_text, shopping_csv
from corebath.units import render

from .asking import ice_of, kitchen, refuse, takes

_QUESTION = (
    "thick", "wide", "long", "shape", "want", "eat", "bath", "pieces", "mass", "state", "start", "handling", "layers",
    "guests", "rules", "fish", "bag", "sear", "salt", "pan", "hot", "surface", "vessel", "heater", "cover", "litres",
    "weight", "sealed", "wait", "ice", "zone", "units",
)  # fmt: skip


@click.command("buy", help="How much FOOD to buy for so many eaters, and what each portion costs.")
@click.argument("food")
@takes(
    eaters=("WHO", 'How many eat: "6", or "4, 2 small".'),
    appetite=("HOW", "small, usual (default) or large, for eaters told without one."),
    price=("PRICE", 'What it costs: "32/kg", "14.99 USD per lb".'),
)
@click.option(
    "--against", multiple=True, metavar="CUTS",
    help='Compare with other cuts: "chuck roast 12/kg", "chuck 9.50, ribeye 32 per kg", or "all" of the same kind.',
)  # fmt: skip
@takes(*_QUESTION)
@click.option("--json", "as_json", is_flag=True, help="Print as JSON (docs/json-buying.md) instead of text.")
@click.option(
    "--csv", "table", type=click.Path(dir_okay=False, path_type=Path), help="Write the shopping list to a .csv."
)
def command(
    food: str, price: str | None, against: tuple[str, ...], as_json: bool, table: Path | None, **answers: str | None
) -> None:
    """Reckon what to buy. Exit code 1 when the plan it rests on cannot work, 2 when the question is not understood."""
    given = {name: value for name, value in answers.items() if value is not None}
    question = BuyQuestion.of(
        {"food": food, **given, "paid": price or "", "against": "; ".join(against), "ice": ice_of(answers)}
    )
    place = kitchen()
    preference = preference_of(question, place)
    try:
        answer = answer_buy(understand_buy(question, datetime.now(UTC), place))
    except Misunderstood as error:
        refuse([render(s, preference) for s in error.sentences.values()])
    except ValueError as error:
        refuse([render(f"{error}.", preference)])
    if table is not None:
        try:
            table.write_text(shopping_csv(answer.shopping, preference), encoding="utf-8")
        except OSError as error:
            refuse([f"The shopping list could not be written: {error}."])
    if as_json:
        click.echo(json.dumps(buying_as_json(answer, preference), ensure_ascii=False, indent=2))
    else:
        click.echo(buying_text(answer, preference))
    raise SystemExit(0 if answer.asked.plan.works else 1)
