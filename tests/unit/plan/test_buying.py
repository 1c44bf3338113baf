"""Buying: what is bought and cooked gives at least what was wanted, and money is plain arithmetic."""

from __future__ import annotations

from functools import cache
from math import inf

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.unit.plan.planning import asked, foods

from corebath.bath.cover import Cover
from corebath.bath.heater import Heater
from corebath.bath.vessel import Vessel, Wall
from corebath.food.catalogue import catalogue
from corebath.food.yields import Appetite, Loss, loss_share, portion_kg
from corebath.outcome.results import results_for
from corebath.plan.buying import Party, Price, buy, energy_kWh, hands_s, kept_of, serves, up_to
from corebath.plan.buying_compare import usual_body
from corebath.plan.buying_say import buying_basis, buying_statements, serves_statement
from corebath.plan.equipment import Equipment
from corebath.plan.make import make_plan
from corebath.plan.plan import Plan
from corebath.plan.request import BadRequest
from corebath.units import METRIC, render

PARTIES = st.builds(
    Party, usual=st.integers(0, 60), small=st.integers(0, 60), large=st.integers(1, 60)
)  # fmt: skip
PRICES = st.builds(Price, per_kg=st.floats(0.01, 500), currency=st.just("EUR"))
SOME = ("beef-ribeye", "beef-chuck", "chicken-leg", "pork-ribs", "salmon-farmed", "octopus", "egg", "carrot")


@cache
def usual_plan(key: str, mass_kg: float | None = None) -> Plan:
    """A food in its usual size and its middle result, with time enough."""
    food = catalogue()[key]
    offered = results_for(food.texture)
    result = offered[(len(offered) - 1) // 2]
    return make_plan(
        asked(key, usual_body(food), result=result, piece_mass_kg=mass_kg, hours=200.0), offer=False
    )  # fmt: skip


@given(food=st.sampled_from(SOME), party=PARTIES)
def test_buying_then_cooking_gives_the_wanted_portions(food: str, party: Party) -> None:
    """Through trim, bone, juice and pan, what is bought comes out as what was wanted, or a little more."""
    plan = usual_plan(food)
    buying = buy(plan, party)
    left_kg = buying.raw_kg.nominal
    for share in (buying.kept.trim, buying.kept.bone, buying.kept.cook, buying.kept.finish):
        left_kg *= 1 - share.nominal
    assert left_kg >= buying.wanted_kg * (1 - 1e-9)
    if buying.pieces is None:
        assert left_kg <= buying.wanted_kg + 0.011
    assert buying.raw_kg.high * buying.kept.of_bought.low >= buying.wanted_kg * (1 - 1e-9)
    assert buying.bag_kg.nominal <= buying.raw_kg.nominal * (1 - buying.kept.trim.nominal) + 1e-9


@given(food=st.sampled_from(SOME), party=PARTIES, piece_kg=st.floats(0.01, 3.0))
def test_whole_pieces_are_never_fewer_than_it_takes(food: str, party: Party, piece_kg: float) -> None:
    base = usual_plan(food)
    plan = usual_plan(food, 0.35) if food != "egg" else base
    buying = buy(plan, party)
    assert buying.pieces is not None
    assert buying.piece_kg is not None
    needed_kg = buying.wanted_kg / buying.kept.of_bag.nominal
    assert buying.pieces * buying.piece_kg >= needed_kg * (1 - 1e-6)
    assert (buying.pieces - 1) * buying.piece_kg < needed_kg
    assert serves(base, piece_kg).nominal * portion_kg(base.request.food, Appetite.USUAL) <= piece_kg


@given(party=PARTIES, price=PRICES)
def test_money_is_mass_times_price(party: Party, price: Price) -> None:
    buying = buy(usual_plan("beef-ribeye"), party, price)
    assert buying.cost is not None
    assert buying.cost_each is not None
    assert buying.cost.nominal == pytest.approx(buying.raw_kg.nominal * price.per_kg)
    assert buying.cost_each.nominal * party.count == pytest.approx(buying.cost.nominal)
    assert buying.cost.low <= buying.cost.nominal <= buying.cost.high


@given(small=st.integers(0, 50), more=st.integers(1, 50))
def test_more_eaters_never_need_less(small: int, more: int) -> None:
    plan = usual_plan("chicken-leg")
    few, many = buy(plan, Party(small=small, usual=1)), buy(plan, Party(small=small, usual=1 + more))
    assert many.raw_kg.nominal >= few.raw_kg.nominal


@given(mass_kg=st.floats(0.001, 1000))
def test_masses_are_rounded_up_by_less_than_a_step(mass_kg: float) -> None:
    assert mass_kg - 1e-7 <= up_to(mass_kg) < mass_kg + 0.010001


def test_juice_is_the_plan_s_own_where_it_is_known() -> None:
    plan = usual_plan("beef-ribeye")
    read = next(e for e in plan.outcome if e.name == "juiciness")
    assert read.value is not None
    assert kept_of(plan).cook.nominal == pytest.approx(read.value / 100)


def test_juice_beyond_the_model_is_the_table_s_and_never_below_the_bound() -> None:
    plan = make_plan(
        asked("beef-chuck", usual_body(catalogue()["beef-chuck"]), set_point_C=74.0, bath_s=30 * 3600, hours=200.0),
        offer=False,
    )  # fmt: skip
    read = next(e for e in plan.outcome if e.name == "juiciness")
    assert read.value is None
    assert read.low is not None
    share, table = kept_of(plan).cook, loss_share(plan.request.food, Loss.COOK)
    assert share.nominal == pytest.approx(max(table.nominal, read.low / 100))
    assert share.low >= read.low / 100


def test_a_food_that_is_not_seared_loses_nothing_in_the_pan() -> None:
    plain = make_plan(asked(seared=False), offer=False)
    assert kept_of(plain).finish.nominal == 0
    assert hands_s(plain) < hands_s(make_plan(asked(), offer=False))


def test_energy_is_known_with_a_bath_and_priced_with_its_price() -> None:
    gear = Equipment(
        Vessel(0.24, None, 0.2, Wall.named("steel")), Heater(1100.0, 0.09, 0.16), Cover.named("none"), price_per_kWh=0.4
    )
    plan = make_plan(asked(equipment=gear), offer=False)
    used = energy_kWh(plan)
    assert used is not None
    assert plan.water is not None
    assert plan.water.cost is not None
    assert plan.water.cost.nominal == pytest.approx(0.4 * used.nominal)
    assert energy_kWh(usual_plan("beef-ribeye")) is None
    said = " ".join(buying_statements(buy(plan, Party(usual=2), Price(30, "EUR")), plan))
    assert "energy adds about" in said
    weak = Equipment(Vessel(0.6, 0.5, 0.4, Wall.named("steel")), Heater(100.0, 0.05, 0.3), Cover.named("none"))
    never = energy_kWh(make_plan(asked(equipment=weak), offer=False))
    assert never is None or never.high == inf


@pytest.mark.parametrize("key", foods())
def test_every_food_can_be_bought_and_told(key: str) -> None:
    plan = usual_plan(key)
    buying = buy(plan, Party(usual=3, large=1), Price(20, "EUR"))
    told = [render(s, METRIC) for s in (*buying_statements(buying, plan), *buying_basis(buying))]
    assert all(s.endswith(".") and "{" not in s and "nan" not in s for s in told)
    assert "safe" not in " ".join(told).lower()
    assert serves_statement(plan, 0.5).endswith(".")


@pytest.mark.parametrize("eaters", [{}, {"usual": 501}, {"usual": 3, "small": -1}])
def test_parties_nobody_has_are_refused(eaters: dict[str, int]) -> None:
    with pytest.raises(BadRequest, match="number of eaters") as caught:
        Party(**eaters)
    assert caught.value.field == "eaters"


@pytest.mark.parametrize("per_kg", [0.0, -1.0, 1e9, inf, float("nan")])
def test_prices_nobody_asks_are_refused(per_kg: float) -> None:
    with pytest.raises(BadRequest, match="price must lie"):
        Price(per_kg, "EUR")


@pytest.mark.parametrize("mass_kg", [0.0, -1.0, inf, float("nan")])
def test_no_food_serves_nobody(mass_kg: float) -> None:
    with pytest.raises(ValueError, match="more than 0 kg"):
        serves(usual_plan("carrot"), mass_kg)
