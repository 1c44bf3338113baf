"""Salt alone: the dose, what the hours in the fridge or in the brine do, and what to expect of it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from corebath.heat.body import Body, Shape
from corebath.plan.known import KnownPiece
from corebath.safety.finding import Finding, Verdict
from corebath.salt.brine import EquilibriumBrine, Salting, dry_brine, equilibrium_brine
from corebath.salt.diffusion import SaltField, Uptake, salt_field
from corebath.salt.dose import Dose, dose, dose_findings
from corebath.salt.tables import settings
from corebath.units import mark


@dataclass(frozen=True, slots=True)
class SaltRequest:
    """What is asked of the salt.

    percent : of the meat, or of meat and water when there is water [%];  water_kg : of a brine, None for dry [kg]
    bath_s : time in the bath that follows, None when not told [s]
    hours : waits to describe, None for the usual ones [h];  broad_faces_only : see `salt.brine.dry_brine`
    """

    piece: KnownPiece
    percent: float
    water_kg: float | None = None
    bath_s: float | None = None
    hours: tuple[float, ...] | None = None
    broad_faces_only: bool = False


@dataclass(frozen=True, slots=True)
class SaltAnswer:
    """The answer.

    weighed : False when the piece was not, and `dose` stands for 1 kg;  brine : None for a dry brine
    fields : salt against depth at each wait, at the middle diffusivity and at both ends of the published range; None
        when none is published
    """

    request: SaltRequest
    weighed: bool
    dose: Dose
    brine: EquilibriumBrine | None
    salting: Salting
    fields: tuple[SaltField, SaltField, SaltField] | None
    findings: tuple[Finding, ...]
    statements: tuple[str, ...]


def answer_salt(request: SaltRequest) -> SaltAnswer:
    """Salt a piece. Raises ValueError outside the range of a part, and for a brine whose meat was not weighed."""
    piece, food = request.piece, request.piece.food
    brine = None
    if request.water_kg is None:
        salting = dry_brine(
            piece.body, food.kind, request.percent, meat_water=food.composition.water,
            broad_faces_only=request.broad_faces_only, frozen_before=piece.frozen_before, hours=request.hours,
        )  # fmt: skip
    else:
        if piece.food_kg is None:
            raise ValueError("a brine is weighed: say the mass of one piece")
        brine = equilibrium_brine(
            piece.body, food.kind, meat_kg=piece.food_kg, water_kg=request.water_kg, percent=request.percent,
            meat_water=food.composition.water, frozen_before=piece.frozen_before, hours=request.hours,
        )  # fmt: skip
        salting = brine.salting
    of_meat = request.percent if brine is None else brine.meat_percent
    weighed = piece.food_kg is not None
    measured = dose(piece.food_kg or 1.0, request.percent, request.water_kg or 0.0)
    return SaltAnswer(
        request=request,
        weighed=weighed,
        dose=measured,
        brine=brine,
        salting=salting,
        fields=_fields(request, salting),
        findings=tuple(_findings(of_meat, request.bath_s)),
        statements=(measured.statement, *(salting.statements if brine is None else brine.statements)),
    )


def _fields(request: SaltRequest, salting: Salting) -> tuple[SaltField, SaltField, SaltField] | None:
    if salting.nominal is None or salting.slow is None or salting.fast is None:
        return None
    body = request.piece.body
    if request.broad_faces_only and body.shape in (Shape.BAR, Shape.BRICK):
        body = Body(Shape.SLAB, 2 * body.axes[0].half_m)
    uptake = Uptake.ONCE if request.water_kg is None else Uptake.HELD
    times = np.array([wait.time_s for wait in salting.waits])
    nominal, slow, fast = (
        salt_field(body, pace.D_m2_s, times, uptake) for pace in (salting.nominal, salting.slow, salting.fast)
    )
    return nominal, slow, fast


def _findings(of_meat_percent: float, bath_s: float | None) -> Iterator[Finding]:
    """What to expect; where the time in the bath was not told and decides it, that is not known."""
    for finding in dose_findings(of_meat_percent, cook_s=bath_s or 0.0):
        if finding.rule == "salt-cured-texture" and bath_s is None and finding.verdict is Verdict.MET:
            long = settings()["cured_texture"]["long_cook"]
            yield replace(
                finding,
                verdict=Verdict.NOT_KNOWN,
                why=f"How long it will be in the bath was not given; {long['percent']:g} % of salt or more and "
                f"{mark(long['hours'] * 3600, 's')} or longer there often turn it ham-like.",
                source=long["source"],
            )
        else:
            yield finding
