"""Safety: named rules of named authorities, read off a history."""

from __future__ import annotations

from corebath.safety.authority import Authority, Profile, profile
from corebath.safety.cautions import Caution, cautions_for
from corebath.safety.cooling import CoolingLimit, CoolingTime, cooling_limits, cooling_times
from corebath.safety.finding import Finding, Verdict
from corebath.safety.growth import GrowthModel, growers_at, growth_log10, growth_models
from corebath.safety.lethality import LethalityRule, log10_reduction
from corebath.safety.rule import Rule
from corebath.safety.rules import binding_lethality, judge, reported_lethality, rules_for
from corebath.safety.subject import Subject
from corebath.safety.tables import Hazard, hazards, lethality_rules

__all__ = [
    "Authority",
    "Caution",
    "CoolingLimit",
    "CoolingTime",
    "Finding",
    "GrowthModel",
    "Hazard",
    "LethalityRule",
    "Profile",
    "Rule",
    "Subject",
    "Verdict",
    "binding_lethality",
    "cautions_for",
    "cooling_limits",
    "cooling_times",
    "growers_at",
    "growth_log10",
    "growth_models",
    "hazards",
    "judge",
    "lethality_rules",
    "log10_reduction",
    "profile",
    "reported_lethality",
    "rules_for",
]
