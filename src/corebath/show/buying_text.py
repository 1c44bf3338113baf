"""What to buy as plain text and as a table: amounts, a comparison of cuts, the shopping list."""

from __future__ import annotations

import csv
from collections.abc import Iterable, Iterator
from io import StringIO

from corebath.plan.buying import Party
from corebath.plan.buying_answer import BuyAnswer
from corebath.plan.buying_compare import Cut
from corebath.plan.buying_list import ShoppingLine
from corebath.plan.buying_say import money
from corebath.units import Preference, render, show_duration, show_mass, show_temperature, show_volume

from .plain import rendered, sections
from .words import capital, food_words, sizes_words

UNCERTAIN = (
    "Tenderness and juiciness are estimates from few studies: a difference inside their ranges may be none at all."
)
EVERY_DISH = "Every eater is counted as one portion of every dish, and each dish is planned by itself."
AHEAD = "Ice to chill is on the list for dishes that must be cooked ahead, and for no other."
NO_PRICE = "No price was given, so none is computed."
ONE_PIECE = "The others are planned for one piece as it is usually cut; another size takes another time."


def buying_text(answer: BuyAnswer, preference: Preference) -> str:
    """What to buy for one food, with the other cuts where they were asked for."""
    return sections(
        [
            ("The question", _question(answer, preference)),
            ("What fails", (f"{capital(f.part)}: {render(f.why, preference)}" for f in answer.asked.plan.failures)),
            ("What to buy", rendered(answer.statements, preference)),
            ("Other cuts, the cheapest for each eater first", _cuts(answer, preference)),
            ("Shopping list", shopping_lines(answer.shopping, preference)),
            ("What the numbers rest on", rendered(answer.basis, preference)),
        ]
    )


def shopping_text(lines: Iterable[ShoppingLine], party: Party, preference: Preference) -> str:
    """A shopping list by itself, for a menu."""
    every = tuple(lines)
    costs: dict[str, float] = {}
    for line in every:
        if line.cost is not None:
            costs[line.currency] = costs.get(line.currency, 0.0) + line.cost
    priced = sum(line.cost is not None for line in every if line.key == "food")
    return sections(
        [
            (f"Shopping list for {party.count}", shopping_lines(every, preference)),
            ("What it costs", (f"{money(cost)} {currency}." for currency, cost in costs.items())),
            ("Keep in mind", (EVERY_DISH, AHEAD, *(() if priced else (NO_PRICE,)))),
        ]
    )


def _question(answer: BuyAnswer, preference: Preference) -> Iterator[str]:
    asked, plan = answer.request, answer.asked.plan
    request = plan.request
    result = "" if plan.result is None else f"{plan.result.words}, "
    yield (
        f"{capital(food_words(request))}, {sizes_words(request.body, preference)}; {result}"
        f"bath at {show_temperature(plan.set_point_C, preference)} for {show_duration(_minutes(plan.bath_s))}."
    )
    yield from rendered(asked.assumed, preference)


def _cuts(answer: BuyAnswer, preference: Preference) -> Iterator[str]:
    if not answer.cuts:
        return
    for i, cut in enumerate(answer.cuts, 1):
        yield f"{i}. {cut_line(cut, answer, preference)}"
    for name in answer.left_out:
        yield f"{capital(name)} is left out: no result of it is like the one wanted."
    yield UNCERTAIN
    yield ONE_PIECE
    if any(cut.cost_each is None for cut in answer.cuts):
        yield "Cuts without a price stand behind the others, the shorter in the bath first."


def cut_line(cut: Cut, answer: BuyAnswer, preference: Preference) -> str:
    """One cut of a comparison in a few phrases."""
    each, price = cut.cost_each, cut.buying.price
    cost = "no price given" if each is None or price is None else _cost(cut)
    result = ""
    if cut.result is not None:
        band = f"{show_temperature(cut.result.low_C, preference)} to {show_temperature(cut.result.high_C, preference)}"
        result = f"{cut.result.words}{', the likest it has' if cut.stands_in else ''} ({band}), "
    phrases = [
        f"{capital(cut.food.name)}: {cost}; buy {show_mass(cut.buying.raw_kg.nominal, preference)}",
        f"{result}{show_duration(_minutes(cut.plan.bath_s))} at {show_temperature(cut.plan.set_point_C, preference)}",
        f"about {show_duration(_minutes(cut.hands_s))} of work",
    ]
    if cut.energy_kWh is not None:
        phrases.append(f"about {cut.energy_kWh.nominal:.2g} kWh")
    said = "; ".join(phrases) + "."
    for name in ("tenderness", "juiciness"):
        estimate = cut.estimate(name)
        if estimate is not None:
            said += f" {render(estimate.words, preference)}"
    if answer.request.table_told and not cut.in_time:
        said += " Too late for the table time asked for."
    if not cut.plan.works:
        said += f" It does not work as asked: {', '.join(dict.fromkeys(f.part.value for f in cut.plan.failures))}."
    return said


def _cost(cut: Cut) -> str:
    each, price = cut.cost_each, cut.buying.price
    assert each is not None
    assert price is not None
    return f"{money(each.nominal)} {price.currency} for each eater ({money(each.low)} to {money(each.high)})"


def shopping_lines(lines: Iterable[ShoppingLine], preference: Preference) -> Iterator[str]:
    """The shopping list, one thing a line."""
    for line in lines:
        cost = "" if line.cost is None else f", {money(line.cost)} {line.currency}"
        note = f" {render(line.note, preference)}" if line.note else ""
        yield f"{capital(line.what)}: {amount_words(line, preference)}{cost}.{note}"


def amount_words(line: ShoppingLine, preference: Preference) -> str:
    """How much of a line: "880 g (830 g to 990 g)", "3", "60 mL"."""
    if line.mass_kg is not None:
        mass = line.mass_kg
        words = show_mass(mass.nominal, preference)
        if mass.low < mass.high:
            low, high = (show_mass(kg, preference, both=False) for kg in (mass.low, mass.high))
            words += f", between {low} and {high}"
        return words if line.count is None else f"{line.count} pieces, {words}"
    if line.volume_L is not None:
        return f"about {show_volume(line.volume_L, preference)}"
    return str(line.count)


def shopping_csv(lines: Iterable[ShoppingLine], preference: Preference) -> str:
    """The shopping list as a table: masses in kilograms and volumes in litres, notes in the cook's units."""
    out = StringIO()
    table = csv.writer(out, lineterminator="\n")
    table.writerow(
        ("key", "what", "count", "mass_kg", "low_kg", "high_kg", "volume_L", "cost", "currency", "dishes", "note")
    )
    for line in lines:
        mass = line.mass_kg
        figures = ("", "", "") if mass is None else tuple(f"{kg:.4g}" for kg in (mass.nominal, mass.low, mass.high))
        table.writerow(
            (
                line.key,
                line.what,
                "" if line.count is None else line.count,
                *figures,
                "" if line.volume_L is None else f"{line.volume_L:.4g}",
                "" if line.cost is None else f"{line.cost:.2f}",
                line.currency,
                _plain_cell("; ".join(line.dishes)),
                render(line.note, preference),
            )
        )
    return out.getvalue()


def _plain_cell(text: str) -> str:
    """A cook's own words as a cell that no spreadsheet takes for a formula."""
    return f"'{text}" if text[:1] in ("=", "+", "-", "@", "\t", "\r") else text


def _minutes(seconds: float) -> float:
    return 60.0 * round(seconds / 60.0)
