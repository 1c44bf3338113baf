"""Chilling a cooked piece: how long in ice water, and what the cooling rules say of it."""

from __future__ import annotations

from dataclasses import dataclass

from corebath.chill.runs import Around, Reach, Runs, layered, runs
from corebath.chill.tables import Medium, medium, settings
from corebath.heat.body import Body
from corebath.heat.engine import Thermal
from corebath.heat.history import History
from corebath.safety.authority import Authority
from corebath.safety.checks import CHECKS
from corebath.safety.cooling import cooling_limits
from corebath.safety.finding import Finding, Verdict
from corebath.safety.rules import rules_for
from corebath.safety.subject import Subject
from corebath.units import mark


@dataclass(frozen=True, slots=True)
class Chill:
    """A piece chilled in one medium.

    medium : what in;  runs : histories and times, quick, nominal and cautious
    findings : the cooling rules on the cautious history;  statements : for the cook
    """

    medium: Medium
    runs: Runs
    findings: tuple[Finding, ...]
    statements: tuple[str, ...]
    assumptions: tuple[str, ...]


def chill(
    body: Body,
    thermal: Thermal,
    start_C: float,
    where: str | Medium,
    subject: Subject,
    authority: Authority,
    *,
    layers: int = 1,
) -> Chill:
    """Chill a piece straight from the bath.

    start_C : even temperature, the hottest there is when in doubt, -40 to 100 [degC]
    where : "ice-water-still", "ice-water-stirred", "fridge", "counter", or a `Medium`
    layers : pieces lying flat on each other, which cool as one thick piece

    Times are from drop-in until the core is at 21, 5 and 3 degC. Raises ValueError outside the ranges of its
    parts.
    """
    what = medium(where) if isinstance(where, str) else where
    whole = layered(body, layers)
    cases = (
        Around(what.cold_C, what.h_high),
        Around(what.nominal_C, what.h_nominal),
        Around(what.warm_C, what.h_low),
    )
    made = runs(whole, thermal, start_C, what.words, cases, settings()["levels"]["chill_C"])
    findings = cooling_findings(made.cautious, subject, authority)
    if what.key == "counter":
        ice = chill(body, thermal, start_C, "ice-water-still", subject, authority, layers=layers)
        findings = (_counter_finding(what, made, ice.runs, subject, authority), *findings)
    return Chill(
        medium=what,
        runs=made,
        findings=findings,
        statements=tuple(_sentence(reach, what) for reach in made.reaches),
        assumptions=(
            f"{what.words.capitalize()} stays at {mark(what.nominal_C, 'C')} ({mark(what.cold_C, 'C')} to "
            f"{mark(what.warm_C, 'C')}): with ice, as long as ice floats in it.",
            "Cautious: 5 % thicker, 7 % slower to conduct, poorest contact and warmest surroundings together.",
            f"Contact: {what.source}.",
            "Bags hang apart, wetted on every side."
            if layers == 1
            else f"{layers} pieces lie flat on each other and cool as one {mark(whole.thickness_m, 'm')} thick.",
        ),
    )


def cooling_findings(history: History, subject: Subject, authority: Authority) -> tuple[Finding, ...]:
    """The rules on cooling, limits and growth, applied to a history that begins hot."""
    return tuple(
        CHECKS[rule.check](history, rule)
        for rule in rules_for(subject, authority)
        if rule.check == "cooling" or rule.figures.get("part") == "cooling"
    )


def _counter_finding(what: Medium, made: Runs, ice: Runs, subject: Subject, authority: Authority) -> Finding:
    """Cooling on the counter: refused where its first stage cannot be kept, and never enough by itself."""
    rule = next(r for r in rules_for(subject, authority) if r.check == "cooling" and r.binding)
    first = cooling_limits(rule.figures["cooling"])[0]
    room = made.reach(first.to_C).cautious_s
    cold = ice.reach(first.to_C).cautious_s
    took = f"takes {mark(room, 's')}" if room is not None else "never comes"
    in_ice = f"{mark(cold, 's')} in ice water" if cold is not None else "longer than four days in ice water"
    kept = room is not None and room <= first.limit_s
    refused = (
        "it has to go into the cold before then, since a counter never chills it."
        if kept
        else "too thick for the counter: chill it in ice water."
    )
    return Finding(
        rule="chill-not-on-the-counter",
        title=f"cooling on the counter: core at {mark(first.to_C, 'C')} within {mark(first.limit_s, 's')}",
        verdict=Verdict.MET if kept else Verdict.NOT_MET,
        binding=True,
        why=(
            f"On the counter at {mark(what.warm_C, 'C')} the core {took} down to {mark(first.to_C, 'C')}, against "
            f"{mark(first.limit_s, 's')} allowed and {in_ice}: {refused}"
        ),
        source=rule.source,
        assumptions=rule.assumptions,
        achieved=None if room is None else first.limit_s / room if room > 0 else 1.0,
    )


def _sentence(reach: Reach, what: Medium) -> str:
    where, level = what.place, mark(reach.core_C, "C")
    if reach.nominal_s is None:
        return f"{where} the core does not come down to {level}."
    return f"{where} the core is at {level} after {reach.words}."
