"""The table of times as typed: a food, its sizes and set points as ranges, and the sweep they mean."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from functools import partial
from typing import Any
from zoneinfo import ZoneInfo

from corebath.food.catalogue import Food
from corebath.food.kinds import Handling
from corebath.log.gear import Kitchen
from corebath.outcome.results import results_for
from corebath.plan.request import BadRequest, Request, State, check_size
from corebath.plan.sweep import Sweep, settings
from corebath.safety.authority import Authority
from corebath.units import (
    NotUnderstood,
    Preference,
    TemperatureUnit,
    mark,
    parse_length,
    parse_temperature_difference,
    snap_set_point,
)
from corebath.units.factors import FAHRENHEIT_PER_K, M_PER_IN

from .degrees import parse_degrees
from .question import Question
from .understand import Misunderstood, Reader

PAPERS = ("a4", "a3", "letter")
# A sweep asks for times from drop-in only; its requests need a moment, any moment, to be requests.
_ANY_MOMENT = datetime(2001, 1, 1, tzinfo=UTC)
_STEP = re.compile(r"\s+(?:step|steps\s+of|by|every)\s+", re.IGNORECASE)
_SPAN = re.compile(r"\s*(?:-|–|—|−|\.\.|\bto\b)\s*", re.IGNORECASE)
_UNIT = re.compile(r"[a-zA-Z°\"″']+\.?\s*$")
_STEPS_K, _STEPS_F = (0.5, 1.0, 2.0, 3.0, 5.0, 10.0), (1.0, 2.0, 4.0, 5.0, 10.0, 20.0)
_SMALLEST_STEP_K, _SMALLEST_STEP_m = 0.5, 0.001


@dataclass(frozen=True, slots=True)
class PosterQuestion(Question):
    """The answers of `Question`; `thick` may be a range, and others of them are left unread.

    set : set points, one or a range ("54-66 C step 1");  paper : a4, a3 or letter
    """

    set: str = ""
    paper: str = ""


@dataclass(frozen=True, slots=True)
class PosterAsked:
    """A question understood. sweep : the table;  paper : the page it is set on"""

    sweep: Sweep
    paper: str


def understand_poster(question: PosterQuestion, kitchen: Kitchen, *, waits: bool = False) -> PosterAsked:
    """The table a question means, with the usual sizes and set points of the food where none are named.

    waits : a reader waits for it, so the usual table has fewer cells, and one of too many is refused

    Raises Misunderstood with every answer that is not clear at once.
    """
    reader = Reader(question, kitchen)
    preference = reader.preference
    food = reader.food()
    state = reader.choice("state", State) or State.FRIDGE
    usual = settings()["columns"]["frozen" if state is State.FROZEN else "page" if waits else "table"]
    sizes = reader.read("thick", partial(_sizes, preference=preference)) if question.thick else None
    if sizes is None and "thick" not in reader.sentences:
        sizes = _usual_sizes(preference, usual["wider"])
    options: dict[str, Any] = {
        "state": state,
        "handling": reader.choice("handling", Handling),
        "authority": reader.choice("rules", Authority, str.upper) or kitchen.authority,
        "start_C": reader.degrees("start"),
        "layers": reader.count("layers", "the number of layers"),
        "guests_at_risk": reader.flag("guests", "risk"),
        "parasites_frozen": reader.flag("fish", "frozen"),
        "garlic_or_oil": reader.flag("bag", "garlic"),
        "seared": not reader.flag("sear", "no"),
        "altitude_m": kitchen.room.altitude_m,
        "probe_offset_K": kitchen.probe_offset_K,
        "heater_in_F": preference.temperature == "F",
    }
    if options["start_C"] is None:
        options["start_C"] = {State.FRIDGE: kitchen.fridge_C, State.FROZEN: kitchen.freezer_C}.get(state)
    reader.check("units", question.units, ("metric", "us"))
    paper = reader.one_of("paper", PAPERS) or ("letter" if preference.length == "in" else "a4")
    set_points = reader.read("set", partial(_set_points, degree=reader.degree))
    body = None
    if sizes is not None:
        reader.question = question.changed(thick=f"{1000 * sizes[0]:.9g} mm")
        body = reader.body(food)
    if reader.sentences or food is None or body is None or sizes is None:
        raise Misunderstood(reader.sentences, reader.choices)
    try:
        like = Request(
            food=food, body=body, table_time=_ANY_MOMENT + timedelta(days=1), now=_ANY_MOMENT, zone=ZoneInfo("UTC"),
            set_point_C=set_points[0] if set_points else results_for(food.texture)[-1].set_point_C, **options,
        )  # fmt: skip
        set_points = set_points or _usual_set_points(food, like, preference, usual["most"])
        sweep = Sweep(like, sizes, set_points)
        if waits and sweep.count > sweep.most_while_waiting:
            raise BadRequest(
                "thick",
                f"a table of {sweep.count} cells takes too long to wait for: up to {sweep.most_while_waiting} of this "
                "kind are computed here, and more by the command line",
            )
        return PosterAsked(sweep, paper)
    except BadRequest as error:
        field = "set" if error.field == "want" else error.field
        raise Misunderstood({field: str(error)}, {}) from None
    except ValueError as error:
        raise Misunderstood({"thick": str(error)}, {}) from None


def _usual_sizes(preference: Preference, wider: int) -> tuple[float, ...]:
    usual, unit = settings()["thick"], "in" if preference.length == "in" else "m"
    factor = M_PER_IN if unit == "in" else 1.0
    low, high, step = (usual[f"{name}_{unit}"] for name in ("low", "high", "step"))
    return tuple(factor * value for value in _steps(low, high, step * wider))


def _usual_set_points(food: Food, like: Request, preference: Preference, most: int) -> tuple[float, ...]:
    """From the coolest to the hottest of the food's results, in the narrowest steps that give few enough columns."""
    bands = results_for(food.texture)
    low = snap_set_point(min(r.low_C for r in bands), preference)
    high = min(max(r.high_C for r in bands), like.highest_set_point_C)
    steps = [s / FAHRENHEIT_PER_K for s in _STEPS_F] if preference.temperature == "F" else list(_STEPS_K)
    step = next(s for s in steps if (high - low) / s < most)
    return tuple(snap_set_point(value, preference) for value in _steps(low, high, step))


def _sizes(text: str, preference: Preference) -> tuple[float, ...]:
    """Sizes from "10-70 mm step 5", "1/2 to 2 in step 1/4", "30 mm" [m]."""
    default = "5 mm" if preference.length == "mm" else "1/4 in"
    parse = partial(parse_length, prefer=preference.length)
    example = "10-70 mm step 5 or 1/2-2 in step 1/4"
    low, high, step = _range(text, parse, parse, default, example)
    if step < _SMALLEST_STEP_m:
        raise NotUnderstood(f"sizes go in steps of {mark(_SMALLEST_STEP_m, 'm')} or more")
    for size_m in (low, high):
        check_size("thick", size_m)
    return _steps(low, high, step)


def _set_points(text: str, degree: TemperatureUnit | None) -> tuple[float, ...]:
    """Set points from "54-66 C step 1", "130-150 F step 2", "57.5 C" [degC]."""
    low, high, step = _range(
        text,
        partial(parse_degrees, "set", degree=degree),
        partial(parse_temperature_difference, prefer=degree),
        "1",
        "54-66 C step 1",
    )
    if step < _SMALLEST_STEP_K:
        raise NotUnderstood(f"a bath is set in steps of {mark(_SMALLEST_STEP_K, 'K')} or more")
    return _steps(low, high, step)


def _range(
    text: str, parse: Callable[[str], float], parse_step: Callable[[str], float], usual_step: str, example: str
) -> tuple[float, float, float]:
    """Ends and step of a range; the unit that is named last goes for those that name none."""
    span, *rest = _STEP.split(text.strip())
    ends = [part for part in _SPAN.split(span) if part]
    if len(rest) > 1 or len(ends) not in (1, 2):
        raise NotUnderstood(f"{text[:40]!r} is not one value or a range: type one like {example}")
    unit = _UNIT.search(ends[-1])
    if unit is None and (usual := _UNIT.search(usual_step)) is not None:
        parse(ends[-1])  # an upper end that is clear without a unit has the usual one, and so has the lower end
        unit = usual
    low, high = (parse(_with_unit(end, unit)) for end in (ends[0], ends[-1]))
    step = parse_step(_with_unit(rest[0] if rest else usual_step, unit))
    if high < low:
        raise NotUnderstood(f"{text[:40]!r} falls: type the lower end first, such as {example}")
    if not step > 0:
        raise NotUnderstood(f"the step in {text[:40]!r} must be above 0, such as {example}")
    return low, high, step


def _with_unit(text: str, unit: re.Match[str] | None) -> str:
    return text if unit is None or _UNIT.search(text) else f"{text.strip()} {unit[0]}"


def _steps(low: float, high: float, step: float) -> tuple[float, ...]:
    """From `low` up in steps, and no further than `high`; more than any table takes are cut off for its refusal."""
    most = max(settings()["limits"][name] for name in ("most_sizes", "most_set_points")) + 1
    count = min(int((high - low) / step + 1e-6) + 1, most)
    return tuple(round(low + i * step, 12) for i in range(count))
