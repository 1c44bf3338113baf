"""The bath alone: from the tap to the morning after, for a vessel and a heater, with or without food."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import datetime, time
from math import inf, isfinite
from zoneinfo import ZoneInfo

from corebath.bath.altitude import Heights, at_altitude
from corebath.bath.buoyancy import Float, bag_air_m3, floating
from corebath.bath.delayed_start import ICE_WATER_C, IceWait, ice_m3, wait_in_ice
from corebath.bath.fit import Crowding, Fit, crowding, fit
from corebath.bath.gear import Bath
from corebath.bath.level import Night, Schedule, night, top_up_schedule
from corebath.bath.load import Dip, LargestLoad, largest_load, load_dip
from corebath.bath.losses import Losses, losses
from corebath.bath.mixing import Mix, Swap, mix, swap
from corebath.bath.outage import Keeping, Outage, compare_keeping, outage
from corebath.bath.say import quantity, ranged
from corebath.bath.spread import Spread
from corebath.bath.uptake import Load
from corebath.bath.warm_up import CoverLimit, WarmUp, highest_set_points, warm_up
from corebath.plan.data import spreads
from corebath.plan.equipment import Equipment, IceStart
from corebath.plan.known import KnownPiece
from corebath.plan.water import asleep, bags_of, worst_findings
from corebath.safety.finding import Finding

_HIGH_m = 300.0  # below this nobody asks what the altitude does


@dataclass(frozen=True, slots=True)
class BathRequest:
    """What is asked of a bath.

    set_point_C : liquid water, clear of boiling [degC];  hold_s : how long it is held, 60 s to 14 days [s]
    starts, zone : when the hold begins, by the cook's clock;  night : when nobody pours, from and to
    hot_C : hot water to mix from, above the cold tap, or None [degC]
    swap_C, swap_with_C : temperature to change to afterwards and water to do it with, None for no change [degC]
    off_s : power cut looked at [s];  above_C : the bath is to stay above this [degC]
    piece, start_C : the food and its temperature, or None [degC];  dip_K : fall allowed when food goes in [K]
    ice : the food waits in ice water before the heater starts, or None
    """

    equipment: Equipment
    set_point_C: float
    hold_s: float
    starts: datetime
    zone: ZoneInfo
    night: tuple[time, time]
    hot_C: float | None
    off_s: float
    above_C: float
    dip_K: float
    swap_C: float | None = None
    swap_with_C: float | None = None
    piece: KnownPiece | None = None
    start_C: float = 4.0
    ice: IceStart | None = None

    def __post_init__(self) -> None:
        for what, value, low, high in (
            ("the time the bath is held", self.hold_s, 60.0, 14 * 86400.0),
            ("the power cut", self.off_s, 60.0, 72 * 3600.0),
        ):
            if not low <= value <= high:
                raise ValueError(f"{what} must lie between {quantity(low, 's')} and {quantity(high, 's')}")
        if self.piece is not None and self.piece.food_kg is None:
            raise ValueError(
                "say what one piece weighs, or all of its sides: the water it moves and cools depends on it"
            )
        if self.ice is not None and self.piece is None:
            raise ValueError("a wait in ice needs the food that waits: say which, and what one piece weighs")


@dataclass(frozen=True, slots=True)
class FoodAnswer:
    """What the food does to the bath. crowding : None when all bags hang free;  dip, most : None in ice water"""

    load: Load
    fit: Fit | None
    crowding: Crowding | None
    dip: Dip | None
    most: LargestLoad | None
    floating: Float


@dataclass(frozen=True, slots=True)
class Section:
    """A heading in cooking order with its sentences."""

    title: str
    statements: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class BathAnswer:
    """Everything about one bath.

    filled : the cold water;  bath : what is heated, with what ice has melted
    warm_up : from the cold tap;  from_hot : filled from the hot tap instead, None when that is no hotter
    mix : hot and cold that land on the set point, None without hot water;  limits : highest set point by cover
    losses : at the set point;  heights : what the altitude does, None near the sea
    ice, food, swap : None when not asked for;  cost : None without a price
    sections : all of it in words;  findings : each rule once
    """

    request: BathRequest
    filled: Bath
    bath: Bath
    warm_up: WarmUp
    from_hot: WarmUp | None
    mix: Mix | None
    limits: tuple[CoverLimit, ...]
    losses: Losses
    heights: Heights | None
    ice: IceWait | None
    food: FoodAnswer | None
    night: Night
    schedule: Schedule
    outage: Outage
    keeping: tuple[Keeping, ...]
    swap: Swap | None
    cost: Spread | None
    sections: tuple[Section, ...]
    findings: tuple[Finding, ...]


def answer_bath(request: BathRequest) -> BathAnswer:
    """Compute a bath. Raises ValueError outside the range of a part, or when water and food do not go in."""
    gear, set_point_C = request.equipment, request.set_point_C
    load = None if request.piece is None else _load(request, request.piece)
    food_m3 = 0.0 if load is None else load.total_m3
    filled = bath = gear.filled(food_m3, set_point_C, 0.0 if request.ice is None else ice_m3(request.ice.ice_kg))
    ice = None
    warm = warm_up(bath, set_point_C, gear.fill_C)
    if request.ice is not None and load is not None and warm.time_s.nominal < inf:
        ice = wait_in_ice(bath, request.ice.wait_s, request.ice.ice_kg, gear.fill_C, load, set_point_C)
        bath = bath.with_water(bath.water_kg + request.ice.ice_kg)
        warm = warm_up(bath, set_point_C, ICE_WATER_C)
    food = None
    if request.piece is not None and load is not None:
        food = _food(request, request.piece, load, bath, warm)
    top_m = None if food is None or food.fit is None else food.fit.top_m
    lasting = night(bath, set_point_C, request.hold_s, food_m3, top_m)
    nights = tuple(asleep(request.starts, request.hold_s, request.zone, *request.night))
    schedule = top_up_schedule(bath, set_point_C, request.hold_s, gear.top_up_C, food_m3, top_m, nights)
    above_C = request.above_C
    watch = (above_C,) if set_point_C > above_C else ()
    cost = None
    if gear.price_per_kWh is not None and isfinite(warm.time_s.high):
        cost = warm.cost(request.hold_s, gear.price_per_kWh)
    swapped = None
    if request.swap_C is not None and request.swap_with_C is not None:
        swapped = swap(bath, set_point_C, request.swap_C, request.swap_with_C)
    answer = BathAnswer(
        request=request,
        filled=filled,
        bath=bath,
        warm_up=warm,
        from_hot=warm_up(bath, set_point_C, gear.top_up_C) if gear.fill_C < gear.top_up_C < set_point_C else None,
        mix=None if request.hot_C is None else mix(bath, set_point_C, request.hot_C, gear.fill_C),
        limits=highest_set_points(bath),
        losses=losses(bath, set_point_C),
        heights=at_altitude(gear.room.altitude_m) if gear.room.altitude_m > _HIGH_m else None,
        ice=ice,
        food=food,
        night=lasting,
        schedule=schedule,
        outage=outage(bath, set_point_C, request.off_s, watch_C=watch),
        keeping=compare_keeping(bath, set_point_C, above_C) if watch else (),
        swap=swapped,
        cost=cost,
        sections=(),
        findings=(),
    )
    parts = (ice, warm, *(() if food is None else (food.fit, food.dip, food.floating)), lasting)
    return replace(answer, sections=tuple(_sections(answer)), findings=worst_findings(parts))


def _load(request: BathRequest, piece: KnownPiece) -> Load:
    """The food in the water: pieces that lie together as one thicker body each."""
    thermal = piece.thermal((request.start_C + request.set_point_C) / 2)
    food_kg = piece.food_kg
    assert food_kg is not None
    body = piece.body if piece.layers == 1 else piece.body.stacked(piece.layers)
    return Load(
        body=body,
        warm=thermal.warm,
        start_C=request.start_C,
        count=piece.pieces / piece.layers,
        h_W_m2K=float(spreads()["surface"]["h_W_m2K"]),
        frozen=thermal.frozen,
        volume_m3=food_kg / piece.pieces * piece.layers / thermal.warm.rho_kg_m3,
    )


def _food(request: BathRequest, piece: KnownPiece, load: Load, bath: Bath, warm: WarmUp) -> FoodAnswer:
    gear, set_point_C = request.equipment, request.set_point_C
    volume_m3 = load.total_m3 / piece.pieces
    density = load.warm.rho_kg_m3
    bags = bags_of(piece.body, piece.pieces, volume_m3, density)
    standing = None if bags is None else fit(bath, bags, set_point_C)
    crowded = None
    if bags is not None and standing is not None and standing.layers > 1 and standing.body and not load.is_frozen:
        crowded = crowding(bags, standing.layers, load.warm, load.start_C, set_point_C, load.h_W_m2K)
    dip = most = None
    if request.ice is None and isfinite(warm.time_s.nominal):
        dip = load_dip(bath, set_point_C, load)
        single = replace(load, body=piece.body, volume_m3=volume_m3, count=1)
        free = None if standing is None or piece.layers > 1 else standing.most_free
        most = largest_load(bath, set_point_C, single, request.dip_K, free)
    air = bag_air_m3(gear.bagging, volume_m3)
    lift = floating(volume_m3 * density, density, air, set_point_C, gear.room, held_by_kg=gear.weight_kg)
    return FoodAnswer(load, standing, crowded, dip, most, lift)


def _sections(answer: BathAnswer) -> Iterator[Section]:
    request, gear, food = answer.request, answer.request.equipment, answer.food
    litres, level_m = answer.filled.volume_m3(gear.fill_C) * 1000, answer.filled.level_m(gear.fill_C)
    yield Section("Filling", (f"Fill with {quantity(litres, 'L')} of water, {quantity(level_m, 'm')} deep when cold.",))
    if answer.heights is not None:
        yield Section("At this altitude", answer.heights.statements)
    if answer.ice is not None:
        yield Section("Waiting in ice", answer.ice.statements)
    yield Section("Warming up", tuple(_warming(answer)))
    yield Section("What this heater holds here", tuple(_held(answer)))
    if food is not None:
        told: list[str] = []
        for part in (food.fit, food.dip, food.floating):
            told += part.statements if part is not None else ()
        told += [part.statement for part in (food.crowding, food.most) if part is not None]
        yield Section("When the food goes in", tuple(told))
    yield Section(f"Over {quantity(request.hold_s, 's')}", (*answer.night.statements, *answer.schedule.statements))
    yield Section("If the power goes", tuple(_dark(answer)))
    if answer.swap is not None:
        yield Section("To change the temperature", (answer.swap.statement,))
    if answer.cost is not None:
        cost = answer.cost
        yield Section(
            "What it costs",
            (f"Energy: about {cost.nominal:.2f} {gear.currency} ({cost.low:.2f} to {cost.high:.2f}).",),
        )


def _warming(answer: BathAnswer) -> Iterator[str]:
    first = 0 if answer.ice is None else 1
    yield from answer.warm_up.statements[first:2]
    if answer.ice is None:
        if answer.from_hot is not None:
            yield answer.from_hot.statements[0]
        if answer.mix is not None:
            yield answer.mix.statement


def _held(answer: BathAnswer) -> Iterator[str]:
    lost = answer.losses
    yield (
        f"At {quantity(answer.request.set_point_C, 'C')} the bath loses about {lost.total_W.nominal:.0f} W "
        f"({lost.total_W.low:.0f} to {lost.total_W.high:.0f} W): {lost.evaporation_W:.0f} W by vapour, "
        f"{lost.convection_W + lost.radiation_W:.0f} W from the open water otherwise, {lost.cover_W:.0f} W through the "
        f"cover, {lost.wall_W + lost.base_W:.0f} W through sides and floor."
    )
    cap_C = at_altitude(answer.request.equipment.room.altitude_m).highest_set_point_C
    reach: dict[str, list[str]] = {}
    for limit in answer.limits:
        highest = f"up to {ranged(limit.set_point_C, 'C')}"
        if limit.set_point_C.low >= cap_C - 0.05:
            highest = f"any set point that keeps clear of boiling, up to {quantity(cap_C, 'C')}"
        reach.setdefault(highest, []).append(limit.cover.words)
    for highest, words in reach.items():
        under = ", ".join(words[:-1]) + " or " + words[-1] if len(words) > 1 else words[0]
        under = "any cover, or none," if len(words) == len(answer.limits) else under
        yield f"Under {under} it holds {highest}."
    yield from answer.warm_up.statements[2:]


def _dark(answer: BathAnswer) -> Iterator[str]:
    yield from answer.outage.statements
    above = quantity(answer.request.above_C, "C")
    wrapped = {way.cover.key: _lasts(way.lasts_s) for way in answer.keeping if way.towels}
    for way in answer.keeping:
        if not way.towels:
            yield (
                f"Above {above} under {way.cover.words}: {_lasts(way.lasts_s)}; "
                f"with towels round the sides {wrapped[way.cover.key]}."
            )


def _lasts(lasts_s: Spread) -> str:
    longest = "three days or more"
    if lasts_s.low == inf:
        return longest
    if lasts_s.nominal == inf:
        return f"{quantity(lasts_s.low, 's')} at the least, likely {longest}"
    if lasts_s.high == inf:
        return f"about {quantity(lasts_s.nominal, 's')} ({quantity(lasts_s.low, 's')} to {longest})"
    return ranged(lasts_s, "s")
