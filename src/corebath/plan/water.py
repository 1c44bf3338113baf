"""The water of a plan: will it fit, will it get there, will it last."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime, time, timedelta
from math import inf, sqrt
from typing import Protocol
from zoneinfo import ZoneInfo

import numpy as np

from corebath.bath.buoyancy import Float, bag_air_m3, floating
from corebath.bath.delayed_start import ICE_WATER_C, IceWait, ice_m3, wait_in_ice
from corebath.bath.fit import Fit, fit
from corebath.bath.gear import Bath
from corebath.bath.level import Night, Schedule, night, top_up_schedule
from corebath.bath.load import Dip, load_dip
from corebath.bath.mixing import mix
from corebath.bath.outage import Outage, outage
from corebath.bath.spread import Spread
from corebath.bath.standing import Bags
from corebath.bath.uptake import Load
from corebath.bath.warm_up import WarmUp, warm_up
from corebath.heat.body import Body, Shape
from corebath.heat.grid import Array
from corebath.safety.finding import Finding, Verdict
from corebath.units import mark

from .clock import elapsed_s
from .data import defaults
from .equipment import Equipment
from .piece import Piece
from .request import Request

_SMALLEST_DIP_K = 0.3
_DIP_KNOTS = 60


@dataclass(frozen=True, slots=True)
class Water:
    """What becomes of the bath.

    filled : the cold water as filled in;  bath : before the food goes in, with what ice has melted
    warm_up : to the set point
    fit, dip, floating : None when the size of the food is not known;  ice : None without a wait in ice
    night : the level without a top-up;  schedule : the top-ups it takes;  outage : a power cut of some hours
    cost : of energy, None when no price is known
    statements : what to do and to watch, in cooking order;  details : the other figures;  findings : each rule once
    """

    filled: Bath
    bath: Bath
    warm_up: WarmUp
    fit: Fit | None
    dip: Dip | None
    ice: IceWait | None
    floating: Float | None
    night: Night
    schedule: Schedule
    outage: Outage
    cost: Spread | None
    statements: tuple[str, ...]
    details: tuple[str, ...]
    findings: tuple[Finding, ...]


@dataclass(frozen=True, slots=True)
class Start:
    """The bath as the food goes in: what the piece's history needs to know of it."""

    set_point_C: float
    bath: Bath
    warm_up: WarmUp
    load: Load | None
    dip: Dip | None
    ice: IceWait | None

    @property
    def filled(self) -> Bath:
        """The bath before ice melted in it."""
        return self.bath if self.ice is None else self.bath.with_water(self.bath.water_kg - self.ice.ice_kg)

    def dip_K(self, *, cautious: bool) -> tuple[Array, Array] | None:
        """Fall of the bath below its set point against time, at a few knots; None when it is not worth reckoning."""
        if self.ice is not None:
            trace, last = self.ice.warming, float(self.ice.warming.time_s[-1])
        elif self.dip is not None:
            trace = self.dip.slow if cautious else self.dip.trace
            last = min(float(trace.time_s[-1]), 1.2 * self.dip.recovery_s.high)
        else:
            return None
        fall = self.set_point_C - trace.water_C
        if float(fall.max()) < _SMALLEST_DIP_K:
            return None
        knots = last * np.linspace(0.0, 1.0, _DIP_KNOTS) ** 2
        return knots, np.interp(knots, trace.time_s, np.maximum(fall, 0.0))


def start_bath(request: Request, equipment: Equipment, piece: Piece) -> Start:
    """Fill and heat a bath and put the food in. Raises ValueError when water or food do not go into the vessel."""
    volume_m3 = piece_volume_m3(request, piece)
    food_m3 = 0.0 if volume_m3 is None else volume_m3 * request.pieces
    melting_m3 = 0.0 if request.ice is None else ice_m3(request.ice.ice_kg)
    bath = equipment.filled(food_m3, piece.bath_C, melting_m3)
    load = dip = ice = None
    warm = warm_up(bath, piece.bath_C, equipment.fill_C if request.ice is None else ICE_WATER_C)
    if warm.time_s.nominal < inf:
        load = load_of(request, piece)
    if load is not None:
        if request.ice is None:
            dip = load_dip(bath, piece.bath_C, load)
        else:
            wait_s, ice_kg = request.ice.wait_s, request.ice.ice_kg
            ice = wait_in_ice(bath, wait_s, ice_kg, equipment.fill_C, load, piece.bath_C)
            bath = bath.with_water(bath.water_kg + ice_kg)
    return Start(piece.bath_C, bath, warm, load, dip, ice)


def load_of(request: Request, piece: Piece) -> Load | None:
    """All pieces as their bath feels them; None where their size is not known."""
    volume_m3 = piece_volume_m3(request, piece)
    if volume_m3 is None:
        return None
    return Load(
        body=piece.body,
        warm=piece.thermal.warm,
        start_C=piece.start_C,
        count=request.pieces / request.layers,
        h_W_m2K=piece.h_W_m2K,
        frozen=piece.thermal.frozen,
        volume_m3=volume_m3 * request.layers,
    )


def water_of(
    request: Request, equipment: Equipment, piece: Piece, start: Start, drop_in: datetime, bath_s: float
) -> Water:
    """Everything about the water for a planned cook of `bath_s` from `drop_in`."""
    bath, set_point_C = start.bath, piece.bath_C
    volume_m3 = piece_volume_m3(request, piece)
    food_m3 = 0.0 if volume_m3 is None else volume_m3 * request.pieces
    bags = None
    if volume_m3 is not None:
        bags = bags_of(request.body, request.pieces, volume_m3, piece.thermal.warm.rho_kg_m3)
    standing = None if bags is None else fit(bath, bags, set_point_C)
    lift = None
    if volume_m3 is not None:
        density = piece.thermal.warm.rho_kg_m3
        air = bag_air_m3(equipment.bagging, volume_m3)
        lift = floating(volume_m3 * density, density, air, set_point_C, equipment.room, held_by_kg=equipment.weight_kg)
    top_m = None if standing is None else standing.top_m
    lasting = night(bath, set_point_C, bath_s, food_m3, top_m)
    schedule = top_up_schedule(
        bath, set_point_C, bath_s, equipment.top_up_C, food_m3, top_m,
        asleep_s=tuple(asleep(drop_in, bath_s, request.zone, *usual_night())),
    )  # fmt: skip
    cut = defaults()["outage"]
    watched = (cut["watch_C"],) if set_point_C > cut["watch_C"] else ()
    dark = outage(bath, set_point_C, cut["seconds"], watch_C=watched)
    cost = None
    if equipment.price_per_kWh is not None and start.warm_up.time_s.high < inf:
        cost = start.warm_up.cost(bath_s, equipment.price_per_kWh)
    parts = (start.ice, start.warm_up, standing, start.dip, lift, lasting)
    said = tuple(_statements(equipment, start, standing, lift, lasting, schedule, dark, cost))
    every = (line for part in (*parts, dark) if part is not None for line in part.statements)
    return Water(
        start.filled, bath, start.warm_up, standing, start.dip, start.ice, lift, lasting, schedule, dark, cost,
        said, tuple(line for line in every if line not in said), worst_findings(parts),
    )  # fmt: skip


_ORDER = (Verdict.NOT_MET, Verdict.NOT_KNOWN, Verdict.MET)


class _Judged(Protocol):
    """A part of the water with findings."""

    @property
    def findings(self) -> tuple[Finding, ...]: ...


def worst_findings(parts: Iterable[_Judged | None]) -> tuple[Finding, ...]:
    """Every rule once: one that two parts look at is as bad as the worse of them."""
    found: dict[str, Finding] = {}
    for part in parts:
        for finding in part.findings if part is not None else ():
            known = found.get(finding.rule)
            if known is None or _ORDER.index(finding.verdict) < _ORDER.index(known.verdict):
                found[finding.rule] = finding
    return tuple(found.values())


def piece_volume_m3(request: Request, piece: Piece) -> float | None:
    """Volume of one piece: by its mass when weighed, else of its body when that has an end [m3]."""
    if request.piece_mass_kg is not None:
        return request.piece_mass_kg / piece.thermal.warm.rho_kg_m3
    return request.body.volume_m3


def bags_of(body: Body, pieces: int, volume_m3: float, rho_kg_m3: float) -> Bags | None:
    """Pieces as flat bags; an unmeasured outline counts as square. None when they are too odd to stand as bags."""
    if body.shape is Shape.BRICK:
        assert body.width_m is not None
        assert body.length_m is not None
        width, length = body.width_m, body.length_m
    elif body.shape is Shape.BAR:
        assert body.width_m is not None
        width, length = body.width_m, volume_m3 / (body.thickness_m * body.width_m)
    elif body.is_round:
        width = body.thickness_m
        length = body.length_m or max(volume_m3 / (0.7854 * body.thickness_m**2), body.thickness_m)
    else:
        width = length = sqrt(volume_m3 / body.thickness_m)
    try:
        return Bags(body.thickness_m, width, length, pieces, volume_m3 * rho_kg_m3, rho_kg_m3)
    except ValueError:
        return None


def usual_night() -> tuple[time, time]:
    """When a cook is not asked to do anything."""
    usual = defaults()["night"]
    return time.fromisoformat(usual["from"]), time.fromisoformat(usual["to"])


def asleep(drop_in: datetime, bath_s: float, zone: ZoneInfo, begins: time, ends: time) -> Iterator[tuple[float, float]]:
    """Nights during the cook, in seconds from drop-in. begins, ends : of a night, by the cook's clock"""
    day = drop_in.astimezone(zone).date() - timedelta(days=1)
    while True:
        dark = datetime.combine(day, begins, zone)
        light = datetime.combine(day + timedelta(days=begins >= ends), ends, zone)
        start, end = elapsed_s(drop_in, dark), elapsed_s(drop_in, light)
        if start >= bath_s:
            return
        if end > 0:
            yield max(start, 0.0), min(end, bath_s)
        day += timedelta(days=1)


def _statements(
    equipment: Equipment, start: Start, standing: Fit | None, lift: Float | None, lasting: Night,
    schedule: Schedule, dark: Outage, cost: Spread | None,
) -> Iterator[str]:  # fmt: skip
    bath = start.bath
    litres = start.filled.volume_m3(equipment.fill_C) * 1000
    yield (
        f"Fill with {mark(round(litres, 1), 'L')} of water at {mark(equipment.fill_C, 'C')}, "
        f"{mark(round(start.filled.level_m(equipment.fill_C), 3), 'm')} deep."
    )
    endless = start.warm_up.time_s.high == inf
    if start.ice is not None:
        yield from start.ice.statements
        yield from start.warm_up.statements[2:]
    else:
        yield from start.warm_up.statements if endless else start.warm_up.statements[:1]
    if start.ice is None and equipment.top_up_C > equipment.fill_C:
        yield mix(bath, start.set_point_C, equipment.top_up_C, equipment.fill_C).statement
    if standing is not None:
        yield from standing.statements[1:]
    else:
        yield "Weigh a piece, or measure all its sides, to learn whether it fits and how far it cools the bath."
    if start.dip is not None and start.dip.lowest_C.nominal < start.dip.trace.water_C[0] - _SMALLEST_DIP_K:
        yield from start.dip.statements
        yield "The food's times are computed with this dipping bath."
    if lift is not None and lift.weight_kg.high > 0:
        yield from lift.statements[:1]
    yield lasting.statements[-1]
    if schedule.top_ups or not schedule.possible:
        yield from schedule.statements
    yield from dark.statements[1:] or dark.statements
    if cost is not None:
        yield f"Energy costs about {cost.nominal:.2f} {equipment.currency} ({cost.low:.2f} to {cost.high:.2f})."
