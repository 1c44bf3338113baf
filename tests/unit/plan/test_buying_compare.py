"""Other cuts for the same result, and the shopping list of several dishes."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest
from tests.unit.plan.planning import NOW, PARIS, asked

from corebath.food.catalogue import catalogue
from corebath.food.naming import find
from corebath.outcome.results import find_result, results_for
from corebath.plan.buying import Party, Price, buy
from corebath.plan.buying_answer import BuyAnswer, BuyRequest, answer_buy
from corebath.plan.buying_compare import Offer, foods_like, result_like, usual_body
from corebath.plan.buying_list import ShoppingItem, shopping_list
from corebath.plan.buying_menu import items_of_menu, items_of_served
from corebath.plan.equipment import IceStart
from corebath.plan.make import make_plan
from corebath.plan.menu.answer import MenuPlan, Proof, Served
from corebath.plan.menu.menu import Ahead, Course, Dish, Menu

MEDIUM_RARE = find_result("tender-red", "medium rare")


def answer(*offers: Offer, every: bool = False, hours: float = 300.0) -> BuyAnswer:
    request = asked(result=MEDIUM_RARE, hours=hours)
    return answer_buy(BuyRequest(request, Party(usual=6), Price(32, "EUR"), offers, every))


def test_the_cheap_tough_cut_comes_first_and_takes_its_days() -> None:
    """Chuck at 12 a kilogram against ribeye at 32: it loses more, and is still the cheaper plate."""
    chuck, ribeye = answer(Offer(find("beef chuck"), Price(12, "EUR"))).cuts
    assert (chuck.food.key, ribeye.food.key) == ("beef-chuck", "beef-ribeye")
    assert chuck.stands_in
    assert not ribeye.stands_in
    assert chuck.hours >= 24 > 4 > ribeye.hours
    assert chuck.buying.raw_kg.nominal > ribeye.buying.raw_kg.nominal
    assert chuck.cost_each is not None
    assert ribeye.cost_each is not None
    assert chuck.cost_each.nominal < ribeye.cost_each.nominal
    assert chuck.cost_each.nominal == pytest.approx(12 * chuck.buying.raw_kg.nominal / 6)
    assert chuck.estimate("tenderness") is not None
    assert chuck.in_time
    assert chuck.hands_s > ribeye.hands_s


def test_a_dear_enough_tough_cut_comes_second() -> None:
    first, _ = answer(Offer(find("beef chuck"), Price(40, "EUR"))).cuts
    assert first.food.key == "beef-ribeye"


def test_a_cut_too_slow_for_the_table_is_told() -> None:
    cuts = {cut.food.key: cut for cut in answer(Offer(find("beef chuck")), hours=10.0).cuts}
    assert not cuts["beef-chuck"].in_time
    assert cuts["beef-chuck"].plan.works
    assert cuts["beef-ribeye"].in_time


def test_cuts_without_a_price_stand_behind_by_their_hours() -> None:
    cuts = answer(Offer(find("beef brisket")), Offer(find("beef striploin"))).cuts
    assert [cut.food.key for cut in cuts] == ["beef-ribeye", "beef-striploin", "beef-brisket"]


def test_every_cut_of_the_kind_is_found_and_no_mince() -> None:
    whole = answer(every=True)
    keys = {cut.food.key for cut in whole.cuts}
    assert {"beef-ribeye", "beef-chuck", "beef-cheek", "beef-rump", "beef-tenderloin"} <= keys
    assert "beef-minced" not in keys
    assert all(catalogue()[key].kind == "beef" for key in keys)
    assert whole.left_out == ()


def test_a_food_that_cannot_reach_the_result_is_left_out() -> None:
    whole = answer(Offer(find("carrot")), Offer(find("beef chuck")))
    assert whole.left_out == ("carrot",)
    assert len(whole.cuts) == 2


def test_results_by_name_come_before_their_like() -> None:
    assert result_like(find("beef rump"), MEDIUM_RARE) == (find_result("medium-tough-red", "medium rare"), False)
    like = result_like(find("beef chuck"), MEDIUM_RARE)
    assert like is not None
    assert like[0].key == "steak-like"
    assert like[1]
    assert result_like(find("cod"), MEDIUM_RARE) is None


@pytest.mark.parametrize("key", catalogue())
def test_every_food_has_a_usual_size_and_likes_its_own_kind(key: str) -> None:
    food = catalogue()[key]
    assert usual_body(food).shape.value == food.usual_shape
    for result in results_for(food.texture):
        likes = foods_like(food, result)
        assert food not in likes
        assert all(other.kind == food.kind for other in likes)


def test_a_shopping_list_names_everything_once() -> None:
    steak = make_plan(asked(piece_mass_kg=0.3, pieces=2), offer=False)
    other = make_plan(asked("carrot", usual_body(find("carrot")), set_point_C=85.0), offer=False)
    party = Party(usual=4)
    items = [
        ShoppingItem("first", steak, buy(steak, party, Price(30, "EUR"))),
        ShoppingItem("second", steak, buy(steak, Party(small=2), Price(30, "EUR")), chilled=True),
        ShoppingItem("roots", other, buy(other, party)),
    ]
    lines = {line.key + line.what: line for line in shopping_list(items)}
    meat = lines["foodbeef ribeye steak"]
    assert meat.dishes == ("first", "second")
    assert meat.mass_kg is not None
    assert meat.mass_kg.nominal == pytest.approx(sum(i.buying.raw_kg.nominal for i in items[:2]))
    assert meat.cost == pytest.approx(30 * meat.mass_kg.nominal)
    assert meat.count == sum(i.buying.pieces or 0 for i in items[:2])
    assert lines["foodcarrot"].cost is None
    salt = lines["saltsalt"].mass_kg
    assert salt is not None
    assert salt.nominal == pytest.approx(sum(share * i.buying.bag_kg.nominal for share, i in
                                             zip((0.01, 0.01, 0.008), items, strict=True)))  # fmt: skip
    assert lines["iceice"].dishes == ("second",)
    assert lines["bagsbags"].count == (meat.count or 0) + 1
    assert len(lines) == len(shopping_list(items))


def test_ice_of_a_wait_is_on_the_list_and_an_egg_needs_no_bag() -> None:
    egg = make_plan(asked("egg", usual_body(find("egg")), set_point_C=64.0), offer=False)
    keys = [line.key for line in shopping_list([ShoppingItem("eggs", egg, buy(egg, Party(usual=3)))])]
    assert keys == ["food"]
    steak = make_plan(asked(), offer=False)
    waiting = replace(steak, request=steak.request)
    object.__setattr__(waiting.request, "ice", IceStart(7200.0, 3.0))
    lines = {line.key: line for line in shopping_list([ShoppingItem("steak", waiting, buy(steak, Party(usual=1)))])}
    mass = lines["ice"].mass_kg
    assert mass is not None
    assert mass.nominal == 3.0


def test_nothing_to_shop_for_is_refused() -> None:
    with pytest.raises(ValueError, match="at least one dish"):
        shopping_list([])


def test_a_menu_is_shopped_for_dish_by_dish() -> None:
    table = NOW + timedelta(days=4)
    dishes = (
        Dish("steak", "main", asked(result=MEDIUM_RARE, table_time=table), Ahead.MUST),
        Dish("roots", "main", asked("carrot", usual_body(find("carrot")), set_point_C=85.0, table_time=table)),
    )
    menu = Menu((Course("main", table),), dishes, (), NOW, PARIS)
    items = items_of_menu(menu, Party(usual=4), {"beef-ribeye": Price(32, "EUR")})
    assert [(i.name, i.chilled, i.buying.price is not None) for i in items] == [
        ("steak", True, True),
        ("roots", False, False),
    ]
    served = Served(dishes[0], items[0].plan, "pot", None, table, table, ())
    whole = MenuPlan(menu, Proof.BEST, 0.0, (served,), (), (), (), (), (), ())
    assert [i.buying for i in items_of_served(whole, Party(usual=4), {"beef-ribeye": Price(32, "EUR")})] == [
        items[0].buying
    ]
