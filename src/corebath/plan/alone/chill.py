"""The chill alone: ice water, fridge or counter, with the ice it takes and the limits it is held to."""

from __future__ import annotations

from dataclasses import dataclass, replace

from corebath.chill.cool import Chill, chill
from corebath.chill.ice import SHORT, IceNeed, ice_finding, ice_needed, short_of_ice
from corebath.chill.tables import Medium, settings
from corebath.plan.known import KnownPiece
from corebath.safety.cooling import CoolingLimit, cooling_limits
from corebath.safety.finding import Finding, Verdict
from corebath.safety.rules import rules_for
from corebath.units import mark

COLD_C = 5.0
_ICE = "ice-water"
_LOWEST_C, _HIGHEST_C = 0.0, 100.0  # the range of the properties of unfrozen food


@dataclass(frozen=True, slots=True)
class ChillRequest:
    """What is asked of the chill.

    start_C : how hot it comes out of the bath [degC];  medium : what it goes into
    water_kg, water_C : water in the ice bath before the ice, None for as much as there is food [kg], [degC]
    ice_kg : ice at hand, None when not told [kg];  room_C : the kitchen [degC]
    """

    piece: KnownPiece
    start_C: float
    medium: Medium
    water_kg: float | None = None
    water_C: float = 15.0
    ice_kg: float | None = None
    room_C: float = 20.0


@dataclass(frozen=True, slots=True)
class Limit:
    """A cooling rule of an authority that speaks for the piece, with its stages."""

    rule: str
    authority: str
    binding: bool
    stages: tuple[CoolingLimit, ...]


@dataclass(frozen=True, slots=True)
class ChillAnswer:
    """The answer. ice : None outside ice water, and when the mass of the food or the water was not told"""

    request: ChillRequest
    chill: Chill
    ice: IceNeed | None
    limits: tuple[Limit, ...]
    findings: tuple[Finding, ...]
    statements: tuple[str, ...]


def answer_chill(request: ChillRequest) -> ChillAnswer:
    """Chill a piece. Raises ValueError outside the range of a part."""
    piece, medium = request.piece, request.medium
    if not _LOWEST_C <= request.start_C <= _HIGHEST_C:
        raise ValueError(
            f"food to chill must be between {mark(_LOWEST_C, 'C')} and {mark(_HIGHEST_C, 'C')}, "
            f"got {mark(request.start_C, 'C')}"
        )
    thermal = piece.thermal((request.start_C + medium.nominal_C) / 2)
    subject, authority = piece.subject, piece.authority
    made = chill(piece.body, thermal, request.start_C, medium, subject, authority, layers=piece.layers)
    findings, statements = list(made.findings), list(made.statements)
    assumed: list[str] = []
    ice = None
    in_ice = medium.key.startswith(_ICE)
    if in_ice and piece.food_kg is not None and request.start_C > COLD_C:
        per_food = settings()["ice_bath"]["water_per_food"]
        if request.water_kg is None:
            assumed.append("The ice bath holds as much water as food, since how much was not given.")
        ice = ice_needed(
            food_kg=piece.food_kg,
            food_cp_J_kgK=thermal.warm.cp_J_kgK,
            from_C=request.start_C,
            to_C=COLD_C,
            water_kg=piece.food_kg * per_food if request.water_kg is None else request.water_kg,
            water_C=request.water_C,
            end_C=medium.nominal_C,
            chill_s=made.runs.reach(COLD_C).cautious_s or made.runs.cautious.duration_s,
            room_C=request.room_C,
        )
        statements += ice.statements
        if request.ice_kg is not None:
            enough = ice_finding(request.ice_kg, ice)
            if enough.verdict is Verdict.NOT_MET:
                statements.insert(0, SHORT)
                findings = list(short_of_ice(findings))
            findings.append(enough)
    elif in_ice and request.start_C > COLD_C:
        statements.append("Say the mass of one piece to have the ice computed.")
        if request.ice_kg is not None:
            statements.append("Whether the ice at hand lasts is not known without it.")
    limits = tuple(
        Limit(rule.key, rule.authority, rule.binding, cooling_limits(rule.figures["cooling"]))
        for rule in rules_for(subject, authority)
        if rule.check == "cooling"
    )
    made = replace(made, assumptions=(*made.assumptions, *assumed))
    return ChillAnswer(request, made, ice, limits, tuple(findings), tuple(statements))
