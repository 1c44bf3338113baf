"""The Gear screen in a real browser, and the water on the Plan screen that follows from it."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page, expect
from tests.web.access_checks import axe_finds_nothing_at
from tests.web.setting import LAPTOP

pytestmark = pytest.mark.browser

LONG = "/?food=beef-short-rib&thick=40+mm&mass=500+g&want=57+C&bath=30+h&eat=2027-03-14T19:30&zone=Europe/Paris"
OPEN = "&vessel=40+x+30+x+20+cm&heater=1.2+kW,+8+cm+to+18+cm&cover=none"


@pytest.fixture
def gear(screen: Page) -> Iterator[Page]:
    """The Gear screen, left with what the demo kitchen owns."""
    screen.goto("/gear")
    yield screen
    screen.goto("/gear")
    for name in ("stock pot", "hot stick", "second"):
        button = screen.get_by_role("button", name=f"Remove {name}", exact=True)
        if button.count():
            button.click()
            expect(button).to_have_count(0)
    first = screen.locator("section").first.locator(".thing").first
    if "soup pot" not in first.inner_text():
        screen.locator(".thing", has_text="soup pot").get_by_role("button", name="Make it the usual one").click()


def _add_vessel(page: Page, name: str, size: str) -> None:
    page.fill("#vessel-name", name)
    page.fill("#vessel-size", size)
    page.get_by_role("button", name="Add the vessel").click()


def test_a_vessel_is_added_made_usual_and_removed(gear: Page) -> None:
    assert gear.evaluate("document.documentElement.scrollWidth <= window.innerWidth")
    _add_vessel(gear, "stock pot", "30 cm x 25 cm")
    thing = gear.locator(".thing", has_text="stock pot")
    expect(thing).to_contain_text("round, 300 mm × 250 mm deep")
    thing.get_by_role("button", name="Make it the usual one").click()
    expect(gear.locator(".thing").first).to_contain_text("stock pot (usual)")
    gear.goto(LONG)
    assert gear.locator("#vessel").get_attribute("placeholder") == "stock pot"
    gear.goto("/gear")
    gear.get_by_role("button", name="Remove stock pot").click()
    expect(gear.locator(".thing", has_text="stock pot")).to_have_count(0)


def test_a_heater_is_added_and_removed(gear: Page) -> None:
    gear.fill("#heater-name", "hot stick")
    gear.fill("#heater-power", "1.8 kW")
    gear.fill("#heater-marks", "7 cm to 16 cm")
    gear.get_by_role("button", name="Add the heater").click()
    expect(gear.locator(".thing", has_text="hot stick")).to_contain_text("1800 W, water between 70 mm and 160 mm")


@pytest.mark.parametrize(
    ("size", "says"),
    [("big", "not a vessel's size"), ("9 m x 1 m", "must lie between"), ("-3 cm x 4 cm", "cannot be negative")],
)
def test_wrong_sizes_tell_a_sentence_and_keep_what_was_typed(gear: Page, size: str, says: str) -> None:
    _add_vessel(gear, "stock pot", size)
    expect(gear.locator("#vessel-name-mistake")).to_contain_text(says)
    expect(gear.locator("#vessel-size")).to_have_value(size)
    expect(gear.locator(".thing", has_text="stock pot")).to_have_count(0)


def test_two_windows_do_not_overwrite_each_other_silently(gear: Page) -> None:
    other = gear.context.new_page()
    other.goto("/gear")
    _add_vessel(gear, "second", "20 cm x 20 cm")
    _add_vessel(other, "stock pot", "30 cm x 25 cm")
    expect(other.locator("#kitchen-mistake")).to_contain_text("changed in another window")
    expect(other.locator(".thing", has_text="second")).to_have_count(1)
    expect(other.locator("#vessel-name")).to_have_value("stock pot")
    other.get_by_role("button", name="Add the vessel").click()
    expect(other.locator(".thing", has_text="stock pot")).to_have_count(1)
    expect(other.locator(".thing", has_text="second")).to_have_count(1)
    other.close()


def test_a_thermometer_s_readings_become_its_offset(gear: Page) -> None:
    gear.fill("#ice", "0.5 C")
    gear.get_by_role("button", name="Work out the offset").click()
    expect(gear.locator("#probe")).to_have_value("0.5 °C")
    gear.fill("#probe", "0 C")
    gear.get_by_role("button", name="Save these").click()
    expect(gear.locator("#probe")).to_have_value("0 °C")


def test_the_gear_screen_works_without_script(browser: Browser, address: str) -> None:
    context = browser.new_context(java_script_enabled=False, base_url=address)
    page = context.new_page()
    page.goto("/gear")
    _add_vessel(page, "stock pot", "30 cm x 25 cm")
    page.get_by_role("button", name="Remove stock pot").click()
    expect(page.locator(".thing", has_text="stock pot")).to_have_count(0)
    context.close()


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("path", ["/gear", LONG + OPEN])
def test_axe_finds_nothing(browser: Browser, address: str, scheme: str, path: str) -> None:
    axe_finds_nothing_at(browser, address, path, scheme)


def test_a_long_open_cook_shows_its_bath(screen: Page) -> None:
    screen.goto(LONG + OPEN)
    section = screen.locator("section", has=screen.locator("#water-head"))
    expect(section).to_contain_text("The water may not last")
    viewport = screen.viewport_size
    assert viewport is not None
    wide = viewport["width"] >= LAPTOP["width"]
    expect(section.locator("figure .wide svg" if wide else "figure .narrow svg")).to_be_visible()
    assert screen.evaluate("document.documentElement.scrollWidth <= window.innerWidth")


def test_a_wait_in_ice_is_planned_and_a_poor_one_refused(screen: Page) -> None:
    screen.goto(
        "/?food=beef-ribeye&thick=30+mm&mass=280+g&want=57+C&eat=2027-03-13T19:30&zone=Europe/Paris&ice=5+h,+1+kg"
    )
    expect(screen.locator("#answer-head")).to_have_text("This cannot work as asked")
    expect(screen.locator(".failures")).to_contain_text("The water stays cold until the heater starts")
    screen.locator(".alternatives a", has_text="of ice").click()
    expect(screen.locator("#answer-head")).to_have_text("The plan")
    expect(screen.locator(".sentence")).to_contain_text("lay it in ice water")
    expect(screen.locator(".sheet")).to_contain_text("The heater starts")
    screen.goto(screen.url.split("&ice=")[0] + "&ice=soon")
    expect(screen.locator("#ice-mistake")).to_contain_text("no wait in ice")
