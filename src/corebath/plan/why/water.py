"""Why the numbers of the water: filling, warm-up, level, fit, dip, float, outage, cost."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import inf, isfinite

from corebath.bath.buoyancy import Float
from corebath.bath.delayed_start import IceWait
from corebath.bath.fit import Fit
from corebath.bath.gear import Bath
from corebath.bath.level import Night, Schedule
from corebath.bath.load import Dip
from corebath.bath.outage import Outage
from corebath.bath.say import quantity, ranged
from corebath.bath.spread import Spread
from corebath.bath.warm_up import WarmUp
from corebath.data_files import read_rows
from corebath.plan.equipment import Equipment
from corebath.plan.plan import Plan
from corebath.safety.finding import Finding
from corebath.units import MarkUnit, mark

from .judged import judged_whys
from .why import Input, Origin, Teller, Why, citation, percent, reckoned, why

PART = "water"
_LONGEST_s = 14 * 86400.0
RESTS_ON = {
    "bath-heater-holds": "holds", "bath-between-marks": "fill",
    "bath-below-rim": "fit", "bath-food-under-water": "float", "bath-water-runs-between": "fit",
    "bath-load-recovers": "dip", "bath-heater-covered": "level", "bath-food-covered": "level",
    "bath-cold-until-start": "ice-wait",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Bathed:
    """A bath with what was reckoned of it; None where that is not known.

    set_point, hold : at what, and for how long, and whose word that is;  set_point_C : the first as a figure [degC]
    outage_s : the power cut looked at [s];  food_kg, start_C : of the cold food [kg], [degC]
    """

    equipment: Equipment
    set_point: Input
    hold: Input
    set_point_C: float
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
    outage_s: float
    cost: Spread | None
    food_kg: float | None
    pieces: int
    start_C: float
    findings: tuple[Finding, ...]


def water_whys(wet: Bathed, tell: Teller) -> Iterator[Why]:
    """Numbers of the water in cooking order, then its findings."""
    made = list(_numbers(wet, tell))
    yield from made
    yield from judged_whys(PART, wet.findings, RESTS_ON, made, {"bath-below-boiling": wet.set_point})


def _numbers(wet: Bathed, tell: Teller) -> Iterator[Why]:
    gear = wet.equipment
    yield _fill(wet, tell)
    warm = wet.warm_up
    lost, set_point = _losses_inputs(wet, tell), wet.set_point
    cover = citation(f"bath/covers.csv#key={gear.cover.key}")
    power = tell.asked("heater", f"{gear.heater.power_W:.0f} W", "heater")
    yield why(
        "holds", PART, f"{warm.holds_W.nominal:.0f} W", (set_point, *lost, power),
        spread=f"{warm.holds_W.low:.0f} to {warm.holds_W.high:.0f} W, from the range of the losses.",
        source=(cover, gear.vessel.wall.source),
    )  # fmt: skip
    if wet.ice is not None:
        yield _ice(wet, wet.ice, tell)
    energy = f"{warm.energy_kWh.nominal:.2g} kWh" if isfinite(warm.energy_kWh.nominal) else "never"
    filled = reckoned("water", mark(round(wet.bath.water_kg, 2), "kg"), "fill")
    yield why(
        "warm-up", PART, f"{_time(warm.time_s.nominal)}, {energy}",
        (filled, tell.asked("cold tap", mark(gear.fill_C, "C"), "tap"), set_point, power,
         reckoned("losses at the set point", f"{warm.holds_W.nominal:.0f} W", "holds")),
        spread=f"{_range(warm.time_s, 's')}, from the low and the high end of the losses.",
    )  # fmt: skip
    if gear.top_up_C > gear.fill_C:
        taps = (("hot water", gear.top_up_C, "hot_tap"), ("cold water", gear.fill_C, "tap"))
        yield why("mix", PART, mark(wet.set_point_C, "C"), (
            set_point, *(tell.asked(name, mark(value_C, "C"), key) for name, value_C, key in taps)
        ))  # fmt: skip
    yield from _food(wet, tell)
    yield from _lasting(wet, tell)


def _fill(wet: Bathed, tell: Teller) -> Why:
    gear, litres = wet.equipment, wet.filled.volume_m3(wet.equipment.fill_C) * 1000
    inputs = [
        tell.asked("vessel", _vessel(gear), "vessel"),
        tell.asked("highest mark of the heater", mark(gear.heater.highest_m, "m"), "heater"),
    ]
    if gear.litres is not None:
        inputs.append(tell.asked("litres", mark(gear.litres, "L"), "litres"))
    inputs += _load_inputs(wet, tell)
    level = mark(round(wet.filled.level_m(gear.fill_C), 3), "m")
    return why("fill", PART, f"{mark(round(litres, 1), 'L')}, {level} deep", inputs)


def _losses_inputs(wet: Bathed, tell: Teller) -> tuple[Input, ...]:
    gear, room = wet.equipment, wet.equipment.room
    share = gear.cover.open_share
    return (
        tell.asked("vessel", _vessel(gear), "vessel"),
        tell.asked("cover", f"{gear.cover.words}, {percent(share.nominal)} of the water open", "cover"),
        tell.asked("room", mark(room.air_C, "C"), "room"),
        tell.asked("humidity", percent(room.humidity), "humidity"),
        tell.asked("draught", f"{room.draught_m_s:g} m/s", "draught"),
    )


def _vessel(gear: Equipment) -> str:
    vessel = gear.vessel
    sides = [vessel.length_m, vessel.depth_m] if vessel.width_m is None else [vessel.length_m, vessel.width_m]
    sides += [] if vessel.width_m is None else [vessel.depth_m]
    return f"{' × '.join(mark(side, 'm') for side in sides)}, {vessel.wall.words}"


def _load_inputs(wet: Bathed, tell: Teller) -> Iterator[Input]:
    if wet.food_kg is not None:
        yield tell.asked("food", mark(round(wet.food_kg, 4), "kg"), "mass")
        yield tell.asked("bags", str(wet.pieces), "pieces")


def _ice(wet: Bathed, ice: IceWait, tell: Teller) -> Why:
    inputs = (
        tell.asked("ice", mark(ice.ice_kg, "kg"), "ice"),
        tell.asked("cold tap", mark(wet.equipment.fill_C, "C"), "tap"),
        tell.asked("room", mark(wet.equipment.room.air_C, "C"), "room"),
        *_load_inputs(wet, tell),
    )
    return why(
        "ice-wait", PART, f"{quantity(ice.ice_needed_kg.nominal, 'kg')} melts", inputs,
        spread=f"{_range(ice.ice_needed_kg, 'kg')}; it stays cold for {_range(ice.cold_s, 's')}.",
    )  # fmt: skip


def _food(wet: Bathed, tell: Teller) -> Iterator[Why]:
    gear = wet.equipment
    load = tuple(_load_inputs(wet, tell))
    if wet.fit is not None:
        gap, rise = quantity(wet.fit.gap_m, "m"), quantity(wet.fit.rise_m, "m")
        value = f"{gap} beside each, water up by {rise}"
        if wet.fit.flat:
            value = f"{gap} below and above each, water up by {rise}"
        clear = tell.asked("room the heater takes", mark(gear.heater.room_m, "m"), "heater")
        yield why("fit", PART, value, (tell.asked("vessel", _vessel(gear), "vessel"), clear, *load))
    if wet.dip is not None:
        fall = wet.dip.lowest_C.map(lambda T: max(wet.set_point_C - T, 0.0))
        yield why(
            "dip", PART, f"{quantity(fall.nominal, 'K')}, back after {_time(wet.dip.recovery_s.nominal)}",
            (reckoned("water", mark(round(wet.bath.water_kg, 2), "kg"), "fill"), *load,
             tell.asked("food goes in at", mark(wet.start_C, "C"), "start"),
             tell.asked("heater", f"{gear.heater.power_W:.0f} W", "heater"),
             Input("surface coefficient h", f"{wet.dip.h_W_m2K:.0f} W/(m²·K)", Origin.USUAL)),
            spread=f"{_range(fall, 'K')}; back after {_range(wet.dip.recovery_s, 's')}. From losses and contact.",
        )  # fmt: skip
    if wet.floating is not None:
        lift = wet.floating
        closed = next(r for r in read_rows("corebath.bath", "bag_air.csv") if r["key"] == gear.bagging)
        shares = " to ".join(percent(float(closed[f"share_{end}"])) for end in ("low", "high"))
        yield why(
            "float", PART, quantity(lift.weight_kg.nominal, "kg"),
            (tell.asked("closed by", closed["words"], "sealed"),
             Input("air left in the bag", f"{percent(float(closed['share_nominal']))} of its volume", Origin.USUAL),
             *load, wet.set_point,
             tell.asked("weight in use", mark(gear.weight_kg, "kg"), "weight", usual=gear.weight_kg == 0)),
            spread=f"{_range(lift.weight_kg, 'kg')}, with {shares} of air.", source=(closed["source"],),
        )  # fmt: skip


def _lasting(wet: Bathed, tell: Teller) -> Iterator[Why]:
    gear, night = wet.equipment, wet.night
    power, bath_time = reckoned("losses", f"{wet.warm_up.holds_W.nominal:.0f} W", "holds"), wet.hold
    loss = night.water_loss_kg_h.map(lambda kg_h: max(kg_h, 0.0))
    level = (
        reckoned("level with the food in", mark(round(night.start_m, 4), "m"), "fill"),
        tell.asked("lowest mark of the heater", mark(gear.heater.lowest_m, "m"), "heater"),
    )
    first = night.trips_s if night.bare_s is None or night.bare_s.low > night.trips_s.low else night.bare_s
    yield why(
        "level", PART, f"{quantity(loss.nominal, 'kg')} of water an hour, enough for {_time(first.nominal)}",
        (power, bath_time, *level), spread=f"{_range(loss, 'kg')} an hour; enough for {_range(first, 's')}.",
    )  # fmt: skip
    pours = wet.schedule.top_ups
    yield why(
        "top-ups", PART, str(len(pours)) if pours else "none",
        (reckoned("level", _time(first.low), "level"), bath_time,
         tell.asked("top-up water", mark(gear.top_up_C, "C"), "hot_tap")),
        spread=f"Timed at the high end of the losses; the largest dips the bath by {quantity(wet.schedule.dip_K, 'K')}."
        if wet.schedule.dip_K > 0 else "Timed at the high end of the losses.",
    )  # fmt: skip
    dark = wet.outage
    yield why(
        "outage", PART, quantity(dark.end_C.nominal, "C"),
        (wet.set_point, power,
         tell.asked("power cut looked at", mark(wet.outage_s, "s"), "off")),
        spread=f"{_range(dark.end_C, 'C')}, from the low and the high end of the losses.",
    )  # fmt: skip
    if wet.cost is not None:
        price = tell.asked("price of a kWh", f"{gear.price_per_kWh:g} {gear.currency}", "price")
        warm = reckoned("energy of the warm-up", f"{wet.warm_up.energy_kWh.nominal:.2g} kWh", "warm-up")
        yield why(
            "cost", PART, f"{wet.cost.nominal:.2f} {gear.currency}", (price, warm, power, bath_time),
            spread=f"{wet.cost.low:.2f} to {wet.cost.high:.2f} {gear.currency}, from the range of the losses.",
        )  # fmt: skip


def bathed(plan: Plan, outage_s: float) -> Bathed | None:
    """The bath of a plan; None when nothing is known of it."""
    water, request = plan.water, plan.request
    if water is None or request.equipment is None:
        return None
    food_kg = None if request.piece_mass_kg is None else request.piece_mass_kg * request.pieces
    set_point_C = plan.set_point_C - request.probe_offset_K
    return Bathed(
        equipment=request.equipment,
        set_point=reckoned("bath", mark(set_point_C, "C"), "set-point"),
        hold=reckoned("time in the bath", mark(plan.bath_s, "s"), "bath-time"),
        set_point_C=set_point_C,
        filled=water.filled,
        bath=water.bath,
        warm_up=water.warm_up,
        fit=water.fit,
        dip=water.dip,
        ice=water.ice,
        floating=water.floating,
        night=water.night,
        schedule=water.schedule,
        outage=water.outage,
        outage_s=outage_s,
        cost=water.cost,
        food_kg=food_kg,
        pieces=request.pieces,
        start_C=request.from_C,
        findings=water.findings,
    )


def _range(spread: Spread, unit: MarkUnit) -> str:
    if not isfinite(spread.low):
        return "no time that can be known"
    if unit == "s" and spread.low > _LONGEST_s:
        return _time(spread.low)
    if spread.high == inf or (unit == "s" and spread.high > _LONGEST_s):
        return f"{quantity(spread.low, unit)} or more{', perhaps never' if spread.high == inf else ''}"
    if spread.low == spread.high:
        return ranged(spread, unit)
    return f"{quantity(spread.low, unit)} to {quantity(spread.high, unit)}"


def _time(seconds: float) -> str:
    if seconds > _LONGEST_s:
        return "two weeks or more" if isfinite(seconds) else "no end that can be known"
    return quantity(max(seconds, 0.0), "s")
