"""The answer on a sear: times with their range, what is behind them, and what would change them."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum

import numpy as np

from corebath.heat.body import Body, Shape
from corebath.heat.conduction import cook
from corebath.heat.stage import Stage
from corebath.safety.finding import Finding, Verdict
from corebath.sear.run import SearRun, Setup, THINNEST_m, run_sear
from corebath.sear.tables import settings
from corebath.units import METRIC, mark, render


class Cause(StrEnum):
    """Why a side takes longer than about a minute, read off the model."""

    NONE = "none"
    WET = "wet"
    COOL = "cool"
    WET_AND_COOL = "wet and cool"
    WEAK = "weak"


@dataclass(frozen=True, slots=True)
class Sear:
    """A sear with its range.

    nominal : middle figures;  dull, keen : poorest and best contact and crust together. A keen contact can
        empty a light pan, so it is not always the quicker one: take the range over all three.
    cause : what makes a side take longer than about a minute
    statements : sentences for the cook;  findings : none of them binding;  assumptions : what they rest on
    """

    nominal: SearRun
    dull: SearRun
    keen: SearRun
    cause: Cause
    statements: tuple[str, ...]
    findings: tuple[Finding, ...]
    assumptions: tuple[str, ...]

    @property
    def runs(self) -> tuple[SearRun, SearRun, SearRun]:
        """All three."""
        return (self.nominal, self.dull, self.keen)


@dataclass(frozen=True, slots=True)
class Effect:
    """One change to the sear. key : its name;  run : the sear with it, middle figures;  statement : one sentence"""

    key: str
    run: SearRun
    statement: str


def sear(setup: Setup) -> Sear:
    """Sear a piece and read what matters off it. Raises ValueError as `Setup` does."""
    contact, crust = settings()["contact"], settings()["crust"]
    runs = [
        run_sear(setup, h, crust[f"{name}_k_W_mK"])
        for h, name in (
            (setup.hot.h_W_m2K, "nominal"),
            (setup.hot.h_low_W_m2K, "low"),
            (setup.hot.h_high_W_m2K, "high"),
        )
    ]
    cause = find_cause(setup)
    answer = Sear(runs[0], runs[1], runs[2], cause, (), (), _assumptions(contact["source"], setup))
    return replace(
        answer,
        statements=(_crust_sentence(answer), _cause_sentence(setup, answer), *_inside(setup, answer)),
        findings=_findings(setup, answer),
    )


def find_cause(setup: Setup) -> Cause:
    """Why a side would take longer than about a minute: the sear repeated drier, hotter, and both."""
    minute = settings()["minute"]["seconds"]
    dry = replace(setup, side_s=None, film_kg_m2=min(setup.film_kg_m2, settings()["film"]["dry_kg_m2"]))
    hot_C = max(setup.hot.face_C, settings()["hot_pan"]["high_C"])
    if _slowest_s(replace(setup, side_s=None)) <= minute:
        return Cause.NONE
    hotter = setup.hot.at(hot_C)
    if _slowest_s(dry) <= minute:
        return Cause.WET
    if setup.hot.method == "pan":
        if _slowest_s(replace(setup, side_s=None, hot=hotter)) <= minute:
            return Cause.COOL
        if _slowest_s(replace(dry, hot=hotter)) <= minute:
            return Cause.WET_AND_COOL
    return Cause.WEAK


def effects(setup: Setup) -> tuple[Effect, ...]:
    """What drying, chilling first, frequent turns and half the thickness would each change.

    Middle figures; each effect is the same sear with that one thing changed. Left out are a chill that no wait
    allows, a half too thin to compute, and a change that the printed figures do not show. Frequent turns are
    judged at an equal crust: what dries while a face is up is not counted, so they do a little better in truth.
    """
    film, turn_s = settings()["film"], settings()["chill_first"]["flip_every_s"]
    wait_s, chilled = chill_first(setup)
    changed = [
        ("wet", replace(setup, film_kg_m2=film["wet_kg_m2"]), "Seared wet from the bag"),
        ("dried", replace(setup, film_kg_m2=film["dry_kg_m2"]), "Dried until the towel stays dry"),
        ("flipped", replace(setup, flip_every_s=turn_s), f"Turned every {mark(turn_s, 's')}"),
    ]
    if wait_s > 0:
        changed.append(("chilled", chilled, f"Chilled in ice water for {mark(wait_s, 's')} first"))
    if setup.thickness_m >= 2 * THINNEST_m:
        changed.append(("half-thickness", _half(setup), f"At {mark(setup.thickness_m / 2, 'm')} thick"))
    base = _run(setup)
    # What prints the same changes nothing for the cook.
    same = render(_effect("", base, base), METRIC)
    found = (Effect(key, run := _run(other), _effect(words, run, base)) for key, other, words in changed)
    return tuple(effect for effect in found if render(_effect("", effect.run, base), METRIC) != same)


def chill_first(setup: Setup) -> tuple[float, Setup]:
    """The longest wait in ice water before the sear that still serves the core warm enough.

    Tries the waits in the settings; warm enough is a core that, once the sear is over, comes to no less than
    2 degC under the result. Returns the wait [s] and the chilled setup; 0 s when every wait is too long.
    """
    figures = settings()["chill_first"]
    best, chosen = 0.0, setup
    for minutes in figures["minutes"][1:]:
        stage = Stage.constant("ice water", minutes * 60, figures["ice_C"], figures["ice_h_W_m2K"])
        body = Body(Shape.SLAB, setup.thickness_m)
        field = cook(body, setup.material, setup.start_C, [stage]).field_C
        tried = replace(setup, start_C=field)
        if _run(tried).core_served_C >= setup.core_result_C - figures["core_below_K"]:
            best, chosen = minutes * 60, tried
    return best, chosen


def _run(setup: Setup) -> SearRun:
    return run_sear(setup, setup.hot.h_W_m2K, settings()["crust"]["nominal_k_W_mK"])


def _half(setup: Setup) -> Setup:
    start = np.asarray(setup.start_C, dtype=np.float64)
    even = float(start.mean())
    return replace(setup, thickness_m=setup.thickness_m / 2, start_C=even)


def _slowest_s(setup: Setup) -> float:
    times = _run(setup).crust_s
    return max(float("inf") if t is None else t for t in times)


def _slowest_range(answer: Sear) -> tuple[float, float, float]:
    """Contact the slower side needs: nominal, shortest and longest of the three; infinite for never [s]."""
    each = [max(float("inf") if t is None else t for t in run.crust_s) for run in answer.runs]
    return each[0], min(each), max(each)


def _crust_sentence(answer: Sear) -> str:
    nominal, quick, slow = _slowest_range(answer)
    if nominal == float("inf"):
        longest = max(answer.nominal.side_s)
        return f"No crust within {mark(longest, 's')} a side: the dry outside never gets hot and deep enough."
    if slow == float("inf"):
        return (
            f"A crust takes about {mark(nominal, 's')} a side; {mark(quick, 's')} at the soonest, perhaps none comes."
        )
    return f"A crust takes about {mark(nominal, 's')} a side ({mark(quick, 's')} to {mark(slow, 's')})."


def _cause_sentence(setup: Setup, answer: Sear) -> str:
    run, minute = answer.nominal, mark(settings()["minute"]["seconds"], "s")
    hot = mark(settings()["hot_pan"]["high_C"], "C")
    match answer.cause:
        case Cause.NONE:
            return f"Hot and dry enough: each side has its crust in {minute} or less."
        case Cause.WET:
            return (
                f"Longer than about {minute} a side because the surface is wet: {run.film_share:.0%} of the heat "
                "goes into boiling that water away; dried, it would be under."
            )
        case Cause.COOL:
            return (
                f"Longer than about {minute} a side because the pan is not hot enough: it is "
                f"{mark(run.hot_low_C, 'C')} at its coldest; preheated to {hot} it would be under."
            )
        case Cause.WET_AND_COOL:
            return (
                f"Longer than about {minute} a side because the surface is wet and the pan not hot enough: dry the "
                f"piece and preheat to {hot}."
            )
        case Cause.WEAK:
            return (
                f"Longer than about {minute} a side even dry and hot: the {setup.hot.method} has too little heat in "
                "store or in supply for this much food; sear less at a time or use a heavier pan or more fire."
            )


def _inside(setup: Setup, answer: Sear) -> tuple[str, ...]:
    run, excess = answer.nominal, settings()["grey_band"]["excess_K"]
    bands = [max(r.band_m) for r in answer.runs]
    band = (
        f"The whole piece ends more than {mark(excess, 'K')} above its core result: it is too thin for this sear."
        if run.through
        else f"The grey band, more than {mark(excess, 'K')} above {mark(setup.core_result_C, 'C')}, is about "
        f"{mark(bands[0], 'm')} deep on the deeper side ({mark(min(bands), 'm')} to {mark(max(bands), 'm')})."
    )
    rises = [r.core_rise_K for r in answer.runs]
    core = (
        f"The core rises by {mark(run.core_rise_K, 'K')} ({mark(min(rises), 'K')} to {mark(max(rises), 'K')}), "
        f"to {mark(run.core_peak_C, 'C')} and at most {mark(max(r.core_peak_C for r in answer.runs), 'C')}, sear and "
        "rest together."
    )
    return band, core


def _effect(words: str, run: SearRun, base: SearRun) -> str:
    slow = [max(float("inf") if t is None else t for t in r.crust_s) for r in (run, base)]
    crust = "no crust" if slow[0] == float("inf") else f"a crust in {mark(slow[0], 's')} a side"
    return (
        f"{words}: {crust}, a grey band of {mark(max(run.band_m), 'm')} instead of {mark(max(base.band_m), 'm')}, "
        f"and a core that peaks at {mark(run.core_peak_C, 'C')} instead of {mark(base.core_peak_C, 'C')}."
    )


def _findings(setup: Setup, answer: Sear) -> tuple[Finding, ...]:
    minute, rule, run = settings()["minute"], settings()["surface_rule"], answer.nominal
    nominal = _slowest_range(answer)[0]
    quick = nominal <= minute["seconds"]
    shortest = min(min(r.surface_s) for r in answer.runs)
    return (
        Finding(
            rule="sear-minute",
            title=f"a crust in about {mark(minute['seconds'], 's')} a side",
            verdict=Verdict.MET if quick else Verdict.NOT_MET,
            binding=False,
            why=_cause_sentence(setup, answer),
            source=minute["source"],
            assumptions=answer.assumptions,
            achieved=0.0 if nominal == float("inf") else minute["seconds"] / nominal,
        ),
        Finding(
            rule="sear-grey-band",
            title="a centre left at its result",
            verdict=Verdict.NOT_MET if run.through else Verdict.MET,
            binding=False,
            why=_inside(setup, answer)[0],
            source=settings()["grey_band"]["source"],
        ),
        Finding(
            rule="sear-surface-63c-15s",
            title=f"both faces at {mark(rule['temperature_C'], 'C')} for {mark(rule['seconds'], 's')}",
            verdict=Verdict.MET if shortest >= rule["seconds"] else Verdict.NOT_MET,
            binding=False,
            why=f"The face that got least was that hot for {mark(shortest, 's')} on the hot face.",
            source=rule["source"],
            assumptions=("The two broad faces only: hold the rim to the heat too.",),
            achieved=shortest / rule["seconds"],
        ),
    )


def _start_sentence(setup: Setup) -> str:
    """What the piece is like when it meets the heat: the answers differ by it."""
    start = np.asarray(setup.start_C, dtype=np.float64)
    if start.ndim == 0:
        return (
            f"The piece meets the heat at {mark(float(start), 'C')} right through; a wait to dry it cools its outside "
            "first, which gives a thinner grey band and a smaller rise."
        )
    return (
        f"The piece meets the heat as the wait before it left it: {mark(float(start[-1]), 'C')} at its face, "
        f"{mark(float(start[0]), 'C')} at its core."
    )


def _assumptions(contact_source: str, setup: Setup) -> tuple[str, ...]:
    return (
        _start_sentence(setup),
        setup.hot.basis if setup.hot.method != "pan" else f"Contact: {contact_source}.",
        f"Dried layer: {settings()['crust']['source']}.",
        "Turned over, the piece comes back to the same spot of the pan.",
        "The upper face loses heat by air, radiation and steam together; its coefficient is a model's input, "
        "not a measurement. No measured depth of a grey band was found to compare with.",
    )
