"""The merged run sheet of a menu: every task of every dish in time order, with nothing asked of anyone asleep."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from corebath.bath.level import Schedule as Pours
from corebath.bath.level import top_up_schedule
from corebath.plan.batch.labels import day_words
from corebath.plan.clock import after, clocks_change, elapsed_s
from corebath.plan.equipment import Equipment
from corebath.plan.run_sheet import NO_LEFTOVERS, Task
from corebath.plan.water import asleep
from corebath.units import mark

from .ahead import COLD_C
from .answer import Change, CookedAhead, MenuTask
from .laid_out import LaidOut
from .options import trial
from .problem import Run, Schedule
from .served import Made, stays

_OF_ITS_OWN = ("preheat", "top-up", "dry", "finish", "rest", "serve", "leftovers")
_LEFTOVERS_s = 3600.0
# Order of what falls on one minute: out of a bath before into it.
_ORDER = (
    "milestone", "check", "top-up", "pull", "reheat-out", "chill", "fridge", "salt", "preheat", "ice", "change",
    "drop-in", "hot-through", "reheat", "dry", "finish", "rest", "serve", "leftovers",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class _Line:
    key: str
    at: datetime
    dishes: tuple[str, ...]
    where: str
    what: str
    is_action: bool = True


def merged_sheet(
    laid: LaidOut,
    schedule: Schedule,
    made: Sequence[Made],
    equipment: tuple[Equipment, ...],
    changes: Sequence[Change],
) -> tuple[MenuTask, ...]:
    """All tasks, elapsed time counted from the first of them."""
    lines = [
        *_baths(laid, schedule, made, equipment),
        *(_Line("change", c.start, (), c.bath, c.what) for c in changes),
        *(line for m in made for line in _dish(laid, m)),
        *_courses(laid, frozenset(laid.menu.dishes[m.placed.item].name for m in made if m.plan.never_hot)),
    ]
    awake = [moved for line in lines if (moved := _awake(laid, line)) is not None]
    awake.sort(key=lambda line: (line.at.timestamp(), _ORDER.index(line.key), line.dishes))
    if not awake:
        return ()
    first = awake[0].at
    return tuple(
        MenuTask(x.key, x.at, elapsed_s(first, x.at), x.dishes, x.where, x.what, x.is_action) for x in awake
    )  # fmt: skip


def _baths(
    laid: LaidOut, schedule: Schedule, made: Sequence[Made], equipment: tuple[Equipment, ...]
) -> Iterator[_Line]:
    for run in schedule.runs:
        name, gear = laid.menu.baths[run.bath].name, equipment[run.bath]
        to_C = laid.points_C[run.point]
        if run.how == "fill":
            bath = gear.filled(0.0, to_C)
            litres = round(bath.volume_m3(gear.fill_C) * 1000, 1)
            what = (
                f"Fill with {mark(litres, 'L')} of water at {mark(gear.fill_C, 'C')}, "
                f"set the bath to {mark(to_C, 'C')} and start it."
            )
            yield _Line("preheat", laid.at(run.begin), (), name, what)
        for pour in pours_of(laid, schedule, run, made, gear).top_ups:
            what = f"Top up with {mark(round(pour.water_kg, 2), 'kg')} of water at {mark(pour.water_C, 'C')}."
            yield _Line("top-up", after(laid.at(run.start), pour.at_s, laid.menu.zone), (), name, what)


def pours_of(laid: LaidOut, schedule: Schedule, run: Run, made: Sequence[Made], gear: Equipment) -> Pours:
    """Water to pour in while food is in a run's bath, for all of its food together."""
    inside = {i for i, start, end in stays(schedule, run.bath) if run.start <= start and end <= run.end}
    start, run_s = laid.at(run.start), 60.0 * (run.end - run.start)
    nights: tuple[tuple[float, float], ...] = ()
    if laid.menu.asleep is not None:
        nights = tuple(asleep(start, run_s, laid.menu.zone, *laid.menu.asleep))
    food_m3 = sum(trial(laid.wants[i].request, laid.wants[i].usual_C, gear).food_m3 for i in inside)
    waters = [m.plan.water for m in made if m.placed.item in inside]
    tops = [w.fit.top_m for w in waters if w is not None and w.fit is not None and w.fit.top_m is not None]
    set_point_C = laid.points_C[run.point]
    return top_up_schedule(
        gear.filled(food_m3, set_point_C), set_point_C, run_s, gear.top_up_C, food_m3, max(tops, default=None),
        asleep_s=nights,
    )  # fmt: skip


def _dish(laid: LaidOut, made: Made) -> Iterator[_Line]:
    plan, placed = made.plan, made.placed
    name = laid.menu.dishes[placed.item].name
    bath = laid.menu.baths[placed.bath].name
    own = {task.key: task for task in plan.run_sheet}
    for task in plan.run_sheet:
        if task.key not in _OF_ITS_OWN:
            where = "" if task.key == "salt" else bath
            what = _again_marked(task) if made.ahead is not None and task.key == "pull" else task.what
            yield _Line(task.key, task.at, (name,), where, what, task.is_action)
    if made.ahead is not None:
        yield from _cold(laid, made, made.ahead, name)
    yield from _finish(laid, made, own, name)


def _again_marked(task: Task) -> str:
    return f"{task.what} Leave the bag closed."


def _cold(laid: LaidOut, made: Made, ahead: CookedAhead, name: str) -> Iterator[_Line]:
    placed = made.placed
    zone = laid.menu.zone
    cold = mark(elapsed_s(ahead.chill_from, ahead.chilled_by), "s")
    yield _Line(
        "chill", ahead.chill_from, (name,), "ice water",
        f"Straight into ice water, bags apart and under water, with ice floating to the end: {cold} until the core is "
        f"at {mark(COLD_C, 'C')}.",
    )  # fmt: skip
    assert placed.fridge is not None
    yield _Line(
        "fridge", laid.at(placed.fridge), (name,), "fridge",
        f"Out of the ice water and into the fridge at {mark(COLD_C, 'C')} or colder, in its closed bag, "
        f"with the day on it. Use by {day_words(ahead.keep.use_by(ahead.chill_from.astimezone(zone).date()))}.",
    )  # fmt: skip
    if ahead.reheat is None or ahead.reheat_in is None or ahead.reheat_out is None or ahead.reheat_C is None:
        return
    yield _Line(
        "reheat", ahead.reheat_in, (name,), ahead.reheat_bath or "",
        f"From the fridge into the bath at {mark(ahead.reheat_C, 'C')}, in its closed bag.",
    )  # fmt: skip
    warm = mark(elapsed_s(ahead.reheat_in, ahead.reheat_out), "s")
    yield _Line(
        "reheat-out", ahead.reheat_out, (name,), ahead.reheat_bath or "",
        f"Out of the bath after {warm}: the core is at {mark(ahead.reheat.to_C, 'C')} or warmer.",
    )  # fmt: skip


def _finish(laid: LaidOut, made: Made, own: dict[str, Task], name: str) -> Iterator[_Line]:
    placed, item = made.placed, laid.problem.items[made.placed.item]
    from_pan = placed.ahead and placed.reheat is None
    minutes = item.before.pan if from_pan and item.before is not None else item.finish.sear
    if "dry" in own and not from_pan:
        yield _Line("dry", laid.at(placed.finish), (name,), "", own["dry"].what)
    if "finish" in own:
        where = "pan" if minutes else ""
        what = own["finish"].what
        if from_pan:
            what = f"{what} It comes from the fridge: toss until it is hot through, {mark(60.0 * minutes, 's')} or so."
        elif item.finish.pans > 1:
            what = f"{what} It takes {item.finish.pans} pans at once."
        yield _Line("finish", laid.at(placed.sear), (name,), where, what)
    if "rest" in own:
        yield _Line("rest", laid.at(placed.sear + minutes), (name,), "", own["rest"].what)


def _courses(laid: LaidOut, never_hot: frozenset[str]) -> Iterator[_Line]:
    zone = laid.menu.zone
    for course, seating in zip(laid.menu.courses, laid.problem.seatings, strict=True):
        names = tuple(d.name for d in laid.menu.dishes if d.course == course.name)
        if not names:
            continue
        at = course.at.astimezone(zone)
        yield _Line(
            "serve", laid.at(seating.at - seating.plate), names, "",
            f"Plate the {course.name}: {', '.join(names)}. On the table at {at:%H:%M}.",
        )  # fmt: skip
        eaten, kept = (tuple(n for n in names if (n in never_hot) is yes) for yes in (True, False))
        if eaten:
            yield _Line("leftovers", after(at, _LEFTOVERS_s, zone), eaten, "", NO_LEFTOVERS)
        if not kept:
            continue
        yield _Line(
            "leftovers", after(at, _LEFTOVERS_s, zone), kept, "",
            f"Leftovers: into ice water and the fridge at {mark(5.0, 'C')} or colder within {mark(7200.0, 's')} of "
            "serving, or throw them out.",
        )  # fmt: skip


def _awake(laid: LaidOut, line: _Line) -> _Line | None:
    """A line that the search did not place, moved out of the night: before it, or after it where that is past."""
    if not line.is_action or laid.menu.asleep is None:
        return line
    minute = laid.minute(line.at)
    for start, end in laid.problem.asleep:
        if start <= minute < end:
            if line.key == "check":
                return None
            before = laid.at(start - 5)
            return replace(line, at=before if before >= laid.menu.now else laid.at(end))
    return line


def clock_note(laid: LaidOut, tasks: Sequence[MenuTask]) -> str | None:
    """What changed clocks do to this sheet."""
    if not tasks:
        return None
    change = clocks_change(tasks[0].at, tasks[-1].at, laid.menu.zone)
    if not change:
        return None
    way = "back" if change.total_seconds() < 0 else "forward"
    return (
        f"The clocks go {way} by {mark(abs(change.total_seconds()), 's')} meanwhile: the times here are by the clock "
        "of their own day, and every stay counts elapsed time."
    )
