"""Choosing: the set point for a wanted result, and how long the food must and may stay."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import lru_cache
from math import inf, isfinite, sqrt

import numpy as np

from corebath.food.catalogue import Food
from corebath.heat.body import Body
from corebath.heat.grid import Array
from corebath.heat.history import History
from corebath.heat.stage import Stage
from corebath.outcome.results import Result, results_for
from corebath.outcome.tenderness import is_tough, tough_done_hours_at
from corebath.outcome.vegetables import has_firmness, time_to_soften_s
from corebath.safety.finding import Finding, Verdict
from corebath.safety.lethality import LethalityRule
from corebath.safety.rules import binding_lethality, judge, rules_for

from .data import Pace, defaults, pace_of
from .piece import Piece, plain_piece
from .plan import Governs, Window
from .request import Request
from .timing import Span, Timing, time_piece

Dip = tuple[Array, Array]
LOOK_AHEAD_S = 4 * 3600.0  # past the last time that matters, to say when a rule would be met


@dataclass(frozen=True, slots=True)
class Choice:
    """A set point with the piece, the timing, the window and the cautious history that follow from it."""

    set_point_C: float
    result: Result | None
    piece: Piece
    timing: Timing
    window: Window
    cautious: History


def choose(request: Request) -> Choice:
    """The set point for a request: the one given, or the nearest to the result's usual one that the rules allow.

    Inside the result's band the usual set point is tried first, then hotter, then cooler; the first whose
    binding lethality is met within the texture window is taken. When none is, the usual one is returned and
    the plan says what fails.
    """
    if request.set_point_C is not None:
        return choice_at(request, request.set_point_C, request.result or result_at(request, request.set_point_C))
    result = request.result
    assert result is not None
    first = choice_at(request, _usual_C(request, result), result)
    if _in_time(first):
        return first
    rules = binding_lethality(request.subject, request.authority)
    for set_point_C in _others(request, result):
        if set_point_C > request.highest_set_point_C:
            continue
        # Not even a piece that is hot at once would be held long enough there.
        if any(rule.hold_s(set_point_C) > result.hold_high_s for rule in rules):
            continue
        other = choice_at(request, set_point_C, result)
        if _in_time(other):
            return other
    return first


def choice_at(
    request: Request, set_point_C: float, result: Result | None, told: tuple[LethalityRule, ...] = ()
) -> Choice:
    """Piece, timing and window at one set point [degC]; told : rules whose times are wanted although none binds."""
    rules = binding_lethality(request.subject, request.authority)
    piece, timing = _timed(
        request.lying_together, request.food, request.from_C, set_point_C - request.probe_offset_K, rules, told
    )
    window = _window(request, set_point_C, result, timing)
    ends = [request.bath_s or 0.0, timing.come_up.cautious_s, window.ready_s, window.latest_s]
    cautious = timing.cautious.history(max(s for s in ends if isfinite(s)) + LOOK_AHEAD_S)
    window = _by_the_rules(request, set_point_C, cautious, window)
    return Choice(set_point_C, result, piece, timing, window, cautious)


@lru_cache(maxsize=128)
def _timed(
    body: Body,
    food: Food,
    start_C: float,
    bath_C: float,
    rules: tuple[LethalityRule, ...],
    told: tuple[LethalityRule, ...],
) -> tuple[Piece, Timing]:
    """A piece and its times. Kept, since neighbouring plans often ask for the same piece at other table times."""
    piece = plain_piece(body, food, start_C, bath_C)
    return piece, time_piece(piece, rules, told)


def judged(request: Request, set_point_C: float, cautious: History) -> tuple[Finding, ...]:
    """Every rule on a history that ends at the pull; the time to the table counts where it has to.

    A rule on the bath is held to the set point, less what the thermometer reads too high.
    """
    return judge(
        cautious,
        request.subject,
        request.authority,
        after_s=pace_of(request.food.texture).finishing_s,
        bath_C=set_point_C - request.probe_offset_K,
    )


def in_dipping_bath(request: Request, choice: Choice, nominal: Dip, cautious: Dip, wait: Stage | None = None) -> Choice:
    """The choice with a bath that falls when the food goes in: every time is put off by what the dip costs.

    nominal, cautious : times and fall of the bath [s], [K], for the nominal and the cautious piece
    wait : ice water in which the food waits; the fall is then that of a bath which still has to warm up
    """
    piece = replace(choice.piece, dip_K=nominal, wait=wait)
    slow = replace(choice.timing.cautious, dip_K=cautious, wait=wait)
    finite = [s for s in (choice.timing.governing_s, choice.window.latest_s) if isfinite(s)]
    longest_s = max([request.bath_s or 0.0, choice.timing.come_up.cautious_s, *finite]) + LOOK_AHEAD_S
    if wait is not None:
        longest_s += float(cautious[0][-1])
    before = (choice.piece.history(longest_s), choice.cautious)
    after = (piece.history(longest_s), slow.history(longest_s))
    rules = {r.key: r for r in binding_lethality(request.subject, request.authority)}
    within = defaults()["come_up"]["within_K"]

    def hot(history: History, bath_C: float) -> float | None:
        return history.first_core_above(bath_C - within)

    baths = (piece.bath_C, slow.bath_C)
    come_up = _put_off(choice.timing.come_up, [
        _later(hot(b, bath), hot(a, bath)) for b, a, bath in zip(before, after, baths, strict=True)
    ])  # fmt: skip
    lethality = {
        key: _put_off(span, [
            _later(rules[key].met_at_s(b.time_s, b.core_C), rules[key].met_at_s(a.time_s, a.core_C))
            for b, a in zip(before, after, strict=True)
        ])
        for key, span in choice.timing.lethality.items()
    }  # fmt: skip
    timing = Timing(come_up, lethality, slow)
    window = _window(request, choice.set_point_C, choice.result, timing)
    window = _by_the_rules(request, choice.set_point_C, after[1], window)
    return Choice(choice.set_point_C, choice.result, piece, timing, window, after[1])


def _later(before_s: float | None, after_s: float | None) -> float:
    """Delay of a moment [s]; endless when it does not come any more, none when it never came."""
    if before_s is None:
        return 0.0
    return inf if after_s is None else max(after_s - before_s, 0.0)


def _put_off(span: Span, delays_s: list[float]) -> Span:
    nominal, cautious = delays_s
    return Span(span.early_s + nominal, span.nominal_s + nominal, span.cautious_s + cautious)


def result_at(request: Request, set_point_C: float) -> Result | None:
    """The result whose band holds a set point [degC], the narrowest when several do; None when no name fits."""
    fitting = [r for r in results_for(request.food.texture) if r.low_C <= set_point_C <= r.high_C]
    return min(fitting, key=lambda r: r.high_C - r.low_C, default=None)


def _usual_C(request: Request, result: Result) -> float:
    """The usual set point on the heater's steps, or the highest below it that keeps clear of boiling [degC]."""
    usual_C, highest_C = request.on_step(result.set_point_C), request.on_step(request.highest_set_point_C)
    if highest_C > request.highest_set_point_C:
        highest_C -= request.step_K
    return highest_C if result.low_C <= highest_C < usual_C else usual_C


def _others(request: Request, result: Result) -> Iterator[float]:
    first_C, step_K = request.on_step(result.set_point_C), request.step_K
    hotter = np.arange(first_C + step_K, result.high_C + 1e-6, step_K)
    cooler = np.arange(first_C - step_K, result.low_C - 1e-6, -step_K)
    yield from (request.on_step(float(x)) for x in (*hotter, *cooler))


def _in_time(choice: Choice) -> bool:
    return choice.window.ready_s <= choice.window.latest_s < inf


def _window(request: Request, set_point_C: float, result: Result | None, timing: Timing) -> Window:
    pace = pace_of(request.food.texture)
    softening_s = _softening_s(request, pace, set_point_C, result, timing.come_up.nominal_s)
    spans = list(timing.lethality.values())
    by_recipe = pace.pace == "window" and softening_s > 0
    if not by_recipe:
        spans.append(timing.come_up)
    heat_s = 0.0 if by_recipe else timing.come_up.cautious_s
    safety_s = max((s.cautious_s for s in timing.lethality.values()), default=0.0)
    ready_s = max(heat_s, safety_s, softening_s)
    if ready_s == safety_s and safety_s > heat_s:
        governs = Governs.SAFETY
    elif ready_s == softening_s:
        governs = Governs.RECIPE if by_recipe else Governs.TENDERNESS
    else:
        governs = Governs.HEAT
    latest_s = max(result.hold_high_s, ready_s) if result is not None else ready_s + 3600
    return Window(
        early_s=max([s.early_s for s in spans] + [softening_s]),
        nominal_s=max([s.nominal_s for s in spans] + [softening_s]),
        ready_s=ready_s,
        latest_s=latest_s,
        governs=governs,
        softening_s=softening_s,
    )


def _softening_s(request: Request, pace: Pace, set_point_C: float, result: Result | None, come_up_s: float) -> float:
    """Time from drop-in that the texture asks for; 0 for food that is ready when hot [s]."""
    if pace.pace == "heat" or result is None:
        return 0.0
    if pace.pace == "window":
        return sqrt(result.hold_low_s * result.hold_high_s)
    texture = request.food.texture
    if is_tough(texture):
        done_s = come_up_s + float(tough_done_hours_at(set_point_C)) * 3600
    elif has_firmness(texture):
        done_s = come_up_s + float(time_to_soften_s(texture, set_point_C))
    else:
        done_s = result.hold_low_s
    return min(max(done_s, result.hold_low_s), result.hold_high_s) if isfinite(done_s) else result.hold_low_s


def _by_the_rules(request: Request, set_point_C: float, cautious: History, window: Window) -> Window:
    """The window with its ends where the cautious history has met the rules, and breaks none more."""
    if isfinite(window.ready_s):
        # The cautious piece stands for the sampled ones to first order: it may be a little later than they are. A
        # surface that no sear follows has its own treatment to wait for.
        where = {"core": cautious.core_C, "surface": cautious.surface_C}
        met = [
            rule.lethality.met_at_s(cautious.time_s, where[rule.check]) or 0.0
            for rule in rules_for(request.subject, request.authority)
            if rule.binding and rule.lethality is not None and rule.check in where
        ]
        ready_s = max([window.ready_s, *met])
        governs = Governs.SAFETY if ready_s > 1.02 * window.ready_s else window.governs
        window = replace(window, ready_s=ready_s, latest_s=max(window.latest_s, ready_s), governs=governs)
    return replace(window, latest_s=_within_rules(request, set_point_C, cautious, window))


def _within_rules(request: Request, set_point_C: float, cautious: History, window: Window) -> float:
    """The latest time that breaks no more binding rules than `ready_s`: growth limits cut a hold short [s]."""
    ready_s, latest_s = window.ready_s, window.latest_s
    if not isfinite(ready_s) or latest_s <= ready_s:
        return latest_s

    def broken(at_s: float) -> int:
        findings = judged(request, set_point_C, cautious.until(at_s))
        return sum(f.binding and f.verdict is not Verdict.MET for f in findings)

    allowed = broken(ready_s)
    if broken(latest_s) <= allowed:
        return latest_s
    low, high = ready_s, latest_s
    while high - low > 60:
        middle = (low + high) / 2
        if broken(middle) <= allowed:
            low = middle
        else:
            high = middle
    return low
