"""The cook and the chill of a row: rules of the safety room read off a few core readings."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from math import isfinite
from types import MappingProxyType

from corebath.safety.cooling import CoolingLimit, cooling_limits
from corebath.safety.finding import Finding, Verdict
from corebath.safety.rule import Rule
from corebath.safety.rules import binding_lethality, reported_lethality, rules_for
from corebath.units import mark

from .record import Record
from .record_spans import Bounds, Series, between

_NOTHING = "The core was not measured."
_WHOLE = 1.0 - 1e-9  # a hold that is exactly long enough may come out a rounding short
_DOSES = ("core", "surface", "assumed", "not-known")
_LEFT_OPEN = "The readings leave it open."
_EVENLY = "A limit counts as missed when it is missed by a core that changes evenly from one reading to the next."
_COLDER = "Between two readings the core counts as the colder of them."


def cook_findings(record: Record) -> tuple[Finding, ...]:
    """Every rule that binds for a cook, and the treatment that is only told where none binds."""
    if record.subject is None:
        return (_unknown("cook-food", "what is cooked", "What it is was not recorded, so no rule can be named."),)
    rules = [r for r in rules_for(record.subject, record.authority) if r.check in _CHECKS]
    binding = [r for r in rules if r.binding]
    if not any(r.check in _DOSES for r in binding):
        binding += [r for r in rules if r.check == "core"][:1]
    found = (_CHECKS[rule.check](record, rule) for rule in binding)
    return tuple(f for f in found if f is not None)


def chill_findings(record: Record) -> tuple[Finding, ...]:
    """Every cooling rule that speaks of it, binding or told."""
    if record.subject is None:
        return (_unknown("chill-food", "what is chilled", "What it is was not recorded, so no rule can be named."),)
    rules = [r for r in rules_for(record.subject, record.authority) if r.check == "cooling"]
    return tuple(_cooling(record, rule) for rule in rules)


def core_treated(record: Record) -> bool:
    """Whether the readings show the treatment that binds for the core or, where none binds, the first that is told."""
    if record.subject is None or not record.measured:
        return False
    about = (record.subject, record.authority)
    rules = binding_lethality(*about) or reported_lethality(*about)[:1]
    series = Series.of(record, record.counted_C(min))
    return bool(rules) and all(series.dose(rule).least >= _WHOLE for rule in rules)


def _core(record: Record, rule: Rule) -> Finding:
    """A heat treatment of the core."""
    table, series = rule.lethality, Series.of(record, record.counted_C(min))
    assert table is not None
    if not series.time_s:
        return _found(rule, Verdict.NOT_KNOWN, _NOTHING)
    peak, dose = max(series.value_C), series.dose(table)
    said = f"The core counts as {mark(round(peak, 2), 'C')} at its warmest"
    if dose.least >= _WHOLE:
        return _found(rule, Verdict.MET, f"{said}; the readings show the whole treatment.", _COLDER)
    if peak < table.lowest_C:
        verdict = Verdict.NOT_MET if series.shows_the_end else Verdict.NOT_KNOWN
        why = f"{said}, short of the {mark(round(table.lowest_C, 2), 'C')} below which time does not count."
        return _found(rule, verdict, why)
    why = f"{said}; the readings show {min(int(100 * dose.least), 99)} % of the treatment"
    if dose.most < _WHOLE:
        return _found(rule, Verdict.NOT_MET, f"{why}.", _COLDER)
    return _found(rule, Verdict.NOT_KNOWN, f"{why}; more readings may show the rest.", _COLDER)


def _surface(record: Record, rule: Rule) -> Finding:
    """A heat treatment of the surface, which in a bath is nowhere colder than the core."""
    inside = _core(record, rule)
    if inside.verdict is Verdict.MET:
        return inside
    return _found(rule, Verdict.NOT_KNOWN, "The surface was not measured; the core alone does not show it.")


def _assumed(record: Record, rule: Rule) -> Finding:
    del record
    why = rule.why[0].lower() + rule.why[1:]
    return _found(rule, Verdict.MET, f"Assumed, not measured: {why}")


def _not_known(record: Record, rule: Rule) -> Finding:
    del record
    return _found(rule, Verdict.NOT_KNOWN, rule.why)


def _warming(record: Record, rule: Rule) -> Finding | None:
    """Core time between two temperatures on the way up; the rule of time alone speaks of cores never hot only."""
    low, high, limit = (float(rule.figures[name]) for name in ("low_C", "high_C", "limit_s"))
    series = Series.of(record, record.counted_C(min))
    if not series.time_s:
        return _found(rule, Verdict.NOT_KNOWN, _NOTHING)
    hot = series.rise(high)
    if hot is not None and rule.check == "time-control":
        return None
    end = hot or Bounds(series.time_s[-1], series.end_s)
    spent = between(series.leaves_up(low, end.most), end)
    if not isfinite(spent.most):
        return _found(rule, Verdict.NOT_KNOWN, "When it came out of the cold, or dropped in, is not recorded.")
    verdict = spent.within(limit)
    if hot is not None:
        why = (
            f"The core went from {mark(low, 'C')} to {mark(high, 'C')} in {_span(spent)}; the limit is "
            f"{mark(limit, 's')}."
        )
    else:
        why = (
            f"By the last moment recorded {_span(spent)} had passed since {mark(low, 'C')}, and the core was not yet "
            f"at {mark(high, 'C')}; the limit is {mark(limit, 's')}."
        )
        if verdict is Verdict.MET and record.ended is None:
            verdict = Verdict.NOT_KNOWN  # it may go on for longer than the limit
        elif verdict is Verdict.MET and rule.check == "come-up":
            return _silent(rule, f"{why} {_not_so_hot(high)}")
    return _found(rule, verdict, f"{why} {_LEFT_OPEN}" if verdict is Verdict.NOT_KNOWN else why, _EVENLY)


def _outage(record: Record, rule: Rule) -> Finding:
    """Time below a temperature after the core was hot."""
    high, limit = float(rule.figures["high_C"]), float(rule.figures["limit_s"])
    series = Series.of(record, record.counted_C(min))
    hot = series.rise(high)
    if not series.time_s:
        return _found(rule, Verdict.NOT_KNOWN, _NOTHING)
    if hot is None:
        return _silent(rule, _not_so_hot(high))
    spent = series.below_s(high, hot.most)
    if spent.most == 0:
        return _found(rule, Verdict.MET, f"Once hot, no reading is below {mark(high, 'C')}.", _COLDER)
    return _found(rule, spent.within(limit), f"Once hot, the core was, or may have been, below it for {_span(spent)}.")


def _bath(record: Record, rule: Rule) -> Finding:
    """The set point against the lowest an authority accepts."""
    low = float(rule.figures["low_C"])
    if record.set_C is None:
        return _found(rule, Verdict.NOT_KNOWN, "The set point is not recorded.")
    counts = min(record.set_C, record.set_C - record.offset_K)
    verdict = Verdict.MET if counts >= low - 1e-6 else Verdict.NOT_MET
    return _found(rule, verdict, f"The bath counts as {mark(round(counts, 2), 'C')}.")


_CHECKS: Mapping[str, Callable[[Record, Rule], Finding | None]] = MappingProxyType(
    {
        "core": _core,
        "surface": _surface,
        "assumed": _assumed,
        "not-known": _not_known,
        "come-up": _warming,
        "time-control": _warming,
        "core-below": _warming,
        "outage": _outage,
        "bath-minimum": _bath,
    }
)


def _cooling(record: Record, rule: Rule) -> Finding:
    """Every stage of a cooling rule, from the last reading above it to the first one below."""
    # The start is early by the colder reading, the end late by the warmer one.
    early, late = (Series.of(record, record.counted_C(worst)) for worst in (min, max))
    if not late.time_s:
        return _found(rule, Verdict.NOT_KNOWN, _NOTHING)
    stages = [_stage(early, late, limit) for limit in cooling_limits(rule.figures["cooling"])]
    verdicts = [verdict for verdict, _ in stages]
    worst = next(v for v in (Verdict.NOT_MET, Verdict.NOT_KNOWN, Verdict.MET) if v in verdicts)
    return _found(rule, worst, " ".join(why for _, why in stages), _EVENLY)


def _stage(early: Series, late: Series, limit: CoolingLimit) -> tuple[Verdict, str]:
    """One stage: whether it was within its time, and a sentence."""
    allowed, to = f"{mark(limit.limit_s, 's')} are allowed", mark(round(limit.to_C, 1), "C")
    cold = late.fall(limit.to_C)
    end = cold or Bounds(late.time_s[-1], late.end_s)
    start = early.leaves_down(limit.from_C, end.most)
    spent = between(start, end)
    if spent.least > limit.limit_s:
        down = "" if cold is not None else "not yet "
        return Verdict.NOT_MET, f"It was {down}down to {to} after {_floor(spent.least)} or more; {allowed}."
    if cold is None:
        return Verdict.NOT_KNOWN, f"No reading is down to {to}; {allowed}."
    if not isfinite(spent.most):
        return Verdict.NOT_KNOWN, f"It was down to {to}, but when it began to cool is not recorded; {allowed}."
    verdict = spent.within(limit.limit_s)
    why = f"It was down to {to} after {_span(spent)}; {allowed}."
    return verdict, f"{why} {_LEFT_OPEN}" if verdict is Verdict.NOT_KNOWN else why


def _floor(time_s: float) -> str:
    return mark(60 * int(time_s / 60), "s")


def _span(bounds: Bounds) -> str:
    """A time as the readings bound it."""
    most = 60 * -int(-bounds.most // 60)
    if most - bounds.least <= 60:
        return mark(most, "s")
    return f"{_floor(bounds.least)} to {mark(most, 's')}" if bounds.least >= 60 else f"at most {mark(most, 's')}"


def _not_so_hot(high_C: float) -> str:
    return f"No reading is at {mark(high_C, 'C')} or above, so this rule does not speak of it."


def _silent(rule: Rule, why: str) -> Finding:
    """A rule that does not speak of what was measured: neither met nor missed, and it does not bind."""
    return replace(_found(rule, Verdict.NOT_KNOWN, why), binding=False)


def _found(rule: Rule, verdict: Verdict, why: str, *assumed: str) -> Finding:
    return Finding(
        rule=rule.key,
        title=rule.title,
        verdict=verdict,
        binding=rule.binding,
        why=f"{why} {rule.escalation}".rstrip(),
        source=rule.source,
        assumptions=(*rule.assumptions, *assumed),
    )


def _unknown(key: str, title: str, why: str) -> Finding:
    return Finding(key, title, Verdict.NOT_KNOWN, True, why, "no rule")
