"""Findings: one named rule applied to one history."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Verdict(StrEnum):
    """The three answers a rule can give. `NOT_KNOWN` is an answer, never a silence."""

    MET = "met"
    NOT_MET = "not met"
    NOT_KNOWN = "not known"


@dataclass(frozen=True, slots=True)
class Finding:
    """One rule applied.

    rule : stable key of the rule, such as "us-fsis-meat-6.5log"
    title : what the rule asks, in a few plain words
    verdict : met, not met or not known
    binding : True when a plan may not be offered while the rule is not met for this piece and these guests;
        False for rules that are only reported (the core of an intact steak, say)
    why : one sentence with the numbers behind the verdict; temperatures as "{60.0|C}" and times as
        "{720|s}" so that the edges can print them in the cook's units
    source : citation of the rule
    assumptions : what has to hold for the verdict to stand, one sentence each
    achieved : how far the history came, in units of the requirement (1.0 = exactly met), or None [-]
    met_at_s : first time the rule is met on this history [s], or None when it never is or time is not its
        subject
    """

    rule: str
    title: str
    verdict: Verdict
    binding: bool
    why: str
    source: str
    assumptions: tuple[str, ...] = ()
    achieved: float | None = None
    met_at_s: float | None = None
