"""Every finding of a story, each once and at the moment that decides it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from corebath.safety.cooling import cooling_limits
from corebath.safety.finding import Finding, Verdict
from corebath.safety.rule import Rule
from corebath.safety.rules import judge, rules_for
from corebath.salt.dose import dose_findings
from corebath.units import mark

from .story import COLD_C, Story, Told

_DAY = 86_400.0


def told(story: Story) -> Iterator[Told]:
    """Every finding once, each at the moment that decides it."""
    way, bath = story.way, story.leg("bath")
    if way.salt_percent is not None:
        for finding in dose_findings(way.salt_percent, cook_s=way.bath_s):
            late = finding.rule == "salt-cured-texture" or story.salting is None
            at = bath if late else story.leg("salted")
            yield Told(finding, at.end_s, at.key)
    seen: set[str] = set()
    for told in _judged(story):
        seen.add(told.finding.rule)
        yield told
    chilled, kept, warm = story.leg("chill"), story.leg("kept"), story.leg("reheat")
    for finding in story.chill.findings:
        if finding.rule not in seen:
            yield Told(finding, chilled.end_s, "chill")
    yield from (Told(_within_days(story, finding), kept.end_s, "kept") for finding in story.keeping.findings)
    for finding in story.reheat.findings:
        before = finding.rule in ("reheat-no-hotter", "reheat-pasteurised-before")
        yield Told(finding, warm.start_s if before else warm.end_s, "reheat")
    if story.seared is not None:
        hot, last = story.leg("sear"), story.legs[-1]
        for finding in story.seared.findings:
            at = last if finding.rule == "sear-grey-band" else hot
            yield Told(finding, at.end_s, at.key)


def _judged(story: Story) -> Iterator[Told]:
    """The rules of the safety room: heat treatments count in the first bath only, cooling until it is warmed again."""
    subject, authority = story.piece.subject, story.piece.authority
    kept_s = story.leg("kept").end_s - story.leg("bath").start_s
    cooked, cooled, over_all = (
        judge(story.cautious.until(s), subject, authority)
        for s in (story.way.bath_s, kept_s, story.cautious.duration_s)
    )
    for rule, first, cold, whole in zip(rules_for(subject, authority), cooked, cooled, over_all, strict=True):
        in_bath = rule.check in ("core", "surface", "slow-cook")
        finding = first if in_bath else cold if _of_cooling(rule) else whole
        yield Told(finding, *_moment(story, rule, finding, warmed_again=cold.why != whole.why))


def _moment(story: Story, rule: Rule, finding: Finding, *, warmed_again: bool) -> tuple[float, str]:
    """When a rule is decided, and on which leg.

    warmed_again : the reheating changed the verdict's figures
    """
    bath, chilled, warm, cautious = (story.leg("bath"), story.leg("chill"), story.leg("reheat"), story.cautious)
    if _of_cooling(rule):
        to_C = cooling_limits(rule.figures["cooling"])[-1].to_C if rule.check == "cooling" else COLD_C
        below = (cautious.time_s > story.way.bath_s) & (cautious.core_C <= to_C)
        at_s = bath.start_s + float(cautious.time_s[int(np.argmax(below))]) if below.any() else chilled.end_s
        return at_s, ("chill" if at_s <= chilled.end_s else "kept")
    if rule.check in ("come-up", "time-control", "hold-below", "core-below"):
        if warmed_again:
            return warm.end_s, "reheat"
        hot_s = cautious.until(story.way.bath_s).first_core_above(rule.figures["high_C"])
        return (bath.end_s if hot_s is None else bath.start_s + hot_s), "bath"
    if rule.check == "bath-minimum":
        return bath.start_s, "bath"
    return (bath.end_s if finding.met_at_s is None else bath.start_s + finding.met_at_s), "bath"


def _within_days(story: Story, finding: Finding) -> Finding:
    """A keeping rule as it stands when the piece is taken out, not only when it is put away."""
    rule, kept_s = story.keeping.rule, story.way.keep_s
    if rule is None or finding.rule != f"keep-{rule.key}":
        return finding
    days = rule.days - (1 if rule.cooking_day_counts else 0)
    late = kept_s > days * _DAY
    why = f"{finding.why} It is kept for {mark(kept_s, 's')}{', which is too long' if late else ''}."
    return replace(finding, why=why, verdict=Verdict.NOT_MET if late else finding.verdict)


def _of_cooling(rule: Rule) -> bool:
    return rule.check == "cooling" or rule.figures.get("part") == "cooling"
