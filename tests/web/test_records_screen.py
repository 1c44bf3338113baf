"""The records in a real browser: without script, with axe, on a phone, and as a printed sheet."""

from __future__ import annotations

import io
import re
from collections.abc import Iterator
from datetime import UTC, datetime

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect
from pypdf import PdfReader
from tests.web.own_kitchen import OwnKitchen, window

from corebath.log.record import Measured, Record, Step

pytestmark = pytest.mark.browser

PAGES = (
    "/log/records", "/log/records?asking=1", "/log/records?from=x", "/log/records/add", "/log/records/add?step=bag",
    "/log/records/add?step=cook", "/log/records/add?step=keep", "/log/records/add?step=reheat",
    "/log/records/add?step=probe", "/log/records/add?corrects=1",
)  # fmt: skip
CHICKEN = {"batch": "Chicken, 12 bags", "food": "chicken breast", "by": "JM"}


def write(page: Page, step: str, **answers: str) -> None:
    """Fill in a row's form and write it down."""
    page.goto(f"/log/records/add?step={step}")
    for name, value in answers.items():
        blank = page.locator(f"#{name}")
        if blank.evaluate("e => e.tagName") == "SELECT":
            blank.select_option(value)
        else:
            blank.fill(value)
    page.get_by_role("button", name="Write it down").click()


@pytest.fixture(scope="module")
def kept(browser: Browser, tmp_path_factory: pytest.TempPathFactory) -> Iterator[OwnKitchen]:
    """A kitchen with rows of some days, one that asks, one corrected; written without script."""
    own = OwnKitchen(tmp_path_factory.mktemp("records"))
    with window(browser, own.address, script=False) as page:
        write(page, "bag", batch="Chicken, 12 bags", measured="08:10 9 C", by="JM")
        write(page, "cook", began="08:30", ended="11:00", set="62 C", measured="09:45 60.4 C\n10:58 61.9 C", **CHICKEN)
        write(page, "chill", began="yesterday 9:00", measured="yesterday 9:02 61 C\nyesterday 15:30 6 C", **CHICKEN)
        write(page, "probe", batch="red probe", where="boiling", measured="07:40 99.6 C", by="JM")
        page.goto("/log/records/add?corrects=3")
        page.fill("#measured", page.input_value("#measured").replace("6 C", "4.5 C"))
        page.fill("#note", "misread")
        page.fill("#by", "AB")
        page.get_by_role("button", name="Write it down").click()
        expect(page.locator("#row-5")).to_contain_text("corrects row 3")
    for day in range(1, 10):
        for number in range(4):
            read = (Measured(datetime(2027, 3, day, 10 + number, tzinfo=UTC), 3.0 + number / 10),)
            own.store.add_record(Record(Step.KEEP, f"Fridge {number + 1}", read[0].at, "JM", measured=read))
    yield own
    own.stop()


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("path", PAGES)
def test_axe_finds_nothing(browser: Browser, kept: OwnKitchen, scheme: str, path: str) -> None:
    dark = scheme == "dark"
    # Blocks on a phone in light, the table of a wide page in dark.
    with window(browser, kept.address, width=1280 if dark else 390, scheme="dark" if dark else "light") as page:
        page.goto(path)
        page.evaluate("document.querySelectorAll('details').forEach((d) => { d.open = true; })")
        found = Axe().run(page)
        assert found.violations_count == 0, found.generate_report()


@pytest.mark.parametrize("path", PAGES)
def test_nothing_scrolls_sideways_at_320_px(browser: Browser, kept: OwnKitchen, path: str) -> None:
    with window(browser, kept.address, width=320, height=640) as page:
        page.goto(path)
        page.evaluate("document.querySelectorAll('details').forEach((d) => { d.open = true; })")
        assert page.evaluate("document.documentElement.scrollWidth") <= 320


def test_a_refused_row_passes_axe_and_keeps_what_was_typed(browser: Browser, kept: OwnKitchen) -> None:
    with window(browser, kept.address, script=True) as page:
        write(page, "cook", batch="x", measured="99:99 57")
        expect(page.locator("#measured")).to_have_value("99:99 57")
        expect(page.locator("#measured-mistake")).to_be_visible()
        found = Axe().run(page)
        assert found.violations_count == 0, found.generate_report()


def test_what_was_done_is_told_at_the_row_without_script(browser: Browser, kept: OwnKitchen) -> None:
    with window(browser, kept.address, script=False) as page:
        page.goto("/log/records?asking=1")
        row = page.locator("#row-1")
        row.get_by_role("button").click()
        expect(page.locator("#row-1 .mistake").nth(1)).to_contain_text("Say what was done about it")
        page.fill("#action-1", "Into ice, then bagged")
        page.fill("#by-1", "AB")
        page.locator("#row-1").get_by_role("button").click()
        expect(page.locator("#row-1 .done")).to_contain_text("Into ice, then bagged (12:00, AB)")
        expect(page.locator("#row-1 form")).to_have_count(0)


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_the_sheet_repeats_its_headings_and_has_lines_to_sign_on(
    browser: Browser, kept: OwnKitchen, paper: str
) -> None:
    with window(browser, kept.address, scheme="dark") as page:
        page.goto("/log/records?from=2027-03-01")
        sheets = PdfReader(io.BytesIO(page.pdf(format=paper, landscape=True))).pages
        page.emulate_media(media="print")
        ink = page.evaluate("getComputedStyle(document.querySelector('.rows .about')).color")
        paper_colour = page.evaluate("getComputedStyle(document.body).backgroundColor")
    told = [sheet.extract_text() for sheet in sheets]
    assert len(told) > 2
    for sheet in told:
        assert "Corrective action" in sheet or "Checked by" in sheet
    whole = "\n".join(told)
    assert "Signature" in told[-1]
    assert "the word of your inspector" in told[0].replace("\n", " ")
    for hidden in ("Add a row", "Save it", "Correct it", "Reported only"):
        assert hidden not in whole
    assert "NOT MET" in whole.upper()
    assert re.sub(r"\s", "", ink) == "rgb(0,0,0)"
    assert re.sub(r"\s", "", paper_colour) == "rgb(255,255,255)"
