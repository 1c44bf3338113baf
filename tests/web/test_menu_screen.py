"""The Menu screen in a real browser, at phone and laptop size, without script, in both colour schemes."""

from __future__ import annotations

import re
from urllib.parse import parse_qsl, urlsplit

import pytest
from playwright.sync_api import Browser, Page, expect
from tests.web.access_checks import axe_finds_nothing_at
from tests.web.own_kitchen import OwnKitchen, window
from tests.web.test_menu_pages import address as menu_at
from tests.web.test_menu_pages import dish

pytestmark = pytest.mark.browser

DINNER = menu_at()
ANSWERED = re.compile(
    "^The answer"
)  # no weight is named: whether its bags stay under is not known, and the head says so
UNCLEAR = menu_at(dish(thick="3 m", food="sirloin"))


def _answers(page: Page) -> dict[str, str]:
    return dict(parse_qsl(urlsplit(page.url).query, keep_blank_values=True))


def _fits(page: Page) -> bool:
    return bool(page.evaluate("document.documentElement.scrollWidth <= window.innerWidth"))


def test_demo_kitchen_opens_on_a_menu_that_works(screen: Page) -> None:
    screen.goto("/menu")
    expect(screen.locator("#answer-head")).to_have_text("The answer")
    assert screen.locator(".sheet tbody tr").count() >= 10
    assert _fits(screen)


def test_the_screen_is_reached_from_the_others(screen: Page) -> None:
    screen.goto("/kitchen")
    screen.click("nav >> text=Menu")
    expect(screen.locator("h1.screen")).to_have_text("Menu")


def test_a_changed_answer_changes_menu_and_address(screen: Page) -> None:
    screen.goto(DINNER)
    before = screen.locator("dl.served").inner_text()
    screen.fill("#d1-thick", "45 mm")
    screen.click(".go button")
    expect(screen.locator("#answer-head")).to_have_text(ANSWERED)
    assert _answers(screen)["d1.thick"] == "45 mm"
    assert screen.locator("dl.served").inner_text() != before
    assert _fits(screen)


def test_enter_makes_the_menu_and_takes_nothing_away(screen: Page) -> None:
    screen.goto(DINNER)
    screen.fill("#d2-want", "84 C")
    screen.press("#d2-want", "Enter")
    expect(screen.locator("#answer-head")).to_have_text(ANSWERED)
    answers = _answers(screen)
    assert answers["d2.want"] == "84 C"
    assert {"d1.food", "d2.food", "c1.eat"} <= set(answers)


def test_a_dish_is_added_and_taken_off_again(screen: Page) -> None:
    screen.goto(DINNER)
    screen.click("text=Another dish")
    expect(screen.locator("#d3-food")).to_be_visible()
    expect(screen.locator("#d1-food")).to_have_value("beef ribeye steak")
    expect(screen.locator("#d3-food-mistake")).to_be_visible()
    screen.click("text=Take dish 3 off the menu")
    expect(screen.locator("#d3-food")).to_have_count(0)
    expect(screen.locator("#answer-head")).to_have_text(ANSWERED)


def test_a_mistake_is_told_and_nothing_is_lost(screen: Page) -> None:
    screen.goto(UNCLEAR)
    expect(screen.locator("#d1-thick-mistake")).to_be_visible()
    expect(screen.locator("#d1-thick")).to_have_value("3 m")
    expect(screen.locator("#d2-food")).to_have_value("carrot")
    assert _fits(screen)


def test_the_lanes_have_a_table_beside_them(screen: Page) -> None:
    screen.goto(DINNER)
    screen.click("text=The same as a table")
    assert screen.locator(".lanes-table tbody tr").count() >= 6
    viewport = screen.viewport_size
    assert viewport is not None
    svg = screen.locator(f"figure.lanes .{'narrow' if viewport['width'] < 640 else 'wide'} svg")
    expect(svg).to_be_visible()
    smallest = svg.evaluate(
        "s => Math.min(...[...s.querySelectorAll('text')].map(t => parseFloat(t.getAttribute('font-size'))"
        " * s.getBoundingClientRect().width / s.viewBox.baseVal.width))"
    )
    assert smallest >= 10.5


def test_without_script_everything_works(browser: Browser, own: OwnKitchen) -> None:
    with window(browser, own.address, script=False) as page:
        page.goto(DINNER)
        page.fill("#d1-thick", "40 mm")
        page.click(".go button")
        assert "d1.thick=40+mm" in page.url
        page.click("text=Start these cooks")
        assert page.url.endswith("/kitchen")
        expect(page.locator(".cooking")).to_have_count(2)


def test_a_way_out_fills_the_form(screen: Page) -> None:
    screen.goto(DINNER.replace("2027-03-13T20%3A00", "2027-03-12T12%3A50"))
    expect(screen.locator("#answer-head")).to_have_text("This cannot work as asked")
    screen.locator(".alternatives a").first.click()
    expect(screen.locator("#answer-head")).to_have_text(ANSWERED)


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("path", [DINNER, UNCLEAR, "/menu?add=bath"], ids=["dinner", "unclear", "empty"])
def test_axe_finds_nothing(browser: Browser, address: str, scheme: str, path: str) -> None:
    axe_finds_nothing_at(browser, address, path, scheme)


def test_nothing_is_lost_at_double_zoom(browser: Browser, address: str) -> None:
    context = browser.new_context(viewport={"width": 320, "height": 640}, base_url=address)
    page = context.new_page()
    page.goto(DINNER)
    assert _fits(page)
    context.close()
