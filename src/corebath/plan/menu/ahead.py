"""Cooking a dish ahead: what chilling, keeping and warming it again take, by their rules."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import lru_cache
from zoneinfo import ZoneInfo

from corebath.chill.cool import Chill, chill
from corebath.chill.keep import Keeping, keep
from corebath.chill.reheat import Reheat, reheat
from corebath.chill.tables import settings
from corebath.plan.clock import after
from corebath.plan.data import defaults, pace_of
from corebath.plan.piece import piece_of
from corebath.plan.plan import Plan
from corebath.plan.request import Request
from corebath.plan.tell import pasteurised_by
from corebath.safety.finding import Finding, Verdict

from .figures import figures

COLD_C = 5.0
_CHILL_IN = "ice-water-still"


@dataclass(frozen=True, slots=True)
class Warming:
    """One bath in which a kept dish may be warmed. ready_s, latest_s : in it [s]"""

    set_point_C: float
    ready_s: float
    latest_s: float


@dataclass(frozen=True, slots=True)
class Cold:
    """A dish cooked ahead. chill_s : until its cautious core is cold [s];  in_pan : a pan warms it"""

    chill_s: float
    in_pan: bool


def is_pasteurised(plan: Plan) -> bool:
    """Whether the core treatment that counts for keeping is met at the planned pull."""
    request = plan.request
    return pasteurised_by(request.subject, request.authority, plan.cautious.until(plan.bath_s)) is not None


def keeping_of(request: Request, cooked_C: float, *, pasteurised: bool) -> Keeping:
    """How long a dish keeps in the request's fridge. cooked_C : its set point [degC]"""
    return keep(
        request.authority,
        fridge_C=request.fridge_C,
        pasteurised=pasteurised,
        guests_at_risk=request.guests_at_risk,
        hottest_C=cooked_C - request.probe_offset_K,
        spores=request.garlic_or_oil,
    )


def chilled(request: Request, set_point_C: float) -> Chill:
    """A dish chilled in ice water straight from its bath, its bags hanging apart."""
    thermal = piece_of(request, set_point_C).thermal
    return chill(request.body, thermal, set_point_C, _CHILL_IN, request.subject, request.authority)


def warmed(request: Request, bath_C: float, cooked_C: float, keeping: Keeping, *, pasteurised: bool) -> Reheat:
    """A kept dish warmed again. Raises ValueError outside what is known of warming."""
    thermal = piece_of(request, bath_C).thermal
    return reheat(
        request.body, thermal, keeping.fridge_C, bath_C, request.subject, request.authority,
        cooked_C=cooked_C, pasteurised=pasteurised, offset_K=request.probe_offset_K,
    )  # fmt: skip


@lru_cache(maxsize=256)
def cold_of(request: Request, set_point_C: float) -> Cold | None:
    """What chilling a timeless dish takes; None where no rule or no figure allows cooking it ahead.

    set_point_C : the hottest it may be cooked at [degC]
    """
    finish = pace_of(request.food.texture).finish
    if finish == "peel" or (finish == "glaze" and request.guests_at_risk):
        # Eggs warmed in their shell are not known; a pan gives no figure that a guest at higher risk could rely on.
        return None
    try:
        made = chilled(request, set_point_C)
    except ValueError:
        return None
    cold_s = made.runs.reach(COLD_C).cautious_s
    if cold_s is None or broken(made.findings):
        return None
    return Cold(cold_s, finish == "glaze")


@lru_cache(maxsize=1024)
def warming_of(request: Request, bath_C: float, cooked_C: float, *, pasteurised: bool) -> Warming | None:
    """Warming a timeless dish in a bath; None where a binding rule is not met.

    cooked_C : the coolest it may have been cooked at [degC]
    """
    keeping = keeping_of(request, cooked_C, pasteurised=pasteurised)
    if keeping.rule is None:
        return None
    try:
        made = warmed(request, bath_C, cooked_C, keeping, pasteurised=pasteurised)
    except ValueError:
        return None
    ready_s = made.runs.reach(made.to_C).cautious_s
    if ready_s is None or broken(made.findings):
        return None
    latest_s = ready_s + figures("ahead")["reheat_hold_s"]
    if made.to_C < settings()["time_out"]["hot_C"]:
        latest_s = min(
            latest_s, max(ready_s, settings()["time_out"]["limit_s"] - pace_of(request.food.texture).finishing_s)
        )
    return Warming(bath_C, ready_s, latest_s)


def reheat_points(set_points_C: Sequence[float], own_C: float) -> tuple[float, ...]:
    """Set points of a menu in which a dish cooked at its own may be warmed, the nearest to the usual first [degC]."""
    usual_C = own_C - defaults()["reheat"]["below_set_point_K"]
    allowed = [c for c in {*set_points_C, own_C} if 40.0 <= c <= own_C]
    return tuple(sorted(allowed, key=lambda c: (abs(c - usual_C), c))[: figures("ahead")["reheats_per_dish"]])


def earliest_pull(keeping: Keeping, at: datetime, zone: ZoneInfo) -> datetime | None:
    """The first moment at which a dish may be pulled that is eaten at `at`; None when it may not be kept."""
    if keeping.rule is None or keeping.days == 0:
        return None
    days = keeping.days - (1 if keeping.rule.cooking_day_counts else 0)
    day = at.astimezone(zone).date() - timedelta(days=days)
    midnight = datetime(day.year, day.month, day.day, tzinfo=zone)
    most_s = 86400.0 * min(keeping.days, figures("ahead")["days"])
    return max(midnight, after(at, -most_s, zone), key=lambda moment: moment.timestamp())


def broken(findings: Sequence[Finding]) -> bool:
    """Whether a binding rule is not met, or not known to be met."""
    return any(f.binding and f.verdict is not Verdict.MET for f in findings)
