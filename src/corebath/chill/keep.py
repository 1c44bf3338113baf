"""Keeping a chilled piece: how many days, by which named rule, and what to write on its bag."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from math import ceil, isfinite

from corebath.chill.tables import KeepingRule, keeping_rules, settings
from corebath.safety.authority import Authority
from corebath.safety.cautions import cautions_for
from corebath.safety.finding import Finding, Verdict
from corebath.safety.subject import Subject
from corebath.units import between, mark

# Cautions that a keeping itself calls for, by their keys.
_CAUTIONS = ("guests", "garlic-oil")


@dataclass(frozen=True, slots=True)
class Keeping:
    """How long a piece may be kept.

    days : by the strictest rule that applies; 0 when none allows keeping it;  rule : that rule
    refused : why it is not kept at all, "" where it is, and where the fridge alone is too warm for every rule
    others : the other rules that apply, shortest first, for the cook to see
    fridge_C : the temperature judged by [degC];  measured : it was measured, not assumed
    hold_C : what a label asks of the fridge: as judged, and never above the cold-holding limit of the profile [degC]
    """

    days: int
    rule: KeepingRule | None
    others: tuple[KeepingRule, ...]
    fridge_C: float
    measured: bool
    hold_C: float
    refused: str
    findings: tuple[Finding, ...]
    statements: tuple[str, ...]
    cautions: tuple[str, ...]

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
    hottest_C: float | None = None,
    warm_s: float | None = None,
    cooled: Verdict = Verdict.MET,
    spores: bool = False,
) -> Keeping:
    """Keeping time of a sealed, chilled piece.

    fridge_C : the fridge as measured between the bags, -2 to 20, or None when it was not measured [degC]
    pasteurised : the core's binding heat treatment was met;  guests_at_risk : as in `safety.subject`
    opened : its bag was opened after the bath
    hottest_C : the warmest its core is sure to have been in the bath, None when that is not known [degC]
    warm_s : time above cold holding, bath, cooling and reheating together, None when that is not known [s]
    cooled : whether its cooling limits are met;  spores : raw garlic, herbs or oil are in the bag, and no treatment
        against spores of non-proteolytic C. botulinum is known to be met

    The strictest rule that applies decides. An unmeasured fridge is taken as a warm one. A piece that was cooled too
    slowly, was never hot, or was not pasteurised and is for guests at risk is not kept at all. Raises ValueError for a
    fridge outside that range.
    """
    measured = fridge_C is not None
    at_C = float(fridge_C if fridge_C is not None else settings()["warm_fridge"]["assumed_C"])
    between("a fridge", at_C, -2.0, 20.0, "C")
    refused = _refused(pasteurised, guests_at_risk, hottest_C, warm_s, cooled)
    states = {
        "pasteurised" if pasteurised else "heated": True,
        "guests": guests_at_risk,
        "opened": opened,
        "garlic": spores,
    }
    rules = [] if refused else _applying(authority, at_C, {state for state, holds in states.items() if holds})
    rule = next((rule for rule in rules if rule.decides), None)
    unsure = tuple(_unsure(pasteurised, hottest_C, cooled)) if rule is not None else ()
    cold = _cold_holding(authority, at_C, measured)
    return Keeping(
        days=rule.days if rule else 0,
        rule=rule,
        others=tuple(other for other in rules if other is not rule) if rule else (),
        fridge_C=at_C,
        measured=measured,
        hold_C=min(at_C, _limit_C(authority)),
        refused=refused,
        findings=(cold, _kept(rule, at_C, pasteurised, refused, unsure)),
        statements=(
            *_too_warm(authority, cold, rule, at_C),
            *_statements(rule, at_C, measured, pasteurised, refused, unsure),
        ),
        cautions=_cautions(authority, guests_at_risk, spores),
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
    until = f"use by {use_by.isoformat()}, kept at {mark(keeping.hold_C, 'C')} or below"
    if keeping.rule is None:
        until = f"eat it on {use_by.isoformat()}; it is not kept"
    rule = keeping.rule.title if keeping.rule else "no rule allows keeping it"
    return Label(
        lines=(
            name,
            f"cooked {cooked.isoformat()} at {mark(cooked_C, 'C')} for {mark(cooked_s, 's')}",
            treatment or "heated, not pasteurised",
            until,
            rule,
        ),
        use_by=use_by,
    )


def _refused(
    pasteurised: bool, guests_at_risk: bool, hottest_C: float | None, warm_s: float | None, cooled: Verdict
) -> str:
    """Why a piece is not kept in any fridge; "" when it may be."""
    never_hot_C, clock = settings()["never_hot"]["core_C"], settings()["time_out"]
    if cooled is Verdict.NOT_MET:
        return "Its cooling limits are not met, so it is not kept: eat it straight from the bath, or throw it out."
    if not pasteurised and hottest_C is not None and hottest_C <= never_hot_C:
        return (
            f"Its core was not above {mark(never_hot_C, 'C')}, so time is its only control: eat it; do not keep "
            "leftovers."
        )
    if not pasteurised and hottest_C is not None and hottest_C < clock["hot_C"] and (warm_s or 0.0) > clock["limit_s"]:
        return (
            f"Its core was not above {mark(clock['hot_C'], 'C')}, so it may be above {mark(clock['cold_C'], 'C')} for "
            f"{mark(clock['limit_s'], 's')} in all, and bath, cooling and reheating take "
            f"{mark(60.0 * ceil((warm_s or 0.0) / 60), 's')}: eat it; do not keep leftovers."
        )
    if not pasteurised and guests_at_risk:
        return "It was heated and not pasteurised, and a guest at higher risk eats of it: it is not kept."
    return ""


def _unsure(pasteurised: bool, hottest_C: float | None, cooled: Verdict) -> Iterator[str]:
    """What has to be so for the days to hold, and is not known."""
    if cooled is Verdict.NOT_KNOWN:
        yield "Whether it was cooled within its limits is not known; if it was not, it is not kept."
    if not pasteurised and hottest_C is None:
        core_C = mark(settings()["never_hot"]["core_C"], "C")
        yield f"How hot its core was is not known; a piece that was not above {core_C} is eaten and not kept."


def _applying(authority: Authority, at_C: float, states: set[str]) -> list[KeepingRule]:
    """Rules for these states and this fridge, strictest first. Guests at risk and an open bag each add their own."""
    found = [
        rule
        for rule in keeping_rules()
        if authority.value in rule.profiles and rule.at_least_C <= at_C <= rule.at_most_C and rule.state in states
    ]
    if states & {"guests", "opened"} and at_C > settings()["cold_holding"]["US_C"]:
        # What is meant for guests at risk, or open, has no rule in a warm fridge: it is not kept there.
        return []
    return sorted(found, key=lambda rule: (rule.days, rule.key))


def _limit_C(authority: Authority) -> float:
    return float(settings()["cold_holding"][f"{authority.value}_C"])


def _cold_holding(authority: Authority, at_C: float, measured: bool) -> Finding:
    limits, limit = settings()["cold_holding"], _limit_C(authority)
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


def _kept(rule: KeepingRule | None, at_C: float, pasteurised: bool, refused: str, unsure: tuple[str, ...]) -> Finding:
    treated = "pasteurised" if pasteurised else "heated, not pasteurised"
    if rule is None:
        why = f"No rule held here allows keeping it at {mark(at_C, 'C')}, {treated}: eat it, or freeze it at once."
        return Finding(
            rule="keep-days",
            title="a rule that allows keeping it",
            verdict=Verdict.NOT_MET,
            binding=True,
            why=refused or why,
            source="all keeping rules held",
        )
    why = f"A piece that was {treated} keeps for {_days(rule.days)} at {mark(at_C, 'C')} by this rule."
    return Finding(
        rule=f"keep-{rule.key}",
        title=rule.title,
        verdict=Verdict.NOT_KNOWN if unsure else Verdict.MET,
        binding=True,
        why=" ".join((why, *unsure)),
        source=rule.source,
        assumptions=("The bag stays sealed, and the piece was chilled within its cooling limits.",),
    )


def _too_warm(authority: Authority, cold: Finding, rule: KeepingRule | None, at_C: float) -> tuple[str, ...]:
    """The fridge comes first where it breaks its own rule; where nothing may be kept that is said already."""
    if cold.verdict is not Verdict.NOT_MET or rule is None:
        return ()
    limits = settings()["cold_holding"]
    limit_C, source = _limit_C(authority), limits[f"{authority.value}_source"]
    return (
        f"This fridge is too warm: it is at {mark(at_C, 'C')} and does not meet the limit of {mark(limit_C, 'C')} for "
        f"cold holding by {source}. Turn it colder, or eat or freeze the piece at once.",
    )


def _statements(
    rule: KeepingRule | None, at_C: float, measured: bool, pasteurised: bool, refused: str, unsure: tuple[str, ...]
) -> tuple[str, ...]:
    if refused:
        return (refused,)
    said = [] if measured else ["Measure your fridge: a thermometer between the bags may buy days."]
    if rule is None:
        return (f"Do not keep it at {mark(at_C, 'C')}: eat it, or freeze it at once.", *said)
    said.insert(0, f"Keeps for {_days(rule.days)} at {mark(at_C, 'C')}: {rule.title}.")
    said += unsure
    if not pasteurised:
        said.append("It was heated and not pasteurised: eat it by the next day.")
    else:
        said.append(f"Freeze what will not be eaten within {_days(rule.days)}, on the day it is chilled.")
    if rule.note:
        said.append(f"That rule: {rule.note}.")
    return tuple(said)


def _cautions(authority: Authority, guests_at_risk: bool, spores: bool) -> tuple[str, ...]:
    subject = Subject("vegetable", guests_at_risk=guests_at_risk, garlic_or_oil=spores)
    return tuple(caution.text for caution in cautions_for(subject, authority) if caution.key in _CAUTIONS)


def _days(days: int) -> str:
    return "1 day" if days == 1 else f"{days} days"
