"""Keeping alone: how many days, by which rule, how long it takes to freeze, and what goes on the bag."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from corebath.chill.freeze import Freeze, freeze
from corebath.chill.keep import Keeping, Label, keep, label
from corebath.food.catalogue import Food
from corebath.plan.known import KnownPiece
from corebath.safety.authority import Authority
from corebath.safety.finding import Finding


@dataclass(frozen=True, slots=True)
class KeepRequest:
    """What is asked of the keeping.

    fridge_C : as measured between the bags, None when it was not [degC];  pasteurised, opened : see `chill.keep`
    day : the day of cooking;  cooked_C, cooked_s : set point and time in the bath, for the label [degC], [s]
    piece : its body, for the freezer; None when no size was told
    """

    food: Food
    authority: Authority
    day: date
    fridge_C: float | None = None
    pasteurised: bool = False
    guests_at_risk: bool = False
    opened: bool = False
    cooked_C: float | None = None
    cooked_s: float | None = None
    piece: KnownPiece | None = None


@dataclass(frozen=True, slots=True)
class KeepAnswer:
    """The answer. label : None without set point and time;  freeze : None without a size"""

    request: KeepRequest
    keeping: Keeping
    use_by: date
    label: Label | None
    freeze: Freeze | None
    findings: tuple[Finding, ...]
    statements: tuple[str, ...]


def answer_keep(request: KeepRequest) -> KeepAnswer:
    """Keep a piece. Raises ValueError outside the range of a part."""
    keeping = keep(
        request.authority,
        fridge_C=request.fridge_C,
        pasteurised=request.pasteurised,
        guests_at_risk=request.guests_at_risk,
        opened=request.opened,
    )
    tag = None
    if request.cooked_C is not None and request.cooked_s is not None:
        tag = label(
            request.food.name, cooked_C=request.cooked_C, cooked_s=request.cooked_s, cooked=request.day,
            keeping=keeping, treatment="pasteurised at the core" if request.pasteurised else "",
        )  # fmt: skip
    frozen = None
    if request.piece is not None:
        piece = request.piece
        frozen = freeze(piece.body, piece.thermal(1.0), keeping.fridge_C, layers=piece.layers)
    statements = (*keeping.statements, *(() if frozen is None else frozen.statements))
    return KeepAnswer(request, keeping, keeping.use_by(request.day), tag, frozen, keeping.findings, statements)
