"""The tasks of a cook in progress: the run sheet moved to what happened, what is still to do, and what comes next."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from corebath.log.cook import Cook, Happening
from corebath.log.verdict import Judged
from corebath.plan.clock import after, ceil_to, elapsed_s
from corebath.plan.plan import Plan
from corebath.plan.run_sheet import Task
from corebath.units import mark

_OVER = timedelta(minutes=30)
_TOLD = {"drop-in": Happening.DROPPED_IN, "pull": Happening.PULLED, "serve": Happening.SERVED}
_MINUTE_s = 60.0
# Tasks that are over by one tap, so that their alarm stops on every device; the words of the tap.
DONE_WORDS = {
    "salt": "salt is on",
    "preheat": "bath started",
    "ice": "ice bath ready",
    "dry": "surface is dry",
    "finish": "finish is done",
    "rest": "rest is over",
}


def moved(plan: Plan, sheet: Sequence[Task], cook: Cook) -> tuple[Task, ...]:
    """The run sheet of a plan put to what happened: what follows the drop-in or the pull moves with it.

    What was planned for later than the tap that overtook it stands at that tap, so the sheet stays in order of time.
    """
    zone = plan.request.zone
    dropped, pulled = cook.first(Happening.DROPPED_IN), cook.first(Happening.PULLED)
    if dropped is None:
        return tuple(sheet)
    start = dropped.at.astimezone(zone)
    late = elapsed_s(plan.drop_in, start)
    end = after(plan.pull, late, zone) if pulled is None else pulled.at.astimezone(zone)
    later = elapsed_s(after(plan.pull, late, zone), end)
    out = elapsed_s(plan.drop_in, plan.pull)
    tasks = []
    for task in sheet:
        if task.since_drop_in_s < 0:
            at = min(task.at, start)
        elif task.since_drop_in_s < out:
            at = min(after(task.at, late, zone), end)
        else:
            at = after(task.at, late + later, zone)
        tasks.append(replace(task, at=at, since_drop_in_s=elapsed_s(start, at)))
    return tuple(tasks)


def over(sheet: Sequence[Task], cook: Cook) -> dict[Task, str]:
    """The actions that lie behind the last tap, each with what became of it, as far as that is known."""
    told, ticked = {event.happening for event in cook.events}, done_keys(cook)
    done = [i for i, task in enumerate(sheet) if _TOLD.get(task.key) in told]
    behind = sheet[: max(done) + 1] if done else ()
    sure = [task for task in sheet if _TOLD.get(task.key) in told or task.key in ticked]
    return {
        task: "Done" if task in sure else "Done or left out"
        for task in sheet
        if task.is_action and (task in behind or task in sure)
    }


def after_fault(sheet: tuple[Task, ...], said: Judged, now: datetime, zone: ZoneInfo) -> tuple[Task, ...]:
    """The sheet with the pull, and what follows it, no sooner than the verdict on a fault allows."""
    pull = next((task for task in sheet if task.key == "pull"), None)
    if said.finish is None or pull is None:
        return sheet
    at = ceil_to(now + timedelta(seconds=said.finish.from_now_s), _MINUTE_s, zone)
    later = max(elapsed_s(pull.at, at), 0.0)
    what = f"Pull no sooner than this, from a bath at {mark(round(said.finish.set_point_C, 1), 'C')}."
    from_pull = sheet.index(pull)
    return tuple(
        replace(
            task,
            at=after(task.at, later, zone),
            since_drop_in_s=task.since_drop_in_s + later,
            what=what if task is pull else task.what,
        )
        if i >= from_pull
        else task
        for i, task in enumerate(sheet)
    )


def still_ahead(sheet: Sequence[Task], cook: Cook) -> tuple[Task, ...]:
    """What is to be done after the last thing that was told, overdue tasks among it."""
    told, ticked = {event.happening for event in cook.events}, done_keys(cook)
    done = [i for i, task in enumerate(sheet) if _TOLD.get(task.key) in told]
    rest = sheet[max(done) + 1 :] if done else sheet
    topped = [event.at for event in cook.events if event.happening is Happening.TOPPED_UP]
    return tuple(
        task
        for task in rest
        if task.is_action
        and task.key not in ticked
        and not (task.key == "top-up" and any(at > task.at - _OVER for at in topped))
    )


def done_keys(cook: Cook) -> set[str]:
    """The keys of the tasks that a tap called done."""
    return {event.text for event in cook.events if event.happening is Happening.DONE}


def waits(task: Task) -> bool:
    """True for a task that stays until the cook tells that it was done."""
    return task.key in _TOLD


def next_of(ahead: Sequence[Task], now: datetime) -> Task | None:
    """What to do next. What is told by a tap waits for it; anything else is over once the task after it is due."""
    for task, following in zip(ahead, (*ahead[1:], None), strict=False):
        if waits(task) or task.at > now:
            return task
        overtaken = following is not None and following.at <= now
        if not overtaken and (task.key == "top-up" or now - task.at < _OVER):
            return task
    return None
