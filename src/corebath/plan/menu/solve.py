"""Planning a menu: lay it out, search it, plan every dish again as placed, and say what came of it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from corebath.plan.equipment import Equipment
from corebath.units import mark

from .answer import MenuPlan, Proof, Served, WayOut, Wish
from .changes import changes_of
from .check import check
from .conflict import conflict_of
from .figures import figures
from .gives_up import gives_up
from .laid_out import LaidOut, lay_out
from .lanes import lanes_of
from .menu import Menu
from .problem import Problem, Schedule
from .run_sheet import clock_note, merged_sheet, pours_of
from .search import Found, search
from .served import Made, filled, make
from .together import shortages
from .ways import two_steps_out, ways_out


@dataclass(frozen=True, slots=True)
class Attempt:
    """One menu tried. made, equipment : of every dish and bath, empty without an answer;  tightened : after cuts"""

    found: Found
    laid: LaidOut
    schedule: Schedule | None
    made: tuple[Made, ...]
    equipment: tuple[Equipment, ...]
    tightened: Problem


def plan_menu(menu: Menu, *, offer: bool = True) -> MenuPlan:
    """The plan for a menu.

    offer : when it cannot work, also look for the smallest conflict and for menus nearby that work (dear)

    Every dish of an answer is planned and judged by itself at the bath, set point and time given to it. Raises
    BadRequest, naming the answer, for a menu outside what is planned.
    """
    check(menu)
    done = attempt(menu)
    if done.found is not Found.ANSWER or done.schedule is None:
        return _nothing(done, offer=offer)
    laid, schedule, made = done.laid, done.schedule, done.made
    changes = changes_of(laid, schedule, done.equipment)
    sheet = merged_sheet(laid, schedule, made, done.equipment, changes)
    gap = 0.0 if schedule.proved or schedule.cost <= 0 else max(1.0 - schedule.bound / schedule.cost, 0.0)
    return MenuPlan(
        menu=menu,
        proof=Proof.BEST if schedule.proved else Proof.GOOD,
        gap=gap,
        served=tuple(_served(laid, schedule, m) for m in made),
        changes=changes,
        lanes=lanes_of(laid, schedule, made),
        run_sheet=sheet,
        conflict=(),
        ways_out=(),
        notes=tuple(
            note for note in (*_of_the_search(laid, schedule, gap), clock_note(laid, sheet), *_of_water(done)) if note
        ),
    )


def works(menu: Menu) -> bool:
    """Whether a menu can be answered, without making the whole answer."""
    return attempt(menu, any_will_do=True).found is Found.ANSWER


def attempt(menu: Menu, *, any_will_do: bool = False) -> Attempt:
    """Search a menu, and plan what is found; what does not stand is forbidden, and the search begins again."""
    laid = lay_out(menu)
    problem = laid.problem
    limits = figures("search")
    for _ in range(limits["rounds"]):
        found, schedule = search(problem, any_will_do=any_will_do)
        if found is not Found.ANSWER or schedule is None:
            return Attempt(found, laid, None, (), (), problem)
        try:
            equipment = filled(laid, schedule)
        except ValueError:
            return Attempt(Found.UNKNOWN, laid, None, (), (), problem)
        made = tuple(make(laid, placed, equipment) for placed in schedule.placed)
        short = {m.placed.item: m.short_min for m in made if m.wrong}
        if not short:
            short = shortages(laid, schedule, made, equipment)
        if not short:
            return Attempt(found, laid, schedule, made, equipment, problem)
        problem = _tightened(problem, schedule, short)
    return Attempt(Found.UNKNOWN, laid, None, (), (), problem)


def _tightened(problem: Problem, schedule: Schedule, short: dict[int, int]) -> Problem:
    """The problem without what did not stand: more time where time was short, else not this way in this bath."""
    items = list(problem.items)
    for i, minutes in short.items():
        placed, item = schedule.placed[i], items[i]
        stay = item.cooks[placed.cook]
        ready = list(stay.ready)
        old = ready[placed.bath] or 0
        longer = placed.pull - placed.drop_in + minutes
        ready[placed.bath] = longer if minutes and old < longer <= stay.latest[placed.bath] else None
        cooks = list(item.cooks)
        cooks[placed.cook] = replace(stay, ready=tuple(ready))
        items[i] = replace(item, cooks=tuple(cooks))
    return replace(problem, items=tuple(items))


def _served(laid: LaidOut, schedule: Schedule, made: Made) -> Served:
    dish = laid.menu.dishes[made.placed.item]
    course = next(c for c in laid.menu.courses if c.name == dish.course)
    return Served(
        dish=dish,
        plan=made.plan,
        bath=laid.menu.baths[made.placed.bath].name,
        ahead=made.ahead,
        finish=laid.at(made.placed.finish),
        serve=course.at.astimezone(laid.menu.zone),
        gives_up=gives_up(laid, schedule, made),
    )


def _nothing(done: Attempt, *, offer: bool) -> MenuPlan:
    menu = done.laid.menu
    proof = Proof.NONE if done.found is Found.NONE else Proof.UNKNOWN
    notes = [f"{name}: {why}" for name, why in done.laid.reasons.items() if why]
    conflict: tuple[Wish, ...] = ()
    ways: tuple[WayOut, ...] = ()
    if offer and proof is Proof.NONE:
        conflict, proved = conflict_of(menu)
        if not conflict:
            # The wishes by themselves do not rule each other out: what was found did not stand when planned again.
            proof = Proof.UNKNOWN
        elif not proved:
            notes.append("One or another of these wishes might be kept: not all could be tried in the time there was.")
        ways = ways_out(menu, conflict, works) or two_steps_out(menu, conflict, works)
    if proof is Proof.UNKNOWN:
        notes.append("No answer was found in the time there was, and none was ruled out: ask for less at once.")
    notes += _searched(done.laid)
    return MenuPlan(menu, proof, 0.0, (), (), (), (), conflict, ways, tuple(notes))


def _of_the_search(laid: LaidOut, schedule: Schedule, gap: float) -> Iterator[str]:
    if schedule.proved:
        yield "Proved: no other order of baths, set points and times costs this dinner less."
    else:
        yield f"Found in the time there was: another order could be better by {100 * gap:.0f} % at most."
    yield from _searched(laid)


def _searched(laid: LaidOut) -> Iterator[str]:
    problem = laid.problem
    yield (
        f"Searched in steps of {mark(60.0 * problem.slot, 's')} of the clock, among the set points that dishes can "
        f"share, with up to {problem.runs} set points for a bath in turn."
    )
    if problem.slot > min(figures("slots")["step_min"]):
        yield "This menu is long, so its steps are: a tighter order between two of them was not looked for."
    unknown = [
        laid.menu.dishes[i].name for i, item in enumerate(problem.items) if item.cooks and not any(item.room)
    ]  # fmt: skip
    if unknown:
        yield f"Weigh a piece of {', '.join(unknown)}: whether it fits beside other food is not known."


def _of_water(done: Attempt) -> Iterator[str]:
    assert done.schedule is not None
    for run in done.schedule.runs:
        poured = pours_of(done.laid, done.schedule, run, done.made, done.equipment[run.bath])
        if not poured.possible:
            name = done.laid.menu.baths[run.bath].name
            yield f"The water of the {name} does not last through the night as it stands: cover it better."
