"""What a reader hears: the language of a page, headings in the order of cooking, and a change said in short."""

from __future__ import annotations

import pytest
from playwright.sync_api import Browser, expect
from tests.web.access_checks import axe, open_all, structure
from tests.web.access_places import Places

pytestmark = pytest.mark.browser


@pytest.mark.parametrize("place", ["plan", "cook, running", "batch", "gear"])
@pytest.mark.parametrize("language", ["de", "fr", "es"])
def test_a_page_says_which_language_it_is_in(browser: Browser, places: Places, place: str, language: str) -> None:
    with places.window(browser, place, language=language) as page:
        expect(page.locator("html")).to_have_attribute("lang", language)
        open_all(page)
        assert structure(page) == []
        assert axe(page, colours="none") == []


def test_headings_stand_in_the_order_of_cooking(browser: Browser, places: Places) -> None:
    """What to do and whether the rules are met first, the figures next, the run sheet before what is kept."""
    with places.window(browser, "plan") as page:
        heads = page.locator("main :is(h1, h2)").all_inner_texts()
    wanted = [
        "The plan", "What the rules say", "The map", "The core over time", "What to buy", "Salt", "Water and vessel",
        "What it will be like", "Sear", "Run sheet", "Chill, keep, reheat", "Keep in mind",
    ]  # fmt: skip
    assert [head for head in heads if head in wanted] == wanted
    assert heads[0] == wanted[0]


def test_a_changed_plan_is_said_in_short(browser: Browser, places: Places) -> None:
    """WCAG 4.1.3: a status message; the whole page is not read out again."""
    with places.window(browser, "plan") as page:
        assert page.locator("main[aria-live]").count() == 0
        said = page.locator("#said[role=status]")
        expect(said).to_have_text("")
        page.fill("#thick", "45 mm")
        page.press("#thick", "Tab")
        expect(said).to_contain_text("The plan Beef ribeye steak: set the bath to")
        page.fill("#thick", "45 m")
        page.press("#thick", "Tab")
        expect(said).to_contain_text("Not clear yet")
        assert len(said.inner_text()) < 400
