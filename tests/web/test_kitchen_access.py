"""Every page of the Kitchen and the Log for all: checked by axe in both themes, and 320 px wide."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, FilePayload
from tests.web.own_kitchen import CHICKEN, STEAK, OwnKitchen, window

pytestmark = pytest.mark.browser

PAGES = (
    "/kitchen", "/kitchen/1", "/kitchen/2", "/kitchen/3", "/log", "/log?q=swordfish", "/log/4", "/log/5",
    "/log/compare?cook=4&cook=5", "/log/compare?cook=4", "/nowhere", "/kitchen/99", "/log?page=x",
)  # fmt: skip
_PIXEL = bytes.fromhex(
    "89504e470d0a1a0a0000000d49484452000000010000000108020000009077"
    "53de0000000c49444154789c63f8cfc0000003010100c9fe92ef0000000049454e44ae426082"
)


@pytest.fixture(scope="module")
def furnished(browser: Browser, tmp_path_factory: pytest.TempPathFactory) -> Iterator[OwnKitchen]:
    """A kitchen with a cook to start, one under way, one binned, and two in the log, rated and with a photo."""
    own = OwnKitchen(tmp_path_factory.mktemp("furnished"))
    with window(browser, own.address) as page:

        def post(path: str, **form: str | float | bool) -> None:
            page.request.post(path, form=form)

        post("/kitchen/start", **STEAK)
        post("/kitchen/start", **CHICKEN)
        post("/kitchen/start", **(CHICKEN | {"eat": "2027-03-12T18:00"}))
        for number in (4, 5):
            post("/kitchen/start", **(STEAK | {"want": f"{50 + number} C"}))
        own.now = datetime(2027, 3, 12, 13, 0, tzinfo=UTC)
        post("/kitchen/3/event", happening="dropped in")
        for number in (4, 5):
            post(f"/kitchen/{number}/event", happening="dropped in")
            post(f"/kitchen/{number}/reading", place="core", value="5 C")
        own.later(hours=2)
        post("/kitchen/2/event", happening="dropped in", at="1 h ago")
        post("/kitchen/2/reading", place="core", value="49 C", at="10 min ago")
        post("/kitchen/2/reading", place="bath", value="62 C", at="10 min ago")
        for number in (4, 5):
            post(f"/kitchen/{number}/event", happening="pulled")
            post(f"/kitchen/{number}/end", revision=str(own.store.cook(number).revision))
            post(f"/log/{number}/rating", revision=str(own.store.cook(number).revision), note="a bit dry, chewy")
        photo = FilePayload(name="slice.png", mimeType="image/png", buffer=_PIXEL)
        page.request.post("/log/4/photo", multipart={"photo": photo, "caption": "A slice"})
        own.now += timedelta(hours=6)
        post("/kitchen/3/event", happening="bath was off")
    yield own
    own.stop()


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("path", PAGES)
def test_axe_finds_nothing(browser: Browser, furnished: OwnKitchen, scheme: str, path: str) -> None:
    with window(browser, furnished.address, scheme="dark" if scheme == "dark" else "light") as page:
        page.goto(path)
        page.evaluate("document.querySelectorAll('details').forEach((d) => { d.open = true; })")
        found = Axe().run(page)
        assert found.violations_count == 0, found.generate_report()


@pytest.mark.parametrize("path", PAGES)
def test_nothing_scrolls_sideways_at_320_px(browser: Browser, furnished: OwnKitchen, path: str) -> None:
    """320 px is a laptop's window at 400 % zoom."""
    with window(browser, furnished.address, width=320, height=640) as page:
        page.goto(path)
        page.evaluate("document.querySelectorAll('details').forEach((d) => { d.open = true; })")
        assert page.evaluate("document.documentElement.scrollWidth") <= 320


def test_a_file_that_is_asked_about_passes_axe_too(browser: Browser, furnished: OwnKitchen) -> None:
    for text in (
        "time,bath\n03/04/2027 10:00,62.0\n03/04/2027 10:01,62.1\n",
        "no columns",
        "t,bath\n0,62\n60,62\n120,62",
    ):
        with window(browser, furnished.address, width=320, height=640) as page:
            page.goto("/kitchen/2")
            page.click("text=Readings from a logger")
            page.set_input_files("#file", {"name": "a.csv", "mimeType": "text/csv", "buffer": text.encode()})
            page.click("text=Look at it")
            page.evaluate("document.querySelectorAll('details').forEach((d) => { d.open = true; })")
            found = Axe().run(page)
            assert found.violations_count == 0, found.generate_report()
            assert page.evaluate("document.documentElement.scrollWidth") <= 320


def test_the_targets_of_a_wet_finger_are_large(browser: Browser, furnished: OwnKitchen) -> None:
    """44 px at the least, the larger of the two sizes that WCAG 2.2 names (2.5.5, 2.5.8; value from memory)."""
    with window(browser, furnished.address) as page:
        page.goto("/kitchen/2")
        for button in page.locator("main button:visible").all():
            size = button.bounding_box()
            assert size is not None
            assert size["height"] >= 44, button.inner_text()
