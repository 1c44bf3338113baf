"""Understanding: from answers as typed to a request, or to one sentence for each answer that is not clear."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from enum import StrEnum
from functools import partial
from typing import Any, TypeVar
from zoneinfo import ZoneInfo

from corebath.food.catalogue import Food
from corebath.food.kinds import Handling
from corebath.food.naming import AmbiguousFood, UnknownFood, find
from corebath.food.yields import Appetite
from corebath.heat.body import Body, Shape
from corebath.language import reader as page_language
from corebath.log.gear import Kitchen
from corebath.outcome.results import Result, UnknownResult, find_result, results_for, textures
from corebath.plan.buying import Party, Price
from corebath.plan.data import defaults
from corebath.plan.request import BadRequest, Request, State, check_size
from corebath.safety.authority import Authority
from corebath.sear.tables import metals
from corebath.units import (
    Ambiguous,
    NotUnderstood,
    Preference,
    mark,
    parse_duration,
    parse_length,
    parse_mass,
)

from .buying_words import parse_party, parse_price
from .degrees import UNITS, degree_of, parse_degrees
from .equipment import equipment_of, parse_ice
from .question import Question, short
from .when import parse_ahead, parse_zone

T = TypeVar("T")
E = TypeVar("E", bound=StrEnum)
SURFACES = ("dry", "patted", "wet")
_FAHRENHEIT = re.compile(r"\d\s*(?:°|deg\.?|degrees?)?\s*f(?:ahrenheit)?\b", re.IGNORECASE)


class Misunderstood(ValueError):  # noqa: N818 - it is the question that is misunderstood
    """A question with answers that are not clear.

    sentences : for each field, one sentence: what is wrong and what is accepted, quantities as marks
    choices : for a field, answers that would be understood, where they can be listed
    """

    def __init__(self, sentences: dict[str, str], choices: dict[str, tuple[str, ...]]) -> None:
        super().__init__(" ".join(_sentence(s) for s in sentences.values()))
        self.sentences = {field: _sentence(s) for field, s in sentences.items()}
        self.choices = choices


def preference_of(question: Question, kitchen: Kitchen) -> Preference:
    """The units to show: the question's, or the kitchen's when it names none or none that exists.

    Where neither chose, degrees are shown as the bath's own were typed: who types 135F sets a heater in Fahrenheit.
    """
    shown = UNITS.get(question.units, kitchen.preference)
    chosen = degree_of(question.units, kitchen)
    if chosen is None and _FAHRENHEIT.search(getattr(question, "want", "")):
        return replace(shown, temperature="F")
    return shown


def understand(question: Question, now: datetime, kitchen: Kitchen) -> Request:
    """The request a question means.

    now : the moment of asking, with a zone.  Raises Misunderstood with every answer that is not clear at once.
    """
    reader = Reader(question, kitchen)
    food = reader.food()
    zone = reader.read("zone", parse_zone) or kitchen.zone
    eat = reader.eat(now, zone)
    body = reader.body(food)
    result, set_point_C = reader.want(food)
    options: dict[str, Any] = {
        "state": reader.choice("state", State) or State.FRIDGE,
        "handling": reader.choice("handling", Handling),
        "authority": reader.choice("rules", Authority, str.upper) or kitchen.authority,
        "start_C": reader.degrees("start"),
        "bath_s": reader.read("bath", parse_duration),
        "pieces": reader.count("pieces", "the number of pieces"),
        "layers": reader.count("layers", "the number of layers"),
        "piece_mass_kg": reader.read("mass", lambda t: parse_mass(t, prefer=reader.preference.mass)),
        "guests_at_risk": reader.flag("guests", "risk"),
        "parasites_frozen": reader.flag("fish", "frozen"),
        "garlic_or_oil": reader.flag("bag", "garlic"),
        "seared": not reader.flag("sear", "no"),
        "equipment": equipment_of(question, kitchen, reader.preference, reader.sentences),
        "altitude_m": kitchen.room.altitude_m,
        "ice": reader.read("ice", lambda t: parse_ice(t, reader.preference)),
        "probe_offset_K": kitchen.probe_offset_K,
        "heater_in_F": reader.preference.temperature == "F",
        "salt_percent": reader.read("salt", parse_percent),
        "pan": reader.one_of("pan", tuple(metals())) or defaults()["sear"]["pan"],
        "pan_C": reader.degrees("hot"),
        "surface": reader.one_of("surface", SURFACES) or defaults()["sear"]["surface"],
        "fridge_C": kitchen.fridge_C,
    }
    if options["start_C"] is None:
        options["start_C"] = {State.FRIDGE: kitchen.fridge_C, State.FROZEN: kitchen.freezer_C}.get(options["state"])
    reader.check("units", question.units, tuple(UNITS))
    # A plan is the same for any party; an unclear one is told here, like every unclear answer.
    reader.party()
    reader.paid(kitchen.currency)
    if not reader.sentences and food is not None and body is not None and eat is not None:
        try:
            return Request(
                food=food, body=body, table_time=eat, now=now, zone=zone, result=result, set_point_C=set_point_C,
                **options,
            )  # fmt: skip
        except BadRequest as error:
            reader.sentences[error.field] = str(error)
    raise Misunderstood(reader.sentences, reader.choices)


class Reader:
    """Reads one answer after another, and keeps a sentence for each that is not clear."""

    def __init__(self, question: Question, kitchen: Kitchen) -> None:
        self.question = question
        self.preference = preference_of(question, kitchen)
        self.degree = degree_of(question.units, kitchen)
        # A butcher's word is read by the country of the rules, else by the language of the page where that tells.
        self.place = question.rules.upper() or page_language()
        self.sentences: dict[str, str] = {}
        self.choices: dict[str, tuple[str, ...]] = {}

    def read(self, field: str, parse: Callable[[str], T]) -> T | None:
        text = getattr(self.question, field)
        if not text:
            return None
        try:
            return parse(text)
        except (NotUnderstood, BadRequest) as error:
            self.sentences[field] = str(error)
            if isinstance(error, Ambiguous):
                self.choices[field] = error.choices
            return None

    def degrees(self, field: str) -> float | None:
        """A temperature; a bare number is asked about where nobody chose a unit [degC]."""
        return self.read(field, lambda text: parse_degrees(field, text, self.degree))

    def tried(self, field: str, make: Callable[[], T]) -> T | None:
        """What is made of answers that are clear each; a range that it leaves is told at the field."""
        try:
            return make()
        except ValueError as error:
            self.sentences[field] = str(error)
            return None

    def count(self, field: str, what: str) -> int:
        number = self.read(field, lambda text: _count(what, text))
        return 1 if number is None else number

    def flag(self, field: str, word: str) -> bool:
        text = getattr(self.question, field).lower()
        self.check(field, text, (word,))
        return bool(text == word)

    def choice(self, field: str, kind: type[E], fold: Callable[[str], str] = str.lower) -> E | None:
        text = fold(getattr(self.question, field))
        self.check(field, text, tuple(member.value for member in kind))
        return kind(text) if text and field not in self.sentences else None

    def one_of(self, field: str, accepted: tuple[str, ...]) -> str:
        text: str = getattr(self.question, field).lower()
        self.check(field, text, accepted)
        return text if text in accepted else ""

    def check(self, field: str, text: str, accepted: tuple[str, ...]) -> None:
        if text and text not in accepted:
            self.sentences[field] = f"{short(text)!r} is not an answer for {field}: accepted are {', '.join(accepted)}"
            self.choices[field] = accepted

    def food(self) -> Food | None:
        text = self.question.food
        if not text:
            self.sentences["food"] = "say what it is: a food or a cut, such as ribeye, chicken breast or carrots"
            return None
        try:
            return find(text, place=self.place)
        except AmbiguousFood as error:
            self.sentences["food"] = str(error)
            self.choices["food"] = tuple(food.name for food, _ in error.candidates)
        except UnknownFood as error:
            self.sentences["food"] = str(error)
            self.choices["food"] = error.near
        return None

    def party(self) -> Party | None:
        appetite = self.choice("appetite", Appetite) or Appetite.USUAL
        return self.read("eaters", lambda text: parse_party(text, appetite))

    def paid(self, currency: str) -> Price | None:
        return self.read("paid", lambda text: parse_price(text, self.preference, currency))

    def eat(self, now: datetime, zone: ZoneInfo) -> datetime | None:
        if not self.question.eat:
            self.sentences["eat"] = "say when you eat: a time such as 19:30, or a day and a time"
            return None
        return self.read("eat", lambda text: parse_ahead(text, now, zone))

    def body(self, food: Food | None) -> Body | None:
        shape = self.choice("shape", Shape)
        thick, wide, long = (self.read(f, partial(self.size, f)) for f in ("thick", "wide", "long"))
        if not self.question.thick:
            self.sentences["thick"] = "say how thick it is at its thickest, such as 30 mm or 1 1/4 in"
        if food is None or {"shape", "thick", "wide", "long"} & self.sentences.keys():
            return None
        assert thick is not None
        if shape is None:
            return _body(food, thick, wide, long)
        try:
            return Body(shape, thick, wide, long)
        except ValueError as error:
            self.sentences["shape"] = str(error)
            return None

    def size(self, field: str, text: str) -> float:
        size_m = parse_length(text, prefer=self.preference.length)
        try:
            check_size(field, size_m)
        except BadRequest as error:
            if text[-1:].isdigit():
                raise BadRequest(field, f"{error}; {short(text)!r} was read as {self.preference.length}") from None
            raise
        return size_m

    def want(self, food: Food | None) -> tuple[Result | None, float | None]:
        text = self.question.want
        numbers = any(c.isdigit() for c in text) or text.lower() in ("nan", "inf")
        if food is None:
            if text and not numbers and not any(_is_result(texture, text) for texture in textures()):
                self.sentences["want"] = (
                    f"{short(text)!r} is not a result known for any food: "
                    "type a word such as medium rare, or a bath temperature such as 57 C"
                )
            return None, self.degrees("want") if numbers else None
        offered = results_for(food.texture)
        named = tuple(r.words for r in offered)
        bands = "; ".join(f"{r.words} ({mark(r.low_C, 'C')} to {mark(r.high_C, 'C')})" for r in offered)
        if not text:
            self.sentences["want"] = f"say how you want it: {bands}; or a bath temperature"
            self.choices["want"] = named
            return None, None
        if numbers:
            return None, self.degrees("want")
        try:
            return find_result(food.texture, text[:80]), None
        except UnknownResult:
            self.sentences["want"] = (
                f"{short(text)!r} is not a result known for {food.name}: accepted are {bands}; or a bath temperature"
            )
            self.choices["want"] = named
            return None, None


def _is_result(texture: str, text: str) -> bool:
    try:
        find_result(texture, text[:80])
    except UnknownResult:
        return False
    return True


def _body(food: Food, thick: float, wide: float | None, long: float | None) -> Body:
    """The body the sizes describe. A side that was not measured counts as endless, which is never too fast."""
    usual = Shape(food.usual_shape)
    if usual is Shape.BALL and wide is None and long is None:
        return Body(Shape.BALL, thick)
    if usual in (Shape.CYLINDER, Shape.SHORT_CYLINDER) and wide is None:
        return Body(Shape.CYLINDER if long is None else Shape.SHORT_CYLINDER, thick, None, long)
    if wide is None or long is None:
        side = wide if wide is not None else long
        return Body(Shape.SLAB if side is None else Shape.BAR, thick, side)
    return Body(Shape.BRICK, thick, wide, long)


def parse_percent(text: str) -> float:
    """A share of salt from "1.2 %" or "1,2" [%]. Raises NotUnderstood."""
    match = re.fullmatch(r"(\d{1,3}(?:[.,]\d{1,3})?)\s*%?", text)
    if match is None:
        raise NotUnderstood(f"{short(text)!r} is not a share of salt: type a percentage of the meat, such as 1.2 %")
    return float(match[1].replace(",", "."))


def _count(what: str, text: str) -> int:
    if not text.isascii() or not text.isdigit() or len(text) > 4:
        raise NotUnderstood(f"{short(text)!r} is not {what}: type a whole number")
    return int(text)


def _sentence(text: str) -> str:
    text = text[:1].upper() + text[1:]
    return text if text.endswith((".", "?")) else text + "."
