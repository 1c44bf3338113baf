"""A series of readings and what the cook tells of it, understood as something to judge."""

from __future__ import annotations

from dataclasses import dataclass, fields
from datetime import UTC, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import numpy as np

from corebath.log.as_cooked import AsCooked, Pair, as_cooked
from corebath.log.cook import Place
from corebath.log.csv_import import Choices, Understood, read_csv
from corebath.log.csv_table import Unclear
from corebath.log.gear import Kitchen
from corebath.log.settings import settings
from corebath.log.verdict import Judged, verdict
from corebath.plan.request import Request
from corebath.units import NotUnderstood, mark, parse_duration, snap_set_point

from .question import Question
from .understand import Misunderstood, Reader, understand
from .when import parse_when, parse_zone

UNITS, DATES, COUNTS, REPEATED = (
    ("C", "F", "K"),
    ("day first", "month first"),
    ("ms", "s", "min", "h"),
    ("first", "second"),
)
_FIELDS = {
    "unit": "unit", "day_first": "dates", "elapsed_unit": "counts", "repeated": "repeated",
    "bath": "bath_column", "core": "core_column",
}  # fmt: skip
_BEFORE = timedelta(hours=6)
_AT_ITS_BEST = 95.0


@dataclass(frozen=True, slots=True)
class JudgeQuestion(Question):
    """The answers of `Question`, and those about a series of readings; an empty string is no answer.

    set : set point;  dropped_in, found, seen_fine : moments, or times from the first reading
    power : "held" when it is known not to have failed
    unit, dates, counts, repeated, bath_column, core_column : how to read the file, see `csv_import.Choices`
    began : the moment from which a file without dates counts
    """

    set: str = ""
    dropped_in: str = ""
    found: str = ""
    seen_fine: str = ""
    power: str = ""
    unit: str = ""
    dates: str = ""
    counts: str = ""
    began: str = ""
    repeated: str = ""
    bath_column: str = ""
    core_column: str = ""


@dataclass(frozen=True, slots=True)
class Answered:
    """A series judged.

    understood : the file;  cooked : the cook as it happened;  judged : the verdict
    drop_in : when it dropped in, None when the file tells no moments;  zone : the cook's
    taken : what was taken for granted as it was not told, one sentence each, quantities as marks
    """

    understood: Understood
    cooked: AsCooked
    judged: Judged
    drop_in: datetime | None
    zone: ZoneInfo
    taken: tuple[str, ...]


def answer_judge(question: JudgeQuestion, data: bytes | str, now: datetime, kitchen: Kitchen) -> Answered:
    """Read a file and judge the cook in it. Raises Misunderstood with what is not clear of the answers or the file."""
    reader = Reader(question, kitchen)
    zone = reader.read("zone", parse_zone) or kitchen.zone
    set_C = reader.degrees("set")
    choices = _choices(reader, question, now, zone, set_C)
    power = reader.one_of("power", ("held",))
    _stop(reader)
    understood = _read(data, zone, choices)
    taken: list[str] = []
    if set_C is None:
        set_C = _at_its_best(understood, reader)
        taken.append(
            f"No set point was given: {mark(round(set_C, 1), 'C')} is taken, where the bath stood at its best."
        )
    zero_s = _moment(reader, "dropped_in", understood, zone)
    if zero_s is None:
        zero_s = understood.first_s
        taken.append("No drop-in was given: the first reading counts as drop-in.")
    found_s = _moment(reader, "found", understood, zone)
    seen_s = _moment(reader, "seen_fine", understood, zone)
    _stop(reader)
    request = _request(question, set_C, now, kitchen)
    until_s = (understood.last_s if found_s is None else found_s) - zero_s
    try:
        cooked = as_cooked(
            request, set_C, until_s=until_s, bath=_pair(understood, Place.BATH, zero_s),
            core=_pair(understood, Place.CORE, zero_s), seen_fine_s=None if seen_s is None else seen_s - zero_s,
            held_s=until_s if power == "held" else None, logged=True,
        )  # fmt: skip
    except ValueError as error:
        raise Misunderstood({"found" if until_s <= 0 else "set": str(error)}, {}) from None
    hottest = understood.of(Place.BATH)
    if hottest is not None and hottest.value_C.max() > set_C + float(settings("trace")["hot"]["above_K"]):
        taken.append(f"The hottest reading of the bath stands in line {hottest.line[hottest.value_C.argmax()]}.")
    drop_in = datetime.fromtimestamp(zero_s, UTC).astimezone(zone) if understood.absolute else None
    judged = verdict(cooked, request.subject, request.authority)
    return Answered(understood, cooked, judged, drop_in, zone, tuple(taken))


def _choices(reader: Reader, question: JudgeQuestion, now: datetime, zone: ZoneInfo, set_C: float | None) -> Choices:
    began = reader.read("began", lambda t: parse_when(t, now - timedelta(days=1), zone))
    dates = reader.one_of("dates", DATES)
    unit = question.unit.upper().removeprefix("°")
    reader.check("unit", unit, UNITS)
    return Choices(
        unit=unit,
        expect_C=set_C,
        day_first=None if not dates else dates == DATES[0],
        start=began,
        elapsed_unit=reader.one_of("counts", COUNTS),
        repeated=reader.one_of("repeated", REPEATED),
        bath=question.bath_column,
        core=question.core_column,
    )


def _read(data: bytes | str, zone: ZoneInfo, choices: Choices) -> Understood:
    try:
        return read_csv(data, zone, choices)
    except Unclear as error:
        field = _FIELDS[error.field]
        raise Misunderstood({field: str(error)}, {field: error.choices}) from None
    except ValueError as error:
        raise Misunderstood({"trace": str(error)}, {}) from None


def _stop(reader: Reader) -> None:
    if reader.sentences:
        raise Misunderstood(reader.sentences, reader.choices)


def _at_its_best(understood: Understood, reader: Reader) -> float:
    """Where the bath stood at its best. Raises Misunderstood where too few readings stand there."""
    series = understood.of(Place.BATH) or understood.series[0]
    best_C = float(np.percentile(series.value_C, _AT_ITS_BEST))
    asked, count = settings("trace")["stood"], series.value_C.size
    there = int(np.count_nonzero(np.abs(series.value_C - best_C) <= asked["within_K"]))
    if there < max(min(asked["fewest"], count), asked["share"] * count):
        raise Misunderstood({"set": "Say what the bath was set to: the readings do not show where it stood."}, {})
    return snap_set_point(best_C, reader.preference)


def _moment(reader: Reader, field: str, understood: Understood, zone: ZoneInfo) -> float | None:
    """A moment of the series, in its own time; None when none was told or it is not clear [s]."""

    def parse(text: str) -> float:
        try:
            return understood.first_s + parse_duration(text)
        except NotUnderstood:
            if not understood.absolute:
                raise
        first = datetime.fromtimestamp(understood.first_s, UTC)
        return parse_when(text, first - _BEFORE, zone).timestamp()

    text: str = getattr(reader.question, field)
    if understood.absolute and ":" in text:
        # "18:05" is a clock time here, not a duration.
        first = datetime.fromtimestamp(understood.first_s, UTC)
        return reader.read(field, lambda t: parse_when(t, first - _BEFORE, zone).timestamp())
    return reader.read(field, parse)


def _request(question: JudgeQuestion, set_C: float, now: datetime, kitchen: Kitchen) -> Request:
    """The piece and who eats; a table time is asked of a plan, and none is needed here."""
    known: dict[str, Any] = {f.name: getattr(question, f.name) for f in fields(Question)}
    eat = (now + timedelta(days=1)).astimezone(UTC).strftime("%Y-%m-%dT%H:%MZ")
    plain = Question(**(known | {"want": f"{set_C:.2f} C", "eat": eat, "bath": ""}))
    try:
        return understand(plain, now, kitchen)
    except Misunderstood as error:
        names = {"want": "set"}
        sentences = {names.get(f, f): s for f, s in error.sentences.items()}
        raise Misunderstood(sentences, {names.get(f, f): c for f, c in error.choices.items()}) from None


def _pair(understood: Understood, place: Place, zero_s: float) -> Pair | None:
    series = understood.of(place)
    return None if series is None else (series.time_s - zero_s, series.value_C)
