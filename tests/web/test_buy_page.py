"""What to buy on the Plan screen, without a browser."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from fastapi.testclient import TestClient
from tests.web.own_page import loose
from tests.web.setting import KITCHEN, NOW

from corebath.log.store import Store
from corebath.web.app import create_app
from corebath.web.site import Site

STEAK = {
    "food": "beef-ribeye", "thick": "30 mm", "want": "medium-rare", "eat": "2027-03-12T19:30", "zone": "Europe/Paris",
}  # fmt: skip


@pytest.fixture
def client(tmp_path: Path) -> Iterator[TestClient]:
    store = Store(tmp_path / "kitchen.db")
    yield TestClient(create_app(Site(store, KITCHEN, clock=lambda: NOW)))
    store.close()


def part(text: str) -> str:
    """The part about buying, without its marks."""
    found = re.search(r'<section aria-labelledby="buy-head">.*?</section>', text, re.DOTALL)
    assert found is not None
    return re.sub(r"<[^>]+>", " ", loose(found[0]))


def test_eaters_and_a_price_give_the_amount_and_the_cost(client: TestClient) -> None:
    page = client.get("/", params=STEAK | {"eaters": "4, 2 small", "paid": "32/kg"}).text
    said = part(page)
    assert "2 small and 4 usual portions" in said
    assert re.search(r"Buy \d", said)
    assert "EUR for 1 kg" in said
    assert "What these amounts rest on" in said
    assert 'value="4, 2 small"' in page
    assert "eaters=4%2C+2+small" in page.replace("&amp;", "&")


def test_nobody_said_how_many_eat(client: TestClient) -> None:
    assert "how many eat" in part(client.get("/", params=STEAK).text)
    weighed = part(client.get("/", params=STEAK | {"mass": "280 g", "pieces": "2"}).text)
    assert "560 g into the bath gives" in weighed


def test_buying_comes_before_the_salt_and_the_run_sheet(client: TestClient) -> None:
    page = client.get("/", params=STEAK | {"eaters": "2"}).text
    places = [page.index(f'id="{name}-head"') for name in ("core", "buy", "salt", "water", "sheet")]
    assert places == sorted(places)


@pytest.mark.parametrize(
    ("answers", "said"),
    [
        ({"eaters": "all"}, "how many eat"),
        ({"paid": "cheap"}, "price of food by weight"),
        ({"appetite": "huge"}, "small"),
    ],
)
def test_unclear_answers_are_told_at_the_blank(client: TestClient, answers: dict[str, str], said: str) -> None:
    for path in ("/", "/api/plan"):
        answer = client.get(path, params=STEAK | answers)
        assert answer.status_code == 422
        assert said in answer.text
    field = next(iter(answers))
    assert f'id="{field}-mistake"' in client.get("/", params=STEAK | answers).text
