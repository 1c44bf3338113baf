"""Which wishes of a menu stand against each other, in the cook's words."""

from __future__ import annotations

from collections.abc import Iterator

from corebath.plan.clock import long_day
from corebath.plan.request import Request
from corebath.units import mark

from .answer import Wish
from .laid_out import lay_out
from .menu import Ahead, Menu
from .search import smallest_conflict


def conflict_of(menu: Menu) -> tuple[tuple[Wish, ...], bool]:
    """The smallest set of wishes that cannot be met together, and whether each was proved to be needed.

    Smallest: giving up any one of them makes the others possible. There may be other such sets. An empty set with a
    proof: all wishes can be met as the search sees them; without one: the limit was reached before that was known.
    """
    laid = lay_out(menu, wider=True)
    wishes = {wish.key: wish for wish in wishes_of(menu)}
    keys, proved = smallest_conflict(laid.problem, wishes)
    return tuple(wish for key, wish in wishes.items() if key in keys), proved


def wishes_of(menu: Menu) -> Iterator[Wish]:
    """Every wish, those first that are best kept out of a conflict when others explain it."""
    if menu.asleep is not None:
        begin, end = menu.asleep
        yield Wish("asleep", f"nothing to do between {begin:%H:%M} and {end:%H:%M}")
    now = menu.now.astimezone(menu.zone)
    yield Wish("pans", "one pan" if menu.pans == 1 else f"{menu.pans} pans")
    yield Wish("hands", "one pair of hands" if menu.hands == 1 else f"{menu.hands} pairs of hands")
    for dish in menu.dishes:
        if dish.ahead is Ahead.NEVER:
            yield Wish(f"fresh:{dish.name}", f"{dish.name} not cooked ahead")
        if dish.ahead is Ahead.MUST:
            yield Wish(f"ahead:{dish.name}", f"{dish.name} cooked ahead")
    yield Wish("baths", "one bath" if len(menu.baths) == 1 else f"{len(menu.baths)} baths")
    for dish in menu.dishes:
        yield Wish(f"result:{dish.name}", f"{dish.name} {_result(dish.request)}")
    yield Wish("now", f"nothing begun before {now:%H:%M} on {long_day(now)}")
    for dish in menu.dishes:
        at = next(c.at for c in menu.courses if c.name == dish.course).astimezone(menu.zone)
        yield Wish(f"served:{dish.name}", f"{dish.name} on the table at {at:%H:%M} on {long_day(at)}")


def _result(request: Request) -> str:
    if request.set_point_C is not None:
        return f"at {mark(request.set_point_C, 'C')}"
    assert request.result is not None
    return f"{request.result.words}, {mark(request.result.low_C, 'C')} to {mark(request.result.high_C, 'C')}"
