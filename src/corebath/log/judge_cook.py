"""The verdict on a cook of the log: its events and readings put together."""

from __future__ import annotations

from datetime import datetime

from corebath.plan.clock import elapsed_s
from corebath.plan.request import Request

from .as_cooked import AsCooked, Pair, as_cooked
from .cook import Cook, Happening
from .verdict import Judged, verdict


def judge_cook(
    cook: Cook,
    request: Request,
    *,
    now: datetime,
    bath: Pair,
    core: Pair,
    seen_fine: datetime | None = None,
    power_held: datetime | None = None,
    logged: bool | None = None,
) -> tuple[AsCooked, Judged]:
    """The cook as it happened until now, or until it was pulled, and the verdict on it.

    request : of the plan that is cooked;  bath, core : readings in rising time, seconds since 1970 in UTC and [degC]
    seen_fine : when the bath was last seen at its set point;  power_held : up to when the power is known not to
        have failed
    logged : the readings of the bath are a logger's, None to go by how frequent they are

    Of several set points since drop-in the lowest counts for the whole cook, for when the bath arrived at another is
    not known. Raises ValueError before the food is in.
    """
    dropped, pulled = cook.first(Happening.DROPPED_IN), cook.first(Happening.PULLED)
    if dropped is None:
        raise ValueError("the food has not dropped in yet, so there is nothing to judge")
    end = now if pulled is None or pulled.at > now else pulled.at
    if end <= dropped.at:
        raise ValueError("the moment judged must lie after drop-in")
    start_s = dropped.at.timestamp()
    set_points = _set_points(cook, dropped.at, end)
    happened = as_cooked(
        request,
        min(set_points),
        until_s=elapsed_s(dropped.at, end),
        bath=(bath[0] - start_s, bath[1]),
        core=(core[0] - start_s, core[1]),
        off=tuple(_off(cook, dropped.at, end)),
        seen_fine_s=None if seen_fine is None else elapsed_s(dropped.at, seen_fine),
        held_s=None if power_held is None else elapsed_s(dropped.at, power_held),
        logged=logged,
        highest_set_C=max(set_points),
    )
    return happened, verdict(happened, request.subject, request.authority)


def _set_points(cook: Cook, start: datetime, end: datetime) -> list[float]:
    """The set points in force between two moments, as told [degC]."""
    told = [e for e in cook.events if e.happening is Happening.SET_POINT and e.value_C is not None and e.at <= end]
    first = next((e.value_C for e in reversed(told) if e.at <= start), cook.set_point_C)
    return [c for c in (first, *(e.value_C for e in told if e.at > start)) if c is not None]


def _off(cook: Cook, start: datetime, end: datetime) -> list[tuple[float, float | None]]:
    """When the bath was off, as told, from drop-in [s]."""
    found: list[tuple[float, float | None]] = []
    for event in cook.events:
        if event.at > end:
            break
        at_s = elapsed_s(start, event.at)
        if event.happening is Happening.BATH_OFF and (not found or found[-1][1] is not None):
            found.append((at_s, None))
        elif event.happening is Happening.BATH_ON and found and found[-1][1] is None:
            found[-1] = (found[-1][0], at_s)
    return found
