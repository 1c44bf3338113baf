"""What several forms of a batch share: its question in lines, its run sheet by day, like bags and rules together."""

from __future__ import annotations

from collections.abc import Hashable, Iterator
from datetime import date, datetime
from itertools import groupby

from corebath.plan.batch.answer import BatchPlan, Stored, Way
from corebath.plan.batch.bags import Bag
from corebath.plan.batch.say import bag_list
from corebath.plan.menu.answer import MenuTask
from corebath.safety.finding import Finding, Verdict
from corebath.units import Preference, render, show_duration, show_length, show_mass, show_temperature

from .scale import day_label
from .words import capital, equipment_words

_FIRST = {Verdict.NOT_MET: 0, Verdict.NOT_KNOWN: 1, Verdict.MET: 2}
_WAYS = {Way.TABLE: "to the table", Way.FRIDGE: "fridge", Way.FREEZER: "freezer"}
Judged = tuple[Finding, tuple[int, ...]]


def batch_question(plan: BatchPlan, preference: Preference) -> Iterator[str]:
    """What was asked, a line for each food."""
    batch = plan.batch
    for lot in batch.lots:
        sizes = ", ".join(
            f"{p.count} of {show_length(p.thickness_m, preference, both=False)}"
            + (" lying on each other" if p.overlapping else "")
            for p in lot.pieces
        )
        masses = [p.mass_kg * p.count for p in lot.pieces if p.mass_kg is not None]
        mass = f", {show_mass(sum(masses), preference)} in all" if len(masses) == len(lot.pieces) else ""
        request = lot.request
        wish = (
            request.result.words
            if request.result is not None
            else show_temperature(request.set_point_C or 0.0, preference)
        )
        fixed = "" if request.bath_s is None else f", {show_duration(request.bath_s)} in the bath"
        days = ", ".join(f"{portions.count} on {on_day(portions.day)}" for portions in lot.eaten) or "no day named"
        risk = "; a guest at higher risk eats of it" if request.guests_at_risk else ""
        yield f"{capital(lot.name)} ({request.food.name}): {sizes}{mass}; {wish}{fixed}; eaten: {days}{risk}."
    measured = None if batch.fridge_C is None else show_temperature(batch.fridge_C, preference)
    yield f"Fridge: {'not measured' if measured is None else f'{measured}, as measured'}."
    if batch.equipment is not None:
        yield f"{capital(equipment_words(batch.equipment, preference))}."


def bag_words(stored: Stored, preference: Preference) -> str:
    """One bag in a line: what, how thick, out when, where it goes and until when."""
    bag, cooked = stored.bag, stored.cooked
    mass = "" if bag.mass_kg is None else f", {show_mass(bag.mass_kg, preference)}"
    way = _WAYS[stored.way]
    if not stored.may_wait:
        way = "not to be kept"
    elif stored.way is Way.FRIDGE and stored.use_by is not None:
        way = f"{way}, use by {on_day(stored.use_by)}"
    day = "" if bag.eat_on is None else f"; eaten {on_day(bag.eat_on)}"
    return (
        f"Bag {bag.number}: {held_words(bag)}, {thickness_words(bag, preference)}{mass}; "
        f"{in_and_out(cooked.enters, cooked.pulled)}; {way}{day}."
    )


def in_and_out(enters: datetime, pulled: datetime) -> str:
    """When a bag goes in and comes out, with the days where they are not the same."""
    if enters.date() == pulled.date():
        return f"in at {enters:%H:%M}, out at {pulled:%H:%M}"
    return f"in at {enters:%H:%M} on {on_day(enters)}, out at {pulled:%H:%M} on {on_day(pulled)}"


def held_words(bag: Bag) -> str:
    """What a bag holds: "2 × chicken breast"."""
    return bag.lot.name if bag.count == 1 else f"{bag.count} × {bag.lot.name}"


def thickness_words(bag: Bag, preference: Preference) -> str:
    """How thick its pieces are: "38 mm", "28 to 30 mm", "2 × 28 mm lying on each other"."""
    thick, thin = (show_length(m, preference, both=False) for m in (bag.thicknesses_m[0], bag.thicknesses_m[-1]))
    if bag.layers > 1:
        return f"{bag.layers} × {thick} lying on each other"
    return thick if thick == thin else f"{thin} to {thick}"


def way_words(stored: Stored) -> str:
    """Where a bag goes from the bath."""
    return _WAYS[stored.way]


def on_day(day: date | datetime) -> str:
    """A day in few letters: "Mon 8 Mar"."""
    return day_label(datetime(day.year, day.month, day.day))


def after_bath(plan: BatchPlan) -> tuple[tuple[str, str], ...]:
    """What becomes of the bags: each sentence once, with the bags it is said of."""
    found: dict[str, list[int]] = {}
    for stored in plan.bags:
        for sentence in stored.statements:
            found.setdefault(sentence, []).append(stored.bag.number)
    return tuple((bag_list(numbers), sentence) for sentence, numbers in found.items())


def by_day(plan: BatchPlan) -> Iterator[tuple[date, tuple[MenuTask, ...]]]:
    """The run sheet day by day, by the cook's clock."""
    zone = plan.batch.zone
    for day, tasks in groupby(plan.run_sheet, key=lambda task: task.at.astimezone(zone).date()):
        yield day, tuple(tasks)


def judged_bags(plan: BatchPlan) -> tuple[Judged, ...]:
    """Every rule once for the bags of which it says the same; what binds and is not met stands first.

    The rules of the water are those of each bath's governing bag, those of the ice stand without a bag.
    """
    found: dict[Hashable, tuple[Finding, list[int]]] = {}

    def add(finding: Finding, numbers: list[int]) -> None:
        key = (finding.rule, finding.verdict, finding.why, finding.binding)
        found.setdefault(key, (finding, []))[1].extend(numbers)

    for stored in plan.bags:
        for finding in stored.findings:
            add(finding, [stored.bag.number])
    for run in plan.runs:
        governing = next(c for c in run.bags if c.bag.number == run.governing)
        for finding in governing.plan.water.findings if governing.plan.water is not None else ():
            add(finding, [c.bag.number for c in run.bags])
    for finding in plan.ice_findings:
        add(finding, [])
    told = [(finding, tuple(sorted(set(numbers)))) for finding, numbers in found.values()]
    return tuple(sorted(told, key=lambda t: (_FIRST[t[0].verdict], not t[0].binding)))


def batch_broken(plan: BatchPlan) -> bool:
    """True when a binding rule of the food or the water is not met, or not known to be."""
    return any(finding.binding and finding.verdict is not Verdict.MET for finding, _ in judged_bags(plan))


def answer_words(plan: BatchPlan, preference: Preference) -> str:
    """The batch in one sentence."""
    *names, last = (lot.name for lot in plan.batch.lots)
    foods = f"{', '.join(names)} and {last}" if names else last
    pieces = sum(lot.count for lot in plan.batch.lots)
    bags = "1 bag" if len(plan.bags) == 1 else f"{len(plan.bags)} bags"
    baths = " and ".join(show_temperature(run.set_point_C, preference) for run in plan.runs)
    begin, end = plan.starts.astimezone(plan.batch.zone), plan.ends.astimezone(plan.batch.zone)
    over = f"{end:%H:%M}" if end.date() == begin.date() else f"{end:%H:%M} on {on_day(end)}"
    sentence = (
        f"{capital(foods)}: {pieces} portions in {bags}, at {baths}; begin at {begin:%H:%M} on {on_day(begin)}, all is "
        f"done by {over}"
    )
    if plan.failures:
        return f"{sentence}; but not all of it can be had as asked: {render(plan.failures[0].why, preference)}"
    return f"{sentence}."
