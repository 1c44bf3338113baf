"""Three kitchens from question to sentence: a pot, a long open tote, an overloaded party tote."""

from __future__ import annotations

import re
from dataclasses import replace

import numpy as np
import pytest

from corebath.bath.cover import Cover
from corebath.bath.fit import crowding, fit
from corebath.bath.gear import Bath, Room
from corebath.bath.heater import Heater
from corebath.bath.level import night, top_up_schedule
from corebath.bath.load import largest_load, load_dip
from corebath.bath.losses import losses
from corebath.bath.outage import outage
from corebath.bath.standing import Bags
from corebath.bath.uptake import Load
from corebath.bath.vessel import Vessel
from corebath.bath.warm_up import warm_up
from corebath.heat.body import Body, Shape
from corebath.heat.conduction import cook
from corebath.heat.material import Material
from corebath.heat.stage import Stage
from corebath.safety.finding import Verdict
from corebath.units import METRIC, US, mark, render

MEAT = Material(0.48, 1060.0, 3500.0)


def reads_well(*sentences: str) -> None:
    for sentence in sentences:
        for preference in (METRIC, US):
            shown = render(sentence, preference)
            assert not re.search(r"[{}|]|\bnan\b|\binf\b", shown), shown
            assert shown[0].isupper() or shown[0].isdigit(), shown
            assert shown.endswith("."), shown


def test_a_pot_of_5_litres() -> None:
    pot = Bath.filled(Vessel.round(0.24, 0.14), 4.8, Heater(1100, 0.09, 0.12), Cover.named("none"), Room())
    steaks = Load(Body(Shape.BRICK, 0.03, 0.09, 0.10), MEAT, 4.0, 2, 120.0)
    warm, dip = warm_up(pot, 55.0, 15.0), load_dip(pot, 55.0, steaks)
    fits = fit(pot, Bags(0.03, 0.09, 0.10, 2, 0.28, 1060.0), 55.0)
    assert fits.fits
    assert all(f.verdict is Verdict.MET for f in (*warm.findings, *fits.findings, *dip.findings))
    reads_well(*warm.statements, *fits.statements, *dip.statements)


def test_an_open_tote_for_36_hours() -> None:
    tote = Bath.filled(Vessel.rectangular(0.4, 0.3, 0.2), 18.0, Heater(1200, 0.08, 0.18), Cover.named("none"), Room())
    top = tote.level_m(57.0, 0.002) - 0.04
    bare = night(tote, 57.0, 36 * 3600.0, 0.002, top)
    assert bare.findings[-1].verdict is Verdict.NOT_MET
    plan = top_up_schedule(tote, 57.0, 36 * 3600.0, 55.0, 0.002, top, ((5 * 3600.0, 13 * 3600.0),))
    assert plan.possible
    assert plan.dip_K < 1.0
    filmed = night(tote.with_cover(Cover.named("film")), 57.0, 36 * 3600.0, 0.002, top)
    assert filmed.findings[-1].verdict is Verdict.MET
    off = outage(tote, 57.0, 4 * 3600.0, watch_C=(54.4,))
    reads_well(*bare.statements, *plan.statements, *filmed.statements, *off.statements)


def test_an_overloaded_party_tote() -> None:
    tote = Bath.filled(Vessel.rectangular(0.6, 0.4, 0.38), 60.0, Heater(1400, 0.1, 0.3), Cover.named("none"), Room())
    bags = Bags(0.05, 0.20, 0.24, 14, 2.0, 1060.0)
    load = Load(bags.body(), MEAT, 4.0, 14, 120.0, volume_m3=2.0 / 1060.0)
    fits, dip = fit(tote, bags, 64.0), load_dip(tote, 64.0, load)
    assert fits.findings[0].verdict is Verdict.NOT_MET  # above the heater's highest mark
    assert 5.0 < 64.0 - dip.lowest_C.nominal < 12.0
    assert largest_load(tote, 64.0, load, 2.0).count < 14
    # The food's own history through the dipping bath lags the one through an ideal bath.
    dipped = cook(load.body, MEAT, 4.0, [dip.stage]).history.first_core_above(60.0)
    ideal = cook(
        load.body, MEAT, 4.0, [Stage.constant("bath", dip.stage.duration_s, 64.0, 120.0)]
    ).history.first_core_above(60.0)
    assert dipped is not None
    assert ideal is not None
    assert dipped - ideal == pytest.approx(1800.0, abs=1500.0)
    block = crowding(bags, 4, MEAT, 4.0, 64.0, 120.0)
    reads_well(*fits.statements, *dip.statements, block.statement)


def test_the_overloaded_tote_gains_what_the_heater_gives_and_the_room_does_not_take() -> None:
    """Energy balance by hand, to the coldest moment and to the recovery: heat of the food (its own history through
    the dipping bath, mass times specific heat times rise of its mean) = what the water and the walls gave up, plus
    heater less losses over that time, summed from the losses of the bath as it stands. Ours close to 0.5 %."""
    tote = Bath.filled(Vessel.rectangular(0.6, 0.4, 0.38), 60.0, Heater(1400, 0.1, 0.3), Cover.named("none"), Room())
    load = Load(Body(Shape.BRICK, 0.05, 0.20, 0.20), MEAT, 4.0, 14, 120.0)
    dip = load_dip(tote, 64.0, load)
    history = cook(load.body, MEAT, 4.0, [dip.stage]).history
    food_J_K = 14 * 0.05 * 0.20 * 0.20 * MEAT.rho_kg_m3 * MEAT.cp_J_kgK
    # 4.18 kJ/(kg K): water near 60 C, steam tables (value from memory).
    water_J_K = tote.water_kg * 4180.0 + tote.vessel.heat_capacity_J_K(tote.level_m(64.0))
    time_s, water_C = dip.trace.time_s, dip.trace.water_C
    lost_W = np.array([losses(tote, float(T)).total_W.nominal for T in water_C])
    lost_J = np.concatenate([[0.0], np.cumsum((lost_W[1:] + lost_W[:-1]) / 2 * np.diff(time_s))])
    for until_s in (dip.lowest_at_s, dip.recovery_s.nominal):
        took_J = food_J_K * (float(np.interp(until_s, history.time_s, history.mean_C)) - 4.0)
        fell_K, lost = 64.0 - float(np.interp(until_s, time_s, water_C)), float(np.interp(until_s, time_s, lost_J))
        assert took_J == pytest.approx(water_J_K * fell_K + 1400.0 * until_s - lost, rel=0.01)
    assert dip.recovery_s.low < dip.recovery_s.nominal < dip.recovery_s.high


def test_what_to_do_with_the_overloaded_tote_is_said_and_works() -> None:
    tote = Bath.filled(Vessel.rectangular(0.6, 0.4, 0.38), 60.0, Heater(1400, 0.1, 0.3), Cover.named("none"), Room())
    load = Load(Body(Shape.BRICK, 0.05, 0.20, 0.20), MEAT, 4.0, 14, 120.0)
    bags = Bags(0.05, 0.20, 0.20, 14, 2.0, 1060.0)
    full = fit(tote, bags, 64.0)
    assert full.findings[0].verdict is Verdict.NOT_MET
    assert f"Fill to {mark(round(full.fill_to_m, 4), 'm')} at most before it goes in." in full.statements
    lower = tote.with_water(tote.water_kg * full.fill_to_m / tote.level_m(64.0))
    assert fit(lower, bags, 64.0).findings[0].verdict is Verdict.MET
    most = largest_load(tote, 64.0, load, 2.0, full.most_free)
    assert 0 < most.count < 14
    assert not most.by_room
    fewer = load_dip(tote, 64.0, replace(load, count=most.count))
    assert 64.0 - fewer.lowest_C.low <= 2.0
    assert all(f.verdict is Verdict.MET for f in fit(tote, replace(bags, count=most.count), 64.0).findings)
    reads_well(most.statement, *fewer.statements)
