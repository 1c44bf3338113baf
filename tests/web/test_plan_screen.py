"""The Plan screen in a real browser: the main job, at phone and laptop size."""

from __future__ import annotations

import re
from urllib.parse import parse_qs, urlparse

import pytest
from playwright.sync_api import Browser, Page, expect
from tests.web.access_checks import axe_finds_nothing_at
from tests.web.setting import PHONE

pytestmark = pytest.mark.browser

STEAK = "/?food=beef-ribeye&thick=30+mm&want=medium-rare&eat=2027-03-12T19:30&zone=Europe/Paris"
UNCLEAR = "/?food=sirloin&thick=10+m"
FAILING = STEAK.replace("medium-rare", "49+C") + "&guests=risk"


def _answers(page: Page) -> dict[str, str]:
    return {k: v[0] for k, v in parse_qs(urlparse(page.url).query).items()}


def _visible_map(page: Page) -> str:
    viewport = page.viewport_size
    assert viewport is not None
    return "#map .narrow svg" if viewport["width"] < 640 else "#map .wide svg"


def test_demo_kitchen_opens_on_a_working_plan(screen: Page) -> None:
    screen.goto("/")
    expect(screen.locator("#answer-head")).to_have_text("The plan")
    assert _answers(screen)["food"] == "beef ribeye steak"
    assert screen.locator(".sheet tbody tr").count() >= 6
    assert screen.evaluate("document.documentElement.scrollWidth <= window.innerWidth")


def test_a_changed_answer_changes_the_plan_and_the_address(screen: Page) -> None:
    screen.goto(STEAK)
    before = screen.locator(".sentence").inner_text()
    screen.fill("#thick", "50 mm")
    screen.press("#thick", "Tab")
    expect(screen.locator(".sentence")).not_to_have_text(before)
    assert _answers(screen)["thick"] == "50 mm"
    address, sentence = screen.url, screen.locator(".sentence").inner_text()
    screen.reload()
    assert screen.url == address
    expect(screen.locator(".sentence")).to_have_text(sentence)


def test_arrow_keys_move_the_point(screen: Page) -> None:
    screen.goto(STEAK)
    point = screen.locator(f"{_visible_map(screen)} [role=slider]")
    point.focus()
    screen.keyboard.press("ArrowUp")
    screen.keyboard.press("ArrowUp")
    screen.keyboard.press("ArrowRight")
    screen.wait_for_url(re.compile("bath="))
    answers = _answers(screen)
    assert answers["want"] == "57.0 C"  # medium rare stands at 56 C
    assert answers["bath"].endswith("min")
    expect(screen.locator("#bath")).to_be_visible()


def test_mouse_drags_the_point(screen: Page) -> None:
    screen.goto(STEAK)
    svg = screen.locator(_visible_map(screen))
    svg.scroll_into_view_if_needed()
    knob = svg.locator("[role=slider]").bounding_box()
    assert knob is not None
    x, y = knob["x"] + knob["width"] / 2, knob["y"] + knob["height"] / 2
    screen.mouse.move(x, y)
    screen.mouse.down()
    screen.mouse.move(x + 40, y - 40, steps=5)
    screen.mouse.up()
    screen.wait_for_url(re.compile("bath="))
    assert float(_answers(screen)["want"].split()[0]) > 56


def test_finger_drags_the_point(browser: Browser, address: str) -> None:
    # With touch-action only on the point, a drag is cut off after some 15 px: it has to be on the whole chart.
    context = browser.new_context(
        viewport={"width": PHONE["width"], "height": PHONE["height"]}, has_touch=True, base_url=address
    )
    page = context.new_page()
    page.goto(STEAK)
    svg = page.locator("#map .narrow svg")
    svg.scroll_into_view_if_needed()
    knob = svg.locator("[role=slider]").bounding_box()
    assert knob is not None
    x, y = knob["x"] + knob["width"] / 2, knob["y"] + knob["height"] / 2
    session = context.new_cdp_session(page)
    session.send("Input.dispatchTouchEvent", {"type": "touchStart", "touchPoints": [{"x": x, "y": y}]})
    for step in range(1, 9):
        session.send("Input.dispatchTouchEvent", {"type": "touchMove", "touchPoints": [{"x": x, "y": y - 8 * step}]})
    session.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})
    page.wait_for_url(re.compile("bath="))
    frame = svg.bounding_box()
    assert frame is not None
    span = {k: float(svg.get_attribute(f"data-{k}") or "nan") for k in ("y0", "y1", "c0", "c1")}
    view = float((svg.get_attribute("viewBox") or "").split()[3])
    per_px = (span["c1"] - span["c0"]) / (span["y1"] - span["y0"]) * view / frame["height"]
    assert abs(float(_answers(page)["want"].split()[0]) - (56 - 64 * per_px)) <= 0.75
    context.close()


def test_a_mistake_is_told_beside_its_blank_and_nothing_is_lost(screen: Page) -> None:
    screen.goto(STEAK)
    screen.fill("#thick", "10 m")
    screen.press("#thick", "Tab")
    expect(screen.locator("#thick-mistake")).to_be_visible()
    expect(screen.locator("#thick")).to_have_value("10 m")
    expect(screen.locator("#food")).to_have_value("beef-ribeye")
    expect(screen.locator("#thick")).to_have_attribute("aria-describedby", "thick-mistake")


def test_a_wish_that_fails_offers_plans_that_work(screen: Page) -> None:
    screen.goto(
        "/?food=pork+loin&shape=slab&thick=75+mm&state=frozen&handling=rolled&want=60+C&eat=2027-03-12T18:00&zone=Europe/Paris"
    )
    expect(screen.locator("#answer-head")).to_have_text("This cannot work as asked")
    screen.locator(".alternatives a").first.click()
    expect(screen.locator("#answer-head")).to_have_text("The plan")


def test_the_page_works_without_script(browser: Browser, address: str) -> None:
    context = browser.new_context(java_script_enabled=False, base_url=address)
    page = context.new_page()
    page.goto("/")
    page.fill("#thick", "45 mm")
    page.click("button[type=submit]")
    assert "thick=45+mm" in page.url
    expect(page.locator("#answer-head")).to_have_text("The plan")
    context.close()


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("path", [STEAK, UNCLEAR, FAILING])
def test_axe_finds_nothing(browser: Browser, address: str, scheme: str, path: str) -> None:
    axe_finds_nothing_at(browser, address, path, scheme)


def test_nothing_is_lost_at_double_zoom(browser: Browser, address: str) -> None:
    # 200 % zoom of a 1280 px window leaves 640 CSS px; 400 % leaves 320.
    context = browser.new_context(viewport={"width": 320, "height": 640}, base_url=address)
    page = context.new_page()
    page.goto(STEAK)
    assert page.evaluate("document.documentElement.scrollWidth <= window.innerWidth")
    context.close()
