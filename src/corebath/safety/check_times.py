"""Checks of time: come-up, holds below the lowest table row, outages and cooling.

A history that is chilled and warmed again is read in parts, and the worst part speaks.
"""

from __future__ import annotations

import numpy as np

from corebath.heat.history import History, seconds_above
from corebath.safety.check_kit import finding, marked_C, marked_s
from corebath.safety.cooling import cooling_limits, cooling_start_s, cooling_times, last_above_s, warm_parts
from corebath.safety.finding import Finding, Verdict
from corebath.safety.growth import growers_at
from corebath.safety.rule import Rule

# Ambients a water bath can have; the fridge, ice water and the pan lie outside.
_BATH_C = (35.0, 100.0)
# A start within this of a limit is at the limit.
_SAME_K = 0.05
# What a finding of time as the only control says of a core that gets hot.
TOLD_ONLY = "It is reported and does not bind: for a core that gets hot the come-up rule binds."


def check_come_up(history: History, rule: Rule) -> Finding:
    """Core time between two temperatures until the upper one is reached, or cooling begins."""
    low, high, limit = (rule.figures[name] for name in ("low_C", "high_C", "limit_s"))
    spent = max(_until_hot(part, high).seconds_between(low, high) for part in warm_parts(history))
    way = f"The core spends {marked_s(spent)} between {marked_C(low)} and {marked_C(high)} on its way up"
    why, verdict, start_C = f"{way}; the limit is {marked_s(limit)}.", _within(spent, limit), float(history.core_C[0])
    if verdict is Verdict.NOT_MET:
        return finding(rule, verdict, why)
    if history.core_C.max() < high:
        why = f"The core never reaches {marked_C(high)}, so this rule does not speak of it."
        return finding(rule, Verdict.NOT_KNOWN, why, binding=False)
    if start_C > low + _SAME_K:
        return finding(rule, Verdict.NOT_KNOWN, f"{why} {_warm_before(start_C, low)}", binding=False)
    return finding(rule, verdict, why)


def check_hold_below(history: History, rule: Rule) -> Finding:
    """Time out of the cold until eaten, when the core never passes the lowest temperature the tables speak of."""
    low, high, limit = (rule.figures[name] for name in ("low_C", "high_C", "limit_s"))
    spent, part = _worst_exposure(history, low, high)
    spent += rule.figures.get("after_s", 0.0)
    reached = part.first_core_above(high)
    if reached is not None:
        why = f"The core passes {marked_C(high)} after {marked_s(reached)}, so it is not held below it."
        return finding(rule, Verdict.MET, why)
    peak_C = float(part.core_C.max())
    growers = growers_at(peak_C)
    why = f"The core stays below {marked_C(high)} with the piece out of the cold for {marked_s(spent)}."
    if growers:
        why += f" At {marked_C(peak_C)} growth of {', '.join(growers)} is possible."
    return finding(rule, _within(spent, limit), why)


def check_time_control(history: History, rule: Rule) -> Finding:
    """Time out of the cold until the core is hot; where it never gets hot, until it is eaten, and then it binds."""
    low, high, limit = (rule.figures[name] for name in ("low_C", "high_C", "limit_s"))
    spent, part = _worst_exposure(history, low, high)
    hot = part.first_core_above(high) is not None
    after_s = 0.0 if hot else rule.figures.get("after_s", 0.0)
    spent += after_s
    until = f"until the core passes {marked_C(high)}" if hot else "and never gets hot"
    if after_s:
        until = f"and never gets hot, with {marked_s(after_s)} from the pull to the table"
    why = f"The piece is above {marked_C(low)} for {marked_s(spent)} {until}; the limit is {marked_s(limit)}."
    if hot:
        why += f" {TOLD_ONLY}"
    verdict, start_C = _within(spent, limit), float(history.core_C[0])
    assumed: tuple[str, ...] = (f"The piece was kept at or below {marked_C(low)} until now.",)
    if start_C > low + _SAME_K:
        assumed = ()
        why += f" {_warm_before(start_C, low)}"
        verdict = Verdict.NOT_KNOWN if verdict is Verdict.MET else verdict
    if not hot:
        assumed += ("It is eaten at once, and nothing of it is kept.",)
    return finding(rule, verdict, why, binding=rule.binding and not hot, assumptions=assumed)


def check_outage(history: History, rule: Rule) -> Finding:
    """Time any part of the piece spends below a temperature after the core was hot, before it is cooled."""
    high, limit = rule.figures["high_C"], rule.figures["limit_s"]
    hot = [part for part in warm_parts(history) if part.core_C.max() >= high]
    if not hot:
        why = f"The core never is above {marked_C(high)}, so this rule does not speak of it."
        return finding(rule, Verdict.NOT_KNOWN, why, binding=False)
    spent = max(_fallen_back_s(part, high) for part in hot)
    if spent < 1.0:
        why = f"Once hot, the piece stays above {marked_C(high)} until it is cooled or eaten."
        return finding(rule, Verdict.MET, why)
    why = f"After the core was hot, parts of the piece were below {marked_C(high)} for {marked_s(spent)}"
    return finding(rule, _within(spent, limit), f"{why}; the limit is {marked_s(limit)}.")


def check_cooling(history: History, rule: Rule) -> Finding:
    """Every stage of a cooling rule, in every part; it binds once all is decided, or a stage is overrun."""
    limits = cooling_limits(rule.figures["cooling"])
    steps = (f"{marked_C(s.from_C)} to {marked_C(s.to_C)} within {marked_s(s.limit_s)}" for s in limits)
    asked = "; ".join(steps)
    cooled = [cooling_times(part, limits) for part in warm_parts(history)]
    parts = [times for times in cooled if times]
    if not parts:
        why = f"This history does not cool the piece; to keep it, the core has to go from {asked}."
        return finding(rule, Verdict.NOT_KNOWN, why, binding=False)
    times = [time for part in parts for time in part]
    told = "; ".join(
        f"{marked_s(c.elapsed_s)} {'to' if c.finished else 'and not yet at'} {marked_C(c.limit.to_C)}" for c in times
    )
    why = f"The core took {told}; the rule asks for {asked}."
    if any(c.kept is False for c in times):
        return finding(rule, Verdict.NOT_MET, why)
    if all(c.kept for c in times) and all(part[-1].limit == limits[-1] for part in parts):
        return finding(rule, Verdict.MET, why)
    return finding(rule, Verdict.NOT_KNOWN, f"{why} The history ends before that is decided.", binding=False)


def check_bath_minimum(history: History, rule: Rule) -> Finding:
    """The bath's temperature against the lowest an authority accepts."""
    low, bath = rule.figures["low_C"], rule.figures.get("bath_C", bath_C(history))
    if bath is None:
        return finding(rule, Verdict.NOT_KNOWN, "No stage of this history looks like a water bath.")
    why = f"The bath is at {marked_C(bath)}; the lowest accepted is {marked_C(low)}."
    return finding(rule, Verdict.MET if bath >= low - 1e-6 else Verdict.NOT_MET, why)


def check_core_below(history: History, rule: Rule) -> Finding:
    """Core time between the fridge and a temperature, until the piece is cooled."""
    low, high, limit = (rule.figures[name] for name in ("low_C", "high_C", "limit_s"))
    parts = (part.until(cooling_start_s(part)) for part in warm_parts(history))
    spent = max(part.seconds_between(low, high) for part in parts)
    why = f"Before cooling, the core is below {marked_C(high)} for {marked_s(spent)}; the limit is {marked_s(limit)}."
    verdict, start_C = _within(spent, limit), float(history.core_C[0])
    if verdict is Verdict.MET and start_C > low + _SAME_K:
        return finding(rule, Verdict.NOT_KNOWN, f"{why} {_warm_before(start_C, low)}", binding=False)
    return finding(rule, verdict, why)


def check_slow_cook(history: History, rule: Rule) -> Finding:
    """Whole cooking time, warm-up included, when the bath lies in a band."""
    low, high, limit = (rule.figures[name] for name in ("low_C", "high_C", "limit_s"))
    bath = rule.figures.get("bath_C", bath_C(history))
    if bath is None:
        return finding(rule, Verdict.NOT_KNOWN, "No stage of this history looks like a water bath.")
    if not low <= bath < high:
        why = f"The bath is at {marked_C(bath)}, outside {marked_C(low)} to {marked_C(high)}."
        return finding(rule, Verdict.MET, why)
    cold = rule.figures["cold_C"]
    spent = max(_exposed_s(part.until(cooling_start_s(part)), cold) for part in warm_parts(history))
    why = f"Cooking at {marked_C(bath)} takes {marked_s(spent)} with its warm-up"
    return finding(rule, _within(spent, limit), f"{why}; the limit is {marked_s(limit)}.")


def bath_C(history: History) -> float | None:
    """The bath's temperature: the ambient's median over the time it is warm water [degC], or None."""
    step = np.diff(history.time_s)
    ambient = 0.5 * (history.ambient_C[1:] + history.ambient_C[:-1])
    inside = (ambient >= _BATH_C[0]) & (ambient <= _BATH_C[1]) & (step > 0)
    if not inside.any():
        return None
    order = np.argsort(ambient[inside])
    weight = np.cumsum(step[inside][order])
    return float(ambient[inside][order][np.searchsorted(weight, 0.5 * weight[-1])])


def _warm_before(start_C: float, low_C: float) -> str:
    """What is said of a piece that was out of the cold before its history begins."""
    return f"It was at {marked_C(start_C)} before; how long it had been above {marked_C(low_C)} is not known."


def _within(spent_s: float, limit_s: float) -> Verdict:
    return Verdict.MET if spent_s <= limit_s else Verdict.NOT_MET


def _until_hot(part: History, hot_C: float) -> History:
    """A part up to where its core is hot, or to where it begins to cool when it never is."""
    reached = part.first_core_above(hot_C)
    return part.until(cooling_start_s(part) if reached is None else reached)


def _worst_exposure(history: History, cold_C: float, hot_C: float) -> tuple[float, History]:
    """Longest time out of the cold until hot, and its part; parts that never get hot come before others."""
    exposures = []
    for part in warm_parts(history):
        reached = part.first_core_above(hot_C)
        spent = _exposed_s(part if reached is None else part.until(reached), cold_C)
        exposures.append((reached is None and spent > 0.0, spent, part))
    _, spent, part = max(exposures, key=lambda e: e[:2])
    return spent, part


def _fallen_back_s(part: History, hot_C: float) -> float:
    """Time between the first and the last moment of a hot core that some part was not hot [s]."""
    start = part.first_core_above(hot_C) or 0.0
    end = last_above_s(part.time_s, part.core_C, hot_C)
    inner = part.time_s[(part.time_s > start) & (part.time_s < end)]
    times = np.concatenate([[start], inner, [max(start, end)]])
    coldest = np.interp(times, part.time_s, part.coldest_C)
    return float(times[-1] - times[0]) - seconds_above(times, coldest, hot_C)


def _exposed_s(part: History, cold_C: float) -> float:
    """Time the core or the surface is above the cold limit [s]."""
    return seconds_above(part.time_s, part.warmest_C, cold_C)
