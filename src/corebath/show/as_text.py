"""A whole plan as plain text, for the terminal and for messages."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import datetime
from itertools import chain

from corebath.food.files import sources
from corebath.plan.basis import basis
from corebath.plan.plan import Plan
from corebath.plan.request import Request, State
from corebath.plan.run_sheet import Task
from corebath.safety.authority import profile
from corebath.safety.cautions import Caution, cautions_for
from corebath.safety.finding import Finding
from corebath.units import (
    Preference,
    render,
    show_duration,
    show_mass,
    show_temperature,
)

from .plain import BINDING, REPORTED, finding_line, sections
from .scale import day_label
from .sentences import answer
from .words import body_words, capital, equipment_words, food_words

KEEPING = "If you keep it (chilling)"
_COOLING = "cooling"


def as_text(plan: Plan, preference: Preference) -> str:
    """The plan in plain lines under headings; long lines are left for the reader's window to break."""
    found = grouped_findings(plan)
    parts: list[tuple[str, Iterable[str]]] = [
        ("The question", _question(plan, preference)),
        ("The answer", [answer(plan, preference)]),
        ("What fails", (f"{capital(f.part)}: {render(f.why, preference)}" for f in plan.failures)),
        ("What would work", (_offer(plan, i, preference) for i in range(len(plan.alternatives)))),
        (BINDING, (finding_line(f, preference) for f in found[BINDING])),
        (REPORTED, (finding_line(f, preference) for f in found[REPORTED])),
        (KEEPING, chain((finding_line(f, preference) for f in found[KEEPING]), _cautions(plan, preference, "keep"))),
        ("Water and vessel", _water(plan, preference)),
        ("What the food will be like", _outcome(plan, preference)),
        (
            "Run sheet" if plan.works else "Run sheet of the plan as asked, which does not work: do not follow it",
            (_task(t, preference) for t in plan.run_sheet),
        ),
        ("Keep in mind", _mind(plan, preference)),
        ("If something goes wrong", _cautions(plan, preference, "fault")),
        ("What the numbers rest on", _basis(plan, preference)),
    ]
    return sections(parts)


def grouped_findings(plan: Plan) -> dict[str, tuple[Finding, ...]]:
    """Every finding under its heading: those of cooling together, the others by whether they bind."""
    cooling = tuple(f for f in plan.findings if _COOLING in f.rule)
    others = [f for f in plan.findings if _COOLING not in f.rule]
    return {
        BINDING: tuple(f for f in others if f.binding),
        REPORTED: tuple(f for f in others if not f.binding),
        KEEPING: cooling,
    }


def _question(plan: Plan, preference: Preference) -> Iterator[str]:
    r = plan.request
    mass = "" if r.piece_mass_kg is None else f", {show_mass(r.piece_mass_kg, preference)} each"
    yield f"What: {food_words(r)}, {body_words(r, preference)}{mass}; {r.treated_as}."
    measured = "" if r.start_C is None else ", as measured"
    start = show_temperature(r.from_C, preference)
    if r.starts_warm and r.state is State.FRIDGE:
        yield f"From: {start}, as measured; out of the cold for a time that is not known."
    else:
        yield f"From: the {_FROM[r.state]} at {start}{measured}."
    wanted = []
    if r.result is not None:
        low, high = (show_temperature(c, preference) for c in (r.result.low_C, r.result.high_C))
        wanted.append(f"{r.result.words}, {low} to {high}")
    if r.set_point_C is not None:
        wanted.append(f"bath at {show_temperature(r.set_point_C, preference)}")
    if r.bath_s is not None:
        wanted.append(f"{show_duration(r.bath_s)} in the bath")
    yield f"How: {', '.join(wanted)}; {'seared afterwards' if r.subject.seared else 'not seared afterwards'}."
    if r.ice is not None:
        wait, ice = show_duration(r.ice.wait_s), show_mass(r.ice.ice_kg, preference)
        yield f"Before: it waits {wait} in water with {ice} of ice until the heater starts."
    if r.garlic_or_oil:
        yield "In the bag: raw garlic, raw herbs or oil."
    if r.parasites_frozen:
        yield "Fish: frozen beforehand against worms, or of a sort the rule exempts."
    yield f"When: at the table at {r.table_time.astimezone(r.zone):%H:%M} on {_day(r.table_time.astimezone(r.zone))}."
    yield f"Who: {'a guest at higher risk is at the table' if r.guests_at_risk else 'no guest at higher risk'}."
    about = profile(r.authority)
    yield f"Rules of: {about.name}."


_FROM = {State.FRIDGE: "fridge", State.FROZEN: "freezer", State.ROOM: "kitchen counter"}


def _day(moment: datetime) -> str:
    return f"{moment:%A} {moment.day} {moment:%B %Y}"


def _offer(plan: Plan, i: int, preference: Preference) -> str:
    other = plan.alternatives[i]
    return f"{render(other.change, preference)} Drop in by {other.drop_in:%H:%M} on {_day(other.drop_in)}."


def _water(plan: Plan, preference: Preference) -> Iterator[str]:
    water, equipment = plan.water, plan.request.equipment
    if water is None or equipment is None:
        return
    yield capital(equipment_words(equipment, preference)) + "."
    yield from (render(line, preference, both=False) for line in (*water.statements, *water.details))
    yield from (finding_line(f, preference) for f in water.findings)


def _outcome(plan: Plan, preference: Preference) -> Iterator[str]:
    for estimate in plan.outcome:
        known = "" if estimate.known or "not known" in estimate.words else "Not known. "
        said = render(f"{known}{estimate.words} {estimate.basis}", preference)
        yield f"{capital(estimate.name)}: {said} [{estimate.source}]"


def _task(task: Task, preference: Preference) -> str:
    gap = show_duration(60.0 * round(abs(task.since_drop_in_s) / 60.0))
    when = f"{gap} before" if task.since_drop_in_s < 0 else f"{gap} after" if task.since_drop_in_s > 0 else "drop-in"
    return f"{day_label(task.at)} {task.at:%H:%M} ({when}): {render(task.what, preference)}"


def _mind(plan: Plan, preference: Preference) -> Iterator[str]:
    yield from (render(note, preference) for note in plan.notes)
    yield from _cautions(plan, preference, "always", "cook")


def _cautions(plan: Plan, preference: Preference, *where: str) -> Iterator[str]:
    yield from (render(c.text, preference) for c in cautions_of(plan) if set(where) & set(c.where))


def cautions_of(plan: Plan) -> tuple[Caution, ...]:
    """The general cautions that apply to a plan; one of the two on the thermometer, by whether its offset is given."""
    return cautions_asked(plan.request)


def cautions_asked(request: Request) -> tuple[Caution, ...]:
    """The same of a question."""
    other = "probe" if request.probe_offset_K else "probe-entered"
    return tuple(caution for caution in cautions_for(request.subject, request.authority) if caution.key != other)


def _basis(plan: Plan, preference: Preference) -> Iterator[str]:
    r = plan.request
    yield from (render(line, preference) for line in basis(plan))
    if r.state is State.FROZEN:
        yield f"Freezing: {r.food.freezing_note} [{sources()[r.food.freezing_source]}]"
    about = profile(r.authority)
    yield f"Rules of {about.name}: {about.bodies}. {about.note}"
