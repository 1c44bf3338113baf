"""A plan in a few sentences: for a message to those who eat, and in short for a code on paper."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import datetime
from math import ceil, floor, inf

from corebath.language import spoken
from corebath.plan.ends import Ends
from corebath.plan.plan import Plan
from corebath.plan.request import Request, State
from corebath.safety.authority import profile
from corebath.safety.finding import Finding, Verdict
from corebath.units import Preference, render, show_duration, show_temperature

from .handed import only_working
from .qr import MOST_BYTES, plain_letters
from .scale import day_label
from .words import body_words, capital, day_and_time, food_words

_FROM = {State.FRIDGE: "from the fridge", State.FROZEN: "frozen", State.ROOM: "from the counter"}


def _from(request: Request, preference: Preference) -> str:
    if request.starts_warm and request.state is State.FRIDGE:
        return f"from {show_temperature(request.from_C, preference)}"
    return _FROM[request.state]


def message(plan: Plan, ends: Ends, preference: Preference, made: datetime) -> str:
    """The plan as sentences, with the rules it meets, those it does not, their sources and the day.

    made : when it is written, with a zone.  Raises NotHandedOn for a plan that does not work.
    """
    only_working(plan)
    return "\n\n".join((" ".join(_cook(plan, preference)), " ".join(_rules(plan, ends, preference, made)))) + "\n"


def _cook(plan: Plan, preference: Preference) -> Iterator[str]:
    request, zone = plan.request, plan.request.zone
    result = "" if plan.result is None else f", {plan.result.words}"
    drop_in, pull, serve = (m.astimezone(zone) for m in (plan.drop_in, plan.pull, plan.serve))
    yield f"{capital(food_words(request))}{result}, at the table at {day_and_time(serve)} ({zone.key})."
    out = f"{pull:%H:%M}" if pull.date() == drop_in.date() else day_and_time(pull)
    yield (
        f"In the bath at {show_temperature(plan.set_point_C, preference)} from {day_and_time(drop_in)}, "
        f"out {_minutes(plan.bath_s)} later, at {out}."
    )
    low, high = plan.window.ready_s, plan.window.latest_s
    if low <= plan.bath_s <= high < inf:
        early, late = show_duration(60.0 * ceil(low / 60)), show_duration(60.0 * floor(high / 60))
        yield f"Not out before {early}, nor later than {late}, counted from the moment it goes in."


def _rules(plan: Plan, ends: Ends, preference: Preference, made: datetime) -> Iterator[str]:
    binding = [f for f in plan.findings if f.binding]
    about = profile(plan.request.authority)
    met = [f for f in binding if f.verdict is Verdict.MET and "cooling" not in f.rule]
    if met:
        yield f"Met, by the rules of {about.name}: {_named(met, preference)}."
    told = [f for f in plan.findings if not f.binding and f.verdict is not Verdict.MET and "cooling" not in f.rule]
    if told:
        titles = "; ".join(f"{spoken(render(f.title, preference))} ({f.verdict})" for f in told)
        yield f"Reported, and not binding for this piece and these guests: {titles}."
    yield render(ends.kept.statements[0], preference)
    assumed = dict.fromkeys(a for f in met for a in f.assumptions)
    if assumed:
        yield f"Assumed: {render(' '.join(assumed), preference)}"
    day = made.astimezone(plan.request.zone)
    yield f"Computed on {day.day} {day:%B %Y} from the piece's size; the local food code comes first."


def _named(findings: Iterable[Finding], preference: Preference) -> str:
    return "; ".join(f"“{spoken(render(f.title, preference))}” [{f.source}]" for f in findings)


def short_form(plan: Plan, preference: Preference, made: datetime) -> str:
    """The plan in at most 600 plain letters, to be read off a code without any program.

    What finds no room at the end is left out, and the text says so. Raises NotHandedOn for a plan that does not work.
    """
    only_working(plan)
    request, zone = plan.request, plan.request.zone
    drop_in, pull, serve = (m.astimezone(zone) for m in (plan.drop_in, plan.pull, plan.serve))
    low, high = plan.window.ready_s, plan.window.latest_s
    limits = ""
    if low <= plan.bath_s <= high < inf:
        early, late = show_duration(60.0 * ceil(low / 60)), show_duration(60.0 * floor(high / 60))
        limits = f"; not before +{early}, not after +{late}"
    lines = [
        f"{food_words(request)}, {body_words(request, preference)}, {_from(request, preference)}",
        f"Bath {show_temperature(plan.set_point_C, preference)}",
        f"In {day_label(drop_in)} {drop_in:%H:%M} ({zone.key})",
        f"Out {day_label(pull)} {pull:%H:%M} (+{_minutes(plan.bath_s)}){limits}",
        f"Eat {day_label(serve)} {serve:%H:%M}",
        f"Made {made.astimezone(zone):%Y-%m-%d}. Local food code first. Rules of {request.authority.value}:",
    ]
    rules = [f"{f.verdict}: {f.title}" for f in plan.findings if f.binding and "cooling" not in f.rule]
    text = plain_letters("\n".join(lines))
    for i, rule in enumerate(rules):
        line = plain_letters(f"\n{capital(render(rule, preference, both=False))}")
        more = f"\nand {len(rules) - i} more rules" if i < len(rules) else ""
        room = MOST_BYTES if i == len(rules) - 1 else MOST_BYTES - 24
        if len(text) + len(line) > room:
            return text[: MOST_BYTES - len(more)] + more
        text += line
    return text[:MOST_BYTES]


def _minutes(seconds: float) -> str:
    return show_duration(60.0 * round(seconds / 60.0))
