"""Parts that several kinds of JSON share: figures, spreads, estimates and findings."""

from __future__ import annotations

from math import isfinite
from typing import Any

from corebath.bath.spread import Spread
from corebath.outcome.estimate import Estimate
from corebath.safety.finding import Finding
from corebath.units import Preference, render


def finite(value: float | None) -> float | None:
    """The figure, or null for one that is not known or never comes."""
    return value if value is not None and isfinite(value) else None


def spread_as_json(spread: Spread | None) -> dict[str, Any] | None:
    """A figure with its range; an end that is never reached is null."""
    if spread is None:
        return None
    return {"value": finite(spread.nominal), "low": finite(spread.low), "high": finite(spread.high)}


def estimate_as_json(estimate: Estimate, preference: Preference) -> dict[str, Any]:
    """What is expected of the food in one respect, without its name."""
    return {
        "value": finite(estimate.value),
        "low": finite(estimate.low),
        "high": finite(estimate.high),
        "unit": estimate.unit,
        "words": render(estimate.words, preference),
        "known": estimate.known,
        "basis": render(estimate.basis, preference),
        "source": estimate.source,
    }


def finding_as_json(finding: Finding, preference: Preference) -> dict[str, Any]:
    """One rule applied, with its sentences in the cook's units."""
    return {
        "rule": finding.rule,
        "title": render(finding.title, preference),
        "verdict": finding.verdict.value,
        "binding": finding.binding,
        "why": render(finding.why, preference),
        "source": finding.source,
        "assumptions": [render(a, preference) for a in finding.assumptions],
        "achieved": finite(finding.achieved),
        "met_at_s": finite(finding.met_at_s),
    }
