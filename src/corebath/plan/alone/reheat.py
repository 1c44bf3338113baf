"""Reheating alone: from the fridge or the freezer back to a core worth serving."""

from __future__ import annotations

from dataclasses import dataclass

from corebath.chill.reheat import Reheat, reheat
from corebath.plan.known import KnownPiece
from corebath.plan.tell import check_pasteurised


@dataclass(frozen=True, slots=True)
class ReheatRequest:
    """What is asked of the reheating; all temperatures in degC.

    start_C : how cold it was kept;  bath_C : set point of the bath it goes into
    cooked_C : set point it was cooked at;  serve_C : core to serve at, None for the usual
    pasteurised, hot_holding : see `chill.reheat`;  offset_K : what the bath's thermometer reads too high [K]

    Raises BadRequest for a piece told to be pasteurised that its set point cannot have pasteurised.
    """

    piece: KnownPiece
    start_C: float
    bath_C: float
    cooked_C: float
    pasteurised: bool = False
    serve_C: float | None = None
    hot_holding: bool = False
    offset_K: float = 0.0

    def __post_init__(self) -> None:
        if self.pasteurised:
            check_pasteurised(self.piece.subject, self.piece.authority, self.cooked_C - self.offset_K)


@dataclass(frozen=True, slots=True)
class ReheatAnswer:
    """The answer."""

    request: ReheatRequest
    reheat: Reheat


def answer_reheat(request: ReheatRequest) -> ReheatAnswer:
    """Reheat a piece. Raises ValueError outside the range of a part."""
    piece = request.piece
    made = reheat(
        piece.body,
        piece.thermal((request.start_C + request.bath_C) / 2),
        request.start_C,
        request.bath_C,
        piece.subject,
        piece.authority,
        cooked_C=request.cooked_C,
        pasteurised=request.pasteurised,
        to_C=request.serve_C,
        hot_holding=request.hot_holding,
        layers=piece.layers,
        offset_K=request.offset_K,
    )
    return ReheatAnswer(request, made)
