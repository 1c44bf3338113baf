"""Answers offered for a row of the records: what the log knows of a cook, or what stands in a row to be corrected."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from functools import lru_cache
from urllib.parse import parse_qsl
from zoneinfo import ZoneInfo

import numpy as np
from numpy.typing import NDArray

from corebath.log.cook import Cook, Happening, Place
from corebath.log.gear import Kitchen
from corebath.log.record import Entry, Record, Step
from corebath.log.record_heat import core_treated
from corebath.log.settings import settings
from corebath.log.store import Store
from corebath.plan.request import Request
from corebath.units import Preference
from corebath.units.factors import fahrenheit

from .question import Question
from .understand import Misunderstood, understand

Array = NDArray[np.float64]
_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)


def offered(step: Step, cook: Cook, store: Store, kitchen: Kitchen) -> dict[str, str]:
    """Answers for a row about a cook: what was told and read of it; what is missing has no answer.

    Of many readings the coldest of equal spans are offered (the warmest of a chill), each at its own moment.
    """
    assert cook.id is not None
    zone = kitchen.zone
    dropped, pulled = (cook.first(h) for h in (Happening.DROPPED_IN, Happening.PULLED))
    known = {"step": step.value, "cook": str(cook.id), "batch": cook.name}
    core = store.readings(cook.id, Place.CORE)
    out = None if pulled is None else pulled.at.timestamp()
    if step is Step.COOK:
        if dropped is not None:
            known["began"] = typed_moment(dropped.at, zone)
        if pulled is not None:
            known["ended"] = typed_moment(pulled.at, zone)
        known["set"] = typed_degrees(_set_point_C(cook, None if pulled is None else pulled.at), kitchen.preference)
        inside = core[0] >= (0.0 if dropped is None else dropped.at.timestamp())
        inside &= core[0] <= (np.inf if out is None else out)
        known["measured"] = _lines(core, inside, kitchen, warmest=False)
    if step is Step.CHILL and pulled is not None and out is not None:
        known["began"] = typed_moment(pulled.at, zone)
        known["measured"] = _lines(core, core[0] >= out, kitchen, warmest=True)
    if step is Step.KEEP:
        ready = pulled or dropped
        if ready is not None:
            known["began"] = f"{ready.at.astimezone(zone).date()}"
        known["pasteurised"] = "yes" if _treated(store.records(cook_id=cook.id)) else ""
    return {name: value for name, value in known.items() if value}


def answers_of(record: Record, kitchen: Kitchen) -> dict[str, str]:
    """A row as answers, for the form that corrects it; initials and the reason are for the one who corrects."""
    p, zone, subject = kitchen.preference, kitchen.zone, record.subject
    lines = (f"{typed_moment(m.at, zone)} {typed_degrees(m.value_C, p)}" for m in record.measured)
    known = {
        "step": record.step.value,
        "corrects": str(record.id),
        "cook": "" if record.cook_id is None else str(record.cook_id),
        "batch": record.batch,
        "rules": record.authority.value,
        "measured": "\n".join(lines),
        "began": "" if record.began is None else typed_moment(record.began, zone),
        "ended": "" if record.ended is None else typed_moment(record.ended, zone),
        "set": "" if record.set_C is None else typed_degrees(record.set_C, p),
        "food": record.food,
        "pasteurised": "yes" if record.pasteurised else "",
        "opened": "yes" if record.opened else "",
        "hold": "hot" if record.held_hot else "",
        "where": "" if record.point is None else record.point.value,
        "action": record.action,
    }
    if subject is not None:
        known |= {
            "handling": subject.handling,
            "guests": "risk" if subject.guests_at_risk else "",
            "bag": "garlic" if subject.garlic_or_oil else "",
            "fish": "frozen" if subject.parasites_frozen and (subject.kind == "fish" or subject.parasites) else "",
            "sear": "" if subject.seared else "no",
        }
    return {name: value for name, value in known.items() if value}


@lru_cache(maxsize=256)
def request_of(cook: Cook, kitchen: Kitchen) -> Request | None:
    """What was asked for when a cook was planned; None when its question is not understood any more."""
    try:
        return understand(Question.of(parse_qsl(cook.question)), cook.planned_at, replace(kitchen, units_chosen=True))
    except Misunderstood:
        return None


def typed_moment(at: datetime, zone: ZoneInfo) -> str:
    """A moment as it may be typed again; with its offset where the clock has it twice."""
    here = at.astimezone(zone)
    twice = here.replace(fold=0).utcoffset() != here.replace(fold=1).utcoffset()
    if twice:
        return here.isoformat(timespec="seconds")
    return f"{here:%Y-%m-%d %H:%M:%S}".removesuffix(":00")


def typed_degrees(value_C: float, preference: Preference) -> str:
    """A temperature as it was typed: every digit of it, in the kitchen's unit."""
    unit = preference.temperature
    value = value_C if unit == "C" else fahrenheit(value_C)
    return f"{round(value, 4):g} {unit}"


def _set_point_C(cook: Cook, until: datetime | None) -> float:
    """The lowest set point since drop-in, as told [degC]."""
    dropped = cook.first(Happening.DROPPED_IN)
    start = cook.planned_at if dropped is None else dropped.at
    told = [e for e in cook.events if e.happening is Happening.SET_POINT and e.value_C is not None]
    told = [e for e in told if until is None or e.at <= until]
    first = next((e.value_C for e in reversed(told) if e.at <= start), cook.set_point_C)
    return min([c for c in (first, *(e.value_C for e in told if e.at > start)) if c is not None])


def _lines(readings: tuple[Array, Array], inside: NDArray[np.bool_], kitchen: Kitchen, *, warmest: bool) -> str:
    """Readings as lines of a form: all of a few; of many the first, the last, and the worst of equal spans."""
    times, values = readings[0][inside], readings[1][inside]
    spans = int(settings("records")["offered"]["spans"])
    chosen = list(range(times.size))
    if times.size > spans + 2:
        edges = np.searchsorted(times, np.linspace(times[0], times[-1], spans + 1)[1:-1])
        worst = np.argmax if warmest else np.argmin
        parts = (part for part in np.split(np.arange(times.size), edges) if part.size)
        chosen = sorted({0, times.size - 1, *(int(part[worst(values[part])]) for part in parts)})
    # To the second a form has, of which the worst reading counts.
    lines: dict[str, float] = {}
    for i in chosen:
        at = typed_moment(_EPOCH + timedelta(seconds=round(float(times[i]))), kitchen.zone)
        value = round(float(values[i]), 2)
        lines[at] = value if at not in lines else (max if warmest else min)(lines[at], value)
    return "\n".join(f"{at} {typed_degrees(value, kitchen.preference)}" for at, value in lines.items())


def _treated(entries: Sequence[Entry]) -> bool:
    """Whether a row about the cook itself shows the treatment of its core."""
    return any(core_treated(e.record) for e in entries if e.record.step is Step.COOK and e.corrected_by is None)
