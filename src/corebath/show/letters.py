"""Letters for rules, the same on every chart of a plan."""

from __future__ import annotations

from corebath.plan.plan import Plan
from corebath.safety.rule import Rule
from corebath.safety.rules import binding_lethality, reported_lethality, rules_for


def rule_letters(plan: Plan) -> dict[str, str]:
    """A letter for every rule that has an edge on the map or a moment on the curve: A, B, ... in their order."""
    subject, authority = plan.request.subject, plan.request.authority
    keys = [r.key for r in (*binding_lethality(subject, authority), *reported_lethality(subject, authority))]
    keys += [f.rule for f in plan.findings if f.met_at_s and f.binding]
    return {key: chr(ord("A") + i) for i, key in enumerate(dict.fromkeys(keys))}


def rules_by_key(plan: Plan) -> dict[str, Rule]:
    """The rules of a plan by key."""
    return {r.key: r for r in rules_for(plan.request.subject, plan.request.authority)}
