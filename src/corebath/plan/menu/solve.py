"""Planning a menu: lay it out, search it, plan every dish again as placed, and say what came of it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from corebath.plan.equipment import Equipment
from corebath.units import mark

from .answer import MenuPlan, Proof, Served, WayOut, Wish
from .changes import changes_of
from .check import check
from .conflict import conflict_of, wishes_of
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
    """One menu tried.

    made, equipment : of every dish and bath, empty without an answer;  tightened : after cuts
    limited : the search came to its limit
    """

    found: Found
    laid: LaidOut
    schedule: Schedule | None
    made: tuple[Made, ...]
    equipment: tuple[Equipment, ...]
    tightened: Problem
    limited: bool = False

    @property
    def redone(self) -> bool:
        """Whether something that the search allowed did not stand when it was planned again."""
        return self.tightened is not self.laid.problem


def plan_menu(menu: Menu, *, offer: bool = True) -> MenuPlan:
    """The plan for a menu.

    offer : when it cannot work, also look for the smallest conflict and for menus nearby that work (dear)

    Every dish of an answer is planned and judged by itself at the bath, set point and time given to it. Raises
    BadRequest, naming the answer, for a menu outside what is planned.
    """
    check(menu)
    done = attempt(menu)
    return _answer(done) if done.found is Found.ANSWER else _nothing(done, offer=offer)


def _answer(done: Attempt) -> MenuPlan:
    laid, schedule, made = done.laid, done.schedule, done.made
    assert schedule is not None
    changes = changes_of(laid, schedule, done.equipment)
    sheet = merged_sheet(laid, schedule, made, done.equipment, changes)
    gap = 0.0 if schedule.proved or schedule.cost <= 0 else max(1.0 - schedule.bound / schedule.cost, 0.0)
    return MenuPlan(
        menu=laid.menu,
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
        coarse_s=_coarse_s(laid),
    )


def works(menu: Menu) -> bool:
    """Whether a menu can be answered, without making the whole answer."""
    return attempt(menu, any_will_do=True).found is Found.ANSWER


def attempt(menu: Menu, *, any_will_do: bool = False, wider: bool = False) -> Attempt:
    """Search a menu, and plan what is found; what does not stand is forbidden, and the search begins again.

    wider : in the layout that conflicts are looked for in, which knows more set points to warm food at
    """
    laid = lay_out(menu, wider=wider)
    problem = laid.problem
    limits = figures("search")
    for _ in range(limits["rounds"]):
        found, schedule = search(problem, any_will_do=any_will_do)
        if found is not Found.ANSWER or schedule is None:
            return Attempt(found, laid, None, (), (), problem, limited=found is Found.UNKNOWN)
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
        problem = _tightened(problem, schedule, short, {m.placed.item for m in made if m.cold})
    return Attempt(Found.UNKNOWN, laid, None, (), (), problem)


def _tightened(problem: Problem, schedule: Schedule, short: dict[int, int], cold: set[int]) -> Problem:
    """The problem without what did not stand: more time where time was short, else not this way in this bath.

    cold : dishes of which it was the cooking ahead that did not stand
    """
    items = list(problem.items)
    for i, minutes in short.items():
        placed, item = schedule.placed[i], items[i]
        stay = item.cooks[placed.cook]
        if i in cold:
            cooks = list(item.cooks)
            cooks[placed.cook] = replace(stay, keeps=False)
            items[i] = replace(item, cooks=tuple(cooks))
            continue
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
    # What was forbidden because it did not stand when planned again is no part of a proof.
    proof = Proof.NONE if done.found is Found.NONE and not done.redone else Proof.UNKNOWN
    notes = [f"{name}: {why}" for name, why in done.laid.reasons.items() if why]
    conflict: tuple[Wish, ...] = ()
    ways: tuple[WayOut, ...] = ()
    if offer and done.found is Found.NONE:
        conflict, decided = conflict_of(menu)
        if conflict:
            proof = Proof.NONE
            ways = ways_out(menu, conflict, works) or two_steps_out(menu, conflict, works)
            if not decided:
                notes.append(
                    "One or another of these wishes might be kept: not all could be tried in the time there was."
                )
        else:
            if decided:
                wide = attempt(menu, wider=True)
                if wide.found is Found.ANSWER:
                    return _answer(wide)
                done, proof = wide, Proof.UNKNOWN
            else:
                notes.append("Which wishes stand against each other was not found in the time there was.")
            ways = ways_out(menu, [w for w in wishes_of(menu) if not w.key.startswith("result:")], works)
    if proof is Proof.UNKNOWN:
        notes.append(_why_unknown(done))
    notes += _searched(done.laid)
    return MenuPlan(menu, proof, 0.0, (), (), (), (), conflict, ways, tuple(notes))


def _why_unknown(done: Attempt) -> str:
    if done.limited:
        return "No answer was found in the time there was, and none was ruled out: ask for less at once."
    return "What the search found did not stand when each dish was planned again by itself: ask for less at once."


def _of_the_search(laid: LaidOut, schedule: Schedule, gap: float) -> Iterator[str]:
    if schedule.proved and _coarse_s(laid):
        yield (
            "Proved for these steps of the clock: no other order of baths, set points and times costs this dinner less."
        )
    elif schedule.proved:
        yield "Proved: no other order of baths, set points and times costs this dinner less."
    else:
        yield f"Found in the time there was: another order could be better by {100 * gap:.0f} % at most."
    yield from _searched(laid, proved=schedule.proved)


def _coarse_s(laid: LaidOut) -> float:
    """Steps of the clock that a menu is searched in, 0 where they are the finest [s]."""
    slot = laid.problem.slot
    return 60.0 * slot if slot > min(figures("slots")["step_min"]) else 0.0


def _searched(laid: LaidOut, *, proved: bool = False) -> Iterator[str]:
    problem = laid.problem
    yield (
        f"Searched in steps of {mark(60.0 * problem.slot, 's')} of the clock, among the set points that dishes can "
        f"share, with up to {problem.runs} set points for a bath in turn."
    )
    if _coarse_s(laid) and not proved:
        yield "The menu is long, so it was searched in coarse steps; a tighter order may exist."
    unknown = [
        laid.menu.dishes[i].name for i, item in enumerate(problem.items) if item.cooks and not any(item.room)
    ]  # fmt: skip
    if unknown:
        yield f"Weigh a piece of each ({', '.join(unknown)}): whether it fits beside other food is not known."


def _of_water(done: Attempt) -> Iterator[str]:
    assert done.schedule is not None
    for run in done.schedule.runs:
        poured = pours_of(done.laid, done.schedule, run, done.made, done.equipment[run.bath])
        if not poured.possible:
            name = done.laid.menu.baths[run.bath].name
            yield f"The water of the {name} does not last through the night as it stands: cover it better."
