"""Safety: named rules of named authorities, read off a history."""

from __future__ import annotations

from corebath.safety.authority import Authority
from corebath.safety.finding import Finding, Verdict
from corebath.safety.lethality import LethalityRule, log10_reduction
from corebath.safety.rule import Rule
from corebath.safety.rules import binding_lethality, judge, reported_lethality, rules_for
from corebath.safety.subject import Subject

__all__ = [
    "Authority",
    "Finding",
    "LethalityRule",
    "Rule",
    "Subject",
    "Verdict",
    "binding_lethality",
    "judge",
    "log10_reduction",
    "reported_lethality",
    "rules_for",
]
