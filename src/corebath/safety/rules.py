"""Rules: which of the named rules speak for a piece, which of them bind, and what they say of a history."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import cache, lru_cache
from types import MappingProxyType
from typing import Any

from corebath.heat.history import History
from corebath.safety.authority import Authority
from corebath.safety.checks import CHECKS
from corebath.safety.finding import Finding
from corebath.safety.lethality import LethalityRule
from corebath.safety.rule import Rule
from corebath.safety.subject import Subject
from corebath.safety.tables import lethality_rules, read_toml

# The chicken table's last fat column; past it the rules ask for more.
_FAT_COLUMNS_END = 0.12

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
        "garlic-or-oil": lambda s: s.garlic_or_oil,
        "fat-past-table": lambda s: s.fat > _FAT_COLUMNS_END,
    }
)


@lru_cache(maxsize=512)
def rules_for(subject: Subject, authority: Authority) -> tuple[Rule, ...]:
    """Every rule that speaks for the piece under a profile, binding or reported, in the order of the data."""
    speaking = (entry for entry in _entries() if _applies(entry, subject, authority))
    return tuple(_rule(entry, subject, authority) for entry in speaking)


def binding_lethality(subject: Subject, authority: Authority) -> tuple[LethalityRule, ...]:
    """Heat treatments of the core that must all be met before a plan may be offered."""
    return tuple(
        rule.lethality
        for rule in rules_for(subject, authority)
        if rule.check == "core" and rule.binding and rule.lethality is not None
    )


def reported_lethality(subject: Subject, authority: Authority) -> tuple[LethalityRule, ...]:
    """Heat treatments of the core that are judged and told, but do not bind for this piece and guests."""
    return tuple(
        rule.lethality
        for rule in rules_for(subject, authority)
        if rule.check == "core" and not rule.binding and rule.lethality is not None
    )


def judge(history: History, subject: Subject, authority: Authority) -> tuple[Finding, ...]:
    """Every rule that speaks for the piece, applied to a history; none is left out, `NOT_KNOWN` is an answer.

    The history should be the cautious one: the core is taken as the coldest point there is.
    """
    return tuple(CHECKS[rule.check](history, rule) for rule in rules_for(subject, authority))


@cache
def _entries() -> tuple[dict[str, Any], ...]:
    return tuple(read_toml("rules.toml")["rule"])


def _applies(entry: dict[str, Any], subject: Subject, authority: Authority) -> bool:
    return (
        authority.value in entry["profiles"]
        and subject.kind in entry.get("kinds", (subject.kind,))
        and entry.get("fat_above", -1.0) < subject.fat <= entry.get("fat_upto", 1.0)
        and all(CONDITIONS[name](subject) for name in entry.get("when", ()))
    )


def _rule(entry: dict[str, Any], subject: Subject, authority: Authority) -> Rule:
    lethality = lethality_rules().get(entry.get("table", entry["key"]))
    stand_ins = entry.get("stand_in", {})
    about = entry if lethality is None else {"title": lethality.title, "authority": lethality.authority}
    return Rule(
        key=entry["key"],
        title=entry.get("title", about["title"]),
        authority=entry.get("authority", about["authority"]),
        source=entry["source"] if lethality is None else lethality.source,
        binding=CONDITIONS[entry["binding"]](subject),
        check=entry["check"],
        lethality=lethality,
        why=entry.get("why", ""),
        escalation=_escalation(entry["binding"], subject),
        assumptions=(
            *entry.get("assumptions", ()),
            *(stand_ins[name] for name in (subject.kind, authority.value) if name in stand_ins),
        ),
        limits=MappingProxyType(entry.get("limits", {})),
    )


def _escalation(condition: str, subject: Subject) -> str:
    """Why a rule that would only be reported binds here; empty where nothing was escalated."""
    if condition == "inside" and subject.handling != "intact":
        return f"It binds because the piece is {subject.handling}, so what was outside may now be inside."
    if condition in ("inside", "guests") and subject.guests_at_risk:
        return "It binds because a guest at higher risk is at the table."
    if condition == "fat-past-table" and subject.fat > _FAT_COLUMNS_END:
        return "It binds because the piece is fatter than the printed chicken table."
    return ""
