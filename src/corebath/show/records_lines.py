"""Rows of the records in words, the same for the screen, the sheet of paper and the terminal."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, datetime
from itertools import groupby
from zoneinfo import ZoneInfo

from corebath.log.record import Entry, Point, Record, Step
from corebath.log.record_judge import judge_record, still_open
from corebath.safety.authority import Authority, profile
from corebath.safety.finding import Finding
from corebath.units import Preference, render, show_duration
from corebath.units.factors import fahrenheit

from .words import capital

_BEGAN = {
    Step.BAG: "out of the cold", Step.COOK: "dropped in", Step.CHILL: "out of the bath", Step.KEEP: "cooked on",
    Step.REHEAT: "out of the cold", Step.PROBE: "from", Step.ACTION: "from",
}  # fmt: skip
_ENDED = {
    Step.BAG: "sealed", Step.COOK: "pulled", Step.CHILL: "into the cold", Step.KEEP: "until", Step.REHEAT: "served",
    Step.PROBE: "until", Step.ACTION: "until",
}  # fmt: skip
_POINTS = {Point.ICE: "melting ice", Point.BOILING: "boiling water"}


@dataclass(frozen=True, slots=True)
class Limit:
    """One limit beside a row. binding : it decides;  verdict : in words;  title, why, source : in the cook's units"""

    binding: bool
    verdict: str
    title: str
    why: str
    source: str
    assumed: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Done:
    """What was done about a missed limit: by whom, and when it was told."""

    text: str
    initials: str
    when: str


@dataclass(frozen=True, slots=True)
class Line:
    """A row in words.

    day, clock : the moment it stands under, in the kitchen's zone;  step, batch, food : what it is about
    facts : when it began and ended, the set point, and what else was told;  measured : time and value as measured
    verdict : met, not met or not known;  limits : those that bind first
    done : corrective actions;  asks : it missed a limit and nothing was done yet
    told : when it was written, where that is another moment
    corrects, corrected_by : numbers of rows, None for none
    """

    entry: Entry
    number: int
    day: date
    clock: str
    step: str
    batch: str
    food: str
    facts: tuple[str, ...]
    measured: tuple[str, ...]
    verdict: str
    limits: tuple[Limit, ...]
    done: tuple[Done, ...]
    asks: bool
    initials: str
    told: str
    note: str
    corrects: int | None
    corrected_by: int | None


def line_of(entry: Entry, preference: Preference, zone: ZoneInfo) -> Line:
    """One row in the cook's units and on the kitchen's clock."""
    record = entry.record
    assert record.id is not None
    judged = judge_record(record, zone)
    at, told = record.at.astimezone(zone), record.told_at.astimezone(zone)
    done = [Done(record.action, record.initials, _when(told, at.date()))] if record.action else []
    done += [Done(a.action, a.initials, _when(a.told_at.astimezone(zone), at.date())) for a in entry.actions]
    return Line(
        entry=entry,
        number=record.id,
        day=at.date(),
        clock=f"{at:%H:%M}",
        step=record.step.value,
        batch=record.batch,
        food=record.food,
        facts=tuple(_facts(record, preference, zone)),
        measured=tuple(
            f"{_when(m.at.astimezone(zone), at.date())} {measured_words(m.value_C, preference)}"
            for m in record.measured
        ),
        verdict=judged.verdict.value,
        limits=tuple(_limit(f, preference) for f in judged.findings),
        done=tuple(done),
        asks=still_open(entry, zone),
        initials=record.initials,
        told=_when(told, at.date()),
        note=record.note,
        corrects=record.points_at,
        corrected_by=entry.corrected_by,
    )


def by_day(lines: Iterable[Line]) -> list[tuple[date, list[Line]]]:
    """Rows under their days, in the order given."""
    return [(day, list(rows)) for day, rows in groupby(lines, lambda line: line.day)]


def measured_words(value_C: float, preference: Preference) -> str:
    """A temperature as measured: every digit of a thermometer, in the cook's unit alone."""
    unit = preference.temperature
    value = round(value_C if unit == "C" else fahrenheit(value_C), 2) + 0.0
    return f"{value:g} °{unit}".replace("-", "−")


def whose_limits(authorities: Iterable[Authority]) -> tuple[str, ...]:
    """Whose limits rows are held to, and whose word counts: a sentence for each authority, and one for all."""
    held = [profile(authority) for authority in dict.fromkeys(authorities)]
    return (
        *(f"The limits are those of the profile {p.name} ({p.bodies}). {p.note}" for p in held),
        "They are an aid: the word of your inspector and of your local food authority counts.",
    )


def _measured(record: Record, preference: Preference, zone: ZoneInfo) -> Iterator[str]:
    day = record.at.astimezone(zone).date()
    for m in record.measured:
        yield f"{_when(m.at.astimezone(zone), day)} {measured_words(m.value_C, preference)}"


def _facts(record: Record, preference: Preference, zone: ZoneInfo) -> Iterator[str]:
    day = record.at.astimezone(zone).date()
    if record.point is not None:
        yield f"held in {_POINTS[record.point]}"
    if record.began is not None:
        began = record.began.astimezone(zone)
        yield f"{_BEGAN[record.step]} {began.date() if record.step is Step.KEEP else _when(began, day)}"
    if record.ended is not None:
        yield f"{_ENDED[record.step]} {_when(record.ended.astimezone(zone), day)}"
    if record.began is not None and record.ended is not None and record.step is not Step.KEEP:
        yield f"for {show_duration(60.0 * round((record.ended - record.began).total_seconds() / 60))}"
    if record.set_C is not None:
        yield f"bath set to {measured_words(record.set_C, preference)}"
    subject = record.subject
    if subject is not None and subject.handling != "intact":
        yield subject.handling
    if subject is not None and subject.guests_at_risk:
        yield "for a guest at higher risk"
    if record.step is Step.KEEP and record.began is not None:
        yield "pasteurised" if record.pasteurised else "heated, not pasteurised"
    if record.opened:
        yield "bag opened"
    if record.held_hot:
        yield "held hot"
    if record.offset_K:
        offset = render(f"{{{abs(record.offset_K)}|K}}", preference, both=False)
        yield f"thermometer known to read {offset} too {'high' if record.offset_K > 0 else 'low'}"


def _limit(finding: Finding, preference: Preference) -> Limit:
    def say(text: str) -> str:
        return render(text, preference, both=False)

    return Limit(
        finding.binding, finding.verdict.value, capital(say(finding.title)), say(finding.why), finding.source,
        tuple(say(text) for text in finding.assumptions),
    )  # fmt: skip


def _when(moment: datetime, day: date) -> str:
    """A moment on the clock, with its day where that is not the row's, and seconds only where it has any."""
    clock = f"{moment:%H:%M:%S}".removesuffix(":00") if moment.second else f"{moment:%H:%M}"
    return clock if moment.date() == day else f"{moment:%a %-d %b} {clock}"
