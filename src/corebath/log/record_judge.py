"""A row held to the limits of its authority: the rules of the safety and chill rooms, read off a few readings.

Readings as measured prove a limit met or missed, or leave it open; what they leave open is `not known`.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Any
from zoneinfo import ZoneInfo

from corebath.bath.altitude import boiling_spread_C
from corebath.bath.probe import boiling_check, ice_check
from corebath.chill.keep import keep
from corebath.chill.tables import settings as chill_settings
from corebath.safety.finding import Finding, Verdict
from corebath.units import mark

from .record import Entry, Point, Record, Step
from .record_heat import chill_findings, cook_findings
from .record_spans import Bounds, Series
from .settings import settings

_WORST = (Verdict.NOT_MET, Verdict.NOT_KNOWN, Verdict.MET)
_KEEP_C = (-2.0, 20.0)  # what the keeping rules speak of


@dataclass(frozen=True, slots=True)
class RowVerdict:
    """What the limits say of a row. verdict : the worst that binds;  findings : each limit, those that bind first"""

    verdict: Verdict
    findings: tuple[Finding, ...]


@lru_cache(maxsize=8192)
def judge_record(record: Record, zone: ZoneInfo) -> RowVerdict:
    """A row against every limit of its authority that speaks of its step. Raises ValueError for a corrective action.

    zone : the kitchen's, by which days in the cold are counted
    """
    match record.step:
        case Step.COOK:
            found = cook_findings(record)
        case Step.CHILL:
            found = chill_findings(record)
        case Step.BAG:
            found = (_cold(record),)
        case Step.KEEP:
            found = (_cold(record), _days(record, zone))
        case Step.REHEAT:
            found = (_hot(record), _time_out(record))
        case Step.PROBE:
            found = (_thermometer(record),)
        case Step.ACTION:
            raise ValueError("a corrective action is held to no limit")
    ordered = tuple(sorted(found, key=lambda f: not f.binding))
    counting = [f.verdict for f in ordered if f.binding] or [f.verdict for f in ordered]
    return RowVerdict(next((v for v in _WORST if v in counting), Verdict.NOT_KNOWN), ordered)


def still_open(entry: Entry, zone: ZoneInfo) -> bool:
    """True for a row that missed a limit and has neither a corrective action nor a row in its place."""
    return not entry.answered and judge_record(entry.record, zone).verdict is Verdict.NOT_MET


def _cold(record: Record) -> Finding:
    """Cold holding by the warmest reading."""
    held, authority = chill_settings()["cold_holding"], record.authority
    limit = float(held[f"{authority.value}_C"])
    values = record.counted_C(max)
    if not values:
        verdict, why = Verdict.NOT_KNOWN, "Nothing was measured."
    else:
        verdict = Verdict.MET if max(values) <= limit else Verdict.NOT_MET
        why = f"The warmest reading counts as {mark(round(max(values), 2), 'C')}."
    return Finding(
        rule=f"keep-cold-{authority.value.lower()}",
        title=f"cold holding at {mark(limit, 'C')} or below",
        verdict=verdict,
        binding=True,
        why=why,
        source=str(held[f"{authority.value}_source"]),
    )


def _days(record: Record, zone: ZoneInfo) -> Finding:
    """Days in the cold since the day of cooking, by the strictest keeping rule."""

    def found(verdict: Verdict, why: str, title: str = "days in the cold", source: str = "", *, binds: bool) -> Finding:
        return Finding("keep-days", title, verdict, binds, why, source or "all keeping rules held")

    values = record.counted_C(max)
    if not values:
        return found(Verdict.NOT_KNOWN, "Nothing was measured.", binds=False)
    if record.began is None:
        return found(Verdict.NOT_KNOWN, "The day it was cooked is not recorded.", binds=False)
    warmest = max(values)
    if warmest < _KEEP_C[0]:
        why = f"No keeping rule held here speaks of food colder than {mark(_KEEP_C[0], 'C')}."
        return found(Verdict.NOT_KNOWN, why, binds=False)
    kept = None
    if warmest <= _KEEP_C[1]:
        kept = keep(
            record.authority, fridge_C=warmest, pasteurised=record.pasteurised, opened=record.opened,
            guests_at_risk=record.subject is not None and record.subject.guests_at_risk,
        )  # fmt: skip
    if kept is None or kept.rule is None:
        why = f"No rule held here allows keeping it at {mark(round(warmest, 2), 'C')}."
        return found(Verdict.NOT_MET, why, "a rule that allows keeping it", binds=True)
    cooked, now = record.began.astimezone(zone).date(), record.measured[-1].at.astimezone(zone).date()
    use_by = kept.use_by(cooked)
    return Finding(
        rule=f"keep-{kept.rule.key}",
        title=kept.rule.title,
        verdict=Verdict.MET if now <= use_by else Verdict.NOT_MET,
        binding=True,
        why=f"Cooked on {cooked.isoformat()}, it may be kept until {use_by.isoformat()}; this is {now.isoformat()}.",
        source=kept.rule.source,
        assumptions=(
            "The heat treatment that binds for it was met, and it was chilled within its limits."
            if record.pasteurised
            else "It counts as heated, not pasteurised.",
        ),
    )


def _hot(record: Record) -> Finding:
    """What reheating for hot holding asks; it binds when the food is held hot, and for guests at higher risk."""
    asked = chill_settings()["hot_holding"][record.authority.value]
    level, hold_s, within_s = (float(asked[name]) for name in ("temperature_C", "hold_s", "within_s"))
    risk = record.subject is not None and record.subject.guests_at_risk
    title = f"reheated to {mark(level, 'C')} for {mark(hold_s, 's')} within {mark(within_s, 's')}"
    verdict, why = _reheated(Series.of(record, record.counted_C(min)), level, hold_s, within_s)
    who = (
        "It binds because the food is held hot." if record.held_hot
        else "It binds because a guest at higher risk eats it." if risk
        else str(asked["at_once"])
    )  # fmt: skip
    return Finding("reheat-hot-holding", title, verdict, record.held_hot or risk, f"{why} {who}", str(asked["source"]))


def _reheated(series: Series, level_C: float, hold_s: float, within_s: float) -> tuple[Verdict, str]:
    reached = series.rise(level_C)
    if not series.time_s:
        return Verdict.NOT_KNOWN, "Nothing was measured."
    if reached is None:
        said = f"The warmest reading counts as {mark(round(max(series.value_C), 2), 'C')}"
        if series.shows_the_end:
            return Verdict.NOT_MET, f"{said}."
        return Verdict.NOT_KNOWN, f"{said}, and nothing was read at the end."
    first = series.time_s.index(reached.most)
    last = first
    while last + 1 < len(series.value_C) and series.value_C[last + 1] >= level_C:
        last += 1
    held = series.time_s[last] - reached.most
    if series.began_s is None:
        return Verdict.NOT_KNOWN, "It was there; when the reheating began is not recorded."
    took = Bounds(max(reached.least - series.began_s, 0.0), reached.most - series.began_s)
    verdict = took.within(within_s)
    why = f"It was there after {mark(round(took.most), 's')}."
    if verdict is Verdict.MET and max(held, settings("records")["reading"]["settle_s"]) < hold_s:
        return Verdict.NOT_KNOWN, f"{why} The readings do not show it there for long enough."
    return verdict, why


def _time_out(record: Record) -> Finding:
    """Food served below the lowest row of the tables: its time from the fridge to the plate."""
    limit = chill_settings()["time_out"]
    hot_C, limit_s = float(limit["hot_C"]), float(limit["limit_s"])
    series = Series.of(record, record.counted_C(min))
    if not series.time_s:
        verdict, why = Verdict.NOT_KNOWN, "Nothing was measured."
    elif series.value_C[-1] >= hot_C:
        verdict, why = Verdict.MET, f"The last reading, {mark(round(series.value_C[-1], 2), 'C')}, is not below it."
    elif series.began_s is None:
        verdict, why = Verdict.NOT_KNOWN, "When it came out of the cold is not recorded."
    else:
        spent = series.end_s - series.began_s
        verdict = Verdict.MET if spent <= limit_s else Verdict.NOT_MET
        why = f"It was out of the cold for {mark(round(spent), 's')} by the last moment recorded."
    return Finding(
        rule="reheat-time-out",
        title=f"served below {mark(hot_C, 'C')}: {mark(limit_s, 's')} from the fridge to the plate",
        verdict=verdict,
        binding=True,
        why=why,
        source=str(limit["source"]),
    )


def _thermometer(record: Record) -> Finding:
    """A thermometer in melting ice or in water that boils at this altitude."""
    about: dict[str, Any] = settings("records")["thermometer"][record.authority.value]
    assert record.point is not None
    assert record.altitude_m is not None
    ice = record.point is Point.ICE
    true_C = 0.0 if ice else boiling_spread_C(record.altitude_m).nominal
    place = "melting ice" if ice else "boiling water"
    values = [m.value_C for m in record.measured]
    if not values:
        verdict, why = Verdict.NOT_KNOWN, "Nothing was measured."
    else:
        # To the tenth a thermometer shows: 99.0 beside a boiling point of 99.97 is 1.0 off.
        off_K = max(round(abs(value - true_C), 1) for value in values)
        verdict = Verdict.MET if off_K <= about["within_K"] else Verdict.NOT_MET
        why = _checked(values, record) or f"It is {mark(off_K, 'K')} off in {place}, too far to be put right."
    return Finding(
        rule=f"thermometer-{record.authority.value.lower()}",
        title=f"thermometer within {mark(float(about['within_K']), 'K')} of {place}",
        verdict=verdict,
        binding=True,
        why=why,
        source=str(about["source"]),
    )


def _checked(values: list[float], record: Record) -> str:
    """What the bath room says of a check; empty where the thermometer is too far off for it."""
    try:
        return (ice_check(values) if record.point is Point.ICE else boiling_check(values, record.altitude_m)).statement
    except ValueError:
        return ""
