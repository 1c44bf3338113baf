"""What a menu must be before it is planned."""

from __future__ import annotations

from collections.abc import Sequence

from corebath.plan.request import BadRequest

from .menu import Menu

_MOST_DISHES = 12
_MOST_BATHS = 6


def check(menu: Menu) -> None:
    """Raise BadRequest, naming the answer to change, for a menu outside what is planned."""
    if not 1 <= len(menu.dishes) <= _MOST_DISHES:
        raise BadRequest("dish", f"a menu has 1 to {_MOST_DISHES} dishes, got {len(menu.dishes)}")
    if not 1 <= len(menu.baths) <= _MOST_BATHS:
        raise BadRequest("baths", f"a menu needs 1 to {_MOST_BATHS} baths, got {len(menu.baths)}")
    if not menu.courses:
        raise BadRequest("course", "a menu needs at least one course")
    if not 1 <= menu.pans <= 8:
        raise BadRequest("pans", f"between 1 and 8 pans can be planned with, got {menu.pans}")
    if not 1 <= menu.hands <= 4:
        raise BadRequest("hands", f"between 1 and 4 pairs of hands can be planned with, got {menu.hands}")
    _unique("dish", [dish.name for dish in menu.dishes])
    _unique("course", [course.name for course in menu.courses])
    _unique("baths", [bath.name for bath in menu.baths])
    if menu.now.tzinfo is None or any(course.at.tzinfo is None for course in menu.courses):
        raise BadRequest("eat", "the table time needs a time zone")
    known = {course.name for course in menu.courses}
    for course in menu.courses:
        if course.at <= menu.now:
            raise BadRequest("eat", f"the {course.name} lies in the past; choose a time ahead")
    for dish in menu.dishes:
        if dish.course not in known:
            raise BadRequest("course", f"{dish.name} belongs to a course that this menu does not have")
        if dish.request.ice is not None:
            raise BadRequest("ice", f"{dish.name}: a dish of a menu cannot wait in ice in the bath it shares")
    if menu.asleep is not None and menu.asleep[0] == menu.asleep[1]:
        raise BadRequest("asleep", "sleep must begin and end at different times")


def _unique(field: str, names: Sequence[str]) -> None:
    for name in names:
        if not name.strip():
            raise BadRequest(field, "every dish, course and bath needs a name")
        if names.count(name) > 1:
            raise BadRequest(field, f"{name} is there twice; give every one a name of its own")
