"""Every screen is walked by the keyboard alone, and the main job is done by it."""

from __future__ import annotations

import pytest
from playwright.sync_api import Browser, Locator, Page, expect
from tests.web.access_checks import stop, unclear, walk
from tests.web.access_places import ALL, Places
from tests.web.own_kitchen import OwnKitchen, window
from tests.web.setting import LAPTOP, PHONE

from corebath.log.cook import Happening

pytestmark = pytest.mark.browser


@pytest.mark.parametrize("place", ALL)
def test_every_stop_is_seen_and_there_is_no_trap(browser: Browser, places: Places, place: str) -> None:
    """WCAG 2.1.2, 2.4.3, 2.4.7 and 2.4.11, with all folded as the page opens, at phone and laptop size."""
    for width in (LAPTOP["width"], PHONE["width"]):
        with places.window(browser, place, width=width) as page:
            wrong, stops = walk(page)
            assert wrong == []
            assert stops >= 1
    with places.window(browser, place) as page:
        wrong, back = walk(page, "Shift+Tab")
        assert wrong == []
        assert back == stops


def test_the_first_stop_leads_past_the_top(browser: Browser, places: Places) -> None:
    with places.window(browser, "kitchen") as page:
        page.keyboard.press("Tab")
        expect(page.locator(".skip")).to_be_focused()
        expect(page.locator(".skip")).to_be_in_viewport()
        page.keyboard.press("Enter")
        expect(page.locator("#content")).to_be_focused()


class Keys:
    """A reader who has a keyboard and nothing else; every stop on the way must show the focus."""

    def __init__(self, page: Page) -> None:
        self._page = page

    def to(self, target: Locator) -> None:
        """Tab on to something."""
        for _ in range(200):
            self._page.keyboard.press("Tab")
            at = stop(self._page)
            assert at is None or unclear(at) == []
            if target.evaluate("e => e === document.activeElement"):
                return
        raise AssertionError("the keyboard does not reach it")

    def write(self, target: Locator, text: str) -> None:
        """Tab on to a blank and write into it, in the place of what stands there."""
        self.to(target)
        self._page.keyboard.press("Control+A")
        self._page.keyboard.type(text)

    def press(self, target: Locator) -> None:
        """Tab on to a button or link and use it."""
        self.to(target)
        self._page.keyboard.press("Enter")


def test_the_whole_job_by_keyboard(browser: Browser, own: OwnKitchen) -> None:
    """Ask, read the plan, start, drop in, pull, end, and tell what was thought of it."""
    with window(browser, own.address) as page:
        page.emulate_media(reduced_motion="reduce")
        keys = Keys(page)
        page.goto("/?eat=2027-03-12T19:30&zone=Europe/Paris")
        keys.write(page.locator("#food"), "ribeye")
        keys.write(page.locator("#thick"), "30 mm")
        keys.write(page.locator("#want"), "medium rare")
        keys.press(page.get_by_role("button", name="Make the plan"))
        expect(page.locator("#said")).to_contain_text("set the bath to")  # the last to come
        keys.to(page.locator("#map .narrow [role=slider]"))
        page.keyboard.press("ArrowUp")
        page.wait_for_url("**want=56.5*")
        expect(page.locator("#said")).to_contain_text("56.5")
        page.reload()
        keys.press(page.get_by_role("button", name="Start this cook"))
        page.wait_for_url("**/kitchen/1")
        keys.press(page.get_by_role("button", name="Dropped in"))
        expect(page.locator("#events")).to_contain_text("Dropped in")
        own.later(hours=2)
        page.reload()
        keys.press(page.get_by_role("button", name="Pulled"))
        expect(page.locator("#events")).to_contain_text("Pulled")
        page.reload()
        keys.press(page.get_by_role("button", name="Done: on to the log"))
        page.wait_for_url("**/log/1")
        keys.write(page.locator("#note"), "juicy, a bit chewy")
        keys.press(page.get_by_role("button", name="Save this"))
        expect(page.locator("main")).to_contain_text("Understood:")
    cook = own.store.cook(1)
    assert {e.happening for e in cook.events} == {Happening.DROPPED_IN, Happening.PULLED}
    assert cook.rating is not None
