"""The card in a real browser: on the screen, and printed on one page."""

from __future__ import annotations

import re
from io import BytesIO
from urllib.parse import urlencode

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect
from pypdf import PdfReader
from tests.web.own_kitchen import window

pytestmark = pytest.mark.browser

STEAK = {
    "food": "beef-ribeye", "thick": "30 mm", "want": "medium-rare", "eat": "2027-03-12T19:30", "zone": "Europe/Paris",
}  # fmt: skip
RIBS = {
    "food": "short ribs", "thick": "40 mm", "mass": "400 g", "pieces": "4", "want": "57 C", "bath": "36 h",
    "eat": "2027-03-14T18:30", "zone": "Europe/Paris", "guests": "risk", "vessel": "40 cm x 30 cm x 20 cm",
    "heater": "1.1 kW, 8 cm to 18 cm",
}  # fmt: skip
DAYS = RIBS | {"thick": "60 mm", "mass": "2 kg", "want": "56 C", "bath": "96 h", "eat": "2027-03-20T18:30"}


@pytest.mark.parametrize("asked", [STEAK, RIBS, DAYS], ids=["steak", "ribs", "four days"])
@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_the_page_prints_on_one_sheet(browser: Browser, address: str, asked: dict[str, str], paper: str) -> None:
    with window(browser, address, width=1000) as page:
        page.goto(f"/card?{urlencode(asked)}")
        reader = PdfReader(BytesIO(page.pdf(format=paper)))
    assert len(reader.pages) == 1
    text = re.sub(r"\s+", " ", reader.pages[0].extract_text())
    for part in ("Done at", "What the rules say", "local food code", "Pull"):
        assert part in text
    assert "Back to the plan" not in text
    assert ("Power cut" in text) == (asked is not STEAK)


def test_the_card_is_reached_and_left_by_links(screen: Page) -> None:
    screen.goto(f"/?{urlencode(STEAK)}")
    screen.get_by_role("link", name="Print the card").click()
    expect(screen.locator("h1")).to_have_text("Beef ribeye steak")
    expect(screen.get_by_role("img", name="A code for a phone's camera")).to_be_visible()
    assert screen.evaluate("document.documentElement.scrollWidth <= window.innerWidth")
    screen.get_by_role("link", name="Back to the plan").click()
    expect(screen.locator("#answer-head")).to_have_text("The plan")


def test_labels_and_message_work_without_script(browser: Browser, address: str) -> None:
    with window(browser, address, script=False) as page:
        page.goto(f"/?{urlencode(STEAK)}")
        page.get_by_role("link", name="Labels").click()
        expect(page.locator(".label")).to_contain_text("Use by")
        page.get_by_role("link", name="Back to the plan").click()
        page.get_by_role("link", name="Text to send").click()
        expect(page.locator("textarea")).to_have_value(re.compile("local food code comes first"))


@pytest.mark.parametrize("path", ["/card", "/labels", "/message"])
def test_nothing_to_complain_of(screen: Page, path: str) -> None:
    screen.goto(f"{path}?{urlencode(RIBS)}")
    found = Axe().run(screen)
    assert found.violations_count == 0, found.generate_report()
