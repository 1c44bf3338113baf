"""The kitchen's records as typed: a row of them, a corrective action, and the days to show."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from functools import partial
from zoneinfo import ZoneInfo

from corebath.food.kinds import Handling
from corebath.log.cook import Cook
from corebath.log.gear import Kitchen
from corebath.log.record import Entry, Measured, Point, Record, Step
from corebath.log.texts import limits
from corebath.plan.data import pace_of
from corebath.safety.authority import Authority
from corebath.safety.subject import Subject
from corebath.units import NotUnderstood, TemperatureUnit

from .degrees import parse_degrees
from .moment import parse_past
from .question import Question
from .records_offer import request_of
from .understand import Misunderstood, Reader
from .when import parse_when, parse_zone

# The steps a row can be typed for; what was done about a row is typed at that row.
STEPS = tuple(step for step in Step if step is not Step.ACTION)
_FOOD_NEEDED = (Step.COOK, Step.CHILL, Step.REHEAT)
_READ_NEEDED = (Step.KEEP, Step.PROBE)
_YES_NO = ("yes", "no")
_SHOWN = timedelta(days=30)
_SLACK = timedelta(minutes=1)
_LINE = re.compile(
    r"(?:(?P<when>.*\S)\s+)?(?P<value>[-+\u2212]?\d+(?:[.,]\d+)?\s*(?:°|deg|degrees)?\s*(?:c|celsius|f|fahrenheit)?)",
    re.IGNORECASE,
)
_CLOCK_ALONE = re.compile(r"\d{1,2}(?:[:.h]\d{2}){0,2}\s*(?:[ap]\.?m\.?)?", re.IGNORECASE)
_CLOCK_LIKE = re.compile(r"\d{1,2}[.,]\d{2}")
_DATED = re.compile(r"\d{4}-\d{2}-\d{2}")
_WITH_SECONDS = re.compile(r"(.*\d{1,2}:\d{2}):(\d{2})")
_ACCEPTED = "a time such as 18:05, yesterday 22:30 or 2027-10-30 18:05"
_READ_SO = "type the time and what was read, such as 18:05 57.2 C, one reading a line"
# What a row refuses, by the first words of its sentence, and the answer to change.
_FIELDS = (
    ("initials", "by"), ("what a record is about", "batch"), ("a note", "note"), ("a correction", "note"),
    ("a corrective", "action"), ("a step", "ended"), ("a set point", "set"),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class RecordQuestion(Question):
    """The answers of `Question`, and those that only a row of the records asks for; an empty string is no answer.

    step : bag, cook, chill, keep, reheat or probe;  batch : what it is about;  by : initials
    measured : a time and a temperature a line;  began, ended : of the step;  set : set point of the bath
    pasteurised, opened : yes or no;  hold : "hot" when it is held hot
    where : ice or boiling, for a thermometer
    action : what was done about a missed limit;  note : anything else; of a correction, why
    cook : number of a cook in the log;  corrects : number of the row it corrects
    """

    step: str = ""
    batch: str = ""
    by: str = ""
    measured: str = ""
    began: str = ""
    ended: str = ""
    set: str = ""
    pasteurised: str = ""
    opened: str = ""
    hold: str = ""
    where: str = ""
    action: str = ""
    note: str = ""
    cook: str = ""
    corrects: str = ""


def understand_record(
    question: RecordQuestion, now: datetime, kitchen: Kitchen, *, cook: Cook | None = None, old: Record | None = None
) -> Record:
    """The row that the answers mean. Raises Misunderstood with one sentence for each answer that is not clear.

    now : the moment of writing, with a zone;  cook : the one it is about, which knows what the food is
    old : the row it corrects, which knows how far off the thermometer was then
    """
    reader = Reader(question, kitchen)
    step = reader.choice("step", Step)
    reader.check("step", question.step.lower(), tuple(STEPS))
    if step is None and "step" not in reader.sentences:
        reader.sentences["step"] = f"say which step it is: {', '.join(STEPS)}"
        reader.choices["step"] = tuple(STEPS)
    zone = reader.read("zone", parse_zone) or kitchen.zone
    moment = partial(parse_moment, now=now, zone=zone)
    measured = reader.read("measured", partial(_measured, moment=moment, degree=reader.degree))
    began = reader.read("began", partial(_began, moment=moment, now=now, zone=zone))
    ended = reader.read("ended", moment)
    if began is not None and ended is not None and _meant_today(question.ended, began, ended, now, zone):
        reader.sentences["ended"] = (
            f"{question.ended.strip()} lies ahead, read as today: write the row once the step has ended, or type the "
            "day with it"
        )
    set_C = reader.degrees("set")
    pasteurised, opened = (reader.one_of(field, _YES_NO) == "yes" for field in ("pasteurised", "opened"))
    held_hot = reader.flag("hold", "hot")
    point = reader.choice("where", Point)
    authority = reader.choice("rules", Authority, str.upper) or kitchen.authority
    food, subject = _food(reader, step, cook, kitchen)
    _check_needed(reader, step, point)
    if reader.sentences or step is None:
        raise Misunderstood(reader.sentences, reader.choices)
    probe = step is Step.PROBE
    offset_K = kitchen.probe_offset_K if old is None else old.offset_K
    altitude_m = kitchen.room.altitude_m if old is None else old.altitude_m
    try:
        return Record(
            step=step, batch=question.batch, told_at=now.replace(microsecond=0), initials=question.by,
            authority=authority, measured=measured or (), began=began, ended=ended, set_C=set_C, food=food,
            subject=subject, pasteurised=pasteurised, opened=opened, held_hot=held_hot, point=point if probe else None,
            altitude_m=altitude_m if probe else None,
            offset_K=0.0 if probe else offset_K, action=question.action, note=question.note,
            points_at=number_of(question.corrects, "a row"), cook_id=None if cook is None else cook.id,
        )  # fmt: skip
    except ValueError as error:
        field = next((f for words, f in _FIELDS if str(error).startswith(words)), "measured")
        raise Misunderstood({field: str(error)}, {}) from None


def understand_action(entry: Entry, did: str, by: str, now: datetime) -> Record:
    """What was done about a row. Raises Misunderstood at `action` or `by`."""
    wrong = {}
    if not did.strip():
        wrong["action"] = "say what was done about it, such as: back in the bath for 20 min"
    if not by.strip():
        wrong["by"] = "say who did it, by initials"
    if wrong:
        raise Misunderstood(wrong, {})
    row = entry.record
    try:
        return Record(
            Step.ACTION, row.batch, now.replace(microsecond=0), by.strip(), row.authority, action=did.strip(),
            points_at=row.id, cook_id=row.cook_id,
        )  # fmt: skip
    except ValueError as error:
        raise Misunderstood({"by" if str(error).startswith("initials") else "action": str(error)}, {}) from None


def understand_days(first: str, last: str, now: datetime, zone: ZoneInfo, *, whole: bool = False) -> tuple[date, date]:
    """The first and the last day to show: the last 31 days unless told, all days of a `whole` one.

    Raises Misunderstood at `from` or `to`.
    """
    today = now.astimezone(zone).date()
    wrong = {}
    days = {}
    for name, text in (("from", first), ("to", last)):
        if text.strip():
            try:
                days[name] = _day(text, today)
            except NotUnderstood as error:
                wrong[name] = str(error)
    to = days.get("to", today)
    since = days.get("from", date(limits().earliest_year, 1, 1) if whole else to - _SHOWN)
    if not wrong and since > to:
        wrong["from"] = f"the first day, {since}, lies after the last one, {to}"
    if wrong:
        raise Misunderstood(wrong, {})
    return since, to


def span_of(days: tuple[date, date], zone: ZoneInfo) -> tuple[datetime, datetime]:
    """The first moment of the first day, and the first one after the last day, of a kitchen's zone."""
    first, last = days
    start, end = (datetime(d.year, d.month, d.day, tzinfo=zone) for d in (first, last + timedelta(days=1)))
    return start.astimezone(UTC), end.astimezone(UTC)


def number_of(text: str, what: str) -> int | None:
    """The number of a row or a cook; None when none was told. Raises ValueError."""
    if not text:
        return None
    if not (text.isascii() and text.isdecimal() and len(text) < 10):
        raise ValueError(f"{text[:40]!r} is not the number of {what}: type a whole number")
    return int(text)


def parse_moment(text: str, now: datetime, zone: ZoneInfo) -> datetime:
    """A moment that lies behind, however far when its date is typed; in UTC, where times can be taken from each other.

    Raises NotUnderstood.
    """
    typed = text.strip()
    seconds = _WITH_SECONDS.fullmatch(typed)
    if not _DATED.search(typed):
        found = parse_past(typed, now, zone)
        # A clock is read to the minute, and so is "20 min ago".
        return (found if seconds else found.replace(second=0, microsecond=0)).astimezone(UTC)
    more = int(seconds[2]) if seconds else 0
    if more > 59:
        raise NotUnderstood(f"{typed[:40]!r} is not understood as a time: type {_ACCEPTED}")
    moment = parse_when(seconds[1] if seconds else typed, now, zone, asked="time", accepted=_ACCEPTED)
    if moment.year < limits().earliest_year:
        raise NotUnderstood(f"{typed[:40]} is too long ago to be written down here")
    # The last year there is has no later moment in another zone.
    if moment.year > now.year + 1 or (moment := moment.astimezone(UTC) + timedelta(seconds=more)) > now + _SLACK:
        raise NotUnderstood(f"{typed[:40]} lies ahead: say when it was read, such as 18:05 or 20 min ago")
    return moment


def _measured(text: str, moment: Callable[[str], datetime], degree: TemperatureUnit | None) -> tuple[Measured, ...]:
    lines = [line for line in re.split(r"[\n;]", text) if line.strip()]
    return tuple(sorted((_line(line, moment, degree) for line in lines), key=lambda m: m.at))


def _line(line: str, moment: Callable[[str], datetime], degree: TemperatureUnit | None) -> Measured:
    typed = " ".join(line.split())
    found = _LINE.fullmatch(typed)
    if found is None:
        raise NotUnderstood(f"{typed[:40]!r} is not understood as a reading: {_READ_SO}")
    when = (found["when"] or "").rstrip(",:-")
    if not when and _CLOCK_LIKE.fullmatch(typed):
        raise NotUnderstood(f"{typed!r} may be a time or a temperature: {_READ_SO}")
    return Measured(moment(when), parse_degrees("measured", found["value"], degree))


def _began(text: str, moment: Callable[[str], datetime], now: datetime, zone: ZoneInfo) -> datetime:
    """A moment, or a day alone, which counts from its first minute."""
    typed = text.strip().lower()
    if typed in ("today", "yesterday") or _DATED.fullmatch(typed):
        day = _day(typed, now.astimezone(zone).date())
        return moment(f"{day.isoformat()} 00:00")
    return moment(text)


def _meant_today(text: str, began: datetime, ended: datetime, now: datetime, zone: ZoneInfo) -> bool:
    """Whether a clock alone, read as yesterday's since today's lies ahead, would end a step before it began."""
    if ended >= began or not _CLOCK_ALONE.fullmatch(text.strip()):
        return False
    return ended.astimezone(zone).date() < now.astimezone(zone).date()


def _day(text: str, today: date) -> date:
    typed = text.strip().lower()
    if typed in ("today", "yesterday"):
        return today if typed == "today" else today - timedelta(days=1)
    try:
        if not _DATED.fullmatch(typed):
            raise ValueError
        day = date.fromisoformat(typed)
    except ValueError:
        raise NotUnderstood(
            f"{text.strip()[:40]!r} is not understood as a day: type year-month-day, such as 2027-01-03, or today"
        ) from None
    if not limits().earliest_year <= day.year <= today.year + 1:
        raise NotUnderstood(f"{day} is too far away: type a day of these years")
    return day


def _food(reader: Reader, step: Step | None, cook: Cook | None, kitchen: Kitchen) -> tuple[str, Subject | None]:
    """What it is, in words and as the rules need it: as typed, else as the cook's plan knows it."""
    asked: Question = reader.question
    if not asked.food and cook is not None:
        request = request_of(cook, kitchen)
        if request is not None:
            return request.food.name, request.subject
    if not asked.food and step not in _FOOD_NEEDED:
        return "", None
    food = reader.food()
    handling = reader.choice("handling", Handling)
    risk, frozen, garlic = (reader.flag(*f) for f in (("guests", "risk"), ("fish", "frozen"), ("bag", "garlic")))
    unseared = reader.flag("sear", "no")
    if food is None or reader.sentences:
        return "", None
    seared = not unseared and pace_of(food.texture).finish == "sear"
    worms = "parasites" in food.hazards
    treated = handling or food.default_handling
    return food.name, Subject(
        food.kind, treated, food.composition.fat, risk, seared, frozen or not worms, garlic, worms
    )


def _check_needed(reader: Reader, step: Step | None, point: Point | None) -> None:
    asked = reader.question
    assert isinstance(asked, RecordQuestion)
    needed = {
        "batch": "say which thermometer it is" if step is Step.PROBE else "say what it is about: the batch or the bag",
        "by": "say who writes it, by initials",
    }
    for field, sentence in needed.items():
        if not getattr(asked, field):
            reader.sentences[field] = sentence
    if step in _READ_NEEDED and not asked.measured:
        reader.sentences["measured"] = f"say what was read: {_READ_SO}"
    if step is Step.PROBE and point is None and "where" not in reader.sentences:
        reader.sentences["where"] = "say where it was held, ice or boiling water: ice, boiling"
    for field, what in (("corrects", "a row"), ("cook", "a cook")):
        reader.tried(field, partial(number_of, getattr(asked, field), what))
