"""Scenarios are asked as a cook would type them, in a kitchen in Paris."""

from __future__ import annotations

from datetime import datetime
from zoneinfo import ZoneInfo

from corebath.ask.question import Question
from corebath.ask.understand import understand
from corebath.log.gear import Kitchen
from corebath.plan.make import make_plan
from corebath.plan.plan import Plan
from corebath.plan.timing import Span

PARIS = ZoneInfo("Europe/Paris")
TUESDAY = datetime(2027, 5, 4, 9, 0, tzinfo=PARIS)


def plan_of(now: datetime = TUESDAY, **answers: str) -> Plan:
    return make_plan(understand(Question(**answers), now, Kitchen(zone=PARIS)))


def minutes(hours: int, of_an_hour: int = 0) -> float:
    return 3600.0 * hours + 60.0 * of_an_hour


def meets(span: Span, low_s: float, high_s: float) -> bool:
    """The nominal time lies in a band, and the spread reaches over no more than a quarter beyond its ends."""
    inside = low_s <= span.nominal_s <= high_s
    return inside and span.early_s >= 0.75 * low_s and span.cautious_s <= 1.25 * high_s
