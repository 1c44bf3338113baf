"""`corebath story`: one piece from the salt to the reheated plate."""

from __future__ import annotations

from pathlib import Path

import click

from corebath.ask.ends import understand_story
from corebath.plan.tell import tell
from corebath.show.ends_json import story_as_json
from corebath.show.ends_text import story_text
from corebath.show.story_chart import story_drawing

from .answering import answered, shows, told
from .asking import takes


@click.command("story", help="Follow one FOOD from the salt to the reheated plate, with every rule on the way.")
@click.argument("food")
@takes(
    "thick", "wide", "long", "shape", "pieces", "mass", "want", "bath", "salt", "handling", "guests", "rules", "fish",
    "bag", "sear", "pan", "hot", "surface", "units",
    salted=("TIME", "How long it waits after salting."),
    medium=("WHERE", "ice-water-still (default), ice-water-stirred, fridge or counter."),
    fridge=("TEMP", "Fridge as measured."),
    kept=("TIME", 'How long it is kept: "2 days" (default).'),
    reheat=("TEMP", "Set point of the bath it is warmed in, a little below the first by default."),
    serve=("TEMP", "Core to serve at."),
)  # fmt: skip
@shows
def command(food: str, as_json: bool, chart: Path | None, **answers: str | None) -> None:
    """Tell the whole story. Exit code 1 when a binding rule is broken on the way."""
    story, preference, _ = answered(food, answers, lambda question, place: tell(*understand_story(question, place)))
    told(
        story_text(story, preference),
        story_as_json(story, preference),
        story.findings,
        as_json=as_json,
        draw=lambda wide: story_drawing(story, preference, wide=wide),
        chart=chart,
    )
