"""One change for next time: what would suit this cook better, how sure that is, and what it would do."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

import numpy as np
from numpy.typing import NDArray

from corebath.outcome.results import Result
from corebath.plan.make import make_plan
from corebath.plan.plan import Part, Plan
from corebath.plan.request import BadRequest, Request

from .learn_cooked import settings_of
from .learn_drive import QUALITIES, Settings, figures
from .learn_levers import Change, candidates
from .learn_say import (
    Effect,
    Sureness,
    confidence_said,
    effects_said,
    exchange_said,
    lean_said,
    stop_if,
    sureness_of,
)
from .learn_taste import CookedOutcome, Learned, learn, nearest_result, pool_of, wish_of
from .learn_trade import trade_said

Floats = NDArray[np.float64]
Refuse = Callable[[Settings], str | None]
ComeUp = Callable[[Settings], float]
_REFUSING = (Part.SAFETY, Part.WATER)


@dataclass(frozen=True, slots=True)
class Suggestion:
    """The best single change from some settings.

    base, cook : where it starts, and the cook that was made so, None before any of this food
    change : the one change, None to cook it the same again;  to : the settings then
    better : probability that the change brings the ratings nearer to just right, None without a change
    cooks : rated cooks of this food;  refused : changes that promised more, each with why it is not proposed
    barred : why the base itself cannot be proposed, empty when it can; a change is then made for that, not for taste
    """

    base: Settings
    cook: CookedOutcome | None
    change: Change | None
    to: Settings
    better: float | None
    cooks: int
    refused: tuple[str, ...] = ()
    barred: str = ""

    @property
    def stands(self) -> bool:
        """Whether there is anything to propose."""
        return self.change is not None or not self.barred

    @property
    def sureness(self) -> Sureness:
        """How sure it is, in a word."""
        return sureness_of(self.better, self.cooks)


@dataclass(frozen=True, slots=True)
class Proposal:
    """What to change next time: one thing, or nothing.

    request : the next plan, filled in;  plan : the plan it makes, None when nothing was filled in
    suggestion : the change and where it starts;  learned : what stands behind it, by quality
    effects : what is expected of each rating before and after
    trade : what the change gains and costs, one sentence each, empty without a change for taste
    confidence : a sentence or two;  stop_if : one sentence, empty without a change
    statements : what was learned and what to know;  questions : what the cook could answer to make it surer
    """

    request: Request
    plan: Plan | None
    suggestion: Suggestion
    learned: dict[str, Learned]
    effects: tuple[Effect, ...]
    trade: tuple[str, ...]
    confidence: str
    stop_if: str
    statements: tuple[str, ...]
    questions: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Moved:
    """How the proposal stood after one more cook. after, cooked_at : that cook;  suggestion : what followed"""

    after: str
    cooked_at: datetime
    suggestion: Suggestion


def propose(cooks: Sequence[CookedOutcome], request: Request) -> Proposal:
    """At most one change for the next cook of the requested food, checked against every binding rule.

    cooks : everything rated so far, in any order; foods of other pools, and cooks that are not timed, are passed over
    request : the next question; its result, or the one nearest its set point, is what the ratings aim at

    It starts from the cook that came nearest, and changes one of set point, hours, salt, pan heat and surface.
    What was just right at that setting is left as it is. Hours are hours at temperature, so a thicker piece
    gets its longer come-up. Raises BadRequest as `make_plan` does for a request that cannot be planned.
    """
    kitchen = _Kitchen(request)
    result = _aim(request)
    cooks = _counted(cooks, request)
    learned = learn(cooks, request.food.texture, request.food.kind, result)
    suggestion = suggest(
        cooks, request.food.texture, request.food.kind, result, learned=learned,
        usual=kitchen.usual, come_up_s=kitchen.come_up_s, refuse=kitchen.refuse,
    )  # fmt: skip
    filled = suggestion.stands and (suggestion.cook is not None or suggestion.change is not None)
    chosen = kitchen.request(suggestion.to) if filled else request
    plan = kitchen.plan(suggestion.to) if filled else None
    effects = effects_said(learned, suggestion.base, suggestion.to)
    statements = list(_said(suggestion, learned))
    if plan is not None:
        statements += [f.why for f in plan.failures if f.part not in _REFUSING]
    return Proposal(
        request=chosen,
        plan=plan,
        suggestion=suggestion,
        learned=learned,
        effects=effects,
        trade=() if suggestion.change is None or suggestion.barred else trade_said(effects, suggestion.cook),
        confidence=_confidence(suggestion, request),
        stop_if=stop_if(suggestion.change, suggestion.base) if suggestion.change is not None else "",
        statements=tuple(statements),
        questions=_questions(cooks, request),
    )


def replay(cooks: Sequence[CookedOutcome], request: Request) -> tuple[Moved, ...]:
    """How the proposal for one request moved: what it was after each cook of that food, in the order cooked."""
    kitchen, result = _Kitchen(request), _aim(request)
    texture, kind = request.food.texture, request.food.kind
    ordered = sorted(_counted(cooks, request), key=lambda c: c.cooked_at)
    moved = []
    for i, cook in enumerate(ordered):
        if (cook.texture, cook.kind) == (texture, kind):
            suggestion = suggest(
                ordered[: i + 1], texture, kind, result,
                usual=kitchen.usual, come_up_s=kitchen.come_up_s, refuse=kitchen.refuse,
            )  # fmt: skip
            moved.append(Moved(cook.name, cook.cooked_at, suggestion))
    return tuple(moved)


def suggest(
    cooks: Sequence[CookedOutcome], texture: str, kind: str, result: Result, *, usual: Settings,
    come_up_s: ComeUp | None = None, learned: dict[str, Learned] | None = None,
    refuse: Refuse = lambda _: None,
) -> Suggestion:  # fmt: skip
    """The best single change, whatever the request; `propose` is this with the rules asked.

    usual : where to start before any cook of this food
    come_up_s : of the next piece in a bath set as that cook was [s], as the cook's by default
    refuse : why settings cannot be proposed, or None when they can
    """
    learned = learn(cooks, texture, kind, result) if learned is None else learned
    mine = sorted((c for c in cooks if _counts(c, texture, kind, result)), key=lambda c: c.cooked_at)
    told = {q: one for q, one in learned.items() if (one.count if mine else one.elsewhere)}
    cook = _nearest(mine, told) if mine else None
    base = usual if cook is None else cook.settings
    if cook is not None and come_up_s is not None:
        base = replace(base, come_up_s=come_up_s(base))
    barred = refuse(base) or ""
    nothing = Suggestion(base, cook, None, base, None, len(mine), barred=barred)
    if not told or (not barred and cook is not None and _just_right(cook, mine)):
        return nothing
    tried = list(candidates(base, texture, result))
    gains = _gains(learned, told, base, [to for _, to in tried])
    refused: list[str] = []
    for i in np.argsort(-gains, kind="stable"):
        # When the base itself is barred, the change that costs the cook least will do.
        if not np.isfinite(gains[i]) or (gains[i] < figures()["advice"]["least_gain"] and not barred):
            break
        change, to = tried[i]
        why = refuse(to)
        if why is None:
            return replace(
                nothing,
                change=change,
                to=to,
                better=_better(learned, told, base, to),
                refused=tuple(refused),
            )
        if not barred and len(refused) < figures()["advice"]["most_refused"]:
            refused.append(f"{change.words} Not proposed: {why}")
    return replace(nothing, refused=tuple(refused))


def misfit(learned: dict[str, Learned], settings: Sequence[Settings]) -> Floats:
    """Expected squared distance from just right, summed over the qualities known there, shape (n,) [steps2]."""
    total = np.zeros(len(settings))
    for one in learned.values():
        seen = one.foresee(settings)
        total += np.nan_to_num(seen.mean**2 + seen.sd**2 + seen.beyond * one.measure.beyond**2)
    return total


def _gains(learned: dict[str, Learned], told: dict[str, Learned], base: Settings, to: Sequence[Settings]) -> Floats:
    """Expected gain of each change, shape (n,) [steps2]; NaN into the unknown.

    A quality nobody rated counts as right where it is: only moving it costs.
    """
    won = np.zeros(len(to))
    for quality, one in learned.items():
        seen = one.foresee([base, *to])
        if not np.isfinite(seen.mean[0]):
            continue
        if quality in told:
            off = seen.mean**2 + seen.sd**2 + seen.beyond * one.measure.beyond**2
            won += off[0] - off[1:]
        else:
            won -= (seen.moved**2 + seen.moved_sd**2)[1:]
    return won


def _better(learned: dict[str, Learned], told: dict[str, Learned], base: Settings, to: Settings) -> float:
    """Probability that a change comes nearer to just right, by the same measure as its gain."""
    won = np.zeros(figures()["advice"]["draws"])
    for quality, one in learned.items():
        seen = one.foresee([base, to])
        if not np.isfinite(seen.mean[0]):
            continue
        u = one.draws(seen)
        if quality in told:
            beyond = seen.beyond * one.measure.beyond**2
            won += u[:, 0] ** 2 + beyond[0] - u[:, 1] ** 2 - beyond[1]
        else:
            won -= (u[:, 1] - u[:, 0]) ** 2
    return float((won > 0).mean())


def _nearest(mine: list[CookedOutcome], told: dict[str, Learned]) -> CookedOutcome:
    """The cook to start from: the last one when nothing was wrong with it, else the one the model thinks nearest."""
    if faultless(mine[-1]):
        return mine[-1]
    off = misfit(told, [c.settings for c in mine])
    return mine[len(mine) - 1 - int(np.argmin(off[::-1]))]


def _just_right(cook: CookedOutcome, mine: list[CookedOutcome]) -> bool:
    """Whether every cook made like this one was just right in all that was told."""
    return all(faultless(other) for other in mine if alike(cook.settings, other.settings))


def faultless(cook: CookedOutcome) -> bool:
    """Whether a cook was rated, and just right in all that was told."""
    told = [cook.told(q) for q in QUALITIES]
    return any(told) and all(t in (None, (0, 0)) for t in told)


def alike(a: Settings, b: Settings) -> bool:
    """Whether two cooks were set the same, but for what counts as the same."""
    same = (a.salt_percent, a.pan, a.pan_C, a.surface) == (b.salt_percent, b.pan, b.pan_C, b.surface)
    as_hot = abs(a.set_point_C - b.set_point_C) < figures()["levers"]["step_K"] / 2
    return same and as_hot and abs(a.hours / b.hours - 1) <= figures()["advice"]["same_hours"]


def _aim(request: Request) -> Result:
    """The result the ratings aim at."""
    if request.result is not None:
        return request.result
    assert request.set_point_C is not None
    return nearest_result(request.food.texture, request.set_point_C)


def _counted(cooks: Sequence[CookedOutcome], request: Request) -> list[CookedOutcome]:
    pool = pool_of(request.food.kind)
    return [c for c in cooks if c.timed and pool_of(c.kind) == pool and any(c.told(q) for q in QUALITIES)]


def _counts(cook: CookedOutcome, texture: str, kind: str, result: Result) -> bool:
    """Whether a cook is one of this food after this result, and so one to start from."""
    return (cook.texture, cook.kind) == (texture, kind) and wish_of(cook, result).key == result.key


def _said(suggestion: Suggestion, learned: dict[str, Learned]) -> Iterator[str]:
    cook = suggestion.cook
    if suggestion.barred:
        yield f"As it was cooked, a rule of the plan is not met: {suggestion.barred}"
        yield (
            "No single modest change mends that, so nothing is proposed: plan it anew."
            if suggestion.change is None
            else "The change is made for that rule, not for taste."
        )
    if not suggestion.stands:
        return
    if cook is not None:
        yield f"Starts from {cook.name}, which the ratings and the models together put nearest to just right."
    if suggestion.change is None:
        yield (
            "Nothing is rated that would speak for a change: the plan stays as practice has it."
            if cook is None
            else "No single change from there promises enough."
        )
    else:
        yield suggestion.change.words
    yield from lean_said(learned)
    yield from exchange_said(learned, suggestion.base)
    yield from suggestion.refused
    if suggestion.cooks and suggestion.cooks < figures()["advice"]["few_cooks"]:
        yield "Each cook was another animal: part of what changed between them is chance, and nothing here tells which."


def _confidence(suggestion: Suggestion, request: Request) -> str:
    said = confidence_said(suggestion.better, suggestion.sureness, suggestion.cooks, request.food.name)
    return f"For taste: {said[0].lower()}{said[1:]}" if suggestion.barred and suggestion.change is not None else said


def _questions(cooks: list[CookedOutcome], request: Request) -> tuple[str, ...]:
    """What the notes of this food's cooks leave open, the latest first."""
    mine = [c for c in cooks if (c.texture, c.kind) == (request.food.texture, request.food.kind)]
    latest = sorted(mine, key=lambda c: c.cooked_at, reverse=True)
    asked = list(dict.fromkeys(f"{c.name}: {q}" for c in latest for q in c.questions))
    return tuple(asked[: figures()["advice"]["most_questions"]])


class _Kitchen:
    """Plans for one request at any settings, each made once."""

    def __init__(self, request: Request) -> None:
        self._asked = request
        self._plans: dict[Settings, Plan | str] = {}
        first = make_plan(request, offer=False)
        self.usual = settings_of(first, first.bath_s)
        self._come_ups = {first.set_point_C: self.usual.come_up_s}

    def come_up_s(self, settings: Settings) -> float:
        """Come-up of the next piece in a bath so hot; that of the usual bath where no plan can be made [s]."""
        set_point_C = settings.set_point_C
        if set_point_C not in self._come_ups:
            try:
                plan = make_plan(replace(self._asked, set_point_C=set_point_C, bath_s=None), offer=False)
                self._come_ups[set_point_C] = settings_of(plan, plan.bath_s).come_up_s
            except ValueError:
                self._come_ups[set_point_C] = self.usual.come_up_s
        return self._come_ups[set_point_C]

    def request(self, settings: Settings) -> Request:
        """The request filled with settings, the bath to the minute."""
        salt = settings.salt_percent if settings.salt_percent is not None else self._asked.salt_percent
        return replace(
            self._asked,
            set_point_C=settings.set_point_C,
            bath_s=60.0 * round(settings.bath_s / 60.0),
            salt_percent=salt,
            pan=settings.pan,
            pan_C=settings.pan_C,
            surface=settings.surface if settings.surface is not None else self._asked.surface,
        )

    def plan(self, settings: Settings) -> Plan | None:
        """The plan at settings, None where none can be made."""
        made = self._made(settings)
        return made if isinstance(made, Plan) else None

    def refuse(self, settings: Settings) -> str | None:
        """Which binding rule, or which limit of the bath, speaks against settings; None when nothing does."""
        made = self._made(settings)
        if isinstance(made, str):
            return made
        why = [f"{f.title}: {f.verdict}. {f.why}" for f in made.broken]
        why += [f.why for f in made.failures if f.part in _REFUSING]
        return why[0] if why else None

    def _made(self, settings: Settings) -> Plan | str:
        if settings not in self._plans:
            try:
                self._plans[settings] = make_plan(self.request(settings), offer=False)
            except BadRequest as error:
                self._plans[settings] = f"{error}."
        return self._plans[settings]
