"""Shopping for a menu: every dish for every eater."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from .buying import Party, Price, buy
from .buying_list import ShoppingItem
from .make import make_plan
from .menu.answer import MenuPlan
from .menu.menu import Ahead, Menu
from .plan import Plan


def items_of_menu(menu: Menu, party: Party, prices: Mapping[str, Price] | None = None) -> tuple[ShoppingItem, ...]:
    """The dishes of a menu as asked, each planned by itself; those that must be cooked ahead are chilled.

    party : each eater is reckoned one portion of every dish;  prices : by the key of the food
    """
    asked = (
        (dish.name, make_plan(dish.request, offer=False), dish.ahead is Ahead.MUST) for dish in menu.dishes
    )  # fmt: skip
    return tuple(_items(asked, party, prices or {}))


def items_of_served(
    answer: MenuPlan, party: Party, prices: Mapping[str, Price] | None = None
) -> tuple[ShoppingItem, ...]:
    """The dishes of a menu as answered, by the plans it gave them; those cooked ahead are chilled."""
    served = ((s.dish.name, s.plan, s.ahead is not None) for s in answer.served)
    return tuple(_items(served, party, prices or {}))


def _items(
    dishes: Iterator[tuple[str, Plan, bool]], party: Party, prices: Mapping[str, Price]
) -> Iterator[ShoppingItem]:
    for name, plan, chilled in dishes:
        yield ShoppingItem(name, plan, buy(plan, party, prices.get(plan.request.food.key)), chilled)
