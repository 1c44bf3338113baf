"""The pages in other languages: which one is said, how it is chosen, and that longer words fit the screens."""

from __future__ import annotations

from pathlib import Path

import pytest
from fastapi.testclient import TestClient
from playwright.sync_api import Browser
from tests.web.own_page import HERE, token_in
from tests.web.setting import KITCHEN, LAPTOP, NOW, PHONE

from corebath.language import LANGUAGES
from corebath.log.store import Store
from corebath.web.app import create_app
from corebath.web.site import Site

OTHERS = [language for language in LANGUAGES if language != "en"]
HEADINGS = {"en": "What is it, and how big?", "de": "Was ist es, und wie groß?"}
PLAN = "/?food=beef+ribeye+steak&thick=30+mm&want=medium+rare&eat=2027-03-12T19%3A30&zone=Europe%2FParis"


@pytest.fixture
def client(tmp_path: Path) -> TestClient:
    store = Store(tmp_path / "kitchen.db")
    return TestClient(create_app(Site(store, KITCHEN, clock=lambda: NOW)), base_url="http://127.0.0.1", client=HERE)


@pytest.mark.parametrize("language", list(LANGUAGES))
def test_a_page_is_said_in_the_language_that_the_browser_asks_for(client: TestClient, language: str) -> None:
    answer = client.get("/", headers={"Accept-Language": f"{language}, ja;q=0.5"})
    assert f'<html lang="{language}"' in answer.text
    assert answer.headers["content-language"] == language
    assert "Accept-Language" in answer.headers["vary"]
    if language in HEADINGS:
        assert HEADINGS[language] in answer.text


def test_a_text_to_send_is_said_in_the_reader_s_language(client: TestClient) -> None:
    """It stands in a text area, which a page leaves alone; a rule's verdict never goes into the rule's own words."""
    text = client.get(PLAN.replace("/?", "/message?"), headers={"Accept-Language": "de"}).text
    text = text.partition("<textarea")[2].partition("</textarea>")[0]
    assert "am Tisch um 19:30" in text
    assert "Salmonella im Kern um 6,5 log verringert (nicht erfüllt)" in text
    assert " the " not in text.replace("Cooking: a review, and the", "")


@pytest.mark.parametrize(
    ("language", "thick"), [("de", "30 mm dick"), ("fr", "30 mm d’épaisseur"), ("es", "30 mm de grosor")]
)
def test_a_chart_names_its_piece_in_the_reader_s_language(client: TestClient, language: str, thick: str) -> None:
    page = " ".join(client.get(PLAN, headers={"Accept-Language": language}).text.split())
    assert thick in page
    assert "30 mm thick" not in page


def test_a_device_keeps_the_language_it_chose(client: TestClient) -> None:
    page = client.get(PLAN, headers={"Accept-Language": "fr"})
    told = {"form-token": token_in(page.text), "language": "de"}
    back = client.post("/language", data=told, headers={"Referer": f"http://127.0.0.1{PLAN}"}, follow_redirects=False)
    assert back.status_code == 303
    assert back.headers["location"] == PLAN
    assert '<html lang="de"' in client.get("/", headers={"Accept-Language": "fr"}).text


@pytest.mark.parametrize("referer", ["http://elsewhere.example/x", "http://127.0.0.1//elsewhere.example/x", ""])
def test_choosing_never_leads_to_another_site(client: TestClient, referer: str) -> None:
    told = {"form-token": token_in(client.get("/").text), "language": "es"}
    back = client.post("/language", data=told, headers={"Referer": referer}, follow_redirects=False)
    assert back.headers["location"].startswith("/")
    assert not back.headers["location"].startswith("//")


def test_an_unknown_language_changes_nothing(client: TestClient) -> None:
    told = {"form-token": token_in(client.get("/").text), "language": "tlh"}
    client.post("/language", data=told)
    assert '<html lang="en"' in client.get("/").text


def test_data_for_programs_stays_english(client: TestClient) -> None:
    address = "/api/plan" + PLAN[1:]
    assert client.get(address, headers={"Accept-Language": "de"}).json() == client.get(address).json()


@pytest.mark.browser
@pytest.mark.parametrize("language", OTHERS)
@pytest.mark.parametrize("size", [PHONE, LAPTOP], ids=["phone", "laptop"])
def test_longer_words_fit_every_screen(browser: Browser, address: str, language: str, size: dict[str, int]) -> None:
    context = browser.new_context(viewport={"width": size["width"], "height": size["height"]}, locale=language)
    page = context.new_page()
    for path in (PLAN, "/menu", "/batch", "/kitchen", "/log", "/log/records", "/gear"):
        page.goto(address + path)
        assert page.evaluate("document.documentElement.lang") == language
        assert page.evaluate("document.documentElement.scrollWidth") <= size["width"], path
        outside = page.evaluate(
            "[...document.querySelectorAll('button, a, h1, h2, h3, label, summary, th, dt')].filter((e) =>"
            " e.getBoundingClientRect().right > innerWidth + 1 && e.getClientRects().length).map((e) => e.textContent)"
        )
        assert outside == [], path
    context.close()
