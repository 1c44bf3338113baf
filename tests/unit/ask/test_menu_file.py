"""Menus as files and addresses: what they mean, and one sentence for each answer that is not clear."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, time
from urllib.parse import parse_qsl
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from corebath.ask.menu import course_times, understand_menu
from corebath.ask.menu_file import example_file, read_menu, write_menu
from corebath.ask.menu_question import BATH, COURSE, DISH, KITCHEN, TOP, MenuQuestion, Row
from corebath.ask.menu_restate import restated_menu, served_question
from corebath.ask.understand import Misunderstood, understand
from corebath.log.demo import demo_kitchen
from corebath.log.gear import Kitchen
from corebath.plan.make import make_plan
from corebath.plan.menu.answer import Served
from corebath.plan.menu.menu import Ahead, Menu
from corebath.plan.request import State
from corebath.safety.authority import Authority

PARIS = ZoneInfo("Europe/Paris")
NOW = datetime(2027, 3, 12, 11, 0, tzinfo=UTC)
BARE = Kitchen(zone=PARIS)
HOME = demo_kitchen(PARIS)
TWO = MenuQuestion(
    courses=(Row(eat="20:00"),),
    dishes=(Row(food="ribeye", thick="35 mm", want="medium rare"), Row(food="carrots", thick="25 mm", want="85 C")),
)


_IN_ONE = tuple(row.changed(course="course 1") for row in TWO.dishes)


def menu(question: MenuQuestion = TWO, kitchen: Kitchen = HOME) -> Menu:
    return understand_menu(question, NOW, kitchen)


def wrong(question: MenuQuestion, kitchen: Kitchen = HOME) -> dict[str, str]:
    with pytest.raises(Misunderstood) as caught:
        understand_menu(question, NOW, kitchen)
    return caught.value.sentences


def wrong_file(text: str) -> dict[str, str]:
    with pytest.raises(Misunderstood) as caught:
        read_menu(text)
    return caught.value.sentences


def dish(**answers: str) -> MenuQuestion:
    return replace(TWO, dishes=(TWO.dishes[0].changed(**answers), TWO.dishes[1]))


def test_the_example_is_a_menu() -> None:
    question = read_menu(example_file())
    made = menu(question, BARE)
    assert [course.at for course in made.courses] == [
        datetime(2027, 3, 13, 19, 0, tzinfo=PARIS),
        datetime(2027, 3, 13, 20, 0, tzinfo=PARIS),
    ]
    assert len(made.dishes) >= 2
    assert {d.course for d in made.dishes} == {"first", "main"}
    assert all(d.request.equipment is None for d in made.dishes)
    assert all(d.request.authority is Authority.UK for d in made.dishes)
    assert made.baths[0].equipment.heater.power_W == 1100.0
    assert made.asleep == (time(23, 0), time(7, 0))


def test_the_example_tells_of_every_key() -> None:
    text = example_file()
    for key in (*TOP, *KITCHEN, *COURSE, "ahead", "food", "thick", "want", "mass", "pieces", *BATH[:4]):
        assert f"{key} =" in text or f"   {key} " in text, key


def test_every_answer_of_a_dish_reaches_its_request() -> None:
    made = menu(
        dish(
            name="roast", food="pork loin", shape="bar", thick="60 mm", wide="90 mm", pieces="3", mass="900 g",
            state="frozen", start="-20 C", handling="rolled", want="60 C", bath="9 h", salt="1.2", sear="no",
            ahead="must", guests="risk", bag="garlic",
        )
    ).dishes[0]  # fmt: skip
    request = made.request
    assert made.name == "roast"
    assert made.ahead is Ahead.MUST
    assert (request.pieces, request.piece_mass_kg, request.state, request.start_C) == (3, 0.9, State.FROZEN, -20.0)
    assert (request.set_point_C, request.bath_s, request.salt_percent) == (60.0, 9 * 3600, 1.2)
    assert request.guests_at_risk
    assert request.garlic_or_oil
    assert not request.seared


def test_what_holds_for_the_whole_holds_for_each_dish() -> None:
    made = menu(replace(TWO, guests="risk", rules="au", zone="UTC", units="us"))
    assert all(d.request.guests_at_risk for d in made.dishes)
    assert all(d.request.authority is Authority.AU for d in made.dishes)
    assert all(d.request.heater_in_F for d in made.dishes)
    assert made.zone.key == "UTC"
    assert made.courses[0].at == datetime(2027, 3, 12, 20, 0, tzinfo=UTC)


def test_without_a_bath_the_usual_one_is_taken() -> None:
    made = menu()
    assert [bath.name for bath in made.baths] == ["soup pot"]
    assert made.baths[0].equipment.heater == HOME.heaters[0].heater
    assert "b1.vessel" in wrong(TWO, BARE)


def test_a_thing_the_kitchen_has_once_is_in_one_bath_only() -> None:
    rows = (Row(vessel="soup pot"), Row(vessel="blue tote"))
    said = wrong(replace(TWO, baths=rows))
    assert set(said) == {"b2.heater"}
    assert "stick heater" in said["b2.heater"]
    both = menu(replace(TWO, baths=(rows[0], rows[1].changed(heater="800 W, 6 cm to 18 cm"))))
    assert [bath.name for bath in both.baths] == ["soup pot", "blue tote"]


@pytest.mark.parametrize(
    ("times", "expected"),
    [
        (("Sat 19:00", "20:00"), ("13T19:00", "13T20:00")),
        (("20:00", "Sun 21:00"), ("14T20:00", "14T21:00")),
        (("23:30", "00:45"), ("12T23:30", "13T00:45")),
        (("20:00", "19:00"), ("12T20:00", "12T19:00")),
        (("Sat 19:00", "Sun 13:00"), ("13T19:00", "14T13:00")),
    ],
)
def test_a_time_without_a_day_is_near_the_course_that_has_one(
    times: tuple[str, str], expected: tuple[str, str]
) -> None:
    courses = (Row(name="one", eat=times[0]), Row(name="two", eat=times[1]))
    question = replace(TWO, courses=courses, dishes=tuple(d.changed(course="ONE") for d in TWO.dishes))
    made = menu(question)
    assert [f"{c.at:%dT%H:%M}" for c in made.courses] == list(expected)
    assert [row.eat for row in course_times(question, NOW, HOME).courses] == [f"2027-03-{e}" for e in expected]


@pytest.mark.parametrize(
    ("question", "field"),
    [
        (dish(food="sirloin"), "d1.food"),
        (dish(food="unicorn"), "d1.food"),
        (dish(thick=""), "d1.thick"),
        (dish(thick="3 m"), "d1.thick"),
        (dish(want="sideways"), "d1.want"),
        (dish(ahead="perhaps"), "d1.ahead"),
        (dish(course="pudding"), "d1.course"),
        (dish(name="x" * 41), "d1.name"),
        (dish(name="{57|C}"), "d1.name"),
        (dish(name="Carrots"), "d2.name"),
        (replace(TWO, courses=()), "c1.eat"),
        (replace(TWO, courses=(Row(),)), "c1.eat"),
        (replace(TWO, courses=(Row(eat="2020-01-01 19:00"),)), "c1.eat"),
        (replace(TWO, courses=(Row(eat="2037-01-01 19:00"),)), "c1.eat"),
        (replace(TWO, courses=(Row(eat="20:00"),) * 7, dishes=_IN_ONE), "c1.eat"),
        (replace(TWO, dishes=TWO.dishes[:1]), "d1.name"),
        (replace(TWO, dishes=TWO.dishes * 7), "d14.name"),
        (replace(TWO, dishes=()), "d1.food"),
        (replace(TWO, pans="0"), "pans"),
        (replace(TWO, hands="two"), "hands"),
        (replace(TWO, hands="9"), "hands"),
        (replace(TWO, asleep="sometimes"), "asleep"),
        (replace(TWO, asleep="25:00-07:00"), "asleep"),
        (replace(TWO, asleep="07:00-07:00"), "asleep"),
        (replace(TWO, zone="Mars"), "zone"),
        (replace(TWO, rules="MARS"), "rules"),
        (replace(TWO, units="cubits"), "units"),
        (replace(TWO, guests="few"), "guests"),
        (replace(TWO, baths=(Row(vessel="bathtub"),)), "b1.vessel"),
        (replace(TWO, baths=(Row(litres="900 L"),)), "b1.litres"),
        (replace(TWO, baths=(Row(cover="hat"),)), "b1.cover"),
        (replace(TWO, baths=(Row(vessel="24 cm x 14 cm", heater="1 kW, 9 cm to 12 cm"),) * 5), "b5.name"),
    ],
)
def test_an_unclear_answer_gets_one_sentence(question: MenuQuestion, field: str) -> None:
    if field == "d2.name":  # two dishes of one name
        question = replace(question, dishes=(question.dishes[0], question.dishes[1].changed(name="carrots")))
    said = wrong(question)
    assert field in said
    assert len(said) == (2 if field == "d2.name" else 1), said
    assert said[field][0].isupper() or said[field][0] in "'\""
    assert said[field][-1] in ".?"


def test_a_dish_is_named_in_its_sentence() -> None:
    assert wrong(dish(name="big steak", thick="3 m"))["d1.thick"].startswith("Big steak: ")
    assert wrong(dish(thick="3 m"))["d1.thick"].startswith("Ribeye: ")


def test_every_mistake_is_told_at_once() -> None:
    question = dish(thick="3 m", want="sideways")
    said = wrong(replace(question, pans="many", courses=(Row(eat="never"),), baths=(Row(cover="hat"),)))
    assert set(said) == {"d1.thick", "d1.want", "pans", "c1.eat", "b1.cover"}


def test_a_broken_file_names_its_line() -> None:
    assert wrong_file('zone = "UTC"\n\n[[dish]]\nfood = ribeye\n')["file"].startswith("Line 4 ")
    assert wrong_file("[[dish]]\nfood = 'ribeye'\nfood = 'carrots'\n")["file"].startswith("Line 3 ")
    assert wrong_file("a = ")["file"].startswith("Line 1 ")


@pytest.mark.parametrize(
    ("text", "field", "words"),
    [
        ("thik = '3'", "thik", "accepted are"),
        ("[[dish]]\nthik = '3 mm'", "d1.thik", "did you mean thick?"),
        ("[[dish]]\nfood = 'x'\n[[dish]]\nname = 'carrots'\nvessel = 'pot'", "d2.vessel", "carrots"),
        ("[kitchen]\noven = 1", "kitchen.oven", "accepted are"),
        ("[kitchen]\npans = true", "kitchen.pans", "one answer"),
        ("kitchen = 3", "kitchen", "table"),
        ("dish = 'ribeye'", "dish", "[[dish]]"),
        ("[kitchen]\nbaths = [1]", "baths", "[[kitchen.baths]]"),
        ("[[course]]\neat = ['19:00']", "c1.eat", "one answer"),
        ("a = 1\n" * 1 + "#" * 70_000, "file", "at most"),
    ],
)
def test_what_has_no_place_in_a_file_is_told(text: str, field: str, words: str) -> None:
    assert words in wrong_file(text)[field]


def test_figures_dates_and_times_may_stand_unquoted() -> None:
    question = read_menu(
        "[[course]]\neat = 2027-03-13T20:00:00\n[[course]]\neat = 19:30:00\n[[dish]]\npieces = 2\nsalt = 1.2\n"
        "[[course]]\neat = 2027-03-13T20:00:00+01:00\n"
    )
    assert [row.eat for row in question.courses] == ["2027-03-13T20:00", "19:30", "2027-03-13T20:00+01:00"]
    assert (question.dishes[0].pieces, question.dishes[0].salt) == ("2", "1.2")


_TYPED = st.text(st.characters(codec="utf-8"), max_size=12).map(str.strip)


def _rows(names: tuple[str, ...]) -> st.SearchStrategy[tuple[Row, ...]]:
    row = st.dictionaries(st.sampled_from(names), _TYPED, max_size=6).map(lambda answers: Row(**answers))
    return st.lists(row, max_size=4).map(tuple)


QUESTIONS = st.builds(
    MenuQuestion, zone=_TYPED, rules=_TYPED, units=_TYPED, guests=_TYPED, pans=_TYPED, hands=_TYPED, asleep=_TYPED,
    courses=_rows(COURSE), dishes=_rows(DISH), baths=_rows(BATH),
)  # fmt: skip


@given(QUESTIONS)
@settings(max_examples=60)
def test_address_and_file_hold_the_whole_question(question: MenuQuestion) -> None:
    again = parse_qsl(question.query(), keep_blank_values=True)
    assert MenuQuestion.of(again) == question
    assert read_menu(write_menu(question)) == question


@given(QUESTIONS)
@settings(max_examples=40)
def test_whatever_is_typed_gets_sentences(question: MenuQuestion) -> None:
    said: dict[str, str] = {}
    try:
        understand_menu(question, NOW, BARE)
    except Misunderstood as error:
        said = error.sentences
    assert said  # such rows are never a whole menu
    assert all(sentence[-1] in ".?" for sentence in said.values())


@given(st.text(max_size=80))
@settings(max_examples=60)
def test_any_file_is_a_question_or_gets_sentences(text: str) -> None:
    said: dict[str, str] = {"": "."}
    try:
        read_menu(text)
    except Misunderstood as error:
        said = error.sentences
    assert said
    assert all(sentence[-1] in ".?" for sentence in said.values())


def test_rows_are_added_and_taken_away() -> None:
    more = TWO.more("dish").more("bath").more("spoon")
    assert (len(more.dishes), len(more.courses), len(more.baths)) == (3, 1, 1)
    assert MenuQuestion.of(parse_qsl(more.query(), keep_blank_values=True)) == more
    assert more.without("d3").without("b1").without("d9").without("x1").without("d").without("d²") == TWO
    assert TWO.without("d1").dishes == TWO.dishes[1:]


def test_dishes_stay_with_their_course_when_another_one_comes() -> None:
    more = TWO.more("course")
    assert [row.course for row in more.dishes] == ["course 1", "course 1"]
    named = replace(TWO, courses=(Row(name="main", eat="20:00"),)).more("course")
    assert [row.course for row in named.dishes] == ["main", "main"]
    assert "d1.course" not in wrong(named)
    assert [row.course for row in named.without("c1").dishes] == ["", ""]
    assert more.without("c2").dishes == more.dishes


def test_a_neighbouring_menu_is_asked_again() -> None:
    question = replace(TWO, dishes=(TWO.dishes[0].changed(mass="300 g", ahead="never"), TWO.dishes[1]))
    asked = menu(question)
    second = replace(asked.baths[0], name="second soup pot")
    wanted = replace(
        asked,
        courses=(replace(asked.courses[0], at=datetime(2027, 3, 12, 21, 15, tzinfo=PARIS)),),
        baths=(*asked.baths, second),
        dishes=(replace(asked.dishes[0], ahead=Ahead.MUST), asked.dishes[1]),
        asleep=None,
        hands=2,
    )
    wanted = replace(
        wanted,
        dishes=tuple(
            replace(d, course=d.course, request=replace(d.request, table_time=wanted.courses[0].at))
            for d in wanted.dishes
        ),
    )
    again = menu(restated_menu(question, wanted, asked))
    assert again == wanted


def test_a_served_dish_has_a_plan_of_its_own() -> None:
    question = replace(TWO, baths=(Row(vessel="blue tote", cover="none"),))
    asked = menu(question)
    dish = asked.dishes[0]
    request = replace(dish.request, result=None, set_point_C=55.5, bath_s=9000.0, equipment=asked.baths[0].equipment)
    plan = make_plan(request, offer=False)
    served = Served(dish, plan, asked.baths[0].name, None, plan.pull, plan.serve, ())
    again = make_plan(understand(served_question(question, asked, served), NOW, HOME), offer=False)
    assert again.request == plan.request
    assert (again.drop_in, again.pull) == (plan.drop_in, plan.pull)


@pytest.mark.parametrize("typed", ["in 5 hours", "in 5 h", "dans 5 h"])
def test_a_course_may_be_so_many_hours_from_now(typed: str) -> None:
    question = replace(TWO, courses=(Row(name="first", eat=typed), Row(name="main", eat="18:00")))
    spelt = [row.eat for row in course_times(question, NOW, HOME).courses]
    assert spelt == ["2027-03-12T17:00", "2027-03-12T18:00"]
    # Beside a course of another day it still counts from now.
    turned = replace(question, courses=(Row(name="main", eat="Sat 18:00"), Row(name="first", eat=typed)))
    assert course_times(turned, NOW, HOME).courses[1].eat == spelt[0]
