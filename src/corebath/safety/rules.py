"""Rules: which of the named rules speak for a piece, which of them bind, and what they say of a history."""

from __future__ import annotations

from dataclasses import replace
from functools import cache, lru_cache
from types import MappingProxyType
from typing import Any

from corebath.heat.history import History
from corebath.safety.authority import Authority
from corebath.safety.checks import CHECKS
from corebath.safety.conditions import CONDITIONS, applies, escalation
from corebath.safety.finding import Finding
from corebath.safety.lethality import LethalityRule
from corebath.safety.rule import Rule
from corebath.safety.subject import Subject
from corebath.safety.tables import lethality_rules, read_toml


@lru_cache(maxsize=512)
def rules_for(subject: Subject, authority: Authority) -> tuple[Rule, ...]:
    """Every rule that speaks for the piece under a profile, binding or reported, in the order of the data."""
    return tuple(_rule(entry, subject, authority) for entry in _entries() if applies(entry, subject, authority))


def binding_lethality(subject: Subject, authority: Authority) -> tuple[LethalityRule, ...]:
    """Heat treatments of the core that must all be met before a plan may be offered."""
    return _core_rules(subject, authority, binding=True)


def reported_lethality(subject: Subject, authority: Authority) -> tuple[LethalityRule, ...]:
    """Heat treatments of the core that are judged and told, but do not bind for this piece and guests."""
    return _core_rules(subject, authority, binding=False)


def judge(
    history: History, subject: Subject, authority: Authority, *, after_s: float = 0.0, bath_C: float | None = None
) -> tuple[Finding, ...]:
    """Every rule that speaks for the piece, applied to a history; none is left out, `NOT_KNOWN` is an answer.

    history : the cautious one; its core is taken as the coldest point there is
    after_s : time from the end of the history until the food is eaten; limits of time out of the cold count it [s]
    bath_C : the bath as it is set, in truth, for rules on the bath; None reads it off the history [degC]

    Returns findings in the order of `rules_for`. Raises ValueError when the history holds values that are not
    finite or times that fall.
    """
    known = {"after_s": after_s} | ({} if bath_C is None else {"bath_C": bath_C})
    return tuple(
        CHECKS[rule.check](history, replace(rule, figures=MappingProxyType({**rule.figures, **known})))
        for rule in rules_for(subject, authority)
    )


def _core_rules(subject: Subject, authority: Authority, *, binding: bool) -> tuple[LethalityRule, ...]:
    return tuple(
        rule.lethality
        for rule in rules_for(subject, authority)
        if rule.check == "core" and rule.binding is binding and rule.lethality is not None
    )


@cache
def _entries() -> tuple[dict[str, Any], ...]:
    return tuple(rule for name in ("rules_heat.toml", "rules_time.toml") for rule in read_toml(name)["rule"])


def _rule(entry: dict[str, Any], subject: Subject, authority: Authority) -> Rule:
    table = lethality_rules().get(entry.get("table", entry["key"]))
    if table is not None:
        table = replace(table, key=entry["key"], title=entry.get("title", table.title))
    stand_ins = entry.get("stand_in", {})
    return Rule(
        key=entry["key"],
        title=entry["title"] if table is None else table.title,
        authority=entry["authority"] if table is None else table.authority,
        source=entry["source"] if table is None else table.source,
        binding=CONDITIONS[entry["binding"]](subject),
        check=entry["check"],
        lethality=table,
        why=entry.get("why", ""),
        escalation=escalation(entry["binding"], subject),
        assumptions=(
            *entry.get("assumptions", ()),
            *(stand_ins[name] for name in (subject.kind, authority.value) if name in stand_ins),
        ),
        figures=MappingProxyType(entry.get("figures", {})),
    )
