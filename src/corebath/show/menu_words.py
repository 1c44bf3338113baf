"""What every text about a menu shares: the answer in a sentence, what is open of the rules, the days of the sheet."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime
from itertools import groupby

from corebath.plan.menu.answer import MenuPlan, MenuTask, Proof, Served
from corebath.safety.cautions import Caution
from corebath.safety.finding import Finding, Verdict
from corebath.units import Preference, render, show_temperature

from .as_text import cautions_of
from .scale import day_label
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
    """When each course is on the table, which bath stands at what in what order, how sure that is. One sentence."""
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
    """Each bath in a phrase: "soup pot first at 85 °C for carrots, then at 56 °C for steaks"."""
    for bath, group in groupby(bath_uses(plan), key=lambda use: use.bath):
        uses = list(group)
        said = [
            f"at {show_temperature(use.set_point_C, preference, both=False)} for {listed(use.names)}" for use in uses
        ]
        yield f"the {bath} {'first ' if len(said) > 1 else ''}{', then '.join(said)}"


def listed(words: tuple[str, ...] | list[str]) -> str:
    """Words in a row: "carrots, leeks and steaks"."""
    return " and ".join(part for part in (", ".join(words[:-1]), words[-1] if words else "") if part)


def _works(plan: MenuPlan, preference: Preference) -> str:
    tables = [_table(plan, i) for i in range(len(plan.menu.courses))]
    return f"{capital(listed(tables))}: {'; '.join(bath_words(plan, preference))}; {sure(plan)}."


def sure(plan: MenuPlan) -> str:
    """How good the answer is known to be, without a full stop."""
    if plan.proof is Proof.BEST:
        return "by the weights of the menu none is better, which is proved"
    return f"a better order is not ruled out, but could gain {max(100 * plan.gap, 1):.0f} % at most"


def _table(plan: MenuPlan, i: int) -> str:
    """When a course is on the table; its day where that is another than the course before."""
    course = plan.menu.courses[i]
    here = course.at.astimezone(plan.menu.zone)
    before = plan.menu.courses[i - 1].at.astimezone(plan.menu.zone) if i else None
    day = "" if before is not None and before.date() == here.date() else f" on {here:%A} {here.day} {here:%B}"
    return f"{course.name} on the table at {here:%H:%M}{day}"


def _fails(plan: MenuPlan, preference: Preference) -> str:
    if plan.proof is Proof.UNKNOWN:
        return "Neither a way to cook this menu nor a proof that there is none was found in the time there was."
    wishes = listed([f"“{render(w.words, preference, both=False)}”" for w in plan.conflict])
    why = (
        f", because {wishes} cannot be had together"
        if len(plan.conflict) > 1
        else f", because of {wishes}"
        if wishes
        else ""
    )
    offer = "no menu near it was found that works"
    if plan.ways_out:
        change = render(plan.ways_out[0].change, preference).rstrip(".").replace(". ", "; ")
        offer = f"the cheapest way out found is this: {change[0].lower()}{change[1:]}"
    return f"This menu cannot be cooked as asked{why}; {offer}."
