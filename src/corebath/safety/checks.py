"""Checks: the ways a rule is read off a history."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType

from corebath.heat.history import History
from corebath.safety.check_kit import finding, marked_C, marked_limit_C, marked_s
from corebath.safety.check_times import (
    check_bath_minimum,
    check_come_up,
    check_cooling,
    check_core_below,
    check_hold_below,
    check_outage,
    check_slow_cook,
    check_time_control,
)
from corebath.safety.cooling import cooling_start_s
from corebath.safety.finding import Finding, Verdict
from corebath.safety.growth import growth_log10, growth_models
from corebath.safety.lethality import Floats
from corebath.safety.rule import Rule


def check_core(history: History, rule: Rule) -> Finding:
    """The rule's heat treatment, integrated at the core."""
    return _lethality(history.time_s, history.core_C, "core", rule)


def check_surface(history: History, rule: Rule) -> Finding:
    """The rule's heat treatment, integrated at the surface."""
    return _lethality(history.time_s, history.surface_C, "surface", rule)


def check_assumed(_: History, rule: Rule) -> Finding:
    """Met by something the cook has told, not by the history."""
    return finding(rule, Verdict.MET, rule.why)


def check_not_known(_: History, rule: Rule) -> Finding:
    """Outside what the rule's authority printed."""
    return finding(rule, Verdict.NOT_KNOWN, rule.why)


def check_growth(history: History, rule: Rule) -> Finding:
    """Growth at the core, before the core begins to cool ("come-up") or after ("cooling")."""
    model = growth_models()[rule.figures["model"]]
    limit = rule.figures["limit_log10"]
    before = history.until(cooling_start_s(history))
    grown = float(growth_log10(before.time_s, before.core_C, model)[-1])
    if rule.figures["part"] == "cooling":
        if before.duration_s >= history.duration_s:
            why = "This history does not cool the piece, so nothing is known of growth on the way down."
            return finding(rule, Verdict.NOT_KNOWN, why, binding=False)
        grown = float(growth_log10(history.time_s, history.core_C, model)[-1]) - grown
    grows = f"Without any lag {model.organism} could grow by {grown:.1f} log at the core"
    why = f"{grows}; the limit is {limit:g}."
    if grown <= limit:
        return finding(rule, Verdict.MET, why)
    return finding(rule, Verdict.NOT_KNOWN, f"{why} The lag that would lower the figure is not known.")


def _lethality(time_s: Floats, temperature_C: Floats, where: str, rule: Rule) -> Finding:
    table = rule.lethality
    if table is None:
        raise ValueError(f"rule {rule.key} names no heat treatment")
    achieved = float(table.achieved(time_s, temperature_C)[-1])
    peak_C = float(temperature_C.max())
    if achieved >= 1.0:
        at = table.met_at_s(time_s, temperature_C)
        when = "" if at is None else f" after {marked_s(at)}"
        why = f"The {where} has had the whole treatment{when}, with a peak of {marked_C(peak_C)}."
        return finding(rule, Verdict.MET, why, achieved=achieved, met_at_s=at)
    lowest = marked_limit_C(table.lowest_C)
    if peak_C < table.lowest_C and marked_limit_C(peak_C) == lowest:
        why = f"The {where} stays just short of {lowest}, the lowest temperature that counts."
    elif peak_C < table.lowest_C:
        why = f"The {where} peaks at {marked_C(peak_C)}; time below {lowest} does not count."
    else:
        why = f"The {where} peaks at {marked_C(peak_C)} and has had {_percent(achieved)} of the treatment."
    return finding(rule, Verdict.NOT_MET, why, achieved=achieved)


def _percent(share: float) -> str:
    """A share short of the whole; never rounded up to it."""
    return f"{min(int(share * 100.0), 99)} %"


Check = Callable[[History, Rule], Finding]

CHECKS: Mapping[str, Check] = MappingProxyType(
    {
        "core": check_core,
        "surface": check_surface,
        "assumed": check_assumed,
        "not-known": check_not_known,
        "growth": check_growth,
        "come-up": check_come_up,
        "hold-below": check_hold_below,
        "time-control": check_time_control,
        "outage": check_outage,
        "cooling": check_cooling,
        "bath-minimum": check_bath_minimum,
        "core-below": check_core_below,
        "slow-cook": check_slow_cook,
    }
)
