"""Reasons on the pages: every link has its target, only the ends bring them, and the page stays light."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from fastapi.testclient import TestClient
from tests.web.own_page import loose
from tests.web.setting import KITCHEN, NOW

from corebath.log.demo import demo_kitchen
from corebath.log.store import Store
from corebath.web.app import create_app
from corebath.web.site import Site

EAT = {"eat": "2027-03-12T19:30", "zone": "Europe/Paris"}
QUESTIONS = {
    "steak": {"food": "beef ribeye steak", "thick": "30 mm", "want": "medium rare", "pieces": "2", "mass": "280 g"},
    "bought": {"food": "beef ribeye steak", "thick": "30 mm", "want": "medium rare", "eaters": "4"},
    "egg": {"food": "egg", "thick": "44 mm", "want": "63 C"},
    "carrot": {"food": "carrots", "thick": "20 mm", "want": "tender"},
    "frozen": {"food": "pork loin", "thick": "90 mm", "shape": "cylinder", "state": "frozen", "want": "60 C"},
    "failing": {"food": "chicken breast", "thick": "38 mm", "want": "56 C"},
}
BUDGET = 300_000


@pytest.fixture(scope="module")
def client(tmp_path_factory: pytest.TempPathFactory) -> Iterator[TestClient]:
    store = Store(Path(tmp_path_factory.mktemp("why")) / "kitchen.db")
    store.save_kitchen(demo_kitchen(KITCHEN.zone), 0)
    yield TestClient(create_app(Site(store, KITCHEN, example=True, clock=lambda: NOW)))
    store.close()


def _targets(page: str) -> tuple[set[str], list[str]]:
    """Reasons that are linked to, and those that are there."""
    return set(re.findall(r'href="#(why-[^"]+)"', page)), re.findall(r'<dt id="(why-[^"]+)"', page)


@pytest.mark.parametrize("name", QUESTIONS)
def test_every_link_to_a_reason_has_its_target(client: TestClient, name: str) -> None:
    page = client.get("/", params=EAT | QUESTIONS[name]).text
    linked, there = _targets(page)
    assert linked
    assert linked <= set(there)
    assert len(set(there)) == len(there)
    assert not re.search(r"\{[0-9.e-]+\|", page)
    ids = re.findall(r'\sid="([^"]+)"', page)
    assert len(set(ids)) == len(ids)
    charts = sum(map(len, re.findall(r"<svg.*?</svg>", page, re.DOTALL)))
    assert len(page.encode()) - charts < BUDGET


def test_each_link_to_a_reason_says_of_what_and_stands_once_in_a_section(client: TestClient) -> None:
    """WCAG 2.4.4 and 2.4.9, link purpose; 2.5.3, label in name."""
    page = client.get("/", params=EAT | QUESTIONS["steak"]).text
    links = re.findall(r'<a href="#(why-[^"]+)"([^>]*)>why</a>', page)
    assert len(links) > 10
    assert all(' aria-label="why: ' in label for _, label in links)
    assert len({where for where, _ in links}) == len(links)


@pytest.mark.parametrize("name", ["steak", "bought"])
def test_a_script_gets_them_with_the_ends(client: TestClient, name: str) -> None:
    question = EAT | QUESTIONS[name]
    whole = client.get("/", params=question).text
    plan = client.get("/", params=question, headers={"X-Part": "plan", "X-Cut": "wide"}).text
    ends = client.get("/", params=question, headers={"X-Part": "ends"}).text
    assert _targets(plan)[1] == []
    assert sorted(_targets(ends)[1]) == sorted(_targets(whole)[1])
    places = set(re.findall(r'data-end="([^"]+)"', plan))
    brought = {
        end for end, inside in re.findall(r'<div data-end="([^"]+)">(.*?)</div>\n(?=<div data-end|$)', ends, re.DOTALL)
        if inside.strip()
    }  # fmt: skip
    assert brought
    assert brought <= places


def test_whose_word_an_input_is_stands_beside_it(client: TestClient) -> None:
    page = loose(client.get("/", params=EAT | QUESTIONS["steak"]).text)
    assert re.search(r"<span>thickness</span> <b>30 mm</b> <i>as you typed it</i>", page)
    assert re.search(r"<span>heater</span> <b>\d+ W</b> <i>from your gear</i>", page)
    assert "from the food catalogue" in page


def test_the_plan_as_json_says_whose_word(client: TestClient) -> None:
    data = client.get("/api/plan", params=EAT | QUESTIONS["steak"]).json()
    origins = {given["origin"] for one in data["why"] for given in one["inputs"]}
    assert {"typed", "gear", "usual"} <= origins


def test_a_cook_in_progress_explains_its_core(client: TestClient) -> None:
    client.post("/kitchen/start", data=EAT | QUESTIONS["steak"])
    where = re.findall(r'href="(/kitchen/\d+)"', client.get("/kitchen").text)[-1]
    assert _targets(client.get(where).text)[1] == []
    client.post(f"{where}/event", data={"happening": "dropped in", "at": "11:30"})
    linked, there = _targets(client.get(where).text)
    assert "why-core-now" in there
    assert linked <= set(there)


@pytest.mark.parametrize(("path", "needed"), [("/menu", "why-menu-order"), ("/batch", "why-batch-run-1")])
def test_menu_and_batch_explain_what_is_theirs(client: TestClient, path: str, needed: str) -> None:
    linked, there = _targets(client.get(path).text)
    assert needed in there
    assert linked <= set(there)
