"""Keeping a chilled piece: how many days, by which named rule, and what to write on its bag."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from math import isfinite

from corebath.chill.tables import KeepingRule, keeping_rules, settings
from corebath.safety.authority import Authority
from corebath.safety.finding import Finding, Verdict
from corebath.units import mark


@dataclass(frozen=True, slots=True)
class Keeping:
    """How long a piece may be kept.

    days : by the strictest rule that applies; 0 when none allows keeping it;  rule : that rule
    others : the other rules that apply, shortest first, for the cook to see
    fridge_C : the temperature judged by [degC];  measured : it was measured, not assumed
    """

    days: int
    rule: KeepingRule | None
    others: tuple[KeepingRule, ...]
    fridge_C: float
    measured: bool
    findings: tuple[Finding, ...]
    statements: tuple[str, ...]

    def use_by(self, cooked: date) -> date:
        """Last day to eat it, for a piece cooked on a day; that day itself when it may not be kept."""
        if self.rule is None:
            return cooked
        return cooked + timedelta(days=self.days - (1 if self.rule.cooking_day_counts else 0))


@dataclass(frozen=True, slots=True)
class Label:
    """What goes on a bag. lines : one for each line, quantities as marks, days as year-month-day"""

    lines: tuple[str, ...]
    use_by: date


def keep(
    authority: Authority,
    *,
    fridge_C: float | None,
    pasteurised: bool,
    guests_at_risk: bool = False,
    opened: bool = False,
) -> Keeping:
    """Keeping time of a sealed, chilled piece.

    fridge_C : the fridge as measured between the bags, -2 to 20, or None when it was not measured [degC]
    pasteurised : the core's binding heat treatment was met;  guests_at_risk : as in `safety.subject`
    opened : its bag was opened after the bath

    The strictest rule that applies decides. An unmeasured fridge is taken as a warm one. Raises ValueError
    for a fridge outside that range.
    """
    measured = fridge_C is not None
    at_C = float(fridge_C if fridge_C is not None else settings()["warm_fridge"]["assumed_C"])
    if not (isfinite(at_C) and -2 <= at_C <= 20):
        raise ValueError(f"a fridge must lie between -2 and 20 C, got {at_C:g} C")
    rules = _applying(authority, at_C, pasteurised, guests_at_risk, opened)
    rule = rules[0] if rules else None
    days = rule.days if rule else 0
    cold = _cold_holding(authority, at_C, measured)
    return Keeping(
        days=days,
        rule=rule,
        others=tuple(rules[1:]),
        fridge_C=at_C,
        measured=measured,
        findings=(cold, _kept(rule, at_C, pasteurised)),
        statements=(*_too_warm(authority, cold, rule, at_C), *_statements(rule, at_C, measured, pasteurised)),
    )


def label(food: str, *, cooked_C: float, cooked_s: float, cooked: date, keeping: Keeping, treatment: str) -> Label:
    """The text of a bag's label.

    food : its name as the cook says it, 1 to 80 characters, one line
    cooked_C, cooked_s : set point, 0 to 100 [degC], and time in the bath, above 0 [s];  cooked : the day
    treatment : the heat treatment that was met, in words; "" for none, which the label then says

    Raises ValueError outside those ranges.
    """
    name = " ".join(food.split())
    if not 1 <= len(name) <= 80:
        raise ValueError("a label needs the food's name, 1 to 80 characters")
    if not (0 <= cooked_C <= 100 and cooked_s > 0 and isfinite(cooked_s)):
        raise ValueError(
            f"a label needs a set point of 0 to 100 C and a time above 0 s, got {cooked_C:g} and {cooked_s:g}"
        )
    use_by = keeping.use_by(cooked)
    rule = keeping.rule.title if keeping.rule else "no rule allows keeping it"
    return Label(
        lines=(
            name,
            f"cooked {cooked.isoformat()} at {mark(cooked_C, 'C')} for {mark(cooked_s, 's')}",
            treatment or "heated, not pasteurised",
            f"use by {use_by.isoformat()}, kept at {mark(keeping.fridge_C, 'C')} or below",
            rule,
        ),
        use_by=use_by,
    )


def _applying(
    authority: Authority, at_C: float, pasteurised: bool, guests_at_risk: bool, opened: bool
) -> list[KeepingRule]:
    """Rules for this state and fridge, strictest first. Guests at risk and an open bag each add their own."""
    states = {"pasteurised" if pasteurised else "heated"}
    if guests_at_risk and pasteurised:
        states.add("guests")
    if opened and pasteurised:
        states.add("opened")
    found = [
        rule
        for rule in keeping_rules()
        if authority.value in rule.profiles and rule.at_least_C <= at_C <= rule.at_most_C and rule.state in states
    ]
    strict = states - {"pasteurised", "heated"}
    if strict and at_C > settings()["cold_holding"]["US_C"]:
        # What is meant for guests at risk, or open, has no rule in a warm fridge: it is not kept there.
        return []
    return sorted(found, key=lambda rule: (rule.days, rule.key))


def _cold_holding(authority: Authority, at_C: float, measured: bool) -> Finding:
    limits = settings()["cold_holding"]
    limit = limits[f"{authority.value}_C"]
    met = Verdict.MET if at_C <= limit else Verdict.NOT_MET
    return Finding(
        rule=f"keep-cold-{authority.value.lower()}",
        title=f"cold holding at {mark(limit, 'C')} or below",
        verdict=met if measured else Verdict.NOT_KNOWN,
        binding=True,
        why=(
            f"The fridge measures {mark(at_C, 'C')}."
            if measured
            else f"The fridge was not measured; it is taken to be at {mark(at_C, 'C')}."
        ),
        source=limits[f"{authority.value}_source"],
        assumptions=("The temperature was read between the bags, not off the dial.",) if measured else (),
    )


def _kept(rule: KeepingRule | None, at_C: float, pasteurised: bool) -> Finding:
    treated = "pasteurised" if pasteurised else "heated, not pasteurised"
    if rule is None:
        return Finding(
            rule="keep-days",
            title="a rule that allows keeping it",
            verdict=Verdict.NOT_MET,
            binding=True,
            why=f"No rule held here allows keeping it at {mark(at_C, 'C')}, {treated}: eat it, or freeze it at once.",
            source="all keeping rules held",
        )
    return Finding(
        rule=f"keep-{rule.key}",
        title=rule.title,
        verdict=Verdict.MET,
        binding=True,
        why=f"A piece that was {treated} keeps for {_days(rule.days)} at {mark(at_C, 'C')} by this rule.",
        source=rule.source,
        assumptions=("The bag stays sealed, and the piece was chilled within its cooling limits.",),
    )


def _too_warm(authority: Authority, cold: Finding, rule: KeepingRule | None, at_C: float) -> tuple[str, ...]:
    """The fridge comes first where it breaks its own rule; where nothing may be kept that is said already."""
    if cold.verdict is not Verdict.NOT_MET or rule is None:
        return ()
    limit_C = settings()["cold_holding"][f"{authority.value}_C"]
    return (
        f"This fridge is too warm: it is at {mark(at_C, 'C')}, and cold holding asks for {mark(limit_C, 'C')} or "
        "below. Turn it colder, or eat or freeze the piece at once.",
    )


def _statements(rule: KeepingRule | None, at_C: float, measured: bool, pasteurised: bool) -> tuple[str, ...]:
    said = [] if measured else ["Measure your fridge: a thermometer between the bags may buy days."]
    if rule is None:
        return (f"Do not keep it at {mark(at_C, 'C')}: eat it, or freeze it at once.", *said)
    said.insert(0, f"Keeps for {_days(rule.days)} at {mark(at_C, 'C')}: {rule.title}.")
    if not pasteurised:
        said.append("It was heated and not pasteurised: eat it by the next day.")
    else:
        said.append(f"Freeze what will not be eaten within {_days(rule.days)}, on the day it is chilled.")
    if rule.note:
        said.append(f"That rule: {rule.note}.")
    return tuple(said)


def _days(days: int) -> str:
    return "1 day" if days == 1 else f"{days} days"
