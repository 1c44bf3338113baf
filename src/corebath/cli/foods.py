"""`corebath foods`: the catalogue."""

from __future__ import annotations

import json

import click

from corebath.food.catalogue import Food, catalogue
from corebath.food.naming import AmbiguousFood, UnknownFood, find, place_name
from corebath.language import reader
from corebath.outcome.results import results_for
from corebath.units import METRIC, render

from .asking import refuse
from .say import echo


@click.command("foods", help="List the foods, or look one up by any of its names.")
@click.argument("name", required=False)
@click.option("--json", "as_json", is_flag=True, help="Print as JSON.")
def command(name: str | None, as_json: bool) -> None:
    """List the catalogue, or show what is known of one food."""
    foods = list(catalogue().values()) if name is None else _named(name)
    if as_json:
        click.echo(json.dumps([_as_json(food) for food in foods], ensure_ascii=False, indent=2))
    elif name is None:
        for food in foods:
            echo(f"{food.key:22} {food.name} ({food.kind}, {food.texture})")
    else:
        echo("\n\n".join(_in_full(food) for food in foods))


def _named(name: str) -> list[Food]:
    try:
        return [find(name, place=reader())]
    except AmbiguousFood as error:
        return [food for food, _ in error.candidates]
    except UnknownFood as error:
        refuse([f"{str(error).removesuffix('.')}."])


def _in_full(food: Food) -> str:
    comp = food.composition
    parts = ", ".join(
        f"{label} {100 * share:.1f} %"
        for label, share in (("water", comp.water), ("protein", comp.protein), ("fat", comp.fat))
    )
    also = "; ".join(f"{word.text} ({place_name(word.place)})" for word in food.words)
    wants = [
        render(f"  {r.words}: {{{r.low_C:g}|C}} to {{{r.high_C:g}|C}} ({r.source})", METRIC)
        for r in results_for(food.texture)
    ]
    return "\n".join(
        [
            f"{food.name} [{food.key}]",
            f"Also called: {also}",
            f"Made of: {parts} ({food.composition_source}: {food.composition_note})",
            f"Starts to freeze at {food.initial_freezing_C:g} °C ({food.freezing_source}: {food.freezing_note})",
            f"Usually sold {food.default_handling}; may carry {', '.join(food.hazards)}",
            "Results:",
            *wants,
            *(f"Caution: {render(text, METRIC)}" for text in food.cautions),
        ]
    )


def _as_json(food: Food) -> dict[str, object]:
    return {
        "key": food.key,
        "name": food.name,
        "kind": food.kind.value,
        "texture": food.texture.value,
        "words": [{"text": w.text, "place": w.place} for w in food.words],
        "default_handling": food.default_handling.value,
        "hazards": list(food.hazards),
        "results": [
            {"key": r.key, "words": r.words, "low_C": r.low_C, "high_C": r.high_C, "set_point_C": r.set_point_C}
            for r in results_for(food.texture)
        ],
    }
