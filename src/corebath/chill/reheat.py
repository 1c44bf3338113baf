"""Reheating in the bath: when the core is warm to serve, and what the rules ask of it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from math import ceil, isfinite
from typing import Any

from corebath.chill.runs import Around, Runs, layered, runs
from corebath.chill.tables import settings
from corebath.heat.body import Body
from corebath.heat.engine import Thermal
from corebath.safety.authority import Authority
from corebath.safety.checks import CHECKS
from corebath.safety.finding import Finding, Verdict
from corebath.safety.rules import rules_for
from corebath.safety.subject import Subject
from corebath.units import between, mark


@dataclass(frozen=True, slots=True)
class Reheat:
    """A kept piece warmed again.

    runs : histories and times to the serving core;  to_C : that core [degC]
    findings : the rules, on the cautious history;  statements, assumptions : for the cook
    """

    runs: Runs
    to_C: float
    findings: tuple[Finding, ...]
    statements: tuple[str, ...]
    assumptions: tuple[str, ...]


def reheat(
    body: Body,
    thermal: Thermal,
    start_C: float,
    bath_C: float,
    subject: Subject,
    authority: Authority,
    *,
    cooked_C: float,
    pasteurised: bool,
    to_C: float | None = None,
    hot_holding: bool = False,
    layers: int = 1,
    offset_K: float = 0.0,
) -> Reheat:
    """Reheat a piece from the fridge or the freezer in the same bath or a cooler one.

    start_C : even temperature it was kept at, -30 to 20 [degC];  bath_C : set point, 40 to 95 [degC]
    cooked_C : the set point it was cooked at, 40 to 96 [degC];  pasteurised : as in `keep`
    to_C : core to serve at, above the start and below the bath; 50 degC, or 0.5 degC below a cooler bath, by
        default [degC];  hot_holding : it will be held hot, not served at once
    layers : pieces lying flat on each other
    offset_K : what the bath's thermometer reads too high, -5 to 5; the water is that much cooler than it is set [K]

    Raises ValueError outside those ranges.
    """
    ranges: tuple[tuple[str, float, float, float, str], ...] = (
        ("the start", start_C, -30.0, 20.0, "C"),
        ("the bath", bath_C, 40.0, 95.0, "C"),
        ("the set point it was cooked at", cooked_C, 40.0, 96.0, "C"),
        ("the thermometer's offset", offset_K, -5.0, 5.0, "K"),
    )
    for checked in ranges:
        between(*checked)
    water_C = bath_C - offset_K
    target = min(settings()["serving"]["core_C"], water_C - 0.5) if to_C is None else to_C
    if not start_C < target < water_C:
        got = f", got {mark(target, 'C')}" if isfinite(target) else ""
        raise ValueError(
            f"the core to serve at must lie between {mark(start_C, 'C')} and the bath's {mark(water_C, 'C')}{got}"
        )
    water = settings()["bath_water"]
    cases = tuple(Around(water_C, water[f"{side}_h_W_m2K"]) for side in ("high", "nominal", "low"))
    hot = settings()["hot_holding"][authority.value]
    levels = sorted({target, hot["temperature_C"], _warm_C(target)})
    made = runs(layered(body, layers), thermal, start_C, "reheating bath", (cases[0], cases[1], cases[2]), levels)
    return Reheat(
        runs=made,
        to_C=target,
        findings=(
            _hotter(bath_C, cooked_C),
            _hot_rule(made, hot, subject, hot_holding, pasteurised),
            _time_out(made, target),
            *_growth(made, target, subject, authority),
            _treated(pasteurised, subject, start_C),
        ),
        statements=(
            _sentence(made, target, bath_C, start_C, offset_K),
            *(f.why for f in (_time_out(made, target),) if f.verdict is Verdict.NOT_MET),
            settings()["not_undone"]["text"],
        ),
        assumptions=(
            "Cautious: 5 % thicker, 7 % slower to conduct and the poorest contact together.",
            f"Contact: {water['source']}.",
            "The bath does not dip: put in little at a time, or start it warmer.",
        ),
    )


def _hotter(bath_C: float, cooked_C: float) -> Finding:
    met = bath_C <= cooked_C
    return Finding(
        rule="reheat-no-hotter",
        title="reheated no hotter than it was cooked",
        verdict=Verdict.MET if met else Verdict.NOT_MET,
        binding=False,
        why=(
            f"The bath is at {mark(bath_C, 'C')} and the piece was cooked at {mark(cooked_C, 'C')}"
            + ("." if met else ": its result will go past what it was.")
        ),
        source="common practice, no source",
    )


def _hot_rule(made: Runs, hot: dict[str, Any], subject: Subject, hot_holding: bool, pasteurised: bool) -> Finding:
    """The temperature a reheated piece has to see before hot holding.

    It is asked for guests at risk too, and of what may carry bacteria to its core and was not pasteurised.
    """
    reached = made.reach(hot["temperature_C"]).cautious_s
    done = None if reached is None else reached + hot["hold_s"]
    inside = subject.handling != "intact" or subject.kind in settings()["not_pasteurised"]["kinds"]
    needed = hot_holding or subject.guests_at_risk or (inside and not pasteurised)
    asked = f"{mark(hot['temperature_C'], 'C')} for {mark(hot['hold_s'], 's')} within {mark(hot['within_s'], 's')}"
    took = (
        f"The core does not reach {mark(hot['temperature_C'], 'C')} in this bath"
        if done is None
        else f"The core has been there long enough after {mark(done, 's')}"
    )
    if hot_holding:
        who = "It binds because the piece will be held hot."
    elif subject.guests_at_risk:
        who = "It binds because a guest at higher risk is at the table."
    elif needed:
        who = "It binds because the piece was heated and not pasteurised."
    elif pasteurised:
        who = str(hot["at_once"])
    else:
        who = "It is reported only: the piece was heated and not pasteurised, and bacteria are on its outside."
    return Finding(
        rule="reheat-hot-holding",
        title=f"reheated to {asked}",
        verdict=Verdict.MET if done is not None and done <= hot["within_s"] else Verdict.NOT_MET,
        binding=needed,
        why=f"{took}; the rule asks for {asked}. {who}",
        source=hot["source"],
        assumptions=(
            "For guests at higher risk the rule for hot holding is taken as a house rule (common practice, no source).",
        )
        if subject.guests_at_risk
        else (),
        met_at_s=done,
    )


def _warm_C(target_C: float) -> float:
    """The core at which the clock of a piece out of the cold stops: hot, or served before it is hot [degC]."""
    return float(min(target_C, settings()["time_out"]["hot_C"]))


def _time_out(made: Runs, target_C: float) -> Finding:
    """Time from the cold until the core is hot, or until it is served where it is served cooler than that."""
    limit = settings()["time_out"]
    warm_C = _warm_C(target_C)
    spent = made.reach(warm_C).cautious_s
    allowed = mark(limit["limit_s"], "s")
    asked = f"{allowed} from the fridge to the plate"
    title = f"served below {mark(limit['hot_C'], 'C')}: {asked}"
    if target_C >= limit["hot_C"]:
        asked = f"{allowed} from the fridge until it is hot"
        title = f"warmed: core at {mark(warm_C, 'C')} within {allowed} from the fridge"
    if spent is None:
        why, verdict = f"The core does not reach {mark(warm_C, 'C')} for certain.", Verdict.NOT_MET
    else:
        verdict = Verdict.MET if spent <= limit["limit_s"] else Verdict.NOT_MET
        took = f"The core is at {mark(warm_C, 'C')} after {mark(60.0 * ceil(spent / 60), 's')}, cautious"
        why = f"{took}; the limit is {asked}."
    return Finding(
        rule="reheat-time-out",
        title=title,
        verdict=verdict,
        binding=True,
        why=why,
        source=limit["source"],
        assumptions=("Counted from the moment it goes into the bath, which is early for a frozen piece.",),
        achieved=None if spent is None or spent == 0 else limit["limit_s"] / spent,
    )


def _growth(made: Runs, target_C: float, subject: Subject, authority: Authority) -> Iterator[Finding]:
    """Growth on the way up to the plate, by the rules that speak of it before cooling."""
    spent = made.reach(target_C).cautious_s
    history = made.cautious if spent is None else made.cautious.until(spent)
    for rule in rules_for(subject, authority):
        if rule.check == "growth" and rule.figures["part"] == "come-up":
            yield replace(
                CHECKS[rule.check](history, rule),
                rule="reheat-growth",
                title="C. perfringens: growth of no more than 1 log while it is warmed",
                assumptions=("No lag is allowed for, which is deliberately pessimistic.",),
            )


def _treated(pasteurised: bool, subject: Subject, start_C: float) -> Finding:
    if pasteurised:
        why = "It was pasteurised before it was chilled; warming it again is for the plate only."
    elif _frozen(start_C):
        why = "It was heated and not pasteurised, so it has to have been frozen on the day it was cooked."
    else:
        why = "It was heated and not pasteurised, so it may only come from the fridge of the day before."
    if not pasteurised and subject.guests_at_risk:
        why += " A guest at higher risk should not eat it."
    verdict = Verdict.MET if pasteurised else Verdict.NOT_MET
    return Finding(
        rule="reheat-pasteurised-before",
        title="pasteurised before it was chilled",
        verdict=verdict,
        binding=subject.guests_at_risk,
        why=why,
        source="common practice, no source",
        assumptions=("It was chilled within its cooling limits and kept within its days.",),
    )


def _frozen(start_C: float) -> bool:
    return start_C < -1


def _sentence(made: Runs, target_C: float, bath_C: float, start_C: float, offset_K: float) -> str:
    reach = made.reach(target_C)
    whence = "frozen" if _frozen(start_C) else "the fridge"
    bath = f"a bath at {mark(bath_C, 'C')}"
    if offset_K:
        bath = f"a bath set to {mark(bath_C, 'C')}, in truth at {mark(bath_C - offset_K, 'C')}"
    start = f"From {whence} at {mark(start_C, 'C')}, in {bath}, the core"
    if reach.nominal_s is None:
        return f"{start} does not come up to {mark(target_C, 'C')}."
    return f"{start} is at {mark(target_C, 'C')} after {reach.words}."
