"""Plans that the tests of this folder show: workable and failing, frozen, egg, vegetable, fish, three authorities."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from functools import cache
from zoneinfo import ZoneInfo

from corebath.bath.cover import Cover
from corebath.bath.gear import Room
from corebath.bath.heater import Heater
from corebath.bath.vessel import Vessel
from corebath.food.catalogue import Food, catalogue
from corebath.food.kinds import Handling
from corebath.heat.body import Body, Shape
from corebath.outcome.results import results_for
from corebath.plan.equipment import Equipment, IceStart
from corebath.plan.make import make_plan
from corebath.plan.map import Map, make_map
from corebath.plan.plan import Plan
from corebath.plan.request import Request, State
from corebath.safety.authority import Authority

ZONE = ZoneInfo("Europe/Paris")
NOW = datetime(2026, 12, 1, 12, 0, tzinfo=ZONE)
TABLE = datetime(2026, 12, 1, 19, 30, tzinfo=ZONE)


def _food(key: str) -> Food:
    return catalogue()[key]


def _with_result(key: str, body: Body, index: int, authority: Authority = Authority.US) -> Request:
    food = _food(key)
    return Request(food, body, TABLE, NOW, ZONE, result=results_for(food.texture)[index], authority=authority)


def _steak() -> Request:
    slab = Body(Shape.SLAB, 0.030)
    return Request(_food("beef-ribeye"), slab, TABLE, NOW, ZONE, set_point_C=55.0, piece_mass_kg=0.28, pieces=2)


def _chicken() -> Request:
    return Request(_food("chicken-breast"), Body(Shape.SLAB, 0.038), TABLE, NOW, ZONE, set_point_C=62.0)


def _frozen() -> Request:
    return Request(
        _food("pork-loin"),
        Body(Shape.CYLINDER, 0.09),
        datetime(2026, 12, 1, 20, 0, tzinfo=ZONE),
        NOW,
        ZONE,
        set_point_C=60.0,
        state=State.FROZEN,
        handling=Handling.ROLLED,
    )


def _too_late() -> Request:
    return _with_result("beef-chuck", Body(Shape.BRICK, 0.05, 0.06, 0.1), 0)


def _too_cold() -> Request:
    return Request(_food("chicken-breast"), Body(Shape.SLAB, 0.038), TABLE, NOW, ZONE, set_point_C=56.0, bath_s=3600.0)


def _egg() -> Request:
    return _with_result("egg", Body(Shape.BALL, 0.044), 1)


def _carrot() -> Request:
    return _with_result("carrot", Body(Shape.CYLINDER, 0.025), 0, Authority.UK)


def _fish() -> Request:
    return Request(
        _food("salmon-farmed"),
        Body(Shape.SLAB, 0.025),
        TABLE,
        NOW,
        ZONE,
        set_point_C=50.0,
        parasites_frozen=True,
        garlic_or_oil=True,
        authority=Authority.AU,
    )


def _in_a_pot() -> Request:
    """Two steaks in a pot, everything of the water known."""
    room = Room(altitude_m=500.0)
    pot = Equipment(
        Vessel.round(0.24, 0.14),
        Heater(1100.0, 0.09, 0.12),
        Cover.named("none"),
        room,
        price_per_kWh=0.3,
        weight_kg=0.2,
    )
    return replace(_steak(), equipment=pot, probe_offset_K=0.4)


def _in_ice() -> Request:
    """Two steaks that wait in ice water for the heater to start."""
    tote = Equipment(Vessel.rectangular(0.4, 0.3, 0.2), Heater(1400.0, 0.06, 0.17), Cover.named("gasketed"), litres=6.0)
    return replace(_steak(), equipment=tote, ice=IceStart(4 * 3600.0, 5.0))


def _in_too_small_a_pot() -> Request:
    """A weak heater under open water, which no cover on the way mends, and a bag that does not fit."""
    pot = Equipment(Vessel.round(0.20, 0.12), Heater(150.0, 0.05, 0.1), Cover.named("none"))
    return replace(_steak(), equipment=pot, set_point_C=75.0)


_REQUESTS: dict[str, Callable[[], Request]] = {
    "steak": _steak,
    "in a pot": _in_a_pot,
    "in ice": _in_ice,
    "in too small a pot": _in_too_small_a_pot,
    "chicken": _chicken,
    "frozen": _frozen,
    "too late": _too_late,
    "too cold": _too_cold,
    "egg": _egg,
    "carrot": _carrot,
    "fish": _fish,
}
NAMES = tuple(_REQUESTS)


@cache
def plan_of(name: str) -> Plan:
    """One of the plans, made once."""
    return make_plan(_REQUESTS[name]())


@cache
def map_of(name: str) -> Map:
    """The map around it."""
    return make_map(plan_of(name))
