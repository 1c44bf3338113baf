"""What is handed on from the screen, without a browser: forms, papers, and what bad input gets."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import timedelta
from io import BytesIO
from pathlib import Path
from urllib.parse import parse_qsl, urlparse

import pytest
import vobject
from fastapi.testclient import TestClient
from pypdf import PdfReader
from tests.web.setting import KITCHEN, NOW

from corebath.ask.question import Question
from corebath.log.cook import Cook
from corebath.log.store import Store
from corebath.web.app import create_app
from corebath.web.card_page import handed_on
from corebath.web.site import Site

STEAK = {
    "food": "beef-ribeye", "thick": "30 mm", "want": "medium-rare", "eat": "2027-03-12T19:30",
    "zone": "Europe/Paris", "pieces": "3",
}  # fmt: skip
PATHS = ("/card", "/card.pdf", "/labels", "/labels.pdf", "/fridge.pdf", "/plan.ics", "/message")


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    store = Store(tmp_path / "kitchen.db")
    yield store
    store.close()


@pytest.fixture
def client(store: Store) -> TestClient:
    return TestClient(create_app(Site(store, KITCHEN, clock=lambda: NOW)), follow_redirects=False)


def test_the_plan_leads_to_everything(client: TestClient) -> None:
    page = client.get("/", params=STEAK, follow_redirects=True).text
    for path in ("/card", "/labels", "/plan.ics", "/message"):
        (address,) = re.findall(rf'href="({re.escape(path)}\?[^"]+)"', page)
        assert client.get(address.replace("&amp;", "&")).status_code == 200
    failing = client.get("/", params=STEAK | {"want": "49 C", "guests": "risk"}, follow_redirects=True).text
    assert "Hand it on" not in failing


def test_files_have_their_kind_and_name(client: TestClient) -> None:
    for path in ("/card.pdf", "/labels.pdf", "/fridge.pdf"):
        answer = client.get(path, params=STEAK)
        assert answer.headers["content-type"] == "application/pdf"
        assert answer.headers["content-disposition"].endswith('beef-ribeye.pdf"')
        assert len(PdfReader(BytesIO(answer.content)).pages) == 1
    calendar = client.get("/plan.ics", params=STEAK)
    assert calendar.headers["content-type"].startswith("text/calendar")
    assert "attachment" in calendar.headers["content-disposition"]
    assert vobject.readOne(calendar.content.decode("utf-8")).vevent_list


@pytest.mark.parametrize("path", PATHS)
def test_an_unclear_question_goes_back_to_its_sentences(client: TestClient, path: str) -> None:
    answer = client.get(path, params=STEAK | {"thick": "<b>"})
    assert answer.status_code == 303
    assert dict(parse_qsl(urlparse(answer.headers["location"]).query))["thick"] == "<b>"


@pytest.mark.parametrize("path", PATHS)
def test_nothing_is_handed_on_of_no_question(client: TestClient, path: str) -> None:
    answer = client.get(path)
    assert answer.status_code == 422
    assert "answer the questions on the page first" in answer.text
    assert 'href="/"' in answer.text


@pytest.mark.parametrize("path", PATHS)
def test_what_does_not_work_is_refused_in_a_sentence(client: TestClient, path: str) -> None:
    answer = client.get(path, params=STEAK | {"want": "49 C", "guests": "risk"})
    assert answer.status_code == 422
    assert "does not work as asked" in answer.text
    assert "guests=risk" in answer.text


@pytest.mark.parametrize(
    ("path", "wrong"),
    [
        ("/card.pdf", {"paper": "a0"}), ("/labels.pdf", {"paper": "a5"}), ("/labels.pdf", {"count": "0"}),
        ("/labels.pdf", {"count": "-1"}), ("/labels.pdf", {"count": "1e3"}), ("/fridge.pdf", {"count": "401"}),
        ("/fridge.pdf", {"count": "٣"}), ("/card.pdf", {"paper": "<i>"}),
    ],
)  # fmt: skip
def test_odd_papers_and_counts_are_refused(client: TestClient, path: str, wrong: dict[str, str]) -> None:
    answer = client.get(path, params=STEAK | wrong)
    assert answer.status_code == 422
    assert "Back to the plan" in answer.text
    assert "<i>" not in answer.text


def test_as_many_labels_as_asked(client: TestClient) -> None:
    pdf = client.get("/labels.pdf", params=STEAK | {"count": "12", "paper": "letter"}).content
    pages = PdfReader(BytesIO(pdf)).pages
    assert sum(page.extract_text().count("Initials") for page in pages) == 12
    assert float(pages[0].mediabox.width) == pytest.approx(612)


@pytest.mark.parametrize("host", ["192.168.1.20:8360", "kitchen.local:8360", "[fe80::1]:8360"])
def test_the_code_holds_the_address_where_others_reach_it(host: str) -> None:
    card = handed_on(Question.of(STEAK), NOW, KITCHEN).card(host, "http")
    assert card.code.text.startswith(f"http://{host}/?food=beef-ribeye")


@pytest.mark.parametrize("host", ["127.0.0.1:8360", "localhost", "[::1]:8360", "", "a b", "x/../y", "é", "h" * 600])
def test_the_code_holds_the_plan_where_nobody_does(host: str) -> None:
    card = handed_on(Question.of(STEAK), NOW, KITCHEN).card(host, "http")
    assert card.code.text.startswith("3 pieces of beef ribeye")


def test_a_cook_in_the_kitchen_has_the_card_of_its_plan(client: TestClient, store: Store) -> None:
    asked_at = NOW - timedelta(days=3)
    question = Question.of(STEAK | {"eat": "2027-03-10T19:30"}).query()
    cook = store.start_cook(Cook(question=question, planned_at=asked_at, name="Sunday's <best>", food="beef-ribeye",
                                 set_point_C=56.0, thickness_m=0.03, planned_bath_s=6600.0))  # fmt: skip
    assert f"/kitchen/{cook.id}/card" in client.get(f"/kitchen/{cook.id}").text
    page = client.get(f"/kitchen/{cook.id}/card")
    assert page.status_code == 200
    assert "Sunday&#39;s &lt;best&gt;" in page.text
    assert f'href="/kitchen/{cook.id}"' in page.text
    pdf = client.get(f"/kitchen/{cook.id}/card.pdf", params={"paper": "a5"})
    assert "Sunday’s <best>" in PdfReader(BytesIO(pdf.content)).pages[0].extract_text().replace("'", "’")
    lost = store.start_cook(Cook(question="food=unicorn", planned_at=asked_at, name="unicorn", food="unicorn",
                                 set_point_C=56.0, thickness_m=0.03, planned_bath_s=6600.0))  # fmt: skip
    assert client.get(f"/kitchen/{lost.id}/card").status_code == 422
    assert client.get("/kitchen/999/card").status_code == 404
