"""The page of a week's portions in a real browser, at phone and laptop size."""

from __future__ import annotations

import pytest
from playwright.sync_api import Browser, Page, expect
from tests.web.access_checks import axe_finds_nothing_at

pytestmark = pytest.mark.browser

WEEK = (
    "/batch?begin=2027-03-14T14:00&days=Mon+to+Wed&fridge=4+C&vessel=blue+tote&zone=Europe/Paris"
    "&l1.food=chicken+breast&l1.thick=25+mm+x3&l1.mass=200+g&l1.want=62+C"
)
FAILS = WEEK.replace("62+C", "54+C") + "&guests=risk"
UNCLEAR = "/batch?begin=soon&fridge=40+C&l1.food=chikn&l1.thick=9+m"


def test_the_demo_kitchen_opens_on_a_week_that_works(screen: Page) -> None:
    screen.goto("/batch")
    expect(screen.locator("#answer-head")).to_have_text("The batch")
    expect(screen.locator("main")).to_contain_text("fridge, use by")
    assert screen.locator(".sheet.week").count() == 6
    assert screen.evaluate("document.documentElement.scrollWidth <= window.innerWidth")


def test_the_address_holds_the_whole_question(screen: Page) -> None:
    screen.goto("/batch?begin=Sun+14:00&days=Mon&l1.food=salmon&l1.thick=25+mm&l1.want=52+C&l1.fish=frozen")
    assert "2027-03-14T14%3A00" in screen.url
    address, sentence = screen.url, screen.locator(".sentence").inner_text()
    screen.reload()
    assert screen.url == address
    expect(screen.locator(".sentence")).to_have_text(sentence)


def test_foods_are_added_and_taken_off_without_script(browser: Browser, address: str) -> None:
    context = browser.new_context(java_script_enabled=False, base_url=address)
    page = context.new_page()
    page.goto(WEEK)
    page.get_by_role("button", name="Another food").click()
    expect(page.locator("#l2-food")).to_have_value("")
    expect(page.locator("#l1-thick")).to_have_value("25 mm x3")
    page.fill("#l2-food", "ribeye")
    page.fill("#l2-thick", "20 mm")
    page.fill("#l2-want", "57 C")
    page.fill("#l1-thick", "25 mm x4")
    page.get_by_role("button", name="Plan the batch").first.click()
    assert "l2.food=ribeye" in page.url
    assert "l1.thick=25+mm+x4" in page.url
    expect(page.locator(".mistake").first).to_contain_text("1 piece cannot be eaten on 3 days")
    page.get_by_role("button", name="Take food 2 off").click()
    expect(page.locator("#l2-food")).to_have_count(0)
    expect(page.locator("#answer-head")).to_have_text("The batch")
    context.close()


def test_mistakes_stand_beside_their_blanks_and_nothing_is_lost(screen: Page) -> None:
    screen.goto(UNCLEAR)
    expect(screen.locator("#answer-head")).to_have_text("Not clear yet")
    for name, value in (("begin", "soon"), ("fridge", "40 C"), ("l1-food", "chikn"), ("l1-thick", "9 m")):
        expect(screen.locator(f"#{name}")).to_have_value(value)
        expect(screen.locator(f"#{name}")).to_have_attribute("aria-describedby", f"{name}-mistake")
        expect(screen.locator(f"#{name}-mistake")).to_be_visible()
    screen.locator(".choices a").first.click()
    expect(screen.locator("#l1-food")).not_to_have_value("chikn")


def test_a_batch_that_fails_says_what(screen: Page) -> None:
    screen.goto(FAILS)
    expect(screen.locator("#answer-head")).to_have_text("Not all of this can be had as asked")
    expect(screen.locator(".failures")).to_contain_text("Safety:")
    expect(screen.locator("main")).to_contain_text("do not follow it")


def test_the_files_of_the_page_are_there(screen: Page) -> None:
    screen.goto(WEEK)
    for name, starts in (
        ("as a calendar file", b"BEGIN:VCALENDAR"),
        ("the bags", b"bag,"),
        ("the tasks", b"at,"),
        ("All labels to print", b"%PDF"),
        ("as JSON", b"{"),
    ):
        where = screen.get_by_role("link", name=name, exact=True).get_attribute("href")
        assert where is not None
        response = screen.request.get(where)
        assert response.ok
        assert response.body().startswith(starts)
    assert screen.request.get("/api" + UNCLEAR).status == 422


def test_the_plan_of_one_food_leads_here(screen: Page) -> None:
    screen.goto("/?food=chicken-breast&thick=30+mm&pieces=4&want=62+C&eat=2027-03-12T19:30&zone=Europe/Paris")
    screen.get_by_role("link", name="Cook a week's portions of it at once").click()
    expect(screen.locator("#l1-thick")).to_have_value("30 mm x4")
    expect(screen.locator("#begin-mistake")).to_be_visible()


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("path", [WEEK, FAILS, UNCLEAR])
def test_axe_finds_nothing_in_a_batch(browser: Browser, address: str, scheme: str, path: str) -> None:
    axe_finds_nothing_at(browser, address, path, scheme)
