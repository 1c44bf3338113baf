"""Every screen fits small windows and large letters, and what is pressed is large enough for a finger."""

from __future__ import annotations

import pytest
from playwright.sync_api import Browser
from tests.web.access_checks import cut, open_all, targets
from tests.web.access_places import ALL, Places
from tests.web.setting import LAPTOP

pytestmark = pytest.mark.browser

KITCHEN = ("kitchen", "cook, to start", "cook, running", "cook, binned")


@pytest.mark.parametrize("place", ALL)
def test_nothing_is_cut_or_scrolls_sideways(browser: Browser, places: Places, place: str) -> None:
    """1280 px at 200 % (WCAG 1.4.4) and at 400 % zoom (1.4.10), and with letters twice as large."""
    with places.window(browser, place, width=320, height=256) as page:
        open_all(page)
        assert cut(page) == []
    with places.window(browser, place, width=640, height=400) as page:
        open_all(page)
        assert cut(page) == []
        page.set_viewport_size({"width": LAPTOP["width"], "height": LAPTOP["height"]})
        page.evaluate("document.documentElement.style.fontSize = '200%'")
        assert cut(page) == []


@pytest.mark.parametrize("place", ALL)
def test_what_is_pressed_is_large_enough(browser: Browser, places: Places, place: str) -> None:
    """24 px (WCAG 2.5.8); the buttons of the kitchen, for wet fingers, 44 px (2.5.5)."""
    for width in (390, LAPTOP["width"]):
        with places.window(browser, place, width=width) as page:
            open_all(page)
            assert targets(page) == []
            if place in KITCHEN:
                assert targets(page, 44, "button") == []
