"""Timings of the bath room: three kitchens, and what their water adds to a plan.

Budgets are guides for two cores: a plan with gear stays under 100 ms for a slab.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime, timedelta
from functools import partial
from zoneinfo import ZoneInfo

from benchmarks.heat import BEEF, Row, best
from corebath.bath.cover import Cover
from corebath.bath.gear import Bath, Room
from corebath.bath.heater import Heater
from corebath.bath.level import night, top_up_schedule
from corebath.bath.load import largest_load, load_dip
from corebath.bath.losses import losses
from corebath.bath.outage import compare_keeping, outage
from corebath.bath.uptake import Load
from corebath.bath.vessel import Vessel
from corebath.bath.warm_up import highest_set_points, warm_up
from corebath.food.naming import find
from corebath.heat.body import Body, Shape
from corebath.plan.alone.bath import BathRequest, answer_bath
from corebath.plan.equipment import Equipment, IceStart
from corebath.plan.known import KnownPiece
from corebath.plan.make import make_plan
from corebath.plan.request import Request
from corebath.plan.water import usual_night

ZONE = ZoneInfo("Europe/Paris")
NOW = datetime(2027, 5, 3, 8, 0, tzinfo=ZONE)
POT = Equipment(Vessel.round(0.24, 0.14), Heater(1100.0, 0.09, 0.12), Cover.named("none"))
TOTE = Equipment(Vessel.rectangular(0.4, 0.3, 0.2), Heater(1200.0, 0.08, 0.18), Cover.named("none"), litres=18.0)
PARTY = Equipment(Vessel.rectangular(0.6, 0.4, 0.38), Heater(1400.0, 0.10, 0.30), Cover.named("none"), litres=60.0)
ICED = Equipment(Vessel.rectangular(0.4, 0.3, 0.2), TOTE.heater, Cover.named("gasketed"), litres=6.0)


def rows() -> Iterator[Row]:
    """Name, seconds and note of every timing."""
    tote = Bath.filled(TOTE.vessel, 18.0, TOTE.heater, TOTE.cover, Room())
    party = Bath.filled(PARTY.vessel, 60.0, PARTY.heater, PARTY.cover, Room())
    load = Load(Body(Shape.BRICK, 0.05, 0.20, 0.24), BEEF, 4.0, 14, 120.0, volume_m3=2.0 / BEEF.rho_kg_m3)
    yield "losses at one temperature", best(partial(losses, tote, 57.0)), ""
    yield "18 L from the tap to 57 degC, with range", best(partial(warm_up, tote, 57.0, 15.0)), ""
    yield "highest set point under every cover", best(partial(highest_set_points, tote)), ""
    yield "36 h: the level", best(partial(night, tote, 57.0, 36 * 3600.0)), ""
    pours = partial(top_up_schedule, tote, 57.0, 36 * 3600.0, 45.0, 0.002, 0.12, ((5 * 3600.0, 13 * 3600.0),))
    yield "36 h: top-ups round a night", best(pours), ""
    yield "14 bags dip 60 L, with range", best(partial(load_dip, party, 64.0, load)), ""
    yield "how many bags at once", best(partial(largest_load, party, 64.0, load, 2.0), 3), ""
    yield "power cut of 2 h, with range", best(partial(outage, tote, 57.0, 7200.0)), ""
    yield "every cover and wrap without power", best(partial(compare_keeping, tote, 57.0, 54.4), 3), ""
    yield from _kitchens()
    yield from _plans()


def _kitchens() -> Iterator[Row]:
    steak = KnownPiece(find("beef striploin"), Body(Shape.SLAB, 0.03), pieces=2, mass_kg=0.28)
    ribs = KnownPiece(find("beef short rib"), Body(Shape.SLAB, 0.04), pieces=4, mass_kg=0.5)
    chicken = KnownPiece(find("chicken breast"), Body(Shape.BRICK, 0.05, 0.20, 0.24), pieces=14, mass_kg=2.0)
    for name, gear, piece, set_point_C, hours in (
        ("a 5 L pot, two steaks", POT, steak, 55.0, 2),
        ("an open 18 L tote, 36 h", TOTE, ribs, 57.0, 36),
        ("a 60 L party tote, overloaded", PARTY, chicken, 64.0, 4),
    ):
        request = BathRequest(
            equipment=gear, set_point_C=set_point_C, hold_s=hours * 3600.0, starts=NOW, zone=ZONE, night=usual_night(),
            hot_C=45.0, off_s=7200.0, above_C=54.4, dip_K=2.0, piece=piece,
        )  # fmt: skip
        yield f"everything about {name}", best(partial(answer_bath, request), 3), ""


def _plans() -> Iterator[Row]:
    steak = Request(
        find("beef striploin"), Body(Shape.SLAB, 0.03), NOW + timedelta(hours=12), NOW, ZONE, set_point_C=55.0,
        pieces=2, piece_mass_kg=0.28,
    )  # fmt: skip
    for name, equipment, ice, budget in (
        ("slab, nothing known of the bath", None, None, ""),
        ("slab in a pot", POT, None, "budget 100 ms"),
        ("slab that waits in ice", ICED, IceStart(5 * 3600.0, 4.0), "budget 100 ms"),
    ):
        request = replace(steak, equipment=equipment, ice=ice)
        yield f"plan: {name}", best(partial(make_plan, request, offer=False)), budget
