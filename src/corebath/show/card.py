"""The card: one printed page of a plan that another person can follow without this program."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import datetime
from math import ceil, floor, isfinite

from corebath.data_files import read_toml
from corebath.plan.ahead import days_ahead
from corebath.plan.basis import basis
from corebath.plan.batch.labels import day_words
from corebath.plan.clock import after, elapsed_s
from corebath.plan.ends import Ends
from corebath.plan.plan import Plan
from corebath.plan.request import State
from corebath.plan.run_sheet import Task
from corebath.safety.authority import profile
from corebath.safety.finding import Finding, Verdict
from corebath.units import Preference, render, show_duration, show_mass, show_temperature

from .as_text import cautions_of
from .handed import only_working
from .message import short_form
from .qr import Code, code_of
from .scale import day_label
from .sentences import answer
from .words import body_words, capital, day_and_time, food_words, signed_duration

LEAST_DETAIL, MOST_DETAIL = 0, 8
_FULL_SHEET = 3
_SOURCE = re.compile(r" \[[^\]]*\]")
_REPEATED = ("check", "top-up")
_MOST_REPEATS = 12


@dataclass(frozen=True, slots=True)
class Fact:
    """One figure with its name. rank : 1 stands on every card, 8 only where there is room"""

    name: str
    text: str
    rank: int = 1


@dataclass(frozen=True, slots=True)
class Step:
    """One line of the run sheet. clock, since : by the clock and from drop-in;  blank : room for the actual time"""

    day: str
    clock: str
    since: str
    what: str
    blank: bool


@dataclass(frozen=True, slots=True)
class Part:
    """A heading with its lines: the text of each and its rank as in `Fact`."""

    head: str
    lines: tuple[tuple[str, int], ...]


@dataclass(frozen=True, slots=True)
class Card:
    """Everything on the page, in the order it is read, in the cook's units.

    name : of the food or the cook;  when : table time and zone;  lead : the plan in one sentence
    facts : what it is and how it is wanted;  limits : set point, earliest, latest
    steps : the run sheet;  brief : the same with looks and top-ups gathered into one line each
    parts : rules, water, cautions, faults, keeping, basis;  code : QR code;  code_says : what it holds
    foot : when it was made, and that the local food code comes first
    """

    name: str
    when: str
    lead: str
    facts: tuple[Fact, ...]
    limits: tuple[Fact, ...]
    steps: tuple[Step, ...]
    brief: tuple[Step, ...]
    parts: tuple[Part, ...]
    code: Code
    code_says: str
    foot: str

    def at(self, detail: int) -> Card:
        """The card with lines of a rank up to `detail`, 0 to 8: the run sheet in brief below 3, no sources at 0."""
        rank = max(detail, 1)
        parts = [Part(p.head, tuple(line for line in p.lines if line[1] <= rank)) for p in self.parts]
        if detail == LEAST_DETAIL:
            parts = [Part(p.head, tuple((_SOURCE.sub("", text), n) for text, n in p.lines)) for p in parts]
        return replace(
            self,
            lead=self.lead if detail > LEAST_DETAIL else "",
            facts=tuple(f for f in self.facts if f.rank <= rank),
            limits=tuple(f for f in self.limits if f.rank <= rank),
            steps=self.brief if detail < _FULL_SHEET else self.steps,
            parts=tuple(p for p in parts if p.lines),
        )

    def left_out(self, detail: int) -> str:
        """What `at` leaves out, in a sentence or two; empty when nothing."""
        shown = self.at(detail)
        lines = sum(len(p.lines) for p in self.parts) - sum(len(p.lines) for p in shown.parts)
        lines += len(self.facts) + len(self.limits) - len(shown.facts) - len(shown.limits)
        said = []
        if lines:
            said.append(f"{'1 line was' if lines == 1 else f'{lines} lines were'} left out for room.")
        if len(shown.steps) < len(self.steps):
            said.append("The run sheet is shortened.")
        if detail == LEAST_DETAIL:
            said.append("Sources and the sentence that sums it up were left out.")
        return " ".join([*said, "More on the plan page."]) if said else ""


def card_of(plan: Plan, ends: Ends, preference: Preference, made: datetime, *, name: str = "", link: str = "") -> Card:
    """The card of a plan that works.

    made : when it is written, with a zone;  name : what the cook calls it, the food's name when empty
    link : an address at which others reach the plan, plain letters; without one the code holds the plan itself
    Raises NotHandedOn for a plan that does not work.
    """
    only_working(plan)
    request, zone = plan.request, plan.request.zone
    tasks = (*days_ahead(plan), *ends.run_sheet)
    day = made.astimezone(zone)
    return Card(
        name=capital(name or food_words(request)),
        when=f"At the table at {day_and_time(plan.serve)} {plan.serve.year}, times in {zone.key}",
        lead=answer(plan, preference),
        facts=tuple(_facts(plan, preference)),
        limits=tuple(_limits(plan, preference)),
        steps=tuple(_steps(tasks, preference)),
        brief=tuple(_steps(_gathered(tasks), preference)),
        parts=tuple(p for p in _parts(plan, ends, preference) if p.lines),
        code=code_of(link or short_form(plan, preference, made)),
        code_says="the plan's page" if link else "this plan in short, as plain text",
        foot=f"Made {day.day} {day:%B %Y}, {day:%H:%M}. Your local food code comes first.",
    )


def _facts(plan: Plan, preference: Preference) -> Iterator[Fact]:
    r = plan.request
    mass = "" if r.piece_mass_kg is None else f", {show_mass(r.piece_mass_kg, preference)} each"
    yield Fact("What", f"{food_words(r)}, {body_words(r, preference)}{mass}, {r.treated_as}")
    start = show_temperature(r.from_C, preference)
    from_fridge = r.state is State.FRIDGE
    yield Fact(
        "From", f"{start}, as measured" if r.starts_warm and from_fridge else f"the {_PLACES[r.state]} at {start}"
    )
    wanted = []
    if r.result is not None:
        low, high = (show_temperature(c, preference) for c in (r.result.low_C, r.result.high_C))
        wanted.append(f"{r.result.words}, {low} to {high}")
    if r.bath_s is not None:
        wanted.append(f"{show_duration(r.bath_s)} in the bath, as asked")
    if r.set_point_C is not None:
        wanted.insert(0, f"bath at {show_temperature(r.set_point_C, preference)}, as asked")
    yield Fact("Wanted", "; ".join(wanted))
    yield Fact("Guests", "one at higher risk" if r.guests_at_risk else "no guest at higher risk")
    if r.garlic_or_oil:
        yield Fact("In the bag", "raw garlic, raw herbs or oil")


_PLACES = {State.FRIDGE: "fridge", State.FROZEN: "freezer", State.ROOM: "counter"}


def _limits(plan: Plan, preference: Preference) -> Iterator[Fact]:
    window, zone = plan.window, plan.request.zone

    def at(seconds: float) -> str:
        moment = after(plan.drop_in, seconds, zone)
        day = "" if moment.date() == plan.drop_in.date() else f"{day_label(moment)} "
        return f"{day}{moment:%H:%M}"

    yield Fact("Bath", show_temperature(plan.set_point_C, preference))
    if plan.last_drop_in > plan.drop_in:
        yield Fact("Drop in, latest", at(elapsed_s(plan.drop_in, plan.last_drop_in)))
    if window.ready_s <= plan.bath_s:
        ready_s = 60.0 * ceil(window.ready_s / 60)
        yield Fact("Pull, earliest", f"{_minutes(ready_s)} after drop-in ({at(ready_s)})")
    elif isfinite(window.ready_s):
        yield Fact("Pull, earliest", f"{_minutes(plan.bath_s)}, as asked; usual is {_minutes(window.ready_s)}")
    else:
        yield Fact("Pull, earliest", f"{_minutes(plan.bath_s)}, as asked; when it is ready is not known")
    if not isfinite(window.latest_s):
        return
    latest_s = 60.0 * floor(window.latest_s / 60)
    if latest_s >= plan.bath_s:
        yield Fact("Pull, latest", f"{_minutes(latest_s)} after drop-in ({at(latest_s)})")
    else:
        yield Fact("Pull, latest", f"{_minutes(plan.bath_s)}, as asked; usual is up to {_minutes(latest_s)}")


def _steps(tasks: tuple[Task, ...], preference: Preference) -> Iterator[Step]:
    day = ""
    for task in tasks:
        today = day_label(task.at)
        what = render(task.what, preference)
        yield Step(
            day=today if today != day else "",
            clock=f"{task.at:%H:%M}",
            since=signed_duration(task.since_drop_in_s),
            what=what,
            blank=task.is_action,
        )
        day = today


def _gathered(tasks: tuple[Task, ...]) -> tuple[Task, ...]:
    """Looks and top-ups as one task each, which names the later ones; a few lines then stand for a long night."""
    kept: list[Task] = []
    for task in tasks:
        same = [t for t in tasks if t.key == task.key]
        if task.key not in _REPEATED or len(same) == 1:
            kept.append(task)
        elif task == same[0]:
            named = ", ".join(_when(t) for t in same[1:_MOST_REPEATS])
            more = f" and {len(same) - _MOST_REPEATS} times more" if len(same) > _MOST_REPEATS else ""
            kept.append(replace(task, what=f"{task.what} Again {named}{more}."))
    return tuple(t for t in kept if t.is_action)


def _when(task: Task) -> str:
    return f"{day_label(task.at)} {task.at:%H:%M} ({signed_duration(task.since_drop_in_s)})"


def _parts(plan: Plan, ends: Ends, preference: Preference) -> Iterator[Part]:
    def say(text: str) -> str:
        return render(text, preference)

    found = [f for f in plan.findings if "cooling" not in f.rule]
    about = profile(plan.request.authority)
    told = [f for f in found if not f.binding and f.verdict is not Verdict.MET]
    yield Part(
        f"What the rules say ({about.name})",
        (
            *(line for f in found if f.binding for line in _finding(f, preference)),
            (say(ends.kept.statements[0]), 1),
            *((f"Reported, not binding, {f.verdict}: {say(f.title)}.", 4) for f in told),
        ),
    )
    always = [c for c in cautions_of(plan) if {"always", "cook"} & set(c.where)]
    yield Part(
        "Keep in mind",
        (
            *((say(note), 2) for note in plan.notes),
            *((say(c.text), 1 if c.key in ("guests", "garlic-oil") else 6) for c in always),
        ),
    )
    if plan.water is not None:
        first, *others = plan.water.statements
        yield Part("The water", ((say(first), 2), *((say(s), 7) for s in others)))
    yield Part("If something goes wrong", tuple(_faults(plan, preference)))
    keeping = ends.kept.keeping
    at = show_temperature(keeping.fridge_C, preference)
    said = f"No rule held allows keeping it at {at}: eat it, or freeze it at once."
    if keeping.refused:
        said = say(keeping.refused)
    if keeping.rule is not None:
        by = day_words(keeping.use_by(plan.pull.date()))
        rule = say(keeping.rule.title)
        cold = show_temperature(keeping.hold_C, preference)
        said = f"Sealed, from the bath into ice water, then at {cold} or below: use by {by}. Rule: {rule}."
        if not keeping.measured:
            said = " ".join((said, f"The days are for a fridge at {at}, as it was not measured."))
    yield Part(
        "If some is kept",
        (
            (said, 1),
            *((say(s), 7) for s in ends.kept.statements[1:]),
        ),
    )
    yield Part(
        "What the numbers rest on",
        (
            (f"{about.bodies}. {about.note}", 5),
            *((say(line), 5 if line.startswith("Spread") else 8) for line in basis(plan)),
        ),
    )


def _finding(finding: Finding, preference: Preference) -> Iterator[tuple[str, int]]:
    yield render(f"{capital(finding.verdict)}: {finding.title} [{finding.source}].", preference), 1
    if finding.assumptions:
        yield render(f"Assumed there: {' '.join(finding.assumptions)}", preference), 4
    yield render(finding.why, preference), 6


def _faults(plan: Plan, preference: Preference) -> Iterator[tuple[str, int]]:
    settings = read_toml("corebath.show", "precautions.toml")
    long = elapsed_s(plan.drop_in, plan.pull) > settings["long"]["seconds"]
    for entry in settings["precaution"]:
        if plan.set_point_C >= entry["from_C"] if "from_C" in entry else long:
            yield render(entry["text"], preference), entry["rank"]
    if long and plan.water is not None:
        dark = plan.water.outage.statements
        yield from ((render(s, preference), 1) for s in dark if "ithout power" in s)
    for caution in cautions_of(plan):
        if "fault" in caution.where:
            yield render(caution.text, preference), 1 if caution.key == "doubt" else 3


def _minutes(seconds: float) -> str:
    return show_duration(60.0 * round(seconds / 60.0))
