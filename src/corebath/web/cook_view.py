"""A cook in progress as the screens see it: its plan moved to what really happened, and the core now."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from functools import lru_cache
from urllib.parse import parse_qsl
from zoneinfo import ZoneInfo

import numpy as np

from corebath.ask.question import Question
from corebath.ask.understand import Misunderstood, understand
from corebath.log.as_cooked import AsCooked
from corebath.log.cook import Cook, Event, Happening, Place
from corebath.log.estimate import Estimate
from corebath.log.estimate_say import ready_words, statements
from corebath.log.gear import Kitchen
from corebath.log.store import Store
from corebath.log.verdict import Decision, Judged
from corebath.plan.clock import after, elapsed_s
from corebath.plan.ends import make_ends
from corebath.plan.make import make_plan
from corebath.plan.plan import Plan
from corebath.plan.run_sheet import Task
from corebath.show.cook_chart import Drawn, cook_drawing
from corebath.show.svg import to_svg
from corebath.show.words import capital, signed_duration
from corebath.units import mark

from .cook_judged import estimated, judged, readings_of
from .tasks import DONE_WORDS, after_fault, moved, next_of, over, still_ahead, waits

_STILL_RINGS = timedelta(hours=1)


@dataclass(frozen=True, slots=True)
class CookView:
    """Everything the screens print of one cook.

    plan : None when the question is not understood any more;  sheet : its tasks at the times that hold now
    ahead : tasks still to be done, those that are overdue too;  next_task : what to do next, None when nothing is left
    estimate : of the core, None before drop-in;  sources : how many readings came from where
    happened, judged : the cook as it happened and the verdict, when something went wrong or the bath was measured
    unreckoned : why the core is not reckoned though the food went in, one sentence with marks, or empty
    """

    cook: Cook
    kitchen: Kitchen
    now: datetime
    plan: Plan | None
    sheet: tuple[Task, ...] = ()
    ahead: tuple[Task, ...] = ()
    next_task: Task | None = None
    estimate: Estimate | None = None
    sources: dict[str, int] = field(default_factory=dict)
    happened: AsCooked | None = None
    judged: Judged | None = None
    unreckoned: str = ""

    @property
    def zone(self) -> ZoneInfo:
        """The zone that the cook is told in: that of its plan."""
        return self.kitchen.zone if self.plan is None else self.plan.request.zone

    @property
    def drop_in(self) -> datetime | None:
        """When the food went in, in the cook's zone."""
        event = self.cook.first(Happening.DROPPED_IN)
        return None if event is None else event.at.astimezone(self.zone)

    @property
    def pulled(self) -> datetime | None:
        """When it came out, in the cook's zone."""
        event = self.cook.first(Happening.PULLED)
        return None if event is None else event.at.astimezone(self.zone)

    @property
    def untold(self) -> tuple[tuple[Happening, str], ...]:
        """The ends of the time in the bath that were not told, each with the planned moment once that has passed."""
        if self.plan is None:
            return ()
        start = self.drop_in or self.plan.drop_in
        planned = ((Happening.DROPPED_IN, start), (Happening.PULLED, after(start, self.plan.bath_s, self.zone)))
        return tuple(
            (h, f"{at:%Y-%m-%d %H:%M}" if at <= self.now else "") for h, at in planned if self.cook.first(h) is None
        )

    @property
    def elapsed_s(self) -> float | None:
        """Time since drop-in, until it was pulled [s]."""
        return None if self.drop_in is None else elapsed_s(self.drop_in, self.pulled or self.now)

    @property
    def elapsed(self) -> str:
        """Time since drop-in as a mark."""
        return mark(60.0 * round((self.elapsed_s or 0.0) / 60), "s")

    @property
    def faulty(self) -> bool:
        """True when the bath was, or may have been, colder than it should."""
        return self.happened is not None and bool(self.happened.faults)

    @property
    def binned(self) -> bool:
        """True when the verdict is to bin it."""
        return self.faulty and self.judged is not None and self.judged.decision is Decision.BIN

    @property
    def alarms(self) -> tuple[Task, ...]:
        """What an alarm is wanted for; one that nobody heard stops after an hour, unless it is what to do next.

        What falls due together with something that waits for a tap (open the bag, at the pull) does not ring beside it.
        """
        waiting = {task.at: task for task in reversed(self.ahead) if waits(task)}
        alone = (t for t in self.ahead if waiting.get(t.at, t) == t or self._comes_before(t, waiting[t.at]))
        rings = (t for t in alone if t == self.next_task or t.at > self.now - _STILL_RINGS)
        return () if self.cook.ended else tuple(rings)

    @property
    def ready(self) -> str:
        """When it is ready by its readings, empty when nothing is known or it is out."""
        if self.plan is None or self.faulty or self.estimate is None or self.drop_in is None or self.pulled is not None:
            return ""
        soft_s, fixed_s = self.plan.window.softening_s, self.plan.request.bath_s
        said = ready_words(self.estimate, self.drop_in, self.zone, now=self.now, soft_s=soft_s, fixed_s=fixed_s)
        return capital(f"{said}.")

    @property
    def learnt(self) -> tuple[str, ...]:
        """What the core readings say of the piece."""
        return () if self.estimate is None else statements(self.estimate)

    @property
    def core_words(self) -> str:
        """The core now with its interval, quantities as marks; empty before drop-in."""
        if self.estimate is None:
            return ""
        if self.happened is not None and self.faulty:
            cold = float(self.happened.lowest_core_C(np.array([self.happened.until_s]))[0])
            warm = float(self.happened.best.core_C[-1])
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
        looked = (Happening.SEEN_FINE, *((Happening.POWER_HELD,) if self.faulty else ()))
        return (Happening.PULLED, Happening.BATH_ON if off else Happening.BATH_OFF, Happening.TOPPED_UP, *looked)

    @property
    def ticks(self) -> dict[str, str]:
        """What one tap calls done: the next task and those that ring now, by key with the words of the tap."""
        near = (t for t in self.ahead if t == self.next_task or (t in self.alarms and t.at <= self.now))
        return {t.key: DONE_WORDS[t.key] for t in near if t.key in DONE_WORDS}

    @property
    def over(self) -> dict[Task, str]:
        """What became of the tasks behind the last tap."""
        return over(self.sheet, self.cook)

    def overtaken(self, task: Task) -> bool:
        """True for a task whose moment nobody told: it was over by the drop-in, or by the pull, at the latest."""
        return self.over.get(task) == "Done or left out" and task.at in (self.drop_in, self.pulled)

    @property
    def top_up(self) -> Task | None:
        """The next top-up, if the water needs one and it is not what to do next."""
        found = next((t for t in self.ahead if t.key == "top-up"), None)
        return None if found == self.next_task else found

    def since(self, task: Task) -> str:
        """Elapsed time of a task from drop-in, signed."""
        return signed_duration(task.since_drop_in_s)

    def _comes_before(self, task: Task, other: Task) -> bool:
        return self.ahead.index(task) < self.ahead.index(other)

    def clock(self, moment: datetime) -> str:
        """A moment on the cook's clock, with its day when that is not today."""
        here = moment.astimezone(self.zone)
        return f"{here:%H:%M}" if here.date() == self.now.date() else f"{here:%a %H:%M}"

    def typed(self, event: Event) -> str:
        """When something happened, as a field of a form has it; with its offset where the clock has it twice."""
        here = event.at.astimezone(self.zone)
        once = here.replace(fold=0).utcoffset() == here.replace(fold=1).utcoffset()
        return f"{here:%Y-%m-%dT%H:%M}" if once else here.isoformat(timespec="minutes")


def cook_view(cook: Cook, store: Store, kitchen: Kitchen, now: datetime) -> CookView:
    """The view of a cook at a moment."""
    plan = plan_of(cook.question, cook.planned_at, kitchen)
    here = now.astimezone(kitchen.zone if plan is None else plan.request.zone)
    sources = store.sources(cook.id) if cook.id is not None else {}
    if plan is None:
        return CookView(cook, kitchen, here, None, sources=sources)
    happened = said = found = None
    unreckoned = ""
    try:
        happened, said = judged(cook, store, plan, here) or (None, None)
        found = estimated(cook, store, plan, here)
    except ValueError as error:
        unreckoned = capital(f"{error}.")
    sheet = moved(plan, _sheet_of(cook.question, cook.planned_at, kitchen), cook)
    if happened is not None and said is not None and happened.faults:
        sheet = after_fault(sheet, said, here, plan.request.zone)
    ahead = still_ahead(sheet, cook)
    task = next_of(ahead, here)
    if said is not None and happened is not None and happened.faults and said.decision is Decision.BIN:
        ahead, task = (), None
    return CookView(cook, kitchen, here, plan, sheet, ahead, task, found, sources, happened, said, unreckoned)


def cook_charts(view: CookView, store: Store) -> tuple[str, str] | None:
    """The cook as a figure for a phone and for a wide page, None before the food went in.

    None too once it is over while nobody told when it was pulled: where the curve ends is not known.
    """
    if view.cook.ended and view.pulled is None:
        return None
    if view.plan is None or view.drop_in is None or view.elapsed_s is None or view.unreckoned:
        return None
    until_s = max(view.elapsed_s, 60.0)
    drawn = Drawn(
        view.plan,
        view.drop_in,
        until_s,
        view.pulled is not None,
        None if view.estimate is None else view.estimate.course,
        readings_of(view.cook, store, Place.CORE, view.drop_in, until_s),
        view.happened,
    )
    preference = view.kitchen.preference
    narrow, wide = (replace(cook_drawing(drawn, preference, wide=w), key=f"cook-{w}") for w in (False, True))
    return to_svg(narrow, standalone=False), to_svg(wide, standalone=False)


def answers_of(question: str) -> Question:
    """The question of a cook, from the query it is stored as."""
    return Question.of(parse_qsl(question))


@lru_cache(maxsize=256)
def plan_of(question: str, planned_at: datetime, kitchen: Kitchen) -> Plan | None:
    """The plan behind a cook, made again; None when its question is not understood any more."""
    try:
        request = understand(answers_of(question), planned_at, replace(kitchen, units_chosen=True))
    except Misunderstood:
        return None
    return make_plan(request, offer=False)


@lru_cache(maxsize=256)
def _sheet_of(question: str, planned_at: datetime, kitchen: Kitchen) -> tuple[Task, ...]:
    """The run sheet of a plan as its page prints it: with what is known of the salt, the sear and the chill."""
    plan = plan_of(question, planned_at, kitchen)
    return () if plan is None else make_ends(plan).run_sheet


def zone_of(cook: Cook, kitchen: Kitchen) -> ZoneInfo:
    """The zone that a cook is told in: that of its plan, or the kitchen's when there is none any more."""
    plan = plan_of(cook.question, cook.planned_at, kitchen)
    return kitchen.zone if plan is None else plan.request.zone


def words_of(event: Event) -> str:
    """What an event was, in words."""
    if event.happening is Happening.DONE:
        return DONE_WORDS.get(event.text, event.text)
    return event.happening.value if not event.text else f"{event.happening.value}: {event.text}"
