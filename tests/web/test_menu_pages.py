"""The Menu screen without a browser: the address holds the question, rows come and go, files, cooks, bad input."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator
from dataclasses import replace
from html import unescape
from urllib.parse import parse_qsl, urlencode, urlsplit

import pytest
import vobject
from fastapi.testclient import TestClient
from jsonschema import Draft202012Validator
from tests.web.setting import KITCHEN, NOW

from corebath.ask.menu_file import read_menu
from corebath.ask.menu_question import MenuQuestion, Row
from corebath.log.demo import demo_kitchen
from corebath.log.store import Store
from corebath.show.menu_json import menu_schema
from corebath.web.app import create_app
from corebath.web.site import Site

DINNER = MenuQuestion(
    zone="Europe/Paris",
    courses=(Row(eat="2027-03-13T20:00"),),
    dishes=(
        Row(name="steaks", food="beef ribeye steak", pieces="2", thick="35 mm", mass="300 g", want="medium rare"),
        Row(name="carrots", food="carrot", pieces="8", thick="25 mm", mass="80 g", want="85 C"),
    ),
)


@pytest.fixture(scope="module")
def store(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Store]:
    kept = Store(tmp_path_factory.mktemp("menu") / "kitchen.db")
    kept.save_kitchen(demo_kitchen(KITCHEN.zone), 0)
    yield kept
    kept.close()


@pytest.fixture(scope="module")
def client(store: Store) -> TestClient:
    return TestClient(create_app(Site(store, KITCHEN, clock=lambda: NOW)))


def address(question: MenuQuestion = DINNER, **more: str) -> str:
    return f"/menu?{urlencode([*question.pairs(), *more.items()])}"


def dish(**answers: str) -> MenuQuestion:
    return replace(DINNER, dishes=(DINNER.dishes[0].changed(**answers), DINNER.dishes[1]))


def led_to(client: TestClient, path: str) -> MenuQuestion:
    answer = client.get(path, follow_redirects=False)
    assert answer.status_code == 303
    return MenuQuestion.of(parse_qsl(urlsplit(answer.headers["location"]).query, keep_blank_values=True))


def links(text: str, start: str) -> list[str]:
    return [unescape(link) for link in re.findall(r'href="([^"]*)"', text) if link.startswith(start)]


def test_the_empty_page_asks(client: TestClient) -> None:
    answer = client.get("/menu")
    assert answer.status_code == 200
    assert "Say what is eaten when" in answer.text
    assert answer.text.count("piece(s) of") == 2


def test_a_clear_menu_has_an_answer(client: TestClient) -> None:
    answer = client.get(address())
    assert answer.status_code == 200
    for words in ("The answer", "Course 1 on the table at 20:00", "Run sheet", "chart-lanes", "Start these cooks"):
        assert words in answer.text, words
    assert "safe" not in answer.text.lower().replace("unsafe", "")


HELD = replace(DINNER, fridge="4 C", baths=(Row(weight="300 g"),))


def test_a_broken_rule_stands_over_the_answer(client: TestClient) -> None:
    """Nothing holds the carrots down and the fridge was not measured; with a weight and a fridge both are met."""
    loose = client.get(address()).text
    assert "not every binding rule is met" in loose
    assert "A binding rule is not met for carrots" in loose
    held = client.get(address(HELD)).text
    assert "not every binding rule is met" not in held
    assert "The answer" in held
    assert 'value="4 C"' in held


@pytest.mark.parametrize("language", ["de", "fr", "es"])
def test_an_answered_menu_is_said_whole_in_other_languages(client: TestClient, language: str) -> None:
    never = replace(DINNER, dishes=tuple(d.changed(ahead="never") for d in DINNER.dishes))
    for question in (DINNER, HELD, never):
        english = client.get(address(question)).text
        said = client.get(address(question), headers={"Accept-Language": language}).text
        for words in (
            "on the table at", "first at", "then at", "Start these cooks", "Gives up", "cannot be", "Ways out",
            "binding rule", "Since the start", "No better order", "Switch the heater off", "Hands at work",
        ):  # fmt: skip
            assert words not in said, (words, words in english)


def test_table_times_are_spelt_out_and_blanks_dropped(client: TestClient) -> None:
    typed = replace(DINNER, courses=(Row(eat="Sat 20:00"),))
    assert led_to(client, address(typed, pans="", **{"d1.wide": " "})) == DINNER
    assert client.get(address(), follow_redirects=False).status_code == 200


def test_rows_are_added_and_taken_away(client: TestClient) -> None:
    assert led_to(client, address(add="dish")) == DINNER.more("dish")
    assert led_to(client, address(add="bath")) == DINNER.more("bath")
    assert led_to(client, address(remove="d2")) == DINNER.without("d2")
    assert led_to(client, address(add="spoon", remove="x9")) == DINNER
    page = client.get(address(DINNER.more("dish")))
    assert page.status_code == 422
    assert page.text.count("piece(s) of") == 3


@pytest.mark.parametrize(
    ("question", "field"),
    [
        (dish(thick="3 m"), "d1-thick"),
        (dish(food="sirloin"), "d1-food"),
        (dish(food='"><script>alert(1)</script>'), "d1-food"),
        (dish(name="{57|C}"), "d1-name"),
        (dish(ahead="perhaps"), "d1-ahead"),
        (replace(DINNER, pans="0"), "pans"),
        (replace(DINNER, asleep="noon"), "asleep"),
        (replace(DINNER, zone="Mars"), "zone"),
        (replace(DINNER, baths=(Row(vessel="bathtub"),)), "b1-vessel"),
        (replace(DINNER, courses=(Row(eat="never"),)), "c1-eat"),
        (replace(DINNER, courses=(Row(eat="2020-01-01T20:00"),)), "c1-eat"),
    ],
)
def test_a_mistake_is_told_at_its_blank(client: TestClient, question: MenuQuestion, field: str) -> None:
    answer = client.get(address(question))
    assert answer.status_code == 422
    assert f'id="{field}-mistake"' in answer.text
    assert f'aria-describedby="{field}-mistake"' in answer.text
    assert "<script>alert" not in answer.text
    assert "Traceback" not in answer.text
    name = field.replace("-", ".")
    errors = client.get(address(question).replace("/menu", "/api/menu")).json()["errors"]
    assert set(errors) == {name}


def test_every_mistake_has_a_blank_to_stand_at(client: TestClient) -> None:
    for name in ("shape", "wide", "long", "mass", "state", "start", "handling", "layers", "fish", "bag", "want", "bath",
                 "salt", "sear", "pan", "hot", "surface", "guests", "course", "pieces"):  # fmt: skip
        answer = client.get(address(dish(**{name: "-1 nonsense"})))
        assert answer.status_code == 422, name
        assert f'id="d1-{name}-mistake"' in answer.text, name


def test_words_of_two_meanings_are_offered(client: TestClient) -> None:
    offered = links(client.get(address(dish(food="sirloin"))).text, "/menu?")
    assert any("d1.food=beef" in link for link in offered)


def test_an_endless_question_is_refused(client: TestClient) -> None:
    assert client.get("/menu?d1.food=" + "x" * 50_000).status_code == 422
    assert client.get(address(replace(DINNER, dishes=DINNER.dishes * 20))).status_code == 422


def test_twelve_dishes_with_every_answer_fit_into_an_address(client: TestClient) -> None:
    full = Row(
        food="beef ribeye steak", pieces="2", thick="35 mm", wide="120 mm", long="200 mm", mass="300 g", state="fridge",
        start="4 C", handling="intact", want="medium rare", salt="1 %", pan="carbon-steel", hot="230 C",
        surface="patted", ahead="never", shape="brick",
    )  # fmt: skip
    rows = tuple(full.changed(name=f"steak number {i}") for i in range(12))
    # Blank answers are sent by a plain form, too.
    blanks = {
        f"d{i}.{name}": "" for i in range(1, 13) for name in ("course", "layers", "fish", "bag", "bath", "guests")
    }
    question = replace(DINNER, dishes=rows, courses=(Row(eat="2020-03-13T20:00"),))
    answer = client.get(address(question, **blanks))
    assert answer.status_code == 422
    assert "too long" not in answer.text
    assert answer.text.count("piece(s) of") == 12


def test_each_dish_links_to_its_plan(client: TestClient) -> None:
    text = client.get(address()).text
    plans = [link for link in links(text, "/?") if "#" not in link]
    assert len(plans) == 2
    for link in plans:
        page = client.get(link)
        assert page.status_code == 200, link
        assert "The plan" in page.text


def test_files_hold_the_same_menu(client: TestClient) -> None:
    data = client.get(address().replace("/menu", "/api/menu")).json()
    assert [e.message for e in Draft202012Validator(menu_schema()).iter_errors(data)] == []
    rows = list(csv.DictReader(io.StringIO(client.get(address().replace("/menu", "/menu.csv")).text)))
    assert [row["key"] for row in rows] == [task["key"] for task in data["run_sheet"]]
    calendar = client.get(address().replace("/menu", "/menu.ics"))
    assert "attachment" in calendar.headers["content-disposition"]
    events = list(vobject.readOne(calendar.text).vevent_list)
    assert len(events) == sum(task["is_action"] for task in data["run_sheet"])
    assert read_menu(client.get(address().replace("/menu", "/menu.toml")).text) == DINNER


def test_files_of_an_unclear_menu_lead_to_its_page(client: TestClient) -> None:
    for name in ("/menu.csv", "/menu.ics"):
        assert led_to(client, address(dish(thick="3 m")).replace("/menu", name)) == dish(thick="3 m")


def test_cooks_are_started_one_for_each_dish(client: TestClient, store: Store) -> None:
    text = client.get(address()).text
    form = text[text.index('action="/menu/start"') : text.index("Start these cooks")]
    fields = {n: unescape(v) for n, v in re.findall(r'name="((?:cook|name)\d+)" value="([^"]*)"', form)}
    assert len(fields) == 4
    answer = client.post("/menu/start", data=fields, follow_redirects=False)
    assert (answer.status_code, answer.headers["location"]) == (303, "/kitchen")
    names = {cook.name for cook in store.cooks(ended=False).cooks}
    assert {"steaks", "carrots"} <= names
    assert client.get("/kitchen").status_code == 200


def test_cooks_that_are_not_clear_start_none(client: TestClient, store: Store) -> None:
    before = store.cooks(ended=False).total
    good = urlencode({"food": "ribeye", "thick": "30 mm", "want": "medium rare", "eat": "2027-03-12T19:30"})
    for bad in ("food=unicorn", "", good.replace("30+mm", "3+m")):
        answer = client.post("/menu/start", data={"cook1": good, "name1": "a", "cook2": bad, "name2": "b"})
        assert answer.status_code == 422
    assert client.post("/menu/start", data={}).status_code == 422
    assert store.cooks(ended=False).total == before


def test_what_cannot_be_met_offers_ways_out(client: TestClient) -> None:
    soon = replace(DINNER, courses=(Row(eat="2027-03-12T12:50"),))
    answer = client.get(address(soon))
    assert answer.status_code == 200
    assert "This cannot work as asked" in answer.text
    assert "cannot be had together" in answer.text
    assert "Start these cooks" not in answer.text
    offered = [link for link in links(answer.text, "/menu?") if "c1.eat" in link]
    assert offered
    assert "The answer" in client.get(offered[0]).text


def test_pages_hold_no_inline_script_and_no_style(client: TestClient) -> None:
    text = client.get(address()).text
    assert text.count("<script") == text.count('<script type="module" src="/static/')
    assert " style=" not in text
    assert " onclick" not in text
    assert len(text) < 300_000
