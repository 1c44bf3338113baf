"""Buying by itself: a food, who eats it and what it costs, beside other cuts where the cook names some."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from .buying import Party, Price
from .buying_compare import Cut, Offer, compare, cut_of, foods_like
from .buying_list import ShoppingItem, ShoppingLine, shopping_list
from .buying_say import buying_basis, buying_statements
from .make import make_plan
from .request import Request


@dataclass(frozen=True, slots=True)
class BuyRequest:
    """What is asked.

    request : the food and how it is wanted;  party, price : who eats, and what a kilogram costs, None when not told
    offers : other cuts to compare with;  every : compare with all of the same kind that can reach the result
    assumed : what the cook did not say and was taken, one sentence each
    table_told : the cook said when to eat
    """

    request: Request
    party: Party
    price: Price | None
    offers: tuple[Offer, ...] = ()
    every: bool = False
    assumed: tuple[str, ...] = ()
    table_told: bool = True


@dataclass(frozen=True)
class BuyAnswer:
    """What is bought.

    asked : the food asked about;  cuts : it and the others, ranked; empty without a comparison
    left_out : names of foods that cannot reach the wanted result
    """

    request: BuyRequest
    asked: Cut
    cuts: tuple[Cut, ...]
    left_out: tuple[str, ...]

    @cached_property
    def statements(self) -> tuple[str, ...]:
        """What to buy of the food asked about, in sentences."""
        return buying_statements(self.asked.buying, self.asked.plan)

    @cached_property
    def basis(self) -> tuple[str, ...]:
        """What that rests on, in sentences."""
        return buying_basis(self.asked.buying)

    @cached_property
    def shopping(self) -> tuple[ShoppingLine, ...]:
        """The shopping list for the food asked about."""
        return shopping_list([ShoppingItem(self.asked.food.name, self.asked.plan, self.asked.buying)])


def answer_buy(asked: BuyRequest) -> BuyAnswer:
    """What to buy, and what else could be bought instead. Raises BadRequest outside what is planned."""
    request, wanted = asked.request, asked.request.result
    offers = list(asked.offers)
    if asked.every and wanted is not None:
        named = {offer.food.key for offer in offers}
        offers += [Offer(food) for food in foods_like(request.food, wanted) if food.key not in named]
    plan = make_plan(request, offer=False)
    cuts = compare(request, asked.party, asked.price, offers) if offers else ()
    shown = {cut.food.key for cut in cuts}
    left_out = tuple(offer.food.name for offer in offers if offer.food.key not in shown)
    return BuyAnswer(asked, cut_of(plan, asked.party, asked.price), cuts, left_out)
