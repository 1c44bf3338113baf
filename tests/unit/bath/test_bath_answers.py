"""Every answer of the bath: refusals, directions, and findings that follow from the figures."""

from __future__ import annotations

import re
from dataclasses import replace
from math import inf

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from corebath.bath.altitude import at_altitude, boiling_finding, pressure_Pa
from corebath.bath.balance import march
from corebath.bath.buoyancy import bag_air_m3, floating, gas_in_bath_m3
from corebath.bath.cover import Cover, covers
from corebath.bath.delayed_start import wait_in_ice
from corebath.bath.fit import crowding, fit
from corebath.bath.gear import Bath, Room
from corebath.bath.heater import Heater
from corebath.bath.level import night, top_up_schedule
from corebath.bath.load import largest_load, load_dip
from corebath.bath.losses import losses
from corebath.bath.mixing import mix, swap
from corebath.bath.outage import compare_keeping, outage
from corebath.bath.probe import boiling_check, ice_check, probe_offset
from corebath.bath.say import ranged
from corebath.bath.spread import Spread
from corebath.bath.standing import Bags
from corebath.bath.uptake import Load
from corebath.bath.vessel import Vessel
from corebath.bath.warm_up import highest_set_points, warm_up
from corebath.bath.water import boiling_point_C
from corebath.heat.body import Body, Shape
from corebath.heat.material import Material
from corebath.plan.equipment import Equipment
from corebath.safety.finding import Verdict
from corebath.units import mark

MEAT = Material(0.48, 1060.0, 3500.0)
STEAK = Load(Body(Shape.BRICK, 0.03, 0.09, 0.10), MEAT, 4.0, 2, 120.0)


def a_bath(litres: float = 15.0, watts: float = 1200.0, cover: str = "none", room: Room | None = None) -> Bath:
    vessel = Vessel.rectangular(0.4, 0.3, 0.2)
    return Bath.filled(vessel, litres, Heater(watts, 0.06, 0.18), Cover.named(cover), room or Room())


@pytest.mark.parametrize(
    ("make", "says"),
    [
        (lambda: Vessel.round(0.05, 0.2), "diameter"),
        (lambda: Vessel.round(0.2, 0.2, "wood"), "accepted: steel"),
        (lambda: Cover.named("towel"), "accepted: none"),
        (lambda: Cover.named("film").leaving_open(1.5), "open share"),
        (lambda: Heater(50, 0.1, 0.2), "power"),
        (lambda: Heater(1000, 0.2, 0.1), "highest mark"),
        (lambda: Room(air_C=70), "room's air"),
        (lambda: Room(humidity=50), "humidity"),
        (lambda: Room(altitude_m=9000), "altitude"),
        (lambda: a_bath(30.0), "up to its rim"),
        (lambda: a_bath(0.0), "some water"),
        (lambda: losses(a_bath(), 99.9), "altitude"),
        (lambda: losses(a_bath(room=Room(altitude_m=3000.0)), 90.0), "altitude"),
        (lambda: boiling_point_C(5000.0), "boiling point"),
        (lambda: Load(Body(Shape.SLAB, 0.03), MEAT, 4.0, 2, 120.0), "volume"),
        (lambda: Load(STEAK.body, MEAT, -18.0, 2, 120.0), "frozen"),
        (lambda: replace(STEAK, count=0), "at least part"),
        (lambda: mix(a_bath(), 55.0, 15.0, 45.0), "warmer"),
        (lambda: swap(a_bath(), 50.0, 60.0, 15.0), "does not land"),
        (lambda: night(a_bath(), 57.0, -5.0), "duration"),
        (lambda: crowding(Bags(0.03, 0.1, 0.1, 4, 0.3), 1, MEAT, 4.0, 57.0, 120.0), "two or more"),
        (lambda: largest_load(a_bath(), 57.0, STEAK, 0.0), "dip"),
        (lambda: compare_keeping(a_bath(), 50.0, 55.0), "below"),
        (lambda: bag_air_m3("sealed", 1e-3), "accepted: displacement"),
        (lambda: gas_in_bath_m3(1e-5, 5.0, 99.9, Room()), "bath's temperature"),
        (lambda: ice_check([]), "at least one"),
        (lambda: ice_check([30.0]), "reading"),
        (lambda: boiling_check([100.0]), "altitude or the barometer"),
        (lambda: probe_offset(60.0), "check"),
        (lambda: Spread(1.0, 2.0, 3.0), "rise"),
    ],
)
def test_out_of_range_is_refused_in_words(make: object, says: str) -> None:
    assert callable(make)
    with pytest.raises(ValueError, match=says):
        make()


@given(st.floats(0.1, 0.6), st.floats(0.1, 0.6), st.floats(0.1, 0.5), st.floats(0.0, 1.0))
def test_litres_and_depth_are_inverse(length_m: float, width_m: float, depth_m: float, share: float) -> None:
    for vessel in (Vessel.rectangular(length_m, width_m, depth_m), Vessel.round(length_m, depth_m)):
        assert vessel.level_m(vessel.volume_at_m3(share * depth_m)) == pytest.approx(share * depth_m)


@settings(max_examples=25, deadline=None)
@given(st.floats(30, 90), st.floats(5, 30), st.floats(0, 1), st.floats(0, 1.5))
def test_losses_go_the_way_they_must(water_C: float, air_C: float, humidity: float, draught: float) -> None:
    room = Room(air_C, humidity, 0.0, draught)
    now = losses(a_bath(room=room), water_C)
    assert now.total_W.low <= now.total_W.nominal <= now.total_W.high
    assert losses(a_bath(room=room), water_C + 2).total_W.nominal > now.total_W.nominal
    assert losses(a_bath(room=replace(room, draught_m_s=draught + 0.4)), water_C).total_W.nominal > now.total_W.nominal
    assert losses(a_bath(room=replace(room, altitude_m=2000)), water_C).water_loss_kg_h.nominal > (
        now.water_loss_kg_h.nominal
    )
    for cover in covers()[1:]:
        under = losses(a_bath(cover=cover.key, room=room), water_C)
        assert under.total_W.nominal < now.total_W.nominal
        assert under.water_loss_kg_h.high < now.water_loss_kg_h.low


def test_a_weak_heater_is_told_what_to_change() -> None:
    got = warm_up(a_bath(watts=400.0), 75.0, 15.0)
    assert got.time_s.nominal == inf
    assert got.findings[0].verdict is Verdict.NOT_MET
    assert any("film" in line for line in got.statements)
    limits = {limit.cover.key: limit.set_point_C for limit in highest_set_points(a_bath(watts=400.0))}
    assert limits["none"].nominal < 75.0 <= limits["film"].low
    assert losses(a_bath(watts=400.0), limits["none"].nominal).total_W.nominal == pytest.approx(400.0, rel=0.01)


def test_warm_up_costs_what_it_draws() -> None:
    got = warm_up(a_bath(), 57.0, 15.0)
    cost = got.cost(10 * 3600.0, 0.30)
    assert cost.nominal == pytest.approx(0.30 * (got.energy_kWh.nominal + got.holds_W.nominal / 100))
    assert warm_up(a_bath(), 57.0, 70.0).time_s.nominal > 60.0  # too hot: waits until it has cooled


@given(st.floats(40, 85), st.floats(60, 95), st.floats(5, 25))
def test_mixes_land_where_they_say(target_C: float, hot_C: float, cold_C: float) -> None:
    got = mix(a_bath(), target_C, hot_C, cold_C)
    if hot_C > target_C + 3:
        assert got.lands_C == pytest.approx(target_C, abs=0.05)
    assert got.lands_C <= max(hot_C, 20.0)


@settings(max_examples=20, deadline=None)
@given(st.floats(50, 75), st.floats(6, 48), st.floats(0.0, 0.05), st.floats(1, 6), st.floats(0, 9))
def test_schedules_keep_water_over_food(
    set_C: float, hours: float, over_m: float, first_h: float, sleep_h: float
) -> None:
    """Marched at the high end of the losses, the level never falls below heater mark or food."""
    bath = a_bath(litres=18.0)
    top = bath.level_m(set_C) - 0.02 - over_m
    asleep = ((first_h * 3600, (first_h + sleep_h) * 3600),)
    got = top_up_schedule(bath, set_C, hours * 3600, set_C, 0.0, top, asleep)
    if not got.possible:
        assert got.statements[0].startswith("No schedule")
        return
    assert not any(asleep[0][0] < pour.at_s < asleep[0][1] for pour in got.top_ups)
    fall = night(bath, set_C, 3600.0).fall_m_h.high / 3600
    times = [0.0, *(pour.at_s for pour in got.top_ups), hours * 3600]
    assert bath.level_m(set_C) - fall * max(np.diff(times)) >= max(top + 0.01, bath.heater.lowest_m) - 1e-6


def test_little_water_over_the_food_asks_for_no_thimbles() -> None:
    """With the level half a millimetre above its clearance, a glass is waited for, and the food stays covered."""
    bath = a_bath(litres=18.0)
    top = bath.level_m(57.0) - 0.0105
    got = top_up_schedule(bath, 57.0, 34 * 3600.0, 45.0, 0.0, top)
    assert got.possible
    assert got.top_ups
    assert min(pour.water_kg for pour in got.top_ups) > 0.1
    fall = night(bath, 57.0, 3600.0).fall_m_h.high / 3600
    times = [0.0, *(pour.at_s for pour in got.top_ups), 34 * 3600.0]
    assert bath.level_m(57.0) - fall * max(np.diff(times)) >= top + 0.005 - 1e-6


def test_no_schedule_when_the_night_is_too_long() -> None:
    bath = a_bath(litres=18.0)
    got = top_up_schedule(bath, 80.0, 24 * 3600.0, 80.0, 0.0, bath.level_m(80.0) - 0.03, ((60.0, 10 * 3600.0),))
    assert not got.possible


def test_fit_counts_free_bags_and_presses_the_rest() -> None:
    bath = a_bath(litres=12.0)
    few, many = (fit(bath, Bags(0.03, 0.08, 0.25, n, 0.4), 57.0) for n in (4, 9))
    assert few.fits
    assert few.layers == 1
    assert few.body == Body(Shape.BRICK, 0.03, 0.08, 0.25)
    assert many.layers > 1
    assert many.most_free < 9
    assert many.findings[-1].verdict is Verdict.NOT_MET
    assert not fit(bath, Bags(0.10, 0.09, 0.25, 40, 0.4), 57.0).fits
    tall = fit(bath, Bags(0.03, 0.30, 0.30, 1, 1.0), 57.0)
    assert not tall.fits
    assert tall.findings[2].verdict is Verdict.NOT_MET


WIDE = Bath.filled(Vessel.rectangular(0.4, 0.3, 0.14), 12.5, Heater(1100, 0.09, 0.12), Cover.named("none"), Room())


def test_bags_too_high_to_stand_lie_flat_and_the_height_is_named() -> None:
    flat = fit(WIDE, Bags(0.03, 0.12, 0.12, 2, 0.45), 57.0)
    assert flat.fits
    assert flat.flat
    assert flat.layers == 1
    assert flat.top_m == pytest.approx(0.04)
    assert f"asks for {mark(0.14, 'm')} of water" in flat.statements[-1]
    assert "lay both bags flat, side by side" in flat.statements[-1]
    assert flat.findings[2].verdict is Verdict.MET
    assert flat.findings[3].verdict is Verdict.MET
    # The floor beside the heater is 300 by 300 mm: two of 120 mm and three gaps of 10 mm, each way (by hand).
    assert flat.most_free == 4
    piled = fit(WIDE, Bags(0.03, 0.12, 0.12, 5, 0.45), 57.0)
    assert (piled.flat, piled.layers) == (True, 2)
    assert piled.findings[3].verdict is Verdict.NOT_MET


def test_bags_that_can_stand_free_are_not_laid_flat() -> None:
    assert not fit(a_bath(litres=12.0), Bags(0.03, 0.08, 0.25, 2, 0.4), 57.0).flat


def test_a_bag_lower_than_the_water_but_for_its_clearance_is_not_said_to_stand_higher() -> None:
    pot = Bath.filled(Vessel.round(0.24, 0.14), 4.5, Heater(1100, 0.09, 0.12), Cover.named("none"), Room())
    tight = fit(pot, Bags(0.03, 0.105, 0.16, 1, 0.6), 57.0)
    assert 0.105 < tight.level_m < 0.125
    said = " ".join((*tight.statements, *(f.why for f in tight.findings)))
    assert "higher than the water" not in said
    assert f"asks for {mark(0.125, 'm')} of water" in said
    assert tight.findings[2].verdict is Verdict.NOT_MET


def test_water_too_low_for_any_position_is_said_with_both_heights() -> None:
    low = replace(WIDE, water_kg=4.0)
    none = fit(low, Bags(0.06, 0.12, 0.12, 1, 0.8), 57.0)
    assert none.too_low
    assert none.most_free == 0
    assert f"standing on edge they ask for {mark(0.14, 'm')}, lying flat for {mark(0.08, 'm')}" in none.statements[-1]
    assert none.findings[2].verdict is Verdict.NOT_MET


def test_bags_that_do_not_go_in_are_not_all_under_water() -> None:
    crowd = fit(a_bath(litres=12.0), Bags(0.10, 0.09, 0.25, 40, 0.4), 57.0)
    assert crowd.layers == 0
    assert crowd.findings[2].verdict is Verdict.NOT_MET
    assert crowd.findings[2].binding


def test_the_load_at_once_is_the_lesser_of_heater_and_room() -> None:
    piece = Load(Body(Shape.BRICK, 0.03, 0.12, 0.12), MEAT, 4.0, 1, 120.0)
    by_heat = largest_load(WIDE, 57.0, piece, 2.0)
    assert largest_load(WIDE, 57.0, piece, 2.0, by_heat.count + 1) == by_heat
    one = largest_load(WIDE, 57.0, piece, 2.0, 1)
    assert (one.count, one.by_room) == (1, True)
    assert one.statement.startswith("One such piece at once")
    assert "hang or lie free" in one.statement
    none = largest_load(WIDE, 57.0, piece, 2.0, 0)
    assert none.count == 0
    assert none.statement == "Not one such piece hangs or lies free under water in this bath."
    with pytest.raises(ValueError, match="none or more"):
        largest_load(WIDE, 57.0, piece, 2.0, -1)


def test_pressed_bags_take_longer_than_in_proportion() -> None:
    got = crowding(Bags(0.028, 0.1, 0.2, 2, 0.5), 2, MEAT, 4.0, 62.0, 120.0)
    assert 2 < got.together_s / got.alone_s < 4


@settings(max_examples=10, deadline=None)
@given(st.integers(1, 12), st.floats(300, 2000))
def test_dips_grow_with_food_and_shrink_with_power(count: int, watts: float) -> None:
    load = replace(STEAK, count=count)
    here = load_dip(a_bath(watts=watts), 57.0, load, 5400.0)
    assert here.lowest_C.low <= here.lowest_C.nominal <= here.lowest_C.high <= 57.0
    assert load_dip(a_bath(watts=watts), 57.0, replace(load, count=count + 4), 5400.0).lowest_C.nominal <= (
        here.lowest_C.nominal + 1e-6
    )
    assert load_dip(a_bath(watts=watts + 500), 57.0, load, 5400.0).lowest_C.nominal >= here.lowest_C.nominal - 1e-6
    assert here.slow_stage.ambient_C.min() <= here.stage.ambient_C.min() + 0.02


def test_the_largest_load_is_the_largest() -> None:
    piece = Load(Body(Shape.BRICK, 0.03, 0.1, 0.15), MEAT, 4.0, 1, 120.0)
    bath = a_bath(litres=10.0, watts=600.0)
    got = largest_load(bath, 60.0, piece, 2.0)
    assert got.count >= 1
    assert not got.by_room
    inside = load_dip(bath, 60.0, replace(piece, count=got.count), 10800.0)
    beyond = load_dip(bath, 60.0, replace(piece, count=got.count + 1), 10800.0)
    assert 60.0 - inside.lowest_C.low <= 2.0 < 60.0 - beyond.lowest_C.low


def test_outage_cools_slower_under_cover_and_with_food() -> None:
    bath = a_bath()
    bare = outage(bath, 57.0, 7200.0, watch_C=(54.4,))
    warm_food = replace(STEAK, start_C=57.0, count=10)
    assert outage(bath, 57.0, 7200.0, food=warm_food).end_C.nominal > bare.end_C.nominal
    assert outage(bath.with_cover(Cover.named("film")), 57.0, 7200.0).end_C.low > bare.end_C.high
    back = outage(bath, 57.0, 3600.0, back_at_C=57.0, after_s=7200.0)
    assert back.trace.water_C[-1] == pytest.approx(57.0)
    assert back.stage(120.0, cautious=True).ambient_C.min() < back.stage(120.0).ambient_C.min()
    ways = compare_keeping(bath, 57.0, 54.4)
    assert (ways[0].cover.key, ways[0].towels) == ("towelled", True)
    assert (ways[-1].cover.key, ways[-1].towels) == ("none", False)


def test_cold_water_falls_back_to_room_temperature() -> None:
    trace = march(a_bath(room=Room(22.0, 0.3)), 60.0, 60 * 3600.0, set_point_C=None)
    assert 15.0 < float(trace.water_C[-1]) < 22.0  # between wet bulb and room


def test_more_ice_lasts_longer_and_the_verdict_follows() -> None:
    bath, wait = a_bath(litres=8.0), 6 * 3600.0
    little, enough = (wait_in_ice(bath, wait, ice, 12.0, STEAK, 57.0) for ice in (0.5, 6.0))
    assert little.cold_s.nominal < enough.cold_s.nominal
    assert little.findings[0].verdict is Verdict.NOT_MET
    assert enough.findings[0].verdict is Verdict.MET
    assert enough.ice_needed_kg.high < enough.ice_advised_kg < 6.0
    waiting, warming = enough.stages
    assert waiting.duration_s == wait
    assert waiting.ambient_C.max() <= 5.0
    assert warming.ambient_C[-1] == pytest.approx(57.0)


def test_steam_swells_a_bag() -> None:
    at = [gas_in_bath_m3(1e-5, 5.0, T, Room()) / 1e-5 for T in (5.0, 57.0, 85.0)]
    assert at[0] == pytest.approx(1.0, abs=0.01)
    assert at[0] < 1.3 < at[1] < 1.6 < 2.5 < at[2]
    held = floating(0.5, 1050.0, bag_air_m3("displacement", 5e-4), 85.0, Room(), held_by_kg=0.2)
    assert held.findings[0].verdict is Verdict.MET
    loose = floating(0.5, 1000.0, bag_air_m3("displacement", 5e-4), 85.0, Room())
    assert loose.findings[0].verdict is Verdict.NOT_MET
    assert "not heated" in loose.findings[0].why


def test_a_right_probe_at_altitude_is_called_right() -> None:
    check = boiling_check([at_altitude(2600.0).boiling_C.nominal], 2600.0)
    assert "reads right" in check.statement
    barometer = boiling_check([91.3], barometer_Pa=pressure_Pa(2600.0))
    assert barometer.sd_K < check.sd_K
    both = probe_offset(60.0, ice_check([0.4, 0.5]), check)
    assert 0.0 < both.offset_K < 0.45
    assert both.cautious_C(60.0) < both.true_C(60.0) < 60.0
    assert probe_offset(60.0, ice_check([0.4])).sd_K > both.sd_K / 2


@pytest.mark.parametrize(
    ("off_s", "says"),
    [
        (3600.0, "stays above {54.4|C} for the whole {3600|s} looked at"),
        (7200.0, "at the soonest; in the likely case it stays above for the whole {7200|s} looked at"),
        (12000.0, "at the soonest; it may also stay above for the whole {12000|s} looked at"),
        (24000.0, " to {"),
    ],
)
def test_an_outage_says_what_may_come_and_what_may_not(off_s: float, says: str) -> None:
    vessel = Vessel.round(0.26, 0.18)
    bath = Bath.filled(vessel, 7.46, Heater(1100.0, 0.08, 0.145), Cover.named("loose-lid"), Room())
    told = outage(bath, 85.0, off_s, watch_C=(54.4,)).statements[1]
    assert says in told
    assert "never" not in told


def test_an_endless_time_is_said_in_words() -> None:
    assert ranged(Spread(inf, 600.0, inf), "s") == "{600|s} at the soonest, likely not at all"
    assert ranged(Spread(900.0, 600.0, inf), "s") == "about {900|s} ({600|s} or more, perhaps not at all)"


def test_the_margin_below_boiling_is_the_one_left() -> None:
    """Steam table: 100 °C at 101.3 kPa, 99.4 °C at 99.3 kPa (20 hPa less), so 57 °C leaves 42.4 K."""
    found = boiling_finding(57.0, 0.0)
    assert "{57|C} leaves {42.4|K} below the lowest boiling point of ordinary weather, {99.4|C}" in found.why
    assert found.why.endswith("{4|K} is asked.")
    assert found.assumptions == ("The barometer stays within 20 hPa of the standard atmosphere.",)
    assert boiling_finding(97.0, 0.0).verdict is Verdict.NOT_MET
    assert "{99.8|C} is not below" in boiling_finding(99.8, 0.0).why


@given(st.floats(0.2, 0.4), st.floats(0.10, 0.2), st.floats(40.0, 85.0))
def test_a_bath_filled_to_the_highest_mark_stands_between_the_marks(
    diameter_m: float, mark_m: float, set_C: float
) -> None:
    gear = Equipment(Vessel.round(diameter_m, 0.25), Heater(1100.0, 0.09, mark_m), Cover.named("none"))
    full = gear.filled(0.0, set_C)
    assert night(full, set_C, 3600.0).findings[0].verdict is Verdict.MET
    over = full.with_water(full.water_kg * 1.01)
    assert night(over, set_C, 3600.0).findings[0].verdict is Verdict.NOT_MET


def test_what_holding_takes_is_what_the_bath_loses_up_to_boiling() -> None:
    high = a_bath(room=Room(altitude_m=2600.0))
    for set_C in (57.0, 86.0, 90.0):
        assert warm_up(high, set_C, 15.0).holds_W == losses(high, set_C).total_W


def test_a_level_falls_no_further_than_the_floor() -> None:
    bath = a_bath(20.0, room=Room(altitude_m=2600.0))
    told = night(bath, 90.0, 36000.0).statements[0]
    assert f" to {{{round(bath.level_m(90.0), 4)}|m}}) in ten hours" in told
    assert told.endswith("the vessel may run dry by then.")
    assert "dry" not in night(bath, 57.0, 36000.0).statements[0]
    shallow = a_bath(9.0, room=Room(altitude_m=2600.0))
    assert night(shallow, 90.0, 36000.0).statements[0].endswith("the vessel runs dry within ten hours.")


def test_bags_that_hardly_float_are_said_in_words() -> None:
    air = Spread(1e-7, 0.0, 2e-5)
    told = floating(0.28, 1050.0, air, 57.0, Room()).statements[0]
    assert "likely it needs none" in told
    assert " {0|kg}" not in told
    nothing = floating(0.28, 1050.0, Spread(0.0, 0.0, 1.3e-5), 57.0, Room()).statements[0]
    assert nothing.startswith("Unweighted, hardly any of the bag stands above")


def test_a_share_above_the_water_that_prints_as_0_is_met() -> None:
    dry = floating(0.28, 1050.0, Spread(0.0, 0.0, 1.3e-5), 57.0, Room())
    assert 0 < dry.above_share.high < 0.005
    assert dry.findings[0].verdict is Verdict.MET
    assert "less than half a percent" in dry.findings[0].why
    wet = floating(0.28, 1050.0, Spread(0.0, 0.0, 1.6e-5), 57.0, Room())
    assert round(100 * wet.above_share.high) >= 1
    assert wet.findings[0].verdict is Verdict.NOT_KNOWN


def test_bags_are_counted_in_words_that_fit() -> None:
    bath = a_bath(litres=12.0)
    hang = {n: fit(bath, Bags(0.03, 0.08, 0.25, n, 0.4), 57.0).statements for n in (1, 2, 3)}
    for n, words in ((1, "The bag hangs"), (2, "Both bags hang"), (3, "All 3 bags hang")):
        assert any(words in said for said in hang[n]), hang[n]


def test_water_of_one_temperature_starts_near_a_whole_degree() -> None:
    assert re.search(r"starts near \{\d+\|C\}\.$", mix(a_bath(), 57.0, 48.0, 15.0).statement)


def test_gas_that_air_and_steam_do_not_explain_is_called_by_its_name() -> None:
    bag = floating(0.5, 1050.0, bag_air_m3("displacement", 5e-4), 57.0, Room())
    said = next(s for s in bag.statements if "Air and steam explain" in s)
    litres = float(re.search(r"\{([\d.]+)\|L\}", said)[1])  # type: ignore[index]
    assert litres == pytest.approx(bag.gas_m3.high * 1000, abs=5e-4)
    assert "a leak or microbes" in said
    assert "throw the food out" in said
    assert "Vegetables and fruit" in said
