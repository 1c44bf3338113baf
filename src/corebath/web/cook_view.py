"""A cook in progress as the screens see it: its plan moved to what really happened, and the core now."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from functools import lru_cache
from urllib.parse import parse_qsl

import numpy as np

from corebath.ask.question import Question
from corebath.ask.understand import Misunderstood, understand
from corebath.heat.stage import Stage
from corebath.log.as_cooked import AsCooked
from corebath.log.cook import Cook, Event, Happening, Place
from corebath.log.estimate import Estimate, estimate, ready_words
from corebath.log.gear import Kitchen
from corebath.log.store import Store
from corebath.log.verdict import Decision, Judged
from corebath.plan.clock import after, elapsed_s
from corebath.plan.make import make_plan
from corebath.plan.piece import piece_of
from corebath.plan.plan import Plan
from corebath.plan.run_sheet import Task
from corebath.safety.rules import binding_lethality
from corebath.show.words import capital, signed_duration
from corebath.units import mark

from .cook_judged import judged, readings_of

_OVER = timedelta(minutes=30)


@dataclass(frozen=True, slots=True)
class CookView:
    """Everything the Kitchen screen prints of one cook.

    plan : None when the question is not understood any more;  sheet : its tasks at the times that hold now
    next_task : what to do next, None when nothing is left;  estimate : of the core, None before drop-in
    sources : how many readings came from where
    happened, judged : the cook as it happened and the verdict, when something went wrong or the bath was measured
    """

    cook: Cook
    kitchen: Kitchen
    now: datetime
    plan: Plan | None
    sheet: tuple[Task, ...]
    next_task: Task | None
    estimate: Estimate | None
    sources: dict[str, int]
    happened: AsCooked | None = None
    judged: Judged | None = None

    @property
    def drop_in(self) -> datetime | None:
        """When the food went in, in the kitchen's zone."""
        event = self.cook.first(Happening.DROPPED_IN)
        return None if event is None else event.at.astimezone(self.kitchen.zone)

    @property
    def elapsed_s(self) -> float | None:
        """Time since drop-in, until it was pulled [s]."""
        if self.drop_in is None:
            return None
        pulled = self.cook.first(Happening.PULLED)
        return elapsed_s(self.drop_in, self.now if pulled is None else pulled.at)

    @property
    def elapsed(self) -> str:
        """Time since drop-in as a mark."""
        return mark(60.0 * round((self.elapsed_s or 0.0) / 60), "s")

    def since(self, task: Task) -> str:
        """Elapsed time of a task from drop-in, signed."""
        return signed_duration(task.since_drop_in_s)

    def is_ahead(self, task: Task) -> bool:
        """True for what is still to be done, so that an alarm is wanted."""
        return task.is_action and self.next_task is not None and task.at >= self.next_task.at

    @property
    def ready(self) -> str:
        """When it is ready by its readings, empty when nothing is known or it is out."""
        fault = self.happened is not None and bool(self.happened.faults)
        if fault or self.estimate is None or self.drop_in is None or self.cook.first(Happening.PULLED) is not None:
            return ""
        return capital(f"{ready_words(self.estimate, self.drop_in, self.kitchen.zone)}.")

    @property
    def core_words(self) -> str:
        """The core now with its interval, quantities as marks; empty before drop-in."""
        if self.estimate is None:
            return ""
        if self.happened is not None and self.happened.faults:
            cold, warm = (float(h.core_C[-1]) for h in (self.happened.worst, self.happened.best))
            return f"between {mark(round(cold, 1), 'C')} at worst and {mark(round(warm, 1), 'C')} at best"
        core = self.estimate.core_now_C
        low, middle, high = (mark(round(c, 1), "C") for c in (core.low, core.middle, core.high))
        return f"about {middle} ({low} to {high})"

    @property
    def wanted(self) -> tuple[Happening, ...]:
        """What can be told by one tap now, the likeliest first."""
        told = {event.happening for event in self.cook.events}
        if Happening.DROPPED_IN not in told:
            return (Happening.DROPPED_IN,)
        if Happening.PULLED in told:
            return () if Happening.SERVED in told else (Happening.SERVED,)
        faults = [e for e in self.cook.events if e.happening in (Happening.BATH_OFF, Happening.BATH_ON)]
        off = bool(faults) and faults[-1].happening is Happening.BATH_OFF
        return (Happening.PULLED, Happening.BATH_ON if off else Happening.BATH_OFF, Happening.TOPPED_UP)

    @property
    def top_up(self) -> Task | None:
        """The next top-up, if the water needs one."""
        return next((t for t in self.sheet if t.key == "top-up" and t.at >= self.now), None)


def cook_view(cook: Cook, store: Store, kitchen: Kitchen, now: datetime) -> CookView:
    """The view of a cook at a moment."""
    here = now.astimezone(kitchen.zone)
    plan = plan_of(cook.question, cook.planned_at, kitchen)
    sources = store.sources(cook.id) if cook.id is not None else {}
    if plan is None:
        return CookView(cook, kitchen, here, None, (), None, None, sources)
    sheet = _moved(plan, cook)
    found = judged(cook, store, plan, here)
    happened, said = found if found is not None else (None, None)
    task = _next(sheet, cook, here)
    if happened is not None and said is not None and happened.faults:
        task = _after_fault(said, task, here)
    return CookView(cook, kitchen, here, plan, sheet, task, _estimate(cook, store, plan, here), sources, happened, said)


def _after_fault(said: Judged, task: Task | None, now: datetime) -> Task | None:
    """What to do next after a fault: nothing with food that is binned, and no pull before the cook is finished."""
    if said.decision is Decision.BIN:
        return None
    if said.finish is None or task is None or task.key not in ("pull", "drop-in"):
        return task
    at = now + timedelta(seconds=said.finish.from_now_s)
    what = f"Pull no sooner than this, from a bath at {mark(said.finish.set_point_C, 'C')}."
    return replace(task, at=at, since_drop_in_s=task.since_drop_in_s + (at - task.at).total_seconds(), what=what)


def answers_of(question: str) -> Question:
    """The question of a cook, from the query it is stored as."""
    return Question.of(parse_qsl(question))


@lru_cache(maxsize=256)
def plan_of(question: str, planned_at: datetime, kitchen: Kitchen) -> Plan | None:
    """The plan behind a cook, made again; None when its question is not understood any more."""
    try:
        request = understand(answers_of(question), planned_at, kitchen)
    except Misunderstood:
        return None
    return make_plan(request, offer=False)


def _moved(plan: Plan, cook: Cook) -> tuple[Task, ...]:
    """The run sheet with what follows the drop-in, and what follows the pull, put to when they happened."""
    zone = plan.request.zone
    dropped, pulled = cook.first(Happening.DROPPED_IN), cook.first(Happening.PULLED)
    if dropped is None:
        return plan.run_sheet
    late = elapsed_s(plan.drop_in, dropped.at)
    pull = after(plan.pull, late, zone)
    later = 0.0 if pulled is None else elapsed_s(pull, pulled.at)
    tasks = []
    for task in plan.run_sheet:
        if task.since_drop_in_s < 0:
            tasks.append(task)
            continue
        shift = late + (later if task.since_drop_in_s >= plan.bath_s else 0.0)
        tasks.append(replace(task, at=after(task.at, shift, zone), since_drop_in_s=task.since_drop_in_s + shift - late))
    return tuple(tasks)


def _next(sheet: tuple[Task, ...], cook: Cook, now: datetime) -> Task | None:
    done = {"drop-in": Happening.DROPPED_IN, "pull": Happening.PULLED, "serve": Happening.SERVED}
    told = {event.happening for event in cook.events}
    for task in sheet:
        if not task.is_action:
            continue
        if task.key in done:
            if done[task.key] not in told:
                return task
        elif task.at >= now or (now - task.at < _OVER and task.key == "preheat" and Happening.DROPPED_IN not in told):
            return task
    return None


def _estimate(cook: Cook, store: Store, plan: Plan, now: datetime) -> Estimate | None:
    dropped, pulled = cook.first(Happening.DROPPED_IN), cook.first(Happening.PULLED)
    if dropped is None or cook.id is None:
        return None
    until_s = max(elapsed_s(dropped.at, now if pulled is None else pulled.at), 0.0)
    times, cores = readings_of(cook, store, Place.CORE, dropped.at, until_s)
    bath_times, baths = readings_of(cook, store, Place.BATH, dropped.at, until_s)
    request = plan.request
    piece = piece_of(request, plan.set_point_C)
    bath = None
    if bath_times.size > 1:
        knots = np.concatenate([[0.0], bath_times[bath_times > 0]])
        bath = Stage.trace("bath", knots, np.interp(knots, bath_times, baths - request.probe_offset_K), piece.h_W_m2K)
    return estimate(
        piece,
        times,
        cores,
        now_s=until_s,
        bath=bath,
        rules=binding_lethality(request.subject, request.authority),
        not_before_s=plan.window.softening_s,
    )


def words_of(event: Event) -> str:
    """What an event was, in words."""
    return event.happening.value if not event.text else f"{event.happening.value}: {event.text}"
