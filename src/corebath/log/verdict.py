"""The verdict after a fault: keep, finish cooking, or bin; see docs/decisions/0010-verdict.md for the reasons.

Everything is read off the worst history that the readings leave open. What cannot be shown is answered with bin.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from math import ceil, inf

from corebath.heat.history import History
from corebath.safety.authority import Authority
from corebath.safety.finding import Finding, Verdict
from corebath.safety.lethality import LethalityRule
from corebath.safety.rules import binding_lethality, judge, reported_lethality
from corebath.safety.subject import Subject
from corebath.units import mark

from .as_cooked import AsCooked
from .faults import Failed
from .finish import Broken, Clocks, Finish, back_s, find_finish
from .settings import settings

_WITHIN_K = 0.5  # below the bath, a core counts as hot through: the usual target of heating-time tables
_PROBE_K = 1.0  # and by a probe, twice the bias it may have
_ORDER = (Verdict.NOT_MET, Verdict.NOT_KNOWN, Verdict.MET)


class Decision(StrEnum):
    """What to do with the food."""

    KEEP = "keep"
    FINISH = "finish cooking"
    BIN = "bin"


@dataclass(frozen=True, slots=True)
class Band:
    """Time the core spent in a band of temperatures [s].

    words : the band, with marks;  best_s : by the best history
    worst_s : the longest by any history, or the shortest for the hot band
    """

    words: str
    best_s: float
    worst_s: float


@dataclass(frozen=True, slots=True)
class Judged:
    """A verdict. Text carries quantities as marks; times are from drop-in unless said otherwise.

    decision, sentence : what to do, and in one sentence
    doubt : the best case would allow more, but the worst case counts
    why : the reasons, one sentence each;  rules : titles of the rules that decided, with their source
    pasteurised : the core treatment was complete before the fault (before now when there was none) even in the worst
        case; None when no rule asks for one;  pasteurised_said : in a sentence, naming the rule
    bands : hours in each band;  findings : every rule on the worst histories, the worse of the two
    finish : how to finish, None unless that is the decision
    left_s : how long food that is cooling, or was never hot, may stay so, None when it is hot or binned [s]
    back_s : how long it takes until all of it is hot again when it is put back at once, None when that is too long, or
        nothing has to be [s]
    """

    decision: Decision
    sentence: str
    doubt: bool
    why: tuple[str, ...]
    rules: tuple[tuple[str, str], ...]
    pasteurised: bool | None
    pasteurised_said: str
    bands: tuple[Band, ...]
    findings: tuple[Finding, ...]
    finish: Finish | None
    left_s: float | None
    back_s: float | None


NOT_UNDONE = (
    "Heating it again does not help: toxins that bacteria have made outlast cooking, and spores outlive it. Nor does "
    "the sealed bag: some of these bacteria grow where there is no air."
)
_DOUBT = "When in doubt, bin it: the best case would pass, but nobody can know that, and the worst case counts."
DEFER = "It says which printed rules are met under the assumptions named; your local food code comes first."


def verdict(cooked: AsCooked, subject: Subject, authority: Authority) -> Judged:
    """The verdict on a cook as it happened.

    cooked : from `as_cooked`;  subject, authority : the piece, the guests, and whose rules hold
    """
    clocks = Clocks.of(subject, authority)
    findings = _worse(judge(cooked.worst, subject, authority), judge(cooked.worst_quick, subject, authority))
    worst = (cooked.worst, cooked.worst_quick)
    broken = tuple(clocks.broken(worst, findings))
    findings = tuple(_as_broken(finding, broken) for finding in findings)
    unmet = _unmet(findings, clocks)
    done = not unmet and _was_hot(cooked)
    finish = None if broken or done else find_finish(cooked, subject, authority, clocks)
    left = back = None
    doubt = False
    if not broken and not unmet and (done or (finish is None and clocks.was_hot(cooked.worst))):
        decision = Decision.KEEP
        left = clocks.left_s(worst)
        back = _in_time(cooked, clocks, left)
        sentence = _keep_sentence(cooked, left, back) + _began_warm(cooked, clocks)
        reasons = tuple(_said(f) for f in findings if f.binding and clocks.decides(f))
        reasons = (*reasons, *clocks.stricter_said(worst))
    elif finish is not None:
        decision = Decision.FINISH
        left = clocks.left_s(worst)
        sentence = _finish_sentence(cooked, finish) + _began_warm(cooked, clocks)
        reasons = (*(_said(f) for f in unmet), *finish.why)
    else:
        decision = Decision.BIN
        doubt = _better_at_best(cooked, subject, authority, clocks)
        sentence = _DOUBT if doubt else "Bin it."
        reasons = tuple(f"{b.title}: {b.why}" for b in broken) or (*(_said(f) for f in unmet), _too_late(unmet))
        reasons = (*reasons, NOT_UNDONE)
    if decision is not Decision.BIN:
        reasons = (*reasons, *_overcooked(cooked))
    deciding = [(b.title, b.source) for b in broken]
    if not broken:
        decides = unmet if decision is Decision.BIN and unmet else [f for f in findings if f.binding]
        deciding = [(f.title, f.source) for f in decides if clocks.decides(f)]
    fault_s = cooked.cold_faults[0].start_s if cooked.cold_faults else cooked.until_s
    pasteurised, told = _pasteurised(cooked, subject, authority, fault_s)
    return Judged(
        decision=decision, sentence=sentence, doubt=doubt, why=(*reasons, DEFER), rules=tuple(deciding),
        pasteurised=pasteurised, pasteurised_said=told, bands=tuple(_bands(cooked)), findings=findings, finish=finish,
        left_s=left, back_s=back,
    )  # fmt: skip


def _as_broken(finding: Finding, broken: Sequence[Broken]) -> Finding:
    """A finding with the stricter clock's word where that limit is overrun, so that the two never disagree."""
    told = next((b for b in broken if b.rule == finding.rule), None)
    if told is None:
        return finding
    return replace(finding, verdict=Verdict.NOT_MET, binding=True, why=told.why)


def _unmet(findings: Sequence[Finding], clocks: Clocks) -> list[Finding]:
    return [f for f in findings if f.binding and f.verdict is not Verdict.MET and clocks.decides(f)]


def _said(finding: Finding) -> str:
    return f"{finding.title}: {finding.why}"


def _better_at_best(cooked: AsCooked, subject: Subject, authority: Authority, clocks: Clocks) -> bool:
    """The best history alone would not have been binned at once: then the bin rests on doubt."""
    findings = judge(cooked.best, subject, authority)
    if any(clocks.broken((cooked.best,), findings)):
        return False
    return bool(cooked.gaps) or not _unmet(findings, clocks)


def _in_time(cooked: AsCooked, clocks: Clocks, left_s: float | None) -> float | None:
    """How long it takes back to hot, None where that is too long or not needed [s]."""
    if left_s is None or _holds(cooked):
        return None
    back = back_s(cooked, clocks)
    return back if back is not None and back <= left_s else None


def _worse(first: Sequence[Finding], second: Sequence[Finding]) -> tuple[Finding, ...]:
    """Of each rule the worse of two findings; a binding one before one that is told only."""
    return tuple(
        min((a, b), key=lambda f: (_ORDER.index(f.verdict), not f.binding)) for a, b in zip(first, second, strict=True)
    )


def _pasteurised(cooked: AsCooked, subject: Subject, authority: Authority, fault_s: float) -> tuple[bool | None, str]:
    binding = _reducing(binding_lethality(subject, authority))
    rules = binding or _reducing(reported_lethality(subject, authority))[:1]
    before = "before the fault" if cooked.cold_faults else "by now"
    if not rules:
        return None, f"No rule that asks for a reduction at the core is held for {subject.kind}, so that is not known."
    names = " and ".join(f"“{rule.title}”" for rule in rules)
    if all(_met_s(rule, cooked.worst) <= fault_s for rule in rules):
        if cooked.known.on_trust:
            return True, f"If the bath held its set point, the core was pasteurised {before}, by {names}."
        return True, f"The core was pasteurised {before} even in the worst case, by {names}."
    hope = all(_met_s(rule, cooked.best) <= fault_s for rule in rules)
    note = " In the best case it was." if hope else ""
    told = "" if binding else " For this piece that rule is reported; it does not bind."
    return False, f"The core cannot be shown to have been pasteurised {before}, by {names}.{note}{told}"


def _reducing(rules: Sequence[LethalityRule]) -> tuple[LethalityRule, ...]:
    """The rules that stand for a reduction of bacteria; others ask only for a temperature, or are about worms."""
    return tuple(rule for rule in rules if rule.target_log10 is not None)


def _met_s(rule: LethalityRule, history: History) -> float:
    met = rule.met_at_s(history.time_s, history.core_C)
    return inf if met is None else met


def _was_hot(cooked: AsCooked) -> bool:
    """The core was hot through at some time, by a slow piece's bath or, where only the core was measured, its probe."""
    level = min(cooked.slow.bath_C, cooked.piece.bath_C) - (_PROBE_K if cooked.only_core else _WITHIN_K)
    return cooked.worst.first_core_above(level) is not None


def _holds(cooked: AsCooked) -> bool:
    """The bath is at its set point now, even in the worst case."""
    return cooked.bath_now_C >= cooked.piece.bath_C - float(settings("trace")["fine"]["below_K"])


def _keep_sentence(cooked: AsCooked, left_s: float | None, back: float | None) -> str:
    if left_s is None and any(f.kind is Failed.TOO_HOT and f.end_s is None for f in cooked.faults):
        return (
            "Keep it: no binding rule is broken even in the worst case, and it is still hot. The bath is too hot: "
            f"check it with another thermometer and bring it down to {mark(round(cooked.set_point_C, 1), 'C')}."
        )
    if left_s is None and cooked.known.on_trust:
        return "Keep it if the bath held its set point: then no binding rule is broken, and it is still hot."
    if left_s is None:
        return "Keep it: no binding rule is broken even in the worst case, and it is still hot. Go on as planned."
    if _holds(cooked):
        return f"Keep it, and eat it within {_down(left_s)}: it is not cooked hot, so time is all that guards it."
    again = (
        "there is no time left to heat it through again"
        if back is None
        else f"or put it back into its bath at once: it takes {mark(60.0 * ceil(back / 60.0), 's')} to be hot again"
    )
    return f"Keep it, but act now: eat it within {_down(left_s)}, {again}. Do not keep it for another day."


def _began_warm(cooked: AsCooked, clocks: Clocks) -> str:
    """What is left to ask of food that was not cold when it dropped in; empty for food that was."""
    if clocks.control is None or cooked.piece.start_C <= clocks.control.figures["low_C"]:
        return ""
    low = mark(clocks.control.figures["low_C"], "C")
    return (
        f" But it dropped in at {mark(round(cooked.piece.start_C, 1), 'C')}, and how long it had been above {low} "
        "before is not known and counts in no figure here: if that was more than an hour or so, or nobody knows, bin "
        "it."
    )


def _overcooked(cooked: AsCooked) -> Iterator[str]:
    """What a bath that was too hot did to the food."""
    hottest_C = float(cooked.best.core_C.max())
    if any(f.kind is Failed.TOO_HOT for f in cooked.faults) and hottest_C > cooked.set_point_C + _WITHIN_K:
        yield (
            f"If the readings are right, the core came up to {mark(round(hottest_C, 1), 'C')}: the food is cooked "
            f"further than at {mark(round(cooked.set_point_C, 1), 'C')}, firmer and drier."
        )


def _finish_sentence(cooked: AsCooked, finish: Finish) -> str:
    least = mark(finish.from_now_s, "s")
    set_point = mark(round(finish.set_point_C, 1), "C")
    if finish.set_point_C <= cooked.set_point_C + 0.05 and finish.warm_up_s <= 60.0:
        return f"Finish cooking: leave it in the bath at {set_point} for {least} more at least."
    warm_up = mark(finish.warm_up_s, "s")
    if finish.set_point_C > cooked.set_point_C + 0.05:
        return (
            f"Finish cooking, and begin at once: set the bath to {set_point}. That is hotter than planned because "
            f"there it is ready in time. Pull no sooner than {least} from now, {warm_up} of it to warm the bath."
        )
    return (
        f"Finish cooking, and begin at once: set the bath to {set_point}, and pull no sooner than {least} from now, "
        f"{warm_up} of it to warm the bath."
    )


def _too_late(unmet: Sequence[Finding]) -> str:
    if unmet:
        return "No set point was found at which the food would be treated enough before a time limit is overrun."
    return "It has not been hot, and cannot be any more before a time limit is overrun."


def _down(seconds: float) -> str:
    return mark(60.0 * max(int(seconds // 60), 0), "s")


def _bands(cooked: AsCooked) -> Iterator[Band]:
    for band in settings("judge")["band"]:
        low, high = band.get("low_C", -inf), band.get("high_C", inf)
        best, *others = (h.seconds_between(low, high) for h in (cooked.best, cooked.worst, cooked.worst_quick))
        worst = min(best, *others) if high == inf else max(best, *others)
        yield Band(band["words"], best, worst)
