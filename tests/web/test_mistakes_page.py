"""What is not clear on the Plan screen: said once, at its blank, and listed below in the order of the page."""

from __future__ import annotations

import re
from collections.abc import Iterator
from html import unescape
from pathlib import Path

import pytest
from fastapi.testclient import TestClient
from tests.web.setting import KITCHEN, NOW

from corebath.log.store import Store
from corebath.web.app import create_app
from corebath.web.site import Site

WRONG = {"food": "ribeey", "thick": "abc", "want": "purple", "eat": "25:99"}


@pytest.fixture
def client(tmp_path: Path) -> Iterator[TestClient]:
    store = Store(tmp_path / "kitchen.db")
    yield TestClient(create_app(Site(store, KITCHEN, clock=lambda: NOW)))
    store.close()


def test_each_mistake_is_said_once_and_listed_in_the_order_of_the_page(client: TestClient) -> None:
    page = unescape(client.get("/", params=WRONG).text)
    marked = re.findall(r'class="mistake" id="(\w+)-mistake">([^<]*)<', page)
    below = re.findall(r'<li><a href="#(\w+)">', page)
    assert [name for name, _ in marked] == below == ["food", "thick", "want", "eat"]
    for name, said in marked:
        assert page.count(said) == 1, said
        assert f'id="{name}"' in page
    assert page.count("beef ribeye steak</a>") == 1  # a near name, once, as a link
    assert "near names" not in page


@pytest.mark.parametrize(
    ("want", "said"),
    [("purple", "is not a result known for any food"), ("900", "has no unit"), ("medium rare", ""), ("saignant", "")],
)
def test_a_wish_is_looked_at_even_when_the_food_is_not_known(client: TestClient, want: str, said: str) -> None:
    errors = client.get("/api/plan", params=WRONG | {"want": want}).json()["errors"]
    assert ("want" in errors) == bool(said)
    assert said in errors.get("want", "")
