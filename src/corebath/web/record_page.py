"""The pages of the kitchen's records: the rows by day, and the form of one row."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta
from urllib.parse import urlencode

from fastapi.responses import HTMLResponse

from corebath.ask.records import STEPS, RecordQuestion, number_of, span_of, understand_days
from corebath.ask.records_offer import answers_of, offered, request_of
from corebath.ask.understand import Misunderstood
from corebath.food.kinds import Handling
from corebath.log.cook import Cook
from corebath.log.errors import Missing
from corebath.log.gear import Kitchen
from corebath.log.record import Record, Step
from corebath.log.record_judge import still_open
from corebath.log.settings import settings
from corebath.safety.authority import Authority
from corebath.show.records_csv import records_csv
from corebath.show.records_lines import Line, by_day, line_of, whose_limits
from corebath.units import render

from .site import Site

_FOOD = (Step.COOK, Step.CHILL, Step.KEEP, Step.REHEAT)
# What the two moments of a step are called in its form; "" where it has none.
_MOMENTS = {
    Step.BAG: ("Out of the cold at", "Sealed at"),
    Step.COOK: ("Dropped in at", "Pulled at"),
    Step.CHILL: ("Out of the bath at", ""),
    Step.KEEP: ("Cooked on", ""),
    Step.REHEAT: ("Out of the cold at", "Served at"),
    Step.PROBE: ("", ""),
}
_READ = {
    Step.BAG: "The food, as it is bagged",
    Step.COOK: "The core, while it cooks and when it is pulled",
    Step.CHILL: "The core, as it cools",
    Step.KEEP: "The food or the fridge, between the bags",
    Step.REHEAT: "The core, as it warms",
    Step.PROBE: "What it read",
}
_SAMPLE = {
    Step.BAG: "18:05 3.8 C",
    Step.COOK: "18:05 61.8 C",
    Step.CHILL: "19:40 20.5 C",
    Step.KEEP: "09:00 3.6 C",
    Step.REHEAT: "12:10 75 C",
    Step.PROBE: "0.2 C",
}


@dataclass(frozen=True, slots=True)
class Wanted:
    """Which rows are asked for, as typed. asking : "1" for those that ask for a corrective action only"""

    first: str = ""
    last: str = ""
    cook: str = ""
    asking: str = ""

    def query(self, **changed: str) -> str:
        """The address's query."""
        typed = {"from": self.first, "to": self.last, "cook": self.cook, "asking": self.asking} | changed
        return urlencode({name: text for name, text in typed.items() if text})


@dataclass(frozen=True, slots=True)
class Shown:
    """The rows asked for. wrong : a sentence for each answer that was not clear;  cook : the one they are about"""

    days: tuple[date, date]
    lines: list[Line]
    cook: Cook | None = None
    wrong: dict[str, str] = field(default_factory=dict)


def shown(site: Site, wanted: Wanted) -> Shown:
    """The rows asked for, in order; an answer that is not clear counts as not given, and is told."""
    kitchen, now = site.kitchen(), site.clock()
    wrong: dict[str, str] = {}
    cook = None
    try:
        number = number_of(wanted.cook, "a cook")
        cook = None if number is None else site.store.cook(number)
    except (ValueError, Missing) as error:
        wrong["cook"] = f"{str(error)[:1].upper()}{str(error)[1:].rstrip('.')}."
    whole = cook is not None or bool(wanted.asking)
    try:
        days = understand_days(wanted.first, wanted.last, now, kitchen.zone, whole=whole)
    except Misunderstood as error:
        wrong |= error.sentences
        days = understand_days("", "", now, kitchen.zone)
    since, until = span_of(days, kitchen.zone)
    if wanted.asking and not wanted.first:
        since = max(since, now - timedelta(days=settings("records")["open"]["days"]))
    found = site.store.records(since, until, cook_id=None if cook is None else cook.id, unanswered=bool(wanted.asking))
    lines = [line_of(entry, kitchen.preference, kitchen.zone) for entry in found]
    if wanted.asking:
        lines = [line for line in lines if line.asks]
    return Shown(days, lines, cook, wrong)


def list_page(
    site: Site, wanted: Wanted, status: int = 200, typed: Mapping[str, str] | None = None,
    mistakes: Mapping[str, str] | None = None,
) -> HTMLResponse:  # fmt: skip
    """The rows by day. typed, mistakes : of the form of a corrective action that was not clear, `row` names its row"""
    kitchen = site.kitchen()
    found = shown(site, wanted)
    return site.html(
        "records.html", kitchen.preference, 422 if found.wrong else status, found=found, wanted=wanted,
        days=by_day(found.lines), steps=STEPS, typed=typed or {}, mistakes=mistakes or {}, kitchen=kitchen,
        limits=whose_limits([line.entry.record.authority for line in found.lines] or [kitchen.authority]),
        elsewhere=_asking_elsewhere(site, kitchen, found),
    )  # fmt: skip


def add_page(site: Site, answers: Mapping[str, str], wrong: Mapping[str, str] | None = None) -> HTMLResponse:
    """The form of a row. answers : as typed or offered;  wrong : a sentence for each that is not clear"""
    kitchen = site.kitchen()
    step = next((s for s in STEPS if s.value == answers.get("step")), None)
    cook = _cook(site, answers.get("cook", ""))
    known = None if cook is None else request_of(cook, kitchen)
    return site.html(
        "records_add.html", kitchen.preference, 422 if wrong else 200, a=dict(answers), step=step, steps=STEPS,
        cook=cook, wrong={k: render(s, kitchen.preference) for k, s in (wrong or {}).items()}, kitchen=kitchen,
        moments=_MOMENTS[step or Step.BAG], read=_READ[step or Step.BAG], sample=_SAMPLE[step or Step.BAG],
        asks_food=step in _FOOD and (known is None or bool(answers.get("corrects"))), handlings=tuple(Handling),
        authorities=tuple(Authority),
    )  # fmt: skip


def offer(site: Site, step: str, cook: str, corrects: str) -> dict[str, str]:
    """Answers to begin a form with: those of a row to be corrected, or what the log knows of a cook.

    Raises Missing for a row or a cook that is not there, and ValueError for a number that is none.
    """
    kitchen = site.kitchen()
    number = number_of(corrects, "a row")
    if number is not None:
        return answers_of(site.store.record(number).record, kitchen)
    known = {"step": step, "rules": kitchen.authority.value}
    which = number_of(cook, "a cook")
    about = next((s for s in STEPS if s.value == step), None)
    if which is None:
        return known
    found = site.store.cook(which)
    return known | ({"cook": str(which)} if about is None else offered(about, found, site.store, kitchen))


def asked_of(site: Site, answers: Mapping[str, str]) -> tuple[RecordQuestion, Cook | None, Record | None]:
    """The question of a form, the cook it is about, and the row it corrects. Raises as `offer`."""
    question = RecordQuestion.of(answers)
    target = number_of(question.corrects, "a row")
    return question, _cook(site, question.cook), None if target is None else site.store.record(target).record


def table_of(site: Site, wanted: Wanted) -> tuple[str, str] | None:
    """The rows as a table, and the name of its file; None when it is not clear which rows."""
    found = shown(site, wanted)
    if found.wrong:
        return None
    first, last = found.days
    name = f"records-cook-{found.cook.id}.csv" if found.cook is not None else f"records-{first}-to-{last}.csv"
    return "\ufeff" + records_csv(found.lines, site.kitchen().zone), name


def _cook(site: Site, number: str) -> Cook | None:
    which = number_of(number, "a cook")
    return None if which is None else site.store.cook(which)


def _asking_elsewhere(site: Site, kitchen: Kitchen, found: Shown) -> int:
    """How many rows that are not shown still ask for a corrective action."""
    here = {line.number for line in found.lines}
    since = site.clock() - timedelta(days=settings("records")["open"]["days"])
    entries = site.store.records(since, unanswered=True)
    return sum(1 for entry in entries if entry.record.id not in here and still_open(entry, kitchen.zone))
