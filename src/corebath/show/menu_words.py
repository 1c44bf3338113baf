"""What every text about a menu shares: the answer in a sentence, what is open of the rules, the days of the sheet."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime
from itertools import groupby

from corebath.plan.clock import long_day
from corebath.plan.menu.answer import MenuPlan, MenuTask, Proof, Served
from corebath.safety.cautions import Caution
from corebath.safety.finding import Finding, Verdict
from corebath.units import Preference, render, show_temperature

from .as_text import cautions_of
from .scale import day_label
from .sentences import only_warmed
from .words import capital

_FIRST = {Verdict.NOT_MET: 0, Verdict.NOT_KNOWN: 1, Verdict.MET: 2}


@dataclass(frozen=True, slots=True)
class Use:
    """Foods in one bath at one set point. names : of the dishes, those that are warmed again told so"""

    bath: str
    start: datetime
    set_point_C: float
    names: tuple[str, ...]


def works(plan: MenuPlan) -> bool:
    """Whether the menu has an answer to follow."""
    return plan.proof in (Proof.BEST, Proof.GOOD)


def menu_answer(plan: MenuPlan, preference: Preference) -> str:
    """When each course is on the table, which bath stands at what in what order, what rules stand open, how sure it is.

    Short sentences, each of which can be said in another language by itself.
    """
    return _works(plan, preference) if works(plan) else _fails(plan, preference)


def bath_uses(plan: MenuPlan) -> tuple[Use, ...]:
    """What each bath does, bath by bath in time order; foods at one set point after another are one use."""
    stays: list[tuple[str, datetime, float, str]] = []
    for one in plan.served:
        stays.append((one.bath, one.plan.drop_in, one.plan.set_point_C, one.dish.name))
        again = one.ahead
        if again is not None and again.reheat_bath and again.reheat_in is not None and again.reheat_C is not None:
            stays.append((again.reheat_bath, again.reheat_in, again.reheat_C, f"{one.dish.name} again"))
    order = [bath.name for bath in plan.menu.baths]
    stays.sort(key=lambda stay: (order.index(stay[0]), stay[1].astimezone(UTC)))
    return tuple(
        Use(bath, told[0][1], set_point_C, tuple(dict.fromkeys(name for *_, name in told)))
        for (bath, set_point_C), told in (
            (key, list(group)) for key, group in groupby(stays, key=lambda stay: (stay[0], stay[2]))
        )
    )


def open_findings(served: Served) -> tuple[Finding, ...]:
    """Rules of a dish, its water and its keeping that are not met or not known; what binds stands first."""
    found = [f for f in every_finding(served) if f.verdict is not Verdict.MET]
    return tuple(sorted(found, key=lambda f: (not f.binding, _FIRST[f.verdict])))


def every_finding(served: Served) -> tuple[Finding, ...]:
    """All rules applied to a dish: in its bath, to its water, in the cold and when it is warmed again.

    Of a dish that is chilled, the cooling rules are read off its chill, not off a bath that does not cool it.
    """
    plan, ahead = served.plan, served.ahead
    found = [*plan.findings, *(plan.water.findings if plan.water is not None else ())]
    if ahead is None:
        return tuple(found)
    chilled = {finding.rule for finding in ahead.chill.findings}
    warmed = ahead.reheat.findings if ahead.reheat is not None else ()
    return (*(f for f in found if f.rule not in chilled), *ahead.chill.findings, *ahead.keep.findings, *warmed)


def binding_met(served: Served) -> int:
    """How many binding rules of a dish are met."""
    return sum(f.binding and f.verdict is Verdict.MET for f in every_finding(served))


def menu_cautions(plan: MenuPlan) -> tuple[tuple[Caution, tuple[str, ...]], ...]:
    """The general cautions of all dishes, each once with the dishes it is for; no dish where it is for all of them."""
    found: dict[str, tuple[Caution, list[str]]] = {}
    for one in plan.served:
        places = {"always", "cook"} | ({"keep"} if one.ahead is not None else set())
        for caution in cautions_of(one.plan):
            if places & set(caution.where):
                found.setdefault(caution.key, (caution, []))[1].append(one.dish.name)
    every = len(plan.served)
    return tuple((caution, () if len(names) == every else tuple(names)) for caution, names in found.values())


def by_day(plan: MenuPlan) -> Iterator[tuple[date, tuple[MenuTask, ...]]]:
    """The run sheet day by day, by the cook's clock."""
    zone = plan.menu.zone
    for day, tasks in groupby(plan.run_sheet, key=lambda task: task.at.astimezone(zone).date()):
        yield day, tuple(tasks)


def day_words(day: date) -> str:
    """A day in words: "Saturday 13 March 2027"."""
    return f"{day:%A} {day.day} {day:%B %Y}"


def since(task: MenuTask) -> str:
    """Elapsed time of a task since the first one, to the minute: "0", "+1 h 5 min", "+52 h"."""
    hours, minutes = divmod(round(task.since_start_s / 60), 60)
    return (
        "+" + " ".join(f"{n} {unit}" for n, unit in ((hours, "h"), (minutes, "min")) if n) if hours or minutes else "0"
    )


def clock(moment: datetime, plan: MenuPlan, before: datetime | None = None) -> str:
    """A moment by the cook's clock, with its day unless that was told with a moment before: "Sat 13 Mar 20:00"."""
    here = moment.astimezone(plan.menu.zone)
    told = before is not None and before.astimezone(plan.menu.zone).date() == here.date()
    return f"{here:%H:%M}" if told else f"{day_label(here)} {here:%H:%M}"


def menu_name(plan: MenuPlan) -> str:
    """What the menu is called: its dishes in a row."""
    return capital(listed([dish.name for dish in plan.menu.dishes]))


def bath_words(plan: MenuPlan, preference: Preference) -> Iterator[str]:
    """Each bath in a sentence: "Soup pot: first at 85 °C for carrots, then at 56 °C for steaks."."""
    for bath, group in groupby(bath_uses(plan), key=lambda use: use.bath):
        told = [(show_temperature(u.set_point_C, preference, both=False), listed(u.names)) for u in group]
        (at, foods), *rest = told
        said = [f"first at {at} for {foods}"] if rest else [f"at {at} for {foods}"]
        said += [f"then at {later} for {others}" for later, others in rest]
        yield f"{capital(bath)}: {', '.join(said)}."


def listed(words: tuple[str, ...] | list[str]) -> str:
    """Words in a row: "carrots, leeks and steaks"."""
    return " and ".join(part for part in (", ".join(words[:-1]), words[-1] if words else "") if part)


def _works(plan: MenuPlan, preference: Preference) -> str:
    tables = (_table(plan, i) for i in range(len(plan.menu.courses)))
    rules = (*broken_words(plan, preference), *warmed_words(plan))
    return " ".join((*tables, *bath_words(plan, preference), *rules, sure(plan)))


def warmed_words(plan: MenuPlan) -> Iterator[str]:
    """The dishes whose core is only warmed, in a sentence; nothing where there is none."""
    names = [served.dish.name for served in plan.served if only_warmed(served.plan)]
    if names:
        yield f"Only warmed at the core, not pasteurised, and not for guests at higher risk: {listed(names)}."


def menu_broken(plan: MenuPlan) -> bool:
    """True when a binding rule of a dish, its water or its keeping is not met, or not known to be."""
    return any(finding.binding for served in plan.served for finding in open_findings(served))


def broken_words(plan: MenuPlan, preference: Preference) -> Iterator[str]:
    """Each binding rule that is not met, or not known to be, in a sentence with the dishes it is for."""
    found: dict[tuple[str, Verdict], list[str]] = {}
    for served in plan.served:
        for finding in open_findings(served):
            if finding.binding:
                title = render(finding.title, preference, both=False)
                found.setdefault((title, finding.verdict), []).append(served.dish.name)
    for (title, verdict), names in found.items():
        foods = listed(list(dict.fromkeys(names)))
        if verdict is Verdict.NOT_MET:
            yield f"A binding rule is not met for {foods}: “{title}”."
        else:
            yield f"Whether a binding rule is met is not known for {foods}: “{title}”."


def sure(plan: MenuPlan) -> str:
    """How good the answer is known to be, a sentence."""
    if plan.proof is Proof.BEST and plan.coarse_s:
        return (
            f"No better order exists in steps of {plan.coarse_s / 60:.0f} min, by the menu's own scoring (proved); "
            "finer steps might gain a few minutes."
        )
    if plan.proof is Proof.BEST:
        return "No better order exists by the menu's own scoring (proved)."
    return f"A better order is not ruled out; it could gain {max(100 * plan.gap, 1):.0f} % at most."


def _table(plan: MenuPlan, i: int) -> str:
    """When a course is on the table, a sentence; its day where that is another than the course before."""
    course = plan.menu.courses[i]
    here = course.at.astimezone(plan.menu.zone)
    before = plan.menu.courses[i - 1].at.astimezone(plan.menu.zone) if i else None
    if before is not None and before.date() == here.date():
        return f"{capital(course.name)} on the table at {here:%H:%M}."
    return f"{capital(course.name)} on the table at {here:%H:%M} on {long_day(here)}."


def _fails(plan: MenuPlan, preference: Preference) -> str:
    said = ["This menu cannot be cooked as asked."]
    if plan.proof is Proof.UNKNOWN:
        said = ["Neither a way to cook this menu nor a proof that there is none was found."]
    wishes = [f"“{render(w.words, preference, both=False)}”" for w in plan.conflict]
    if len(wishes) > 1:
        said.append(f"These cannot be had together: {', '.join(wishes)}.")
    elif wishes:
        said.append(f"This cannot be had: {wishes[0]}.")
    if plan.ways_out:
        said.append(f"The smallest change found that works: {capital(render(plan.ways_out[0].change, preference))}")
    else:
        said.append("No menu near it was found that works.")
    return " ".join(said)
