"""What every check needs: findings made of rules, and marks rounded to what a cook can use."""

from __future__ import annotations

from math import ceil, floor

from corebath.safety.finding import Finding, Verdict
from corebath.safety.rule import Rule
from corebath.units import mark


def finding(
    rule: Rule,
    verdict: Verdict,
    why: str,
    *,
    binding: bool | None = None,
    achieved: float | None = None,
    met_at_s: float | None = None,
    assumptions: tuple[str, ...] = (),
) -> Finding:
    """A finding of a rule, its escalation told after the reason.

    binding : overrides the rule's own;  assumptions : of this finding alone, before those of the rule
    """
    return Finding(
        rule=rule.key,
        title=rule.title,
        verdict=verdict,
        binding=rule.binding if binding is None else binding,
        why=f"{why} {rule.escalation}".rstrip(),
        source=rule.source,
        assumptions=(*assumptions, *rule.assumptions),
        achieved=achieved,
        met_at_s=met_at_s,
    )


def marked_C(temperature_C: float) -> str:
    """A temperature to the tenth below, so that a core short of a limit never reads as having reached it."""
    return mark(floor(temperature_C * 10.0 + 1e-6) / 10.0, "C")


def marked_limit_C(temperature_C: float) -> str:
    """A lower limit to the tenth above, so that no temperature short of it reads as enough."""
    return mark(ceil(temperature_C * 10.0 - 1e-6) / 10.0, "C")


def marked_s(time_s: float) -> str:
    """A time to the second above, so that nothing reads as shorter than it was."""
    return mark(ceil(time_s - 1e-6), "s")
