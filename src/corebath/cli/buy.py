"""`corebath buy`: how much to buy, what it costs, and what other cut would do."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import TypeVar

import click

from corebath.ask.buying import BuyQuestion, understand_buy, understand_menu_buy
from corebath.ask.menu_file import read_menu
from corebath.ask.understand import Misunderstood, preference_of
from corebath.log.gear import Kitchen
from corebath.plan.buying_answer import answer_buy
from corebath.plan.buying_list import ShoppingLine, shopping_list
from corebath.plan.buying_menu import items_of_menu
from corebath.show.buying_json import buying_as_json, shopping_as_json
from corebath.show.buying_text import buying_text, shopping_csv, shopping_text
from corebath.units import Preference, render

from .asking import ice_of, kitchen, refuse, takes
from .writing import why_not_written

T = TypeVar("T")
_QUESTION = (
    "thick", "wide", "long", "shape", "want", "eat", "bath", "pieces", "mass", "state", "start", "handling", "layers",
    "guests", "rules", "fish", "bag", "sear", "salt", "pan", "hot", "surface", "vessel", "heater", "cover", "litres",
    "weight", "sealed", "wait", "ice", "zone", "units",
)  # fmt: skip


@click.command("buy", help="How much FOOD to buy for so many eaters, and what each portion costs.")
@click.argument("food", required=False)
@takes(
    eaters=("WHO", 'How many eat: "6", or "4, 2 small".'),
    appetite=("HOW", "small, usual (default) or large, for eaters named without one."),
    price=("PRICE", 'What it costs: "32/kg", "14.99 USD per lb"; with --menu "chuck 9.50, ribeye 32 per kg".'),
)
@click.option(
    "--against",
    multiple=True,
    metavar="CUTS",
    help='Compare with other cuts: "chuck roast 12/kg", "chuck 9.50, ribeye 32 per kg", or "all" of the same kind.',
)
@click.option(
    "--menu",
    "menu_file",
    type=click.Path(exists=True, dir_okay=False, path_type=Path),
    help="Write the shopping list of a menu file (.toml) instead of asking about one FOOD.",
)
@takes(*_QUESTION)
@click.option("--json", "as_json", is_flag=True, help="Print as JSON (docs/json-buying.md) instead of text.")
@click.option(
    "--csv", "table", type=click.Path(dir_okay=False, path_type=Path), help="Write the shopping list to a .csv."
)  # fmt: skip
def command(
    food: str | None,
    price: str | None,
    against: tuple[str, ...],
    menu_file: Path | None,
    as_json: bool,
    table: Path | None,
    **answers: str | None,
) -> None:
    """Compute what to buy. Exit code 1 when the plan it rests on cannot work, 2 when the question is not understood."""
    if (food is None) == (menu_file is None):
        refuse(["Say either which food, or a menu with --menu."])
    given = {name: value for name, value in answers.items() if value is not None}
    question = BuyQuestion.of(
        {**given, "food": food or "", "paid": price or "", "against": "; ".join(against), "ice": ice_of(answers)}
    )
    place = kitchen()
    preference = preference_of(question, place)
    if menu_file is not None:
        _menu(menu_file, question, place, preference, as_json=as_json, table=table)
        return
    answer = _clear(lambda: answer_buy(understand_buy(question, datetime.now(UTC), place)), preference)
    _write(table, answer.shopping, preference)
    if as_json:
        click.echo(json.dumps(buying_as_json(answer, preference), ensure_ascii=False, indent=2))
    else:
        click.echo(buying_text(answer, preference))
    raise SystemExit(0 if answer.asked.plan.works else 1)


def _menu(
    path: Path, question: BuyQuestion, place: Kitchen, preference: Preference, *, as_json: bool, table: Path | None
) -> None:
    try:
        text = path.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as error:
        refuse([f"The menu could not be read: {error}."])
    menu, party, prices = _clear(
        lambda: understand_menu_buy(read_menu(text), question, datetime.now(UTC), place), preference
    )
    lines = shopping_list(items_of_menu(menu, party, prices))
    _write(table, lines, preference)
    if as_json:
        click.echo(json.dumps(shopping_as_json(lines, preference), ensure_ascii=False, indent=2))
    else:
        click.echo(shopping_text(lines, party, preference))


def _clear(answer: Callable[[], T], preference: Preference) -> T:
    """The answer; leaves with a sentence for each unclear one."""
    try:
        return answer()
    except Misunderstood as error:
        refuse([render(s, preference) for s in error.sentences.values()])
    except ValueError as error:
        refuse([render(f"{error}.", preference)])


def _write(table: Path | None, lines: tuple[ShoppingLine, ...], preference: Preference) -> None:
    if table is None:
        return
    try:
        table.write_text(shopping_csv(lines, preference), encoding="utf-8")
    except OSError as error:
        refuse([f"The shopping list could not be written: {why_not_written(error)}."])
