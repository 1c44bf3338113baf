"""Each scenario on a phone: asked on its screen, the substance of its answer read there, nothing wider than it."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import AbstractContextManager, contextmanager
from datetime import datetime
from pathlib import Path
from urllib.parse import urlencode

import pytest
from playwright.sync_api import Browser, Page, expect
from tests.acceptance.kitchens import PARIS, TUESDAY
from tests.acceptance.test_scenario_8_more_tender import ROWS, Cook
from tests.web.own_kitchen import OwnKitchen, window
from tools.acceptance.first_four import QUARRY_STREET

from corebath.ask.menu_file import read_menu
from corebath.bath.gear import Room
from corebath.log.gear import Kitchen

pytestmark = pytest.mark.browser

POT = {"vessel": "24 cm x 14 cm", "heater": "1.1 kW, 9 cm to 12 cm"}


@pytest.fixture
def own(own: OwnKitchen) -> OwnKitchen:
    """A kitchen of which nothing is known but that it is in Paris."""
    own.store.save_kitchen(Kitchen(zone=PARIS), _revision(own))
    return own


def _revision(own: OwnKitchen) -> int:
    kept = own.store.kitchen()
    assert kept is not None
    return kept[1]


def asked(own: OwnKitchen, browser: Browser, now: datetime, path: str, **answers: str) -> AbstractContextManager[Page]:
    """The screen that answers a question asked at this moment, in Paris."""
    own.now = now
    return opened(browser, own, f"{path}?{urlencode({'zone': 'Europe/Paris'} | answers)}")


@contextmanager
def opened(browser: Browser, own: OwnKitchen, address: str) -> Iterator[Page]:
    with window(browser, own.address) as page:
        page.goto(address)
        yield page
        assert page.evaluate("document.documentElement.scrollWidth <= window.innerWidth")


def sheet(page: Page, what: str) -> None:
    """A line of the run sheet says this."""
    expect(page.locator(".sheet").filter(has_text=what).first).to_be_visible()


def says(page: Page, *words: str) -> None:
    told = (page.locator("main").text_content() or "").replace("\u00a0", " ")
    assert [word for word in words if not re.search(word, told)] == []


def test_two_steaks_are_typed_into_the_blanks(browser: Browser, own: OwnKitchen) -> None:
    another = {"food": "ribeye", "thick": "50 mm", "want": "60 C", "eat": "2027-05-04T21:00", "rules": "UK"}
    with asked(own, browser, TUESDAY, "/", **another, **POT) as page:
        page.evaluate("document.querySelectorAll('form details').forEach(one => one.open = true)")
        typed = {"food": "sirloin", "thick": "30 mm", "want": "55 C", "mass": "280 g", "pieces": "2"}
        for blank, answer in (typed | {"eat": "2027-05-04T19:30"}).items():
            page.fill(f"#{blank}", answer)
        page.press("#eat", "Enter")
        expect(page.locator(".sentence")).to_contain_text("striploin")
        expect(page.locator(".sentence")).to_contain_text("17:25")
        sheet(page, "2.8 g")
        says(page, "Salmonella at the core", "surface of intact meat")


def test_the_governing_chicken_bag_and_the_uncle_s_sentence(browser: Browser, own: OwnKitchen) -> None:
    bags = {
        "l1.food": "chicken breast",
        "l1.thick": "22 mm x2, 28 mm x2, 38 mm x2, 28 mm x2 overlapping",
        "l1.want": "62 C",
    }
    uncle = {"done": "2027-05-04T19:00", "days": "Tue", "guests": "risk"}
    with asked(own, browser, TUESDAY, "/batch", **bags, **uncle) as page:
        expect(page.locator("#answer-head")).to_have_text("The batch")
        says(page, "Bag 4 sets the time, by what is 56 mm", "again flat and apart", "FSIS")


def test_carrots_then_ribeye_on_one_run_sheet(browser: Browser, own: OwnKitchen) -> None:
    own.now = TUESDAY
    pairs = [*read_menu(QUARRY_STREET.replace('"20:00"', '"2027-05-04T20:00"')).pairs()]
    with opened(browser, own, f"/menu?{urlencode(pairs)}") as page:
        # No weight is named: whether the carrots stay under water is not known, and the head says so.
        expect(page.locator("#answer-head")).to_have_text("The answer: not every binding rule is met")
        says(page, r"Take out 4\.7 L", r"54\.5 °C")
        told = page.locator("section", has=page.locator("#sheet-head")).inner_text().replace("\u00a0", " ")
        assert told.index("bath holds 85 °C") < told.index("4.7 L") < told.index("bath holds 54 °C")


def test_the_clocks_go_back_on_the_run_sheet_and_the_card(browser: Browser, own: OwnKitchen) -> None:
    now = datetime(2027, 10, 29, 12, 0, tzinfo=PARIS)
    ribs = {"food": "short ribs", "thick": "40 mm", "mass": "400 g", "pieces": "4", "want": "57 C", "bath": "36 h"}
    bath = {"vessel": "40 cm x 30 cm x 20 cm", "heater": "1.1 kW, 8 cm to 18 cm", "litres": "18 L"}
    with asked(own, browser, now, "/", eat="2027-10-31T18:30", **ribs, **bath) as page:
        expect(page.locator(".sentence")).to_contain_text("07:10 on Saturday 30 October")
        sheet(page, "The clocks go back by 1 h meanwhile")
        sheet(page, "Top up with 4.57 kg")
        page.goto(page.url.replace("/?", "/card?"))
        says(page, "Seal twice", "Power cut: leave the cover on", "clocks go back")


@pytest.mark.parametrize(
    ("body", "words"),
    [
        ({"shape": "cylinder", "thick": "90 mm"}, ["13:30", "no flat extra"]),
        ({"shape": "slab", "thick": "75 mm"}, ["Wednesday 5 May", "not enough time"]),
    ],
    ids=["round", "flat"],
)
def test_the_frozen_roast_is_refused_as_asked_and_told_what_fits(
    browser: Browser, own: OwnKitchen, body: dict[str, str], words: list[str]
) -> None:
    roast = {"food": "pork loin", "state": "frozen", "handling": "rolled", "want": "60 C", "eat": "2027-05-04T20:00"}
    with asked(own, browser, TUESDAY.replace(hour=13), "/", **roast, **body) as page:
        expect(page.locator("#answer-head")).to_have_text("This cannot work as asked")
        says(page, *words)


def test_the_hut_refuses_90_c_and_calls_the_probe_right(browser: Browser, own: OwnKitchen) -> None:
    own.store.save_kitchen(Kitchen(zone=PARIS, room=Room(altitude_m=2600.0)), _revision(own))
    beetroot = {"food": "beetroot", "thick": "50 mm", "mass": "150 g", "eat": "2027-05-04T20:00", **POT}
    with asked(own, browser, TUESDAY, "/", want="90 C", **beetroot) as page:
        expect(page.locator("#want-mistake")).to_contain_text(re.compile(r"86\.6\s°C.*boiling near 91\.3\s°C"))
        page.fill("#want", "85 C")
        page.press("#want", "Tab")
        expect(page.locator("#answer-head")).to_have_text("The plan")
        page.goto("/gear")
        page.fill("#boiling", "91.4 C")
        page.get_by_role("button", name=re.compile("thermometer|check|offset", re.IGNORECASE)).first.click()
        says(page, r"91\.3 °C")


def test_a_week_of_lunches_with_its_labels(browser: Browser, own: OwnKitchen) -> None:
    chicken = {"l1.food": "chicken breast", "l1.thick": "38 mm x10", "l1.total": "3.2 kg", "l1.want": "62 C"}
    steak = {
        "l2.food": "ribeye",
        "l2.thick": "20 mm",
        "l2.mass": "250 g",
        "l2.want": "54 C",
        "l2.bath": "1 h",
        "l2.days": "Mon",
    }
    week = {"begin": "2027-05-09T14:00", "days": "Mon to Fri", "fridge": "7 C"}
    friday = datetime(2027, 5, 7, 9, 0, tzinfo=PARIS)
    with asked(own, browser, friday, "/batch", **week, **chicken, **steak) as page:
        says(page, "This fridge is too warm", "next day only", "house rule", "of ice")
        expect(page.locator("section", has=page.locator("#labels-head"))).to_contain_text("heated, not pasteurised")


def test_next_time_stands_at_the_end_of_the_last_chuck(browser: Browser, tmp_path: Path) -> None:
    cook = Cook(tmp_path)
    for number, (set_point, hours, note) in enumerate(ROWS, start=1):
        cook.cook(number, set_point, hours, note)
    cook.store.close()
    own = OwnKitchen(tmp_path)
    own.now = cook.now
    try:
        with opened(browser, own, "/log/3") as page:
            section = page.locator("section", has=page.locator("#next-head"))
            expect(section).to_contain_text("three rated cooks")
            expect(section).to_contain_text("Stop if")
            page.click("text=Plan it like this")
            expect(page.locator("#want")).to_have_value(re.compile(r"^5[67]"))
    finally:
        own.stop()
