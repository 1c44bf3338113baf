"""Checks: the ways a rule is read off a history."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from corebath.heat.history import History
from corebath.safety.finding import Finding, Verdict
from corebath.safety.rule import Rule
from corebath.units import mark

Check = Callable[[History, Rule], Finding]


def finding(
    rule: Rule,
    verdict: Verdict,
    why: str,
    *,
    binding: bool | None = None,
    achieved: float | None = None,
    met_at_s: float | None = None,
) -> Finding:
    """A finding of a rule, its escalation told after the reason."""
    return Finding(
        rule=rule.key,
        title=rule.title,
        verdict=verdict,
        binding=rule.binding if binding is None else binding,
        why=f"{why} {rule.escalation}".rstrip(),
        source=rule.source,
        assumptions=rule.assumptions,
        achieved=achieved,
        met_at_s=met_at_s,
    )


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


def _lethality(
    time_s: NDArray[np.float64], temperature_C: NDArray[np.float64], where: str, rule: Rule
) -> Finding:
    table = rule.lethality
    if table is None:
        raise ValueError(f"rule {rule.key} names no heat treatment")
    achieved = float(table.achieved(time_s, temperature_C)[-1])
    peak_C = float(temperature_C.max())
    if achieved >= 1.0:
        at = table.met_at_s(time_s, temperature_C)
        when = "" if at is None else f" after {mark(at, 's')}"
        why = f"The {where} has had the whole treatment{when}, with a peak of {mark(peak_C, 'C')}."
        return finding(rule, Verdict.MET, why, achieved=achieved, met_at_s=at)
    if peak_C < table.lowest_C:
        why = f"The {where} peaks at {mark(peak_C, 'C')}; it earns nothing below {mark(table.lowest_C, 'C')}."
    else:
        why = f"The {where} peaks at {mark(peak_C, 'C')} and has had {achieved:.0%} of the treatment."
    return finding(rule, Verdict.NOT_MET, why, achieved=achieved)


CHECKS: Mapping[str, Check] = MappingProxyType(
    {
        "core": check_core,
        "surface": check_surface,
        "assumed": check_assumed,
        "not-known": check_not_known,
    }
)
