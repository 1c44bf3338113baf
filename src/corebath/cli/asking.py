"""Options every command that asks a question shares, and how its misunderstandings are told."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import Any, NoReturn, TypeVar
from zoneinfo import ZoneInfo

import click
import tzlocal

from corebath.ask.question import Question
from corebath.ask.understand import Misunderstood, preference_of, understand
from corebath.log.gear import Kitchen
from corebath.log.place import store_address
from corebath.plan.request import Request
from corebath.units import Preference, render

F = TypeVar("F", bound=Callable[..., Any])

_OPTIONS = [
    click.option("--thick", metavar="SIZE", help='Thickness at the thickest, or diameter: "30 mm", "1 1/4 in".'),
    click.option("--wide", metavar="SIZE", help="Second side, if measured; an unmeasured side counts as endless."),
    click.option("--long", metavar="SIZE", help="Third side or length, if measured."),
    click.option("--shape", metavar="BODY", help="slab, cylinder, ball, bar, short-cylinder or brick."),
    click.option("--want", metavar="RESULT", help='Result in words, or a bath temperature: "medium rare", "57 C".'),
    click.option("--eat", metavar="TIME", help='Table time: "19:30", "Sun 18:30", "2027-10-31 18:30".'),
    click.option("--bath", metavar="TIME", help='Fix the time in the bath: "2 h 30 min".'),
    click.option("--pieces", metavar="N", help="How many pieces."),
    click.option("--mass", metavar="MASS", help="Mass of one piece, for the salt."),
    click.option("--state", metavar="WHERE", help="fridge (default), frozen or room."),
    click.option("--start", metavar="TEMP", help="Measured temperature of the piece."),
    click.option("--handling", metavar="HOW", help="intact, tenderised, rolled, minced or stuffed."),
    click.option("--layers", metavar="N", help="Pieces lying against each other in the bath."),
    click.option("--guests", metavar="WHO", help='"risk" when someone is pregnant, elderly, very young or ill.'),
    click.option("--rules", metavar="WHOSE", help="US (default), UK or AU."),
    click.option("--fish", metavar="HOW", help='"frozen" when the fish was frozen against parasites.'),
    click.option("--bag", metavar="WHAT", help='"garlic" when raw garlic, herbs or oil are in the bag.'),
    click.option("--sear", metavar="NO", help='"no" when no hot sear follows.'),
    click.option("--salt", metavar="PERCENT", help="Salt of the meat, if not the usual dose."),
    click.option("--pan", metavar="METAL", help="cast-iron (default), carbon-steel, stainless, aluminium or copper."),
    click.option("--hot", metavar="TEMP", help="How hot the pan is when the food meets it."),
    click.option("--surface", metavar="HOW", help="Surface before the sear: dry (default), patted or wet."),
    click.option("--vessel", metavar="SIZE", help='A vessel of the kitchen, or inner sizes: "24 cm x 14 cm".'),
    click.option("--heater", metavar="POWER", help='A heater of the kitchen, or "1.1 kW, 9 cm to 12 cm" (its marks).'),
    click.option("--cover", metavar="COVER", help="none, loose-lid, film, balls, gasketed or towelled."),
    click.option("--litres", metavar="VOLUME", help="Water filled in, if not as high as the food allows."),
    click.option("--weight", metavar="MASS", help="Weights that hold the bags under."),
    click.option("--sealed", metavar="HOW", help="displacement (default) or vacuum."),
    click.option("--zone", metavar="ZONE", help="Time zone, if not this computer's: Europe/Paris."),
    click.option("--units", metavar="UNITS", help="metric (default) or us."),
]


def asks(command: F) -> F:
    """Give a command the question's options."""
    for option in reversed(_OPTIONS):
        command = option(command)
    return command


def fresh_kitchen() -> Kitchen:
    """A kitchen nothing is known of yet: this computer's time zone, metric units, US rules."""
    return Kitchen(zone=ZoneInfo(tzlocal.get_localzone_name()))


def kitchen() -> Kitchen:
    """The kitchen in the store, or a fresh one; the store is not made by asking."""
    address = store_address()
    if "://" not in str(address) and not Path(address).exists():
        return fresh_kitchen()
    from corebath.log.store import Store, StoreError  # the store is slow to load, and most have none

    try:
        store = Store(address)
        kept = store.kitchen()
        store.close()
    except StoreError as error:
        refuse([f"{error}."])
    return kept[0] if kept is not None else fresh_kitchen()


def asked(food: str, answers: dict[str, str | None]) -> tuple[Request, Preference, Question]:
    """The request behind a command line; leaves with exit code 2 and one sentence for each unclear answer."""
    question = Question.of({"food": food, **{k: v for k, v in answers.items() if v is not None}})
    place = kitchen()
    preference = preference_of(question, place)
    try:
        return understand(question, datetime.now(UTC), place), preference, question
    except Misunderstood as error:
        refuse([render(s, preference) for s in error.sentences.values()])


def refuse(sentences: list[str]) -> NoReturn:
    """Tell what is wrong, one sentence a line, and leave with exit code 2."""
    for sentence in sentences:
        click.echo(sentence[:1].upper() + sentence[1:], err=True)
    raise SystemExit(2)
