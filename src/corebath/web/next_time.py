"""What the log teaches: the rated cooks as learning needs them, and the one change for next time."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime, timedelta

from corebath.ask.question import Question
from corebath.ask.restate import restated
from corebath.log.cook import Cook, Rating
from corebath.log.gear import Kitchen
from corebath.log.learn import Proposal, propose, replay
from corebath.log.learn_advice import advice, moved_words
from corebath.log.learn_cooked import cooked_outcome, named_apart
from corebath.log.learn_taste import CookedOutcome
from corebath.log.store import Store
from corebath.plan.request import BadRequest, Request
from corebath.show.scale import day_label

from .cook_view import answers_of, plan_of

_MOST = 200
_WEEK = timedelta(days=7)


def rated(store: Store, kitchen: Kitchen) -> list[CookedOutcome]:
    """Every rated cook that can be learned from, the earliest first."""
    return [outcome for _, outcome in _rated(store, kitchen)]


def outcome_of(cook: Cook, kitchen: Kitchen, last: Rating | None = None) -> CookedOutcome | None:
    """One cook as learning and comparison need it, None when its plan or its time is not known."""
    plan = plan_of(cook.question, cook.planned_at, kitchen)
    if plan is None:
        return None
    try:
        return cooked_outcome(
            plan, cook.rating or Rating(), name=f"{cook.name} of {day_label(cook.cooked_at.astimezone(kitchen.zone))}",
            cooked_at=cook.cooked_at, bath_s=cook.bath_s, last=last, timed=cook.bath_s is not None,
        )  # fmt: skip
    except ValueError:
        return None


def proposal(
    cook: Cook, store: Store, kitchen: Kitchen, now: datetime
) -> tuple[Proposal, str, Question, tuple[tuple[str, str], ...]] | None:
    """What to do with the next cook of this food, in words too, the question that asks for it, and how it moved."""
    request = _again(cook, kitchen, now)
    if request is None:
        return None
    known = list(_rated(store, kitchen))
    numbers = [number for number, _ in known]
    cooks = named_apart([outcome for _, outcome in known], kitchen.zone, numbers)
    try:
        found = propose(cooks, request)
        moved = replay(cooks, request)
    except ValueError:
        return None  # outside what is planned, or pulled before it came up
    question = restated(answers_of(cook.question), found.request).changed(eat="")
    mine = outcome_of(cook, kitchen)
    if mine is not None:
        same = (one.name for number, one in zip(numbers, cooks, strict=True) if number == cook.id)
        mine = replace(mine, name=next(same, mine.name))
    words = advice(found.suggestion, mine if mine is not None and mine.timed else None)
    return found, words, question, tuple((m.after, moved_words(m)) for m in moved)


def _rated(store: Store, kitchen: Kitchen) -> Iterator[tuple[int, CookedOutcome]]:
    """Their numbers with them."""
    last: Rating | None = None
    for cook in reversed(store.cooks(most=_MOST).cooks):
        if cook.rating is None:
            continue
        outcome = outcome_of(cook, kitchen, last)
        # With what its note says: "better" of the next cook is better than that.
        last = cook.rating if outcome is None else outcome.rating
        if outcome is not None and cook.id is not None:
            yield cook.id, outcome


def _again(cook: Cook, kitchen: Kitchen, now: datetime) -> Request | None:
    """The cook's own request, for a table a week or more from now."""
    plan = plan_of(cook.question, cook.planned_at, kitchen)
    if plan is None:
        return None
    table = plan.request.table_time
    while table < now + _WEEK:
        table += _WEEK
    try:
        return replace(plan.request, table_time=table, now=now, bath_s=None)
    except BadRequest:
        return None
