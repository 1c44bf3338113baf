"""Reasons in a real browser: opened by keyboard and without script, kept open, and clean by axe."""

from __future__ import annotations

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect
from tests.web.setting import PHONE

pytestmark = pytest.mark.browser

STEAK = "/?food=beef-ribeye&thick=30+mm&want=medium-rare&eat=2027-03-12T19:30&zone=Europe/Paris"


def test_a_reason_is_opened_by_keyboard(screen: Page) -> None:
    screen.goto(STEAK)
    expect(screen.locator("#why-come-up")).to_be_hidden()
    screen.locator(".answer > p a[href='#why-come-up']").focus()
    screen.keyboard.press("Enter")
    expect(screen.locator("#why-come-up")).to_be_focused()
    expect(screen.locator("#why-come-up")).to_be_in_viewport()
    screen.locator("#why-come-up + dd a[href='#why-set-point']").focus()
    screen.keyboard.press("Enter")
    expect(screen.locator("#why-set-point")).to_be_focused()
    assert screen.evaluate("document.documentElement.scrollWidth <= window.innerWidth")


def test_a_list_that_is_read_stays_open_when_an_answer_changes(screen: Page) -> None:
    screen.goto(STEAK)
    summary = screen.locator("#why-in-answer > summary")
    summary.focus()
    screen.keyboard.press("Enter")
    before = screen.locator("#why-come-up").inner_text()
    screen.fill("#thick", "50 mm")
    screen.press("#thick", "Tab")
    expect(screen.locator("#why-come-up")).not_to_have_text(before)
    expect(screen.locator("#why-come-up")).to_be_visible()


def test_reasons_open_without_script(browser: Browser, address: str) -> None:
    context = browser.new_context(java_script_enabled=False, base_url=address)
    page = context.new_page()
    page.goto(STEAK)
    page.click("#why-in-water > summary")
    expect(page.locator("#why-warm-up")).to_be_visible()
    context.close()


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_nothing_among_the_reasons(browser: Browser, address: str, scheme: str) -> None:
    # The whole page with everything open is looked at in test_plan_screen.
    context = browser.new_context(
        viewport={"width": PHONE["width"], "height": PHONE["height"]},
        color_scheme="dark" if scheme == "dark" else "light", base_url=address,
    )  # fmt: skip
    page = context.new_page()
    page.goto(STEAK)
    page.evaluate("document.querySelectorAll('details').forEach((d) => { d.open = true; })")
    found = Axe().run(page, context=".answer")
    context.close()
    assert found.violations_count == 0, found.generate_report()
