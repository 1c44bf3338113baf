"""A menu as plain text, for the terminal and for messages."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from corebath.plan.menu.answer import MenuPlan, MenuTask
from corebath.safety.authority import profile
from corebath.units import Preference, render

from .menu_words import binding_met, by_day, clock, day_words, menu_answer, menu_cautions, open_findings, since, works
from .plain import finding_line, rendered, sections
from .words import body_words, capital, equipment_words, food_words


def menu_as_text(plan: MenuPlan, preference: Preference) -> str:
    """The menu in plain lines under headings; long lines are left for the reader's window to break."""
    parts: list[tuple[str, Iterable[str]]] = [
        ("The question", _question(plan, preference)),
        ("The answer", [menu_answer(plan, preference)]),
        ("What cannot be had together", (f"{capital(render(w.words, preference))}." for w in plan.conflict)),
        ("Ways out", (capital(render(way.change, preference)) for way in plan.ways_out)),
    ]
    if works(plan):
        parts += [
            ("What each dish gives up", _given_up(plan, preference)),
            ("Changes of the water", (_change(plan, i, preference) for i in range(len(plan.changes)))),
            *(
                (f"Run sheet, {day_words(day)}", (_task(t, plan, preference) for t in tasks))
                for day, tasks in by_day(plan)
            ),
            ("Rules that bind and are not met or not known", _open(plan, preference)),
            ("Reported, not binding: not met or not known", _reported(plan, preference)),
            ("Rules that are met", _met(plan)),
            ("Keep in mind", _cautions(plan, preference)),
        ]
    return sections([*parts, ("Notes", rendered(plan.notes, preference))])


def _question(plan: MenuPlan, preference: Preference) -> Iterator[str]:
    menu = plan.menu
    for course in menu.courses:
        yield f"{capital(course.name)}: at the table at {clock(course.at, plan)}."
    for dish in menu.dishes:
        r = dish.request
        what = f"{food_words(r)}, {body_words(r, preference)}"
        yield f"{capital(dish.name)} ({dish.course}): {what}; ahead: {dish.ahead.value}."
    for bath in menu.baths:
        yield f"{capital(bath.name)}: {equipment_words(bath.equipment, preference)}."
    sleep = "" if menu.asleep is None else f", asleep from {menu.asleep[0]:%H:%M} to {menu.asleep[1]:%H:%M}"
    yield f"Pans: {menu.pans}; pairs of hands: {menu.hands}{sleep}; time zone {menu.zone.key}."
    yield f"Rules of: {profile(menu.dishes[0].request.authority).name}."


def _given_up(plan: MenuPlan, preference: Preference) -> Iterator[str]:
    for served in plan.served:
        if served.gives_up:
            yield f"{capital(served.dish.name)}: {' '.join(rendered(served.gives_up, preference))}"
    free = [served.dish.name for served in plan.served if not served.gives_up]
    if free:
        yield f"{capital(', '.join(free))}: nothing."


def _change(plan: MenuPlan, i: int, preference: Preference) -> str:
    change = plan.changes[i]
    return f"{clock(change.start, plan)}, {change.bath}: {render(change.what, preference)}"


def _task(task: MenuTask, plan: MenuPlan, preference: Preference) -> str:
    about = "; ".join(part for part in (", ".join(task.dishes), task.where) if part)
    at = task.at.astimezone(plan.menu.zone)
    return f"{at:%H:%M} ({since(task)}){f' {about}' if about else ''}: {render(task.what, preference)}"


def _open(plan: MenuPlan, preference: Preference) -> Iterator[str]:
    for served in plan.served:
        for finding in open_findings(served):
            if finding.binding:
                yield f"{capital(served.dish.name)}: {finding_line(finding, preference)}"


def _reported(plan: MenuPlan, preference: Preference) -> Iterator[str]:
    """One line for each, without its reasons: they are the plan's."""
    for served in plan.served:
        for finding in open_findings(served):
            if not finding.binding:
                title = render(finding.title, preference, both=False)
                yield f"{capital(served.dish.name)}: {finding.verdict}: {title} [{finding.source}]"


def _met(plan: MenuPlan) -> Iterator[str]:
    for served in plan.served:
        count = binding_met(served)
        rules = "1 binding rule is" if count == 1 else f"{count} binding rules are"
        yield f"{capital(served.dish.name)}: {rules} met; the JSON names each with its source."


def _cautions(plan: MenuPlan, preference: Preference) -> Iterator[str]:
    for caution, names in menu_cautions(plan):
        about = f"For {', '.join(names)}: " if names else ""
        yield f"{about}{render(caution.text, preference)}"
