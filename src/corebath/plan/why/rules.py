"""Why each finding: how its rule is read off the history, what it asks, and what was told of the food."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from corebath.food.kinds import Kind
from corebath.plan.plan import Plan
from corebath.plan.request import Request
from corebath.safety.cooling import cooling_limits
from corebath.safety.finding import Finding
from corebath.safety.growth import growth_models
from corebath.safety.lethality import LethalityRule
from corebath.safety.rule import Rule
from corebath.safety.rules import rules_for
from corebath.units import mark

from .piece import span_spread, span_words
from .why import Input, Origin, Teller, Why, percent, reckoned, times_asked, why

PART = "rules"
_FIGURES = {
    "cold_C": "cold up to",
    "low_C": "from",
    "high_C": "up to",
    "limit_s": "limit",
    "limit_log10": "limit, log10",
}
_BY_FAT = (Kind.CHICKEN, Kind.TURKEY, Kind.DUCK, Kind.FISH)
_CAUTIOUS = "Read off the cautious history: nineteen such pieces in twenty do at least as well."
_TOLD = "None: it rests on what was given, not on a computation."


def rule_whys(plan: Plan, tell: Teller) -> Iterator[Why]:
    """Every finding of the plan, in its order."""
    rules = {rule.key: rule for rule in rules_for(plan.request.subject, plan.request.authority)}
    for finding in plan.findings:
        yield _rule_why(plan, rules[finding.rule], finding, tell)


def _rule_why(plan: Plan, rule: Rule, finding: Finding, tell: Teller) -> Why:
    request = plan.request
    span = plan.timing.lethality.get(rule.key) or plan.timing.told.get(rule.key)
    value = finding.verdict.value if span is None else f"{finding.verdict.value}; time for it: {span_words(span)}"
    reads = rule.check not in ("assumed", "not-known")
    inputs = [*_asks(plan, rule)]
    if reads:
        core_C = mark(round(float(plan.cautious.until(plan.bath_s).core_C.max()), 1), "C")
        inputs.append(reckoned("hottest core, cautious", core_C, "core-curve"))
    if finding.achieved is not None and np.isfinite(finding.achieved):
        inputs.append(reckoned("share of what is asked", times_asked(finding.achieved)))
    inputs += _told(request, rule, tell)
    source = [finding.source]
    if rule.check == "growth":
        source.append(growth_models()[rule.figures["model"]].source)
    if rule.check == "cooling":
        source += [stage.source for stage in cooling_limits(rule.figures["cooling"])]
    spread = (_CAUTIOUS if span is None else f"{span_spread(span)} {_CAUTIOUS}") if reads else _TOLD
    return why(
        f"check-{rule.check}", PART, value, inputs, key=f"{PART}-{rule.key}", of=finding.title, spread=spread,
        source=source,
    )  # fmt: skip


def _asks(plan: Plan, rule: Rule) -> Iterator[Input]:
    """What the rule asks."""
    if rule.lethality is not None:
        yield from _treatment(plan, rule.lethality)
    for name, words in _FIGURES.items():
        if name in rule.figures:
            figure = float(rule.figures[name])
            unit = name[-1]
            shown = f"{figure:g}" if name == "limit_log10" else mark(figure, "C" if unit == "C" else "s")
            yield Input(words, shown, Origin.RULE)
    if rule.check == "growth":
        model = growth_models()[rule.figures["model"]]
        for words, value_C in (("Tmin", model.Tmin_C), ("Topt", model.Topt_C), ("Tmax", model.Tmax_C)):
            yield Input(words, mark(value_C, "C"), Origin.MODEL)
        yield Input("μopt, ln units an hour", f"{model.mu_opt_per_h:g}", Origin.MODEL)
    if rule.check == "cooling":
        for stage in cooling_limits(rule.figures["cooling"]):
            name = f"from {mark(stage.from_C, 'C')} to {mark(stage.to_C, 'C')}"
            yield Input(name, f"within {mark(stage.limit_s, 's')}", Origin.RULE)


def _treatment(plan: Plan, asked: LethalityRule) -> Iterator[Input]:
    if asked.target_log10 is not None:
        yield Input("reduction, log10", f"{asked.target_log10:g}", Origin.RULE)
    yield Input("nothing counts below", mark(round(asked.lowest_C, 2), "C"), Origin.RULE)
    if asked.instant_C is not None:
        yield Input("at once from", mark(round(asked.instant_C, 2), "C"), Origin.RULE)
    hold_s = float(asked.hold_s(plan.set_point_C))
    if 0 < hold_s < np.inf:
        yield Input(f"hold asked at {mark(plan.set_point_C, 'C')}", mark(round(hold_s, 1), "s"), Origin.RULE)


def _told(request: Request, rule: Rule, tell: Teller) -> Iterator[Input]:
    """What was told of the food that decides whether this rule speaks for it, and binds."""
    yield tell.asked("rules of", request.authority.value, "rules")
    if rule.lethality is None and rule.check != "assumed":
        return
    handling = request.treated_as.value
    if request.handling is None:
        yield Input("handling", handling, Origin.CATALOGUE)
    else:
        yield tell.asked("handling", handling, "handling")
    guests = "a guest at higher risk" if request.guests_at_risk else "no guest at higher risk"
    yield tell.asked("guests", guests, "guests")
    if rule.lethality is not None and request.food.kind in _BY_FAT:
        yield Input("fat", percent(request.food.composition.fat), Origin.CATALOGUE)
