"""Rated cooks for the tests of learning, short to write."""

from __future__ import annotations

from datetime import timedelta
from functools import cache

from tests.unit.plan.planning import NOW, asked

from corebath.heat.body import Body, Shape
from corebath.log.cook import Rating
from corebath.log.learn_cooked import cooked_outcome
from corebath.log.learn_taste import CookedOutcome
from corebath.outcome.results import find_result
from corebath.plan.make import make_plan
from corebath.plan.plan import Plan
from corebath.plan.request import Request

CHUCK = Body(Shape.BRICK, 0.045, 0.10, 0.15)


@cache
def cooked_plan(food: str, body: Body, set_point_C: float, hours: float) -> Plan:
    """What was cooked: so many hours in the bath."""
    request = asked(food, body, set_point_C=set_point_C, bath_s=hours * 3600.0, hours=hours + 12)
    return make_plan(request, offer=False)


def rated(
    name: str, food: str, body: Body, set_point_C: float, hours: float, rating: Rating, *, week: int,
    last: CookedOutcome | None = None,
) -> CookedOutcome:  # fmt: skip
    """One rated cook; week orders them."""
    plan = cooked_plan(food, body, set_point_C, hours)
    at = NOW + timedelta(days=7 * week)
    return cooked_outcome(plan, rating, name=name, cooked_at=at, last=None if last is None else last.rating)


def three_chucks() -> tuple[CookedOutcome, ...]:
    """Chuck of 45 mm, three times, as an acceptance scenario has it."""
    a = rated("a", "beef-chuck", CHUCK, 55.0, 24.0, Rating(note="chewy, juicy"), week=0)
    b = rated("b", "beef-chuck", CHUCK, 55.0, 36.0, Rating(note="better, bit dry edges"), week=1, last=a)
    c = rated("c", "beef-chuck", CHUCK, 60.0, 24.0, Rating(note="soft but grey"), week=2, last=b)
    return a, b, c


def chuck_request(**answers: object) -> Request:
    """Chuck, tender and pink."""
    return asked("beef-chuck", CHUCK, result=find_result("tough-red", "pink"), hours=100.0, **answers)
