"""What was told and read of a cook, put to the engine: the core now, and the verdict when something went wrong."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

import numpy as np
from numpy.typing import NDArray

from corebath.heat.stage import Stage
from corebath.log.as_cooked import AsCooked
from corebath.log.cook import Cook, Event, Happening, Place
from corebath.log.estimate import Estimate, estimate
from corebath.log.judge_cook import judge_cook
from corebath.log.store import Store
from corebath.log.verdict import Judged
from corebath.plan.piece import Piece, piece_of
from corebath.plan.plan import Plan
from corebath.safety.rules import binding_lethality

Pair = tuple[NDArray[np.float64], NDArray[np.float64]]
_SEEN_FINE = (Happening.DROPPED_IN, Happening.TOPPED_UP, Happening.SEEN_FINE)
_WORKED = (*_SEEN_FINE, Happening.BATH_ON)  # on again it works, though it may be cold still
_TYPED = "typed"
_SHORTEST_s = 60.0


def judged(cook: Cook, store: Store, plan: Plan, now: datetime) -> tuple[AsCooked, Judged] | None:
    """The cook as it happened and the verdict; None when all went by plan or it has not begun.

    A fault whose start was not told may have begun as soon as the bath was last seen fine. Raises ValueError when the
    drop-in lies too far back.
    """
    dropped, pulled = cook.first(Happening.DROPPED_IN), cook.first(Happening.PULLED)
    if dropped is None or cook.id is None:
        return None
    until = now if pulled is None else pulled.at
    bath = store.readings(cook.id, Place.BATH)
    told_wrong = any(e.happening in (Happening.BATH_OFF, Happening.SET_POINT) for e in cook.events)
    if (until - dropped.at).total_seconds() < _SHORTEST_s or not (told_wrong or bath[0].size):
        return None
    events = (replace(e, at=_began(cook, e)) if e.happening is Happening.BATH_OFF else e for e in cook.events)
    told = replace(cook, events=tuple(sorted(events, key=lambda e: e.at)))
    return judge_cook(
        told, plan.request, now=now, bath=bath, core=store.readings(cook.id, Place.CORE),
        seen_fine=_last(_SEEN_FINE, cook, until), power_held=_last((Happening.POWER_HELD,), cook, until),
        logged=True if set(store.sources(cook.id, Place.BATH)) - {_TYPED} else None,
    )  # fmt: skip


def _began(cook: Cook, fault: Event) -> datetime:
    """When the bath went off: the time told or, when that is just when it was found, when it was last seen fine."""
    return _last(_WORKED, cook, fault.at) or fault.at if fault.at == fault.told_at else fault.at


def _last(happenings: tuple[Happening, ...], cook: Cook, until: datetime) -> datetime | None:
    return max((e.at for e in cook.events if e.happening in happenings and e.at <= until), default=None)


def estimated(cook: Cook, store: Store, plan: Plan, now: datetime) -> Estimate | None:
    """The core as its readings, the measured bath and the set points told show it; None before drop-in.

    Raises ValueError when the drop-in lies too far back.
    """
    dropped, pulled = cook.first(Happening.DROPPED_IN), cook.first(Happening.PULLED)
    if dropped is None or cook.id is None:
        return None
    until_s = max(((now if pulled is None else pulled.at) - dropped.at).total_seconds(), 0.0)
    request = plan.request
    piece = piece_of(request, _set_point_C(cook, plan))
    times, cores = readings_of(cook, store, Place.CORE, dropped.at, until_s)
    return estimate(
        piece,
        times,
        cores,
        now_s=until_s,
        bath=_bath(cook, store, plan, piece, until_s),
        rules=binding_lethality(request.subject, request.authority),
    )


def _bath(cook: Cook, store: Store, plan: Plan, piece: Piece, until_s: float) -> Stage | None:
    """The bath as measured or, without readings, as its set point was changed; None when it went by plan."""
    dropped = cook.first(Happening.DROPPED_IN)
    assert dropped is not None
    offset_K = plan.request.probe_offset_K
    times, values = readings_of(cook, store, Place.BATH, dropped.at, until_s)
    if times.size > 1:
        knots = np.concatenate([[0.0], times[times > 0]])
        return Stage.trace("bath", knots, np.interp(knots, times, values - offset_K), piece.h_W_m2K)
    knots_s, levels_C = [0.0], [plan.set_point_C]
    for event in cook.events:
        at_s = (event.at - dropped.at).total_seconds()
        if event.happening is Happening.SET_POINT and event.value_C is not None and 0 < at_s < until_s:
            # Taken as reached at once: the time to warm or cool is not known.
            knots_s += [max(at_s, knots_s[-1] + 1.0), max(at_s, knots_s[-1] + 1.0) + 1.0]
            levels_C += [levels_C[-1], event.value_C]
    if len(knots_s) == 1:
        return None
    return Stage.trace("bath", np.array(knots_s), np.array(levels_C) - offset_K, piece.h_W_m2K)


def _set_point_C(cook: Cook, plan: Plan) -> float:
    """Where the bath is set now [degC]."""
    changed = [e.value_C for e in cook.events if e.happening is Happening.SET_POINT and e.value_C is not None]
    return changed[-1] if changed else plan.set_point_C


def readings_of(cook: Cook, store: Store, place: Place, dropped_at: datetime, until_s: float) -> Pair:
    """Readings of one place from drop-in until a time: seconds since then, and temperatures [s], [degC]."""
    assert cook.id is not None
    moments, values = store.readings(cook.id, place)
    since = moments - dropped_at.timestamp()
    inside = (since >= 0) & (since <= max(until_s, 0.0))
    return np.asarray(since[inside]), np.asarray(values[inside])
