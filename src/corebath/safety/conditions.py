"""Conditions: the words with which the data files say which piece a rule or a caution is for."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import Any

from corebath.safety.authority import Authority
from corebath.safety.subject import Subject

CONDITIONS: Mapping[str, Callable[[Subject], bool]] = MappingProxyType(
    {
        "always": lambda _: True,
        "never": lambda _: False,
        "intact": lambda s: s.handling == "intact",
        "opened": lambda s: s.handling != "intact",
        "stuffed": lambda s: s.handling == "stuffed",
        "unstuffed": lambda s: s.handling != "stuffed",
        "guests": lambda s: s.guests_at_risk,
        "inside": lambda s: s.inside_counts,
        "seared": lambda s: s.seared,
        "unseared": lambda s: not s.seared,
        "frozen": lambda s: s.parasites_frozen,
        "unfrozen": lambda s: not s.parasites_frozen,
        "worms": lambda s: s.kind == "fish" or s.parasites,
        "garlic-or-oil": lambda s: s.garlic_or_oil,
    }
)


def applies(entry: Mapping[str, Any], subject: Subject, authority: Authority) -> bool:
    """Whether an entry of a data file speaks for a subject under an authority; a key left out is no bar."""
    return (
        authority.value in entry.get("profiles", (authority.value,))
        and subject.kind in entry.get("kinds", (subject.kind,))
        and entry.get("fat_above", -1.0) < subject.fat <= entry.get("fat_upto", 1.0)
        and all(CONDITIONS[name](subject) for name in entry.get("when", ()))
    )


def escalation(condition: str, subject: Subject) -> str:
    """Why a rule that would only be reported binds here; empty where nothing was escalated."""
    if condition == "inside" and subject.handling != "intact":
        return f"It binds because the piece is {subject.handling}, so what was outside may now be inside."
    if condition in ("inside", "guests") and subject.guests_at_risk:
        return "It binds because a guest at higher risk is at the table."
    return ""
