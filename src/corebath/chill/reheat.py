"""Reheating in the bath: when the core is warm to serve, and what the rules ask of it."""

from __future__ import annotations

from dataclasses import dataclass
from math import isfinite
from typing import Any

from corebath.chill.runs import Around, Runs, layered, runs
from corebath.chill.tables import settings
from corebath.heat.body import Body
from corebath.heat.engine import Thermal
from corebath.safety.authority import Authority
from corebath.safety.finding import Finding, Verdict
from corebath.safety.subject import Subject
from corebath.units import mark


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
) -> Reheat:
    """Reheat a piece from the fridge or the freezer in the same bath or a cooler one.

    start_C : even temperature it was kept at, -30 to 20 [degC];  bath_C : 40 to 95 [degC]
    cooked_C : the set point it was cooked at [degC];  pasteurised : as in `keep`
    to_C : core to serve at, above the start and below the bath; 50 degC, or 0.5 degC below a cooler bath, by
        default [degC];  hot_holding : it will be held hot, not served at once
    layers : pieces lying flat on each other

    Raises ValueError outside those ranges.
    """
    for name, value, low, high in (("the start", start_C, -30.0, 20.0), ("the bath", bath_C, 40.0, 95.0)):
        if not (isfinite(value) and low <= value <= high):
            raise ValueError(f"{name} must lie between {low:g} and {high:g} C, got {value:g} C")
    target = min(settings()["serving"]["core_C"], bath_C - 0.5) if to_C is None else to_C
    if not start_C < target < bath_C:
        raise ValueError(
            f"the core to serve at must lie between {start_C:g} C and the bath's {bath_C:g} C, got {target:g} C"
        )
    water = settings()["bath_water"]
    cases = tuple(Around(bath_C, water[f"{side}_h_W_m2K"]) for side in ("high", "nominal", "low"))
    hot = settings()["hot_holding"][authority.value]
    levels = sorted({target, hot["temperature_C"]})
    made = runs(layered(body, layers), thermal, start_C, "reheating bath", (cases[0], cases[1], cases[2]), levels)
    return Reheat(
        runs=made,
        to_C=target,
        findings=(
            _hotter(bath_C, cooked_C),
            _hot_rule(made, hot, subject, hot_holding),
            _time_out(made, target),
            _treated(pasteurised, subject),
        ),
        statements=(_sentence(made, target, bath_C, start_C), settings()["not_undone"]["text"]),
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


def _hot_rule(made: Runs, hot: dict[str, Any], subject: Subject, hot_holding: bool) -> Finding:
    """The temperature a reheated piece has to see before hot holding; asked for guests at risk too."""
    reached = made.reach(hot["temperature_C"]).cautious_s
    done = None if reached is None else reached + hot["hold_s"]
    needed = hot_holding or subject.guests_at_risk
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
    else:
        who = (
            "Served at once it does not bind: a piece cooked and chilled by the rules may be served at any temperature."
        )
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


def _time_out(made: Runs, target_C: float) -> Finding:
    """Time from the cold until served, where the core is served below the lowest row of the tables."""
    limit = settings()["time_out"]
    spent = made.reach(target_C).cautious_s
    asked = f"{mark(limit['limit_s'], 's')} from the fridge to the plate"
    if target_C >= limit["hot_C"]:
        why = f"The core is served at {mark(target_C, 'C')}, not below {mark(limit['hot_C'], 'C')}."
        verdict = Verdict.MET
    elif spent is None:
        why, verdict = f"The core does not reach {mark(target_C, 'C')} for certain.", Verdict.NOT_MET
    else:
        why = f"The core is at {mark(target_C, 'C')} after {mark(spent, 's')}; eat within {asked}."
        verdict = Verdict.MET if spent <= limit["limit_s"] else Verdict.NOT_MET
    return Finding(
        rule="reheat-time-out",
        title=f"served below {mark(limit['hot_C'], 'C')}: {asked}",
        verdict=verdict,
        binding=True,
        why=why,
        source=limit["source"],
        assumptions=("Counted from the moment it goes into the bath, which is early for a frozen piece.",),
        achieved=None if spent is None or spent == 0 else limit["limit_s"] / spent,
    )


def _treated(pasteurised: bool, subject: Subject) -> Finding:
    if pasteurised:
        why = "It was pasteurised before it was chilled; warming it again is for the plate only."
    else:
        why = "It was heated and not pasteurised, so it may only come from the fridge of the day before."
        if subject.guests_at_risk:
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


def _sentence(made: Runs, target_C: float, bath_C: float, start_C: float) -> str:
    reach = made.reach(target_C)
    whence = "frozen" if start_C < -1 else "the fridge"
    start = f"From {whence} at {mark(start_C, 'C')}, in a bath at {mark(bath_C, 'C')}, the core"
    if reach.nominal_s is None:
        return f"{start} does not come up to {mark(target_C, 'C')}."
    return f"{start} is at {mark(target_C, 'C')} after {reach.words}."
