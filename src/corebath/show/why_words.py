"""Whys in the words that screens and texts share."""

from __future__ import annotations

from collections.abc import Iterable

from corebath.plan.why.why import Input, Origin, Why

ORIGINS = {
    Origin.TYPED: "as you typed it",
    Origin.ASKED: "as asked",
    Origin.GEAR: "from your gear",
    Origin.CATALOGUE: "from the food catalogue",
    Origin.USUAL: "usual value",
    Origin.RULE: "the rule's own",
    Origin.MODEL: "the model's own",
    Origin.RECKONED: "computed",
}
PARTS = {
    "answer": "The answer",
    "rules": "What the rules say",
    "map": "The map",
    "core": "The core over time",
    "buy": "What to buy",
    "salt": "Salt",
    "water": "Water and vessel",
    "outcome": "What it will be like",
    "sear": "Sear",
    "sheet": "Run sheet",
    "keep": "Chill, keep, reheat",
    "kitchen": "The core now",
    "menu": "The order of the menu",
    "batch": "The batch",
}


def from_words(given: Input) -> str:
    """Where an input comes from, in a few words."""
    return ORIGINS[given.origin]


def by_part(whys: Iterable[Why]) -> dict[str, tuple[Why, ...]]:
    """Whys under the part of the answer they stand in, in the order of the screen."""
    found: dict[str, list[Why]] = {part: [] for part in PARTS}
    for why in whys:
        found[why.part].append(why)
    return {part: tuple(each) for part, each in found.items() if each}
