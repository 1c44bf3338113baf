"""Eaters, prices and cuts as typed."""

from __future__ import annotations

from datetime import datetime
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from corebath.ask.buying import BuyQuestion, party_of, understand_buy
from corebath.ask.buying_words import parse_offers, parse_party, parse_price
from corebath.ask.question import Question
from corebath.ask.understand import Misunderstood, understand
from corebath.food.yields import Appetite
from corebath.log.gear import Kitchen
from corebath.plan.buying import Party, Price
from corebath.units import METRIC, US

PARIS = ZoneInfo("Europe/Paris")
NOW = datetime(2027, 5, 3, 8, 0, tzinfo=PARIS)
KITCHEN = Kitchen(zone=PARIS)
KG_PER_LB = 0.45359237


@pytest.mark.parametrize(
    ("text", "party"),
    [
        ("6", Party(usual=6)),
        (" 4, 2 small ", Party(usual=4, small=2)),
        ("3 large and 1", Party(large=3, usual=1)),
        ("2 small; 2 Small + 1 usual", Party(small=4, usual=1)),
        ("2, 3", Party(usual=5)),
    ],
)
def test_eaters_as_cooks_say_them(text: str, party: Party) -> None:
    assert parse_party(text) == party


def test_an_appetite_holds_for_those_told_without_one() -> None:
    assert parse_party("4, 2 small", Appetite.LARGE) == Party(large=4, small=2)


@pytest.mark.parametrize("text", ["", "lots", "-1", "0", "1e3", "501", "99999", "2.5", "4 hungry", ",", "²"])
def test_eaters_nobody_counts(text: str) -> None:
    with pytest.raises(ValueError, match="eat"):
        parse_party(text)


@pytest.mark.parametrize(
    ("text", "per_kg", "currency"),
    [
        ("32/kg", 32.0, "EUR"),
        ("32", 32.0, "EUR"),
        ("9,50 EUR per kg", 9.5, "EUR"),
        ("$14.99/lb", 14.99 / KG_PER_LB, "$"),
        ("£6 a pound", 6 / KG_PER_LB, "GBP"),
        ("3.20/100 g", 32.0, "EUR"),
        ("15 CHF / kilo", 15.0, "CHF"),
    ],
)
def test_prices_by_weight(text: str, per_kg: float, currency: str) -> None:
    price = parse_price(text, METRIC, "EUR")
    assert price.per_kg == pytest.approx(per_kg)
    assert price.currency == currency


def test_a_bare_price_is_for_the_weight_the_cook_thinks_in() -> None:
    assert parse_price("10", US, "USD").per_kg == pytest.approx(10 / KG_PER_LB)


@pytest.mark.parametrize("text", ["", "x", "-3/kg", "0/kg", "nan/kg", "3 each", "3/0 kg", "/kg", "1e9/kg", "3/kg/kg"])
def test_prices_nobody_asks(text: str) -> None:
    with pytest.raises(ValueError, match=r"price"):
        parse_price(text, METRIC, "EUR")


@pytest.mark.parametrize(
    ("text", "offers"),
    [
        ("chuck 9.50, ribeye 32 per kg", [("chuck", 9.5), ("ribeye", 32.0)]),
        ("chuck 9,50, ribeye 32 per kg", [("chuck", 9.5), ("ribeye", 32.0)]),
        ("salmon, farmed 20/kg; cod", [("salmon, farmed", 20.0), ("cod", None)]),
        ("chuck EUR 12 a kg and brisket 3/100 g", [("chuck", 12.0), ("brisket", 30.0)]),
        ("chuck; brisket", [("chuck", None), ("brisket", None)]),
    ],
)
def test_cuts_with_their_prices(text: str, offers: list[tuple[str, float | None]]) -> None:
    found = [(name, price and price.per_kg) for name, price in parse_offers(text, METRIC, "EUR")]
    assert [name for name, _ in found] == [name for name, _ in offers]
    assert [price for _, price in found] == pytest.approx([price for _, price in offers])


@given(st.text(max_size=120))
def test_any_text_is_read_or_refused_in_a_short_sentence(text: str) -> None:
    for field in ("eaters", "appetite", "paid", "against"):
        question = BuyQuestion(**({"food": "ribeye", "eaters": "6"} | {field: text.strip()}))
        try:
            understand_buy(question, NOW, KITCHEN)
        except Misunderstood as error:
            said = error.sentences[field]
        else:
            continue
        assert 0 < len(said) < 500


@given(st.integers(0, 90), st.integers(0, 90), st.integers(1, 90))
def test_what_is_spelt_is_read(usual: int, small: int, large: int) -> None:
    assert parse_party(f"{usual}, {small} small and {large} large") == Party(usual=usual, small=small, large=large)


@given(st.floats(0.01, 999).map(lambda x: round(x, 2)))
def test_a_price_is_the_same_by_any_weight(amount: float) -> None:
    assert parse_price(f"{amount:.2f}/kg", METRIC, "EUR").per_kg == pytest.approx(amount)
    by_100_g = parse_price(f"{amount:.2f}/100 g", METRIC, "EUR")
    assert by_100_g.per_kg == pytest.approx(10 * amount)


def test_what_is_not_said_is_taken_as_usual_and_told() -> None:
    asked = understand_buy(BuyQuestion(food="ribeye", eaters="6"), NOW, KITCHEN)
    assert asked.party == Party(usual=6)
    assert asked.request.result is not None
    assert asked.request.result.key == "medium-rare"
    assert asked.request.body.thickness_m == pytest.approx(0.03)
    assert len(asked.assumed) == 2
    assert not asked.table_told
    told = understand_buy(
        BuyQuestion(food="ribeye", eaters="6", thick="20 mm", want="rare", eat="19:30"), NOW, KITCHEN
    )  # fmt: skip
    assert told.assumed == ()
    assert told.table_told


@pytest.mark.parametrize(
    ("answers", "field", "said"),
    [
        ({"eaters": ""}, "eaters", "Say how many"),
        ({"eaters": "none"}, "eaters", "type a number"),
        ({"appetite": "huge"}, "appetite", "accepted are small"),
        ({"paid": "cheap"}, "paid", "price of food by weight"),
        ({"against": "unicorn 3/kg"}, "against", "unicorn"),
        ({"against": "sirloin 3/kg"}, "against", "different foods"),
        ({"against": "ribeye 3/kg"}, "against", "the food asked about"),
        ({"against": "chuck 3/kg; chuck 4/kg"}, "against", "twice"),
        ({"against": "12/kg"}, "against", "names no food"),
        ({"against": "all", "want": "57 C"}, "against", "name one in words"),
        ({"food": "unicorn"}, "food", "unicorn"),
        ({"thick": "soft"}, "thick", "length"),
        ({"against": "chuck " * 3000}, "against", "too long"),
    ],
)
def test_unclear_answers_get_one_sentence(answers: dict[str, str], field: str, said: str) -> None:
    question = BuyQuestion(**({"food": "ribeye", "eaters": "6"} | answers))
    with pytest.raises(Misunderstood) as caught:
        understand_buy(question, NOW, KITCHEN)
    assert set(caught.value.sentences) == {field}
    assert said in caught.value.sentences[field]


def test_a_plan_s_question_carries_eaters_and_refuses_unclear_ones() -> None:
    question = Question(food="ribeye", thick="30 mm", want="rare", eat="19:30", eaters="4, 2 small", paid="32/kg")
    understand(question, NOW, KITCHEN)
    assert party_of(question, KITCHEN) == (Party(usual=4, small=2), Price(32.0, "EUR"))
    assert party_of(question.changed(eaters="", paid=""), KITCHEN) == (None, None)
    with pytest.raises(Misunderstood) as caught:
        understand(question.changed(eaters="all", paid="free"), NOW, KITCHEN)
    assert set(caught.value.sentences) == {"eaters", "paid"}
