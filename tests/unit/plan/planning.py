"""Requests for the tests of the plan, short to write."""

from __future__ import annotations

from datetime import datetime, timedelta
from functools import cache
from typing import Any
from zoneinfo import ZoneInfo

from corebath.food.catalogue import Food, catalogue
from corebath.food.naming import find
from corebath.heat.body import Body, Shape
from corebath.plan.make import make_plan
from corebath.plan.plan import Plan
from corebath.plan.request import Request

PARIS = ZoneInfo("Europe/Paris")
NOW = datetime(2027, 5, 3, 8, 0, tzinfo=PARIS)


def slab(thickness_m: float) -> Body:
    return Body(Shape.SLAB, thickness_m)


def body_of(food: Food, thickness_m: float) -> Body:
    """A body of the food's usual shape, twice as long and one and a half times as wide as thick."""
    shape = Shape(food.usual_shape)
    wide = 1.5 * thickness_m if shape in (Shape.BAR, Shape.BRICK) else None
    long = 2.0 * thickness_m if shape in (Shape.BRICK, Shape.SHORT_CYLINDER) else None
    return Body(shape, thickness_m, wide, long)


def asked(food: str = "beef-ribeye", body: Body | None = None, *, hours: float = 48.0, **answers: Any) -> Request:
    """A request for a table so many hours ahead; a ribeye of 30 mm at 57 C unless told otherwise."""
    if not {"result", "set_point_C"} & answers.keys():
        answers["set_point_C"] = 57.0
    answers.setdefault("now", NOW)
    answers.setdefault("zone", PARIS)
    answers.setdefault("table_time", answers["now"] + timedelta(hours=hours))
    return Request(food=find(food), body=body or slab(0.03), **answers)


def planned(food: str = "beef-ribeye", body: Body | None = None, **answers: Any) -> Plan:
    """The plan for such a request, without neighbours."""
    return make_plan(asked(food, body, **answers), offer=False)


@cache
def foods() -> tuple[str, ...]:
    return tuple(catalogue())
