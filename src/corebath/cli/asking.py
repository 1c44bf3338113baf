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

from .say import echo

F = TypeVar("F", bound=Callable[..., Any])

# What stands for the answer, and its help, by the name of the answer.
OPTIONS = {
    "thick": ("SIZE", 'Thickness at the thickest, or diameter: "30 mm", "1 1/4 in".'),
    "wide": ("SIZE", "Second side, if measured; an unmeasured side counts as endless."),
    "long": ("SIZE", "Third side or length, if measured."),
    "shape": ("BODY", "slab, cylinder, ball, bar, short-cylinder or brick."),
    "want": ("RESULT", 'Result in words, or a bath temperature: "medium rare", "57 C".'),
    "eat": ("TIME", 'Table time: "19:30", "Sun 18:30", "2027-10-31 18:30".'),
    "bath": ("TIME", 'Fix the time in the bath: "2 h 30 min".'),
    "pieces": ("N", "How many pieces."),
    "mass": ("MASS", "Mass of one piece."),
    "state": ("WHERE", "fridge (default), frozen or room."),
    "start": ("TEMP", "Measured temperature of the piece."),
    "handling": ("HOW", "intact, tenderised, rolled, minced or stuffed."),
    "layers": ("N", "Pieces lying against each other in the bath."),
    "guests": ("WHO", '"risk" when someone is pregnant, elderly, very young or ill.'),
    "rules": ("WHOSE", "US, UK or AU; the kitchen's, if not given."),
    "fish": ("HOW", '"frozen" when the fish was frozen against parasites.'),
    "bag": ("WHAT", '"garlic" when raw garlic, herbs or oil are in the bag.'),
    "sear": ("NO", '"no" when no hot sear follows.'),
    "salt": ("PERCENT", "Salt of the meat, if not the usual amount."),
    "pan": ("METAL", "cast-iron (default), carbon-steel, stainless, aluminium or copper."),
    "hot": ("TEMP", "How hot the pan is when the food meets it."),
    "surface": ("HOW", "Surface before the sear: dry (default), patted or wet."),
    "vessel": ("SIZE", 'A vessel of the kitchen, or inner sizes: "24 cm x 14 cm".'),
    "heater": ("POWER", 'A heater of the kitchen, or "1.1 kW, 9 cm to 12 cm" (its marks).'),
    "cover": ("COVER", "none, loose-lid, film, balls, gasketed or towelled."),
    "litres": ("VOLUME", "Water filled in, if not as high as the food allows."),
    "weight": ("MASS", "The weight that holds each bag under."),
    "sealed": ("HOW", "displacement (default) or vacuum."),
    "wait": ("TIME", 'The food waits in ice water so long before the heater starts: "7 h"; with --ice.'),
    "ice": ("MASS", "The ice it waits in."),
    "zone": ("ZONE", "Time zone, if not this computer's: Europe/Paris."),
    "units": ("UNITS", "metric or us; the kitchen's, if not given."),
}


def takes(*names: str, **own: tuple[str, str]) -> Callable[[F], F]:
    """Give a command some of the question's options, and some of its own in the form of `OPTIONS`."""
    offered = {name: OPTIONS[name] for name in names} | own

    def give(command: F) -> F:
        for name, (metavar, words) in reversed(offered.items()):
            command = click.option(f"--{name}", metavar=metavar, help=words)(command)
        return command

    return give


def asks(command: F) -> F:
    """Give a command all of the question's options."""
    return takes(*OPTIONS)(command)


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
    given = {k: v for k, v in answers.items() if v is not None}
    question = Question.of({"food": food, **given, "ice": ice_of(answers)})
    place = kitchen()
    preference = preference_of(question, place)
    try:
        return understand(question, datetime.now(UTC), place), preference, question
    except Misunderstood as error:
        refuse([render(s, preference) for s in error.sentences.values()])


def ice_of(answers: dict[str, str | None]) -> str:
    """The answer about ice, from its own option and that of the wait."""
    wait, ice = answers.get("wait") or "", answers.get("ice") or ""
    if wait and not ice:
        refuse(["A wait in ice water needs --ice beside --wait: say how much ice, such as 3 kg."])
    return f"{wait}, {ice}" if wait else ice


def refuse(sentences: list[str]) -> NoReturn:
    """Tell what is wrong, one sentence a line, and leave with exit code 2."""
    for sentence in sentences:
        echo(sentence[:1].upper() + sentence[1:], err=True)
    raise SystemExit(2)
