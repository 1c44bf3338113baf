"""Buying as typed: eaters, appetite, prices and other cuts, and the request they mean."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from corebath.food.catalogue import Food
from corebath.food.naming import AmbiguousFood, UnknownFood, find
from corebath.log.gear import Kitchen
from corebath.outcome.results import results_for
from corebath.plan.buying import Party, Price, buying_data
from corebath.plan.buying_answer import BuyRequest
from corebath.plan.buying_compare import Offer, usual_body
from corebath.plan.menu.menu import Menu
from corebath.plan.request import BadRequest, Request
from corebath.units import NotUnderstood, mark

from .buying_words import EATERS_LIKE, parse_offers
from .menu import understand_menu
from .menu_question import MenuQuestion
from .question import Question
from .restate import spelt
from .understand import Misunderstood, Reader, understand

EVERY = "all"


@dataclass(frozen=True, slots=True)
class BuyQuestion(Question):
    """The answers of `Question`, and those that only buying asks for; an empty string is no answer.

    against : other cuts with their prices ("chuck 9.50, ribeye 32 per kg"), or "all" of the same kind
    """

    against: str = ""


def party_of(question: Question, kitchen: Kitchen) -> tuple[Party | None, Price | None]:
    """Who eats and what it costs, None where it was not told; for a question that `understand` finds clear."""
    reader = Reader(question, kitchen)
    return reader.party(), reader.paid(kitchen.currency)


def understand_menu_buy(
    menu: MenuQuestion, question: BuyQuestion, now: datetime, kitchen: Kitchen
) -> tuple[Menu, Party, dict[str, Price]]:
    """A menu, who eats it, and prices by the key of the food; `question.paid` names the foods it prices.

    Raises Misunderstood with every answer that is not clear.
    """
    reader = Reader(question, kitchen)
    party = reader.party()
    if not question.eaters:
        reader.sentences["eaters"] = f"say how many eat: {EATERS_LIKE}"
    prices: dict[str, Price] = {}
    if question.paid:
        for offer in _offers(reader, "paid", question.paid, None, kitchen):
            if offer.price is None:
                reader.sentences["paid"] = f"{offer.food.name} has no price: type it like chuck 9.50, ribeye 32 per kg"
            else:
                prices[offer.food.key] = offer.price
    try:
        asked = understand_menu(menu, now, kitchen)
    except Misunderstood as error:
        raise Misunderstood(reader.sentences | error.sentences, reader.choices | error.choices) from None
    if reader.sentences or party is None:
        raise Misunderstood(reader.sentences, reader.choices)
    return asked, party, prices


def understand_buy(question: BuyQuestion, now: datetime, kitchen: Kitchen) -> BuyRequest:
    """What is to be bought. Raises Misunderstood with every answer that is not clear.

    Size, result and table time are taken as usual where the cook says nothing, and told as assumed.
    """
    reader = Reader(question, kitchen)
    party, price = reader.party(), reader.paid(kitchen.currency)
    if not question.eaters:
        reader.sentences["eaters"] = f"say how many eat: {EATERS_LIKE}"
    food = reader.food()
    every = question.against.strip().lower() == EVERY
    offers = () if every or not question.against else _offers(reader, "against", question.against, food, kitchen)
    request: Request | None = None
    assumed: tuple[str, ...] = ()
    if food is not None:
        whole, assumed = _whole(question, food, now, kitchen)
        request = _request(reader, whole, now, kitchen)
    if reader.sentences or request is None or party is None:
        raise Misunderstood(reader.sentences, reader.choices)
    if every and request.result is None:
        raise Misunderstood({"against": "other cuts are found by the result wanted: name one in words"}, {})
    return BuyRequest(request, party, price, offers, every, assumed, bool(question.eat))


def _request(reader: Reader, question: Question, now: datetime, kitchen: Kitchen) -> Request | None:
    try:
        return understand(question, now, kitchen)
    except Misunderstood as error:
        for field, sentence in error.sentences.items():
            reader.sentences.setdefault(field, sentence)
        reader.choices.update(error.choices)
        return None


def _whole(question: Question, food: Food, now: datetime, kitchen: Kitchen) -> tuple[Question, tuple[str, ...]]:
    """The question with what goes without saying, and a sentence for each such thing."""
    said = []
    whole = question
    if not question.thick:
        body = usual_body(food)
        sides = {"thick": body.thickness_m, "wide": body.width_m, "long": body.length_m}
        whole = whole.changed(shape="", **{side: _mm(size_m) for side, size_m in sides.items()})
        across = "across" if body.is_round else "thick"
        said.append(f"Its size was not given: taken as {mark(body.thickness_m, 'm')} {across}, as it is usually cut.")
    if not question.want:
        offered = results_for(food.texture)
        result = offered[(len(offered) - 1) // 2]
        whole = whole.changed(want=result.key)
        said.append(
            f"The result was not given: taken as {result.words}, "
            f"{mark(result.low_C, 'C')} to {mark(result.high_C, 'C')}."
        )
    if not question.eat:
        table = now + timedelta(seconds=buying_data()["ahead"]["table_s"])
        whole = whole.changed(eat=spelt(table.astimezone(kitchen.zone)), zone=kitchen.zone.key)
    return whole, tuple(said)


def _mm(size_m: float | None) -> str:
    return "" if size_m is None else f"{size_m * 1000:g} mm"


def _offers(reader: Reader, field: str, text: str, food: Food | None, kitchen: Kitchen) -> tuple[Offer, ...]:
    """Foods and prices in an answer, each food once; food : the one they are compared with."""
    found: dict[str, Offer] = {}
    try:
        named = parse_offers(text, reader.preference, kitchen.currency)
    except (NotUnderstood, BadRequest) as error:
        reader.sentences[field] = str(error)
        return ()
    for name, price in named:
        try:
            other = find(name, place=reader.place)
        except AmbiguousFood as error:
            reader.sentences[field] = str(error)
            reader.choices[field] = tuple(other.name for other, _ in error.candidates)
            continue
        except UnknownFood as error:
            reader.sentences[field] = str(error)
            reader.choices[field] = error.near
            continue
        if food is not None and other.key == food.key:
            reader.sentences[field] = f"{other.name} is the food asked about: compare it with another one"
        elif other.key in found:
            reader.sentences[field] = f"{other.name} stands there twice: name it once, with one price"
        found[other.key] = Offer(other, price)
    return tuple(found.values())
