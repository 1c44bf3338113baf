"""The answer on a sear: times with their range, what is behind them, and what would change them."""

from __future__ import annotations

from collections.abc import Iterator
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
    """What of a side has to change to bring it under about a minute, read off the model; one change if one will do."""

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
    if _slowest_s(replace(setup, side_s=None)) <= minute:
        return Cause.NONE
    if _slowest_s(_dry(setup)) <= minute:
        return Cause.WET
    if setup.hot.method == "pan":
        if _slowest_s(_hotter(setup)) <= minute:
            return Cause.COOL
        if _slowest_s(_hotter(_dry(setup))) <= minute:
            return Cause.WET_AND_COOL
    return Cause.WEAK


def _dry(setup: Setup) -> Setup:
    """The same piece dried until the towel stays dry, each side until its crust."""
    return replace(setup, side_s=None, film_kg_m2=min(setup.film_kg_m2, settings()["film"]["dry_kg_m2"]))


def _hotter(setup: Setup) -> Setup:
    """The same sear on the hottest pan of usual practice, each side until its crust."""
    hot_C = max(setup.hot.face_C, settings()["hot_pan"]["high_C"])
    return replace(setup, side_s=None, hot=setup.hot.at(hot_C))


def effects(setup: Setup) -> tuple[Effect, ...]:
    """What drying, chilling first, frequent turns and half the thickness would each change.

    Middle figures; each effect is the same sear with that one thing changed. Left out are a chill that no wait
    allows, a half too thin to compute, and a change that the printed figures do not show. Where the time on a
    side is open, frequent turns are judged for the same crust and over the same time; what dries while a face is
    up is not counted, so they do a little better in truth.
    """
    film, turn_s = settings()["film"], settings()["chill_first"]["flip_every_s"]
    wait_s, chilled = chill_first(setup)
    changed = [
        ("wet", replace(setup, film_kg_m2=film["wet_kg_m2"]), "Seared wet from the bag"),
        ("dried", replace(setup, film_kg_m2=film["dry_kg_m2"]), "Dried until the towel stays dry"),
        ("flipped", replace(setup, flip_every_s=turn_s), _turned_words(setup, turn_s)),
    ]
    if wait_s > 0:
        changed.append(("chilled", chilled, f"Chilled in ice water for {mark(wait_s, 's')} first"))
    if setup.thickness_m >= 2 * THINNEST_m:
        changed.append(("half-thickness", _half(setup), f"At {mark(setup.thickness_m / 2, 'm')} thick"))
    base = _run(setup)
    # What prints the same changes nothing for the cook.
    same = render(_effect("", base, base), METRIC)
    found = []
    for key, other, words in changed:
        run = _run(other)
        if render(_effect("", run, base), METRIC) == same:
            continue
        more = f" {_over_the_same_time(other, base)}" if key == "flipped" and setup.side_s is None else ""
        found.append(Effect(key, run, _effect(words, run, base) + more))
    return tuple(found)


def _turned_words(setup: Setup, turn_s: float) -> str:
    if setup.side_s is None:
        return f"Turned every {mark(turn_s, 's')} until each side has the same crust"
    return f"Turned every {mark(turn_s, 's')}"


def _over_the_same_time(turned: Setup, base: SearRun) -> str:
    """What frequent turns do when they are given no more time than one side after the other took."""
    total_s = sum(base.side_s)
    run = _run(replace(turned, side_s=max(total_s / 2, 1.0)))
    crust = "no crust yet" if _slowest_of(run) == float("inf") else "with its crust"
    return f"Over the same {mark(total_s, 's')} in all: {_band_words(run)}, {crust}."


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
    return _slowest_of(_run(setup))


def _slowest_of(run: SearRun) -> float:
    """Contact the slower side needs for its crust; infinite for never [s]."""
    return max(float("inf") if t is None else t for t in run.crust_s)


def crust_range_s(answer: Sear) -> tuple[float, float, float]:
    """Contact the slower side needs: nominal, shortest and longest of the three; infinite for never [s]."""
    each = [_slowest_of(run) for run in answer.runs]
    return each[0], min(each), max(each)


def _crust_sentence(answer: Sear) -> str:
    nominal, quick, slow = crust_range_s(answer)
    if nominal == float("inf"):
        longest = max(answer.nominal.side_s)
        return f"No crust within {mark(longest, 's')} a side: the dry outside never gets hot and deep enough."
    if slow == float("inf"):
        return (
            f"A crust takes about {mark(nominal, 's')} a side; {mark(quick, 's')} at the soonest, perhaps none comes."
        )
    return f"A crust takes about {mark(nominal, 's')} a side ({mark(quick, 's')} to {mark(slow, 's')})."


def _cause_sentence(setup: Setup, answer: Sear) -> str:
    minute = mark(settings()["minute"]["seconds"], "s")
    if answer.cause is Cause.NONE:
        return f"Hot and dry enough: each side has its crust in {minute} or less."
    return " ".join((f"A side takes longer than about {minute}.", *_remedies(setup, answer)))


def _remedies(setup: Setup, answer: Sear) -> Iterator[str]:
    """Each single change that shortens the slower side, with the time it leaves; then what both do."""
    run, high_C = answer.nominal, settings()["hot_pan"]["high_C"]
    now_s = _slowest_s(replace(setup, side_s=None))
    dry_s = _slowest_s(_dry(setup))
    hot_s = _slowest_s(_hotter(setup)) if setup.hot.method == "pan" else float("inf")
    dries, heats = _shorter(dry_s, now_s), _shorter(hot_s, now_s)
    if dries:
        yield (
            f"The surface is wet, and boiling that water away takes {100 * run.film_share:.0f} % of the heat: dried, "
            f"and nothing else changed, a side would take {mark(dry_s, 's')}."
        )
    if heats:
        yield (
            f"The pan falls to {mark(run.hot_low_C, 'C')}: preheated to {mark(high_C, 'C')}, and nothing else changed, "
            f"a side would take {mark(hot_s, 's')}."
        )
    both_s = _slowest_s(_hotter(_dry(setup))) if setup.hot.method == "pan" else float("inf")
    if _shorter(both_s, min(dry_s, hot_s)) and (dries == heats):
        yield f"Dried and preheated to {mark(high_C, 'C')}, a side would take {mark(both_s, 's')}."
    if answer.cause is Cause.WEAK:
        yield (
            f"Even dry and hot the {setup.hot.method} has too little heat in store or in supply for this much food: "
            "sear less at a time, or use a heavier pan or more fire."
        )


def _shorter(time_s: float, than_s: float) -> bool:
    """Whether a time is shorter by a second or more as printed."""
    return time_s < than_s and (than_s == float("inf") or round(time_s) < round(than_s))


def _inside(setup: Setup, answer: Sear) -> tuple[str, ...]:
    run, excess = answer.nominal, settings()["grey_band"]["excess_K"]
    bands = [max(r.band_m) for r in answer.runs]
    band = (
        f"The whole piece ends more than {mark(excess, 'K')} above its core result: it is too thin for this sear."
        if run.through
        else f"The grey band, more than {mark(excess, 'K')} above {mark(setup.core_result_C, 'C')}, is about "
        f"{mark(bands[0], 'm')} deep on the deeper side ({mark(min(bands), 'm')} to {mark(max(bands), 'm')})."
        if not any(r.through for r in answer.runs)
        else f"The grey band, more than {mark(excess, 'K')} above {mark(setup.core_result_C, 'C')}, is about "
        f"{mark(bands[0], 'm')} deep on the deeper side; within the range of contact and crust the piece may be grey "
        "right through."
    )
    return band, _core_sentence(answer)


def _core_sentence(answer: Sear) -> str:
    run = answer.nominal
    rises = [r.core_rise_K for r in answer.runs]
    hottest_C = max(r.core_peak_C for r in answer.runs)
    if round(run.core_rise_K, 1) > 0:
        return (
            f"The core rises by {mark(run.core_rise_K, 'K')} ({mark(min(rises), 'K')} to {mark(max(rises), 'K')}), "
            f"to {mark(run.core_peak_C, 'C')} and at most {mark(hottest_C, 'C')}, sear and rest together."
        )
    said = (
        f"The sear does not warm the core: it meets the heat at {mark(run.core_peak_C - run.core_rise_K, 'C')}, and "
        f"is at {mark(run.core_served_C, 'C')} once the sear is over."
    )
    if round(max(rises), 1) > 0:
        said += f" With the best contact it rises to {mark(hottest_C, 'C')} at most."
    return said


def _band_words(run: SearRun) -> str:
    """A grey band as a phrase: a band that meets the other has no depth of its own."""
    return "grey right through" if run.through else f"a grey band of {mark(max(run.band_m), 'm')}"


def _effect(words: str, run: SearRun, base: SearRun) -> str:
    slow = _slowest_of(run)
    crust = "no crust" if slow == float("inf") else f"a crust in {mark(slow, 's')} a side"
    band, was = (mark(max(r.band_m), "m") for r in (run, base))
    peak, peaked = (mark(r.core_peak_C, "C") for r in (run, base))
    match run.through, base.through:
        case True, True:
            return (
                f"{words}: {crust}, grey right through either way, and a core that peaks at {peak} instead of {peaked}."
            )
        case True, False:
            return (
                f"{words}: {crust}, grey right through instead of a grey band of {was}, and a core that peaks at "
                f"{peak} instead of {peaked}."
            )
        case False, True:
            return (
                f"{words}: {crust}, a grey band of {band} instead of grey right through, and a core that peaks at "
                f"{peak} instead of {peaked}."
            )
    return (
        f"{words}: {crust}, a grey band of {band} instead of {was}, and a core that peaks at "
        f"{peak} instead of {peaked}."
    )


def _findings(setup: Setup, answer: Sear) -> tuple[Finding, ...]:
    minute, rule, run = settings()["minute"], settings()["surface_rule"], answer.nominal
    nominal = crust_range_s(answer)[0]
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
