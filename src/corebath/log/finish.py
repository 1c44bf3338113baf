"""Finishing a cook after a fault: the clocks that must not run out, and the first set point that is in time."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import ceil, inf
from typing import Any

import numpy as np

from corebath.heat.history import History, seconds_above
from corebath.plan.data import defaults
from corebath.safety.authority import Authority
from corebath.safety.check_times import TOLD_ONLY
from corebath.safety.finding import Finding, Verdict
from corebath.safety.lethality import LethalityRule
from corebath.safety.rule import Rule
from corebath.safety.rules import binding_lethality, judge, rules_for
from corebath.safety.subject import Subject
from corebath.units import mark

from .as_cooked import AsCooked
from .settings import settings

_TIME_CHECKS = ("come-up", "core-below", "outage")
_BATH_AT_FAULT = "It binds here because the bath was at fault on the way up."


@dataclass(frozen=True, slots=True)
class Broken:
    """A limit that is overrun, for good: its rule's key, what it asks, what happened, and who wrote it."""

    rule: str
    title: str
    why: str
    source: str


@dataclass(frozen=True, slots=True)
class Finish:
    """How to finish. set_point_C [degC];  warm_up_s, from_now_s : to warm the bath, and until the pull, in all [s]
    why : one sentence each
    """

    set_point_C: float
    warm_up_s: float
    from_now_s: float
    why: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Clocks:
    """The time limits of one piece under one authority.

    checks : how each rule is read, by its key;  core : heat treatments of the core that bind
    come_up, outage, control : those rules, None where the authority has none for this food
    """

    checks: dict[str, str]
    core: tuple[LethalityRule, ...]
    come_up: Rule | None
    outage: Rule | None
    control: Rule | None

    @classmethod
    def of(cls, subject: Subject, authority: Authority) -> Clocks:
        """The clocks of a piece."""
        rules = rules_for(subject, authority)

        def first(check: str) -> Rule | None:
            return next((r for r in rules if r.check == check and r.binding), None)

        core = binding_lethality(subject, authority)
        return cls({r.key: r.check for r in rules}, core, first("come-up"), first("outage"), first("time-control"))

    def decides(self, finding: Finding) -> bool:
        """Whether a finding has a say: cooling is about keeping for later, which no verdict here allows."""
        return self.checks[finding.rule] != "cooling"

    def broken(self, histories: Sequence[History], findings: Sequence[Finding]) -> Iterator[Broken]:
        """Time limits that are overrun; no heating undoes that.

        Beside the findings clocks of our own, stricter than the rules they are named after: until the core has had
        its whole treatment every minute in the band of the come-up rule counts, not only the first rise; time below
        the hot limit counts although the core has not come back; and where the bath was at fault on the way up, the
        limit for time as the only control holds although the core got hot.
        """
        told = set()
        late = any(self._cold_on_the_way_s(h) > settings("judge")["early_fault"]["longest_s"] for h in histories)
        for finding in findings:
            not_met = finding.verdict is Verdict.NOT_MET
            if self.checks[finding.rule] == "time-control" and not_met and late and self.control is not None:
                yield Broken(
                    finding.rule, finding.title, finding.why.replace(TOLD_ONLY, _BATH_AT_FAULT), finding.source
                )
            if self.checks[finding.rule] in _TIME_CHECKS and finding.binding and not_met:
                told.add(self.checks[finding.rule])
                yield Broken(finding.rule, finding.title, finding.why, finding.source)
        if self.come_up is not None and "come-up" not in told:
            figures = self.come_up.figures
            spent = max(self._untreated_s(h, figures["low_C"], figures["high_C"]) for h in histories)
            if spent > figures["limit_s"]:
                yield Broken(
                    self.come_up.key,
                    self.come_up.title,
                    f"Before it was treated enough, the core spent {_up(spent)} between {mark(figures['low_C'], 'C')} "
                    f"and {mark(figures['high_C'], 'C')} in all; the limit is {mark(figures['limit_s'], 's')}.",
                    self.come_up.source,
                )
        if self.outage is not None and "outage" not in told:
            limit = self.outage.figures["limit_s"]
            fallen = max(self._fallen_s(h) for h in histories)
            if fallen > limit:
                high = mark(self.outage.figures["high_C"], "C")
                yield Broken(
                    self.outage.key,
                    self.outage.title,
                    f"Once hot, parts of the piece were below {high} for {_up(fallen)}; "
                    f"the limit is {mark(limit, 's')}.",
                    self.outage.source,
                )

    def left_s(self, histories: Sequence[History]) -> float | None:
        """How long the piece may stay as it is: cooling after it was hot, or out of the cold and never hot [s].

        None when it is hot, or has not warmed up.
        """
        left = []
        for history in histories:
            hot = None if self.outage is None else history.first_core_above(self.outage.figures["high_C"])
            if self.outage is not None and hot is not None:
                if float(history.coldest_C[-1]) < self.outage.figures["high_C"]:
                    left.append(self.outage.figures["limit_s"] - self._fallen_s(history))
            elif self.control is not None:
                spent = seconds_above(history.time_s, history.warmest_C, self.control.figures["low_C"])
                left.append(self.control.figures["limit_s"] - spent)
        return max(0.0, float(min(left))) if left else None

    def stricter_said(self, histories: Sequence[History]) -> Iterator[str]:
        """Why less time is left than the rule's own figure says, while the piece is below the hot limit."""
        if self.outage is None:
            return
        high_C = float(self.outage.figures["high_C"])
        fallen = [self._fallen_s(h) for h in histories if self.was_hot(h) and float(h.coldest_C[-1]) < high_C]
        if fallen:
            yield (
                "The time left is by a clock of our own, stricter than the rule: it counts the time since the core was "
                f"last hot as well, and so {_up(max(fallen))} below {mark(high_C, 'C')} by now."
            )

    def was_hot(self, history: History) -> bool:
        """The core was above the hot limit at some time."""
        return self.outage is not None and history.first_core_above(self.outage.figures["high_C"]) is not None

    def treated_s(self, history: History) -> float:
        """When every binding treatment of the core was complete [s]; endless when not, or when none binds."""
        met = [rule.met_at_s(history.time_s, history.core_C) for rule in self.core]
        return max((inf if m is None else m for m in met), default=inf)

    def fell_before_treated(self, history: History) -> bool:
        """The core was hot, and was not any more, before its treatment was complete."""
        if not self.core or self.outage is None:
            return False
        high = float(self.outage.figures["high_C"])
        hot = history.first_core_above(high)
        if hot is None:
            return False
        until = min(self.treated_s(history), history.duration_s)
        later = (history.time_s > hot) & (history.time_s <= until)
        return bool(np.any(history.core_C[later] < high))

    def _cold_on_the_way_s(self, history: History) -> float:
        """Time its surroundings were below the hot limit until the core was above it, or to the end [s]."""
        if self.control is None:
            return 0.0
        high = self.control.figures["high_C"]
        hot = history.first_core_above(high)
        part = history if hot is None else history.until(hot)
        return part.duration_s - seconds_above(part.time_s, part.ambient_C, high)

    def _untreated_s(self, history: History, low_C: float, high_C: float) -> float:
        until = self.treated_s(history) if self.core else (history.first_core_above(high_C) or inf)
        part = history if until >= history.duration_s else history.until(until)
        return part.seconds_between(low_C, high_C)

    def _fallen_s(self, history: History) -> float:
        """Time since the core first was hot with some part of the piece below the hot limit [s]."""
        assert self.outage is not None
        high = float(self.outage.figures["high_C"])
        start = history.first_core_above(high)
        if start is None:
            return 0.0
        t = np.concatenate([[start], history.time_s[history.time_s > start]])
        y = np.interp(t, history.time_s, history.coldest_C)
        y[0] = max(y[0], high)
        return float(t[-1] - t[0]) - seconds_above(t, y, high)


def find_finish(cooked: AsCooked, subject: Subject, authority: Authority, clocks: Clocks) -> Finish | None:
    """The set point asked for, or the next hotter one, at which every binding rule is met in time; None when none is.

    What was earned before the core fell back is not counted: survivors may have grown since.
    """
    rules = settings("judge")["finish"]
    for hotter_K in rules["hotter_K"]:
        set_point_C = cooked.set_point_C + hotter_K
        if set_point_C > cooked.request.highest_set_point_C:
            return None
        found = _at(cooked, subject, authority, clocks, set_point_C, rules)
        if found is not None:
            return found
    return None


def back_s(cooked: AsCooked, clocks: Clocks) -> float | None:
    """How long from now until every part is hot again when it is put back at once; None when it would not be [s]."""
    if clocks.outage is None:
        return None
    rules = settings("judge")["finish"]
    both = cooked.going_on(cooked.piece.bath_C, warm_up_s(cooked, cooked.piece.bath_C), float(rules["longest_s"]))
    needed = 0.0
    for history in both:
        later = history.time_s >= cooked.until_s
        cold = np.flatnonzero(later & (history.coldest_C < float(clocks.outage.figures["high_C"])))
        if cold.size and cold[-1] + 1 >= history.time_s.size:
            return None
        if cold.size:
            needed = max(needed, float(history.time_s[cold[-1] + 1]) - cooked.until_s)
    return needed


def _at(
    cooked: AsCooked, subject: Subject, authority: Authority, clocks: Clocks, set_point_C: float, rules: dict[str, Any]
) -> Finish | None:
    bath_C = set_point_C - cooked.request.probe_offset_K
    warming_s = warm_up_s(cooked, bath_C)
    both = cooked.going_on(bath_C, warming_s, float(rules["longest_s"]))
    slow = both[0]
    needed = [_hot_s(slow, cooked, bath_C)]
    again = any(clocks.fell_before_treated(h) for h in (cooked.worst, cooked.worst_quick))
    after = slow.time_s >= cooked.until_s
    for rule in clocks.core:
        met = rule.met_at_s(slow.time_s, slow.core_C)
        if again:
            met = rule.met_at_s(slow.time_s[after], slow.core_C[after])
        needed.append(inf if met is None else met)
    for one in rules_for(subject, authority):
        if one.check == "surface" and one.binding and one.lethality is not None:
            met = one.lethality.met_at_s(slow.time_s, slow.surface_C)
            needed.append(inf if met is None else met)
    at_s = max(needed)
    if at_s > slow.duration_s:
        return None
    step = float(rules["round_s"])
    at_s = min(cooked.until_s + step * ceil((at_s - cooked.until_s) / step), slow.duration_s)
    cut = tuple(h.until(max(at_s, cooked.until_s)) for h in both)
    findings = [f for h in cut for f in judge(h, subject, authority)]
    if any(f.binding and f.verdict is not Verdict.MET and clocks.decides(f) for f in findings):
        return None
    if any(clocks.broken(cut, findings)):
        return None
    why = [
        "By then every binding rule is met even by a slow piece, if the bath holds.",
        "This is for the rules alone: the wanted texture may ask for longer.",
    ]
    if again:
        why.append(
            "The core fell back before its treatment was complete, so nothing it earned before that is counted: what "
            "survived may have grown."
        )
    return Finish(set_point_C, warming_s, max(at_s - cooked.until_s, step), tuple(why))


def _hot_s(slow: History, cooked: AsCooked, bath_C: float) -> float:
    """When the slow piece is hot through, from now on [s]."""
    level = bath_C + min(cooked.slow.bath_C - cooked.piece.bath_C, 0.0) - defaults()["come_up"]["within_K"]
    hot = np.flatnonzero((slow.time_s >= cooked.until_s) & (slow.core_C >= level))
    return float(slow.time_s[hot[0]]) if hot.size else inf


def warm_up_s(cooked: AsCooked, bath_C: float) -> float:
    """Time to warm the bath: by its heater with a margin, or the usual one when nothing is known of it [s]."""
    rules = settings("judge")["finish"]
    shortest = float(rules["shortest_warm_up_s"])
    missing_K = bath_C - cooked.bath_now_C
    if missing_K < 0.5:
        return shortest
    equipment = cooked.request.equipment
    if equipment is None:
        return float(defaults()["preheat"]["seconds"])
    bath = equipment.filled(0.0, cooked.piece.bath_C)
    needed = missing_K * bath.heat_capacity_J_K(bath_C) / bath.heater.power_W * float(rules["warm_up_margin"])
    return max(shortest, 60.0 * ceil(needed / 60.0))


def _up(seconds: float) -> str:
    return mark(60.0 * ceil(seconds / 60.0), "s")
