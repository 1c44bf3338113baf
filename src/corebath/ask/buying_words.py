"""Eaters and prices as typed: numbers with appetites, prices by weight, foods with their prices."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator

from corebath.food.yields import Appetite
from corebath.plan.buying import Party, Price
from corebath.units import NotUnderstood, Preference, parse_mass, parse_money

from .question import short

_PER = re.compile(r"(?P<money>.*?\S)\s*(?:/|\b(?:per|a|the)\b)\s*(?P<unit>\S.*)")
_PRICE_STARTS = re.compile(r"(?:(?<=\s)(?:[A-Z]{3}\s|[A-Z]{0,2}[$€£¥]\s?))?\d")
_PRICE_LIKE = "such as 32/kg, 14.50 EUR per kg or 9.99/lb"
EATERS_LIKE = 'type a number such as 6, or "4, 2 small"'
_LONGEST = 1000


def parse_party(text: str, appetite: Appetite = Appetite.USUAL) -> Party:
    """Who eats: "6", "4, 2 small", "3 large and 1". Raises NotUnderstood, and BadRequest for too many or none.

    appetite : of those who are told without one
    """
    found: Counter[str] = Counter()
    for part in re.split(r"\s*(?:,|;|\+|\band\b)\s*", text.strip()):
        match = re.fullmatch(r"([0-9]{1,4})\s*(small|usual|large)?", part.strip().lower())
        if match is None:
            raise NotUnderstood(f"{short(text)!r} does not say how many eat: {EATERS_LIKE}")
        found[match[2] or appetite.value] += int(match[1])
    return Party(**found)


def parse_price(text: str, prefer: Preference, currency: str) -> Price:
    """A price of food by weight: "32/kg", "$14.99 per lb", "3,20 EUR/100 g". Raises NotUnderstood, BadRequest.

    prefer : decides whether a bare "32" is for a kilogram or a pound;  currency : of a bare number
    """
    return _price(text, _unit_kg(text, prefer), currency)


def parse_offers(text: str, prefer: Preference, currency: str) -> tuple[tuple[str, Price | None], ...]:
    """Foods with their prices: "chuck 9.50, ribeye 32 per kg; brisket". Names are as typed.

    A weight told once holds for all prices that name none. Foods without a price are parted by semicolons. Raises
    NotUnderstood and BadRequest.
    """
    if len(text) > _LONGEST:
        raise NotUnderstood(f"{short(text)!r} is too long for a list of cuts: at most {_LONGEST} characters")
    parts = list(_parted(text))
    told = [_unit_of(price) for _, price in parts if price and _unit_of(price)]
    shared = told[-1] if told else None
    offers: list[tuple[str, Price | None]] = []
    for food, price in parts:
        if not food:
            raise NotUnderstood(f"{short(text)!r} names no food before its price: type it like chuck roast 12/kg")
        if not price:
            offers.append((food, None))
            continue
        unit = _unit_of(price) or shared
        kg = _unit_kg(price, prefer) if unit is None else _mass(unit)
        offers.append((food, _price(price, kg, currency)))
    return tuple(offers)


def _parted(text: str) -> Iterator[tuple[str, str]]:
    """Food and price of each part; a comma parts two foods only after a price."""
    for group in text.split(";"):
        held = ""
        for piece in re.split(r",(?=\s*[^\d\s])|\band\b(?=[^\d]*\d)", group):
            held = f"{held}, {piece.strip()}" if held else piece.strip()
            start = _PRICE_STARTS.search(held)
            if start is not None:
                yield held[: start.start()].strip(" ,:="), held[start.start() :].strip()
                held = ""
        if held:
            yield held, ""


def _unit_of(price: str) -> str | None:
    match = _PER.fullmatch(price)
    return None if match is None else match["unit"]


def _unit_kg(price: str, prefer: Preference) -> float:
    unit = _unit_of(price)
    return _mass("lb" if prefer.mass == "lb" else "kg") if unit is None else _mass(unit)


def _mass(unit: str) -> float:
    try:
        kg = parse_mass(unit if unit[0].isdigit() else f"1 {unit}")
    except NotUnderstood:
        raise NotUnderstood(f"{short(unit)!r} is no weight a price can be for: type it {_PRICE_LIKE}") from None
    if kg <= 0:
        raise NotUnderstood(f"a price for no weight at all means nothing: type it {_PRICE_LIKE}")
    return kg


def _price(text: str, kg: float, currency: str) -> Price:
    match = _PER.fullmatch(text)
    try:
        money = parse_money(text if match is None else match["money"], prefer=currency)
    except NotUnderstood:
        raise NotUnderstood(f"{short(text)!r} is not a price of food by weight: type it {_PRICE_LIKE}") from None
    return Price(money.amount / kg, money.currency, kg)
