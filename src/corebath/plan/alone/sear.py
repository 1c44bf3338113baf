"""The sear alone: a piece straight from the bath, on a pan, under a torch or over a grill."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from corebath.plan.known import KnownPiece
from corebath.safety.finding import Finding
from corebath.sear.hot import HotFace, preheat_s
from corebath.sear.oil import SearCaution, oil_finding, oils_for, sear_cautions
from corebath.sear.run import Setup
from corebath.sear.sear import Effect, Sear, effects, sear
from corebath.sear.tables import settings
from corebath.units import mark

_LOWEST_C, _HIGHEST_C = 30.0, 95.0  # the range of `sear.run.Setup`


@dataclass(frozen=True, slots=True)
class SearRequest:
    """What is asked of the sear.

    core_C : the core the bath was set for, and that of the piece unless `start_C` was measured [degC]
    hot, words : what it is seared on, and how the cook calls it;  surface : wet, patted or dry
    side_s, turn_every_s : fixed time a side, and time between turns, None to leave it open [s]
    rest_s : afterwards, in the air [s];  oil : fat in the pan, None when not told
    room_C, boiling_C : the kitchen, and where water boils there [degC]
    """

    piece: KnownPiece
    core_C: float
    hot: HotFace
    words: str
    surface: str
    start_C: float | None = None
    side_s: float | None = None
    turn_every_s: float | None = None
    rest_s: float = 300.0
    oil: str | None = None
    room_C: float = 20.0
    boiling_C: float = 100.0


@dataclass(frozen=True, slots=True)
class SearAnswer:
    """The answer. preheat_s : for an empty pan, None for a torch, a grill, or a pan that never gets so hot [s]"""

    request: SearRequest
    setup: Setup
    sear: Sear
    effects: tuple[Effect, ...]
    preheat_s: float | None
    cautions: tuple[SearCaution, ...]
    findings: tuple[Finding, ...]
    statements: tuple[str, ...]


def answer_sear(request: SearRequest) -> SearAnswer:
    """Sear a piece. Raises ValueError outside the range of a part, and for a round piece."""
    piece, hot = request.piece, request.hot
    if piece.body.is_round:
        raise ValueError("a round piece is not known in a sear, since it touches along a line only: take it as a slab")
    if not _LOWEST_C <= request.core_C <= _HIGHEST_C:
        raise ValueError(f"the core result must lie between {mark(_LOWEST_C, 'C')} and {mark(_HIGHEST_C, 'C')}")
    start_C = request.core_C if request.start_C is None else request.start_C
    setup = Setup(
        thickness_m=piece.body.thickness_m,
        material=piece.thermal(request.core_C).warm,
        meat_water=min(max(piece.food.composition.water, 0.3), 0.9),
        start_C=start_C,
        core_result_C=request.core_C,
        hot=hot,
        film_kg_m2=settings()["film"][f"{request.surface}_kg_m2"],
        side_s=request.side_s,
        flip_every_s=request.turn_every_s,
        rest_s=request.rest_s,
        room_C=request.room_C,
        boiling_C=request.boiling_C,
    )
    done = sear(setup)
    heated_s = preheat_s(hot) if hot.method == "pan" else None
    oils = () if request.oil is None else (oil_finding(request.oil, hot.face_C),)
    hottest_C = max(done.nominal.outer_peak_C, hot.face_C if hot.method == "pan" else 0.0)
    return SearAnswer(
        request=request,
        setup=setup,
        sear=done,
        effects=effects(setup),
        preheat_s=heated_s,
        cautions=sear_cautions(hot.method, hottest_C),
        findings=(*done.findings, *oils),
        statements=(*_before(request, heated_s), *done.statements),
    )


def _before(request: SearRequest, heated_s: float | None) -> Iterator[str]:
    hot = request.hot
    if hot.method != "pan":
        return
    if heated_s is None:
        yield f"This burner does not bring this pan to {mark(hot.face_C, 'C')}, however long it heats."
    else:
        yield (
            f"Heat the empty pan for about {mark(heated_s, 's')} on the full burner, to {mark(hot.face_C, 'C')}; "
            "trust a thermometer on its face over this time."
        )
    if request.oil is None:
        hardy = ", ".join(oil.name for oil in oils_for(hot.face_C)[:3])
        yield (
            f"Fats that smoke only above {mark(hot.face_C, 'C')} by every figure known here: {hardy}."
            if hardy
            else f"No fat held here stays below its smoke point at {mark(hot.face_C, 'C')}: use little, and air out."
        )
