"""Rule: one named rule of a named authority, as it stands for one piece and its guests."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from corebath.safety.lethality import LethalityRule


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule as it applies to one subject.

    key, title, authority, source : what it is called, what it asks, who wrote it, where
    binding : True when a plan may not be offered while it is not met
    check : the way it is read off a history, a key of `checks.CHECKS`
    lethality : the heat treatment it asks for, where it is one
    why : its fixed sentence, where the verdict does not depend on the history
    escalation : why it binds although it would else be reported only; "" when nothing was escalated
    assumptions : what has to hold for the verdict to stand
    figures : its other figures by name, units in the names (limit_s, low_C, ...), and names of models; `judge`
        adds what is known beside the history (after_s, bath_C)
    """

    key: str
    title: str
    authority: str
    source: str
    binding: bool
    check: str
    lethality: LethalityRule | None
    why: str
    escalation: str
    assumptions: tuple[str, ...]
    figures: Mapping[str, Any]
