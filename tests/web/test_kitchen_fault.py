"""The Kitchen screen when something goes wrong, and loggers' files, in a real browser."""

from __future__ import annotations

import re
from datetime import UTC, datetime
from math import exp

import pytest
from playwright.sync_api import Page, expect
from tests.web.own_kitchen import CHICKEN, STEAK, Form, OwnKitchen

from corebath.log.cook import Place

pytestmark = pytest.mark.browser

SHOULDER: Form = {
    "food": "pork shoulder", "shape": "brick", "thick": "70 mm", "wide": "90 mm", "long": "150 mm", "want": "68 C",
    "bath": "20 h", "eat": "2027-03-13T18:30", "zone": "Europe/Paris",
}  # fmt: skip
EVENING = datetime(2027, 3, 12, 19, 0, tzinfo=UTC)
DAWN = datetime(2027, 3, 13, 6, 0, tzinfo=UTC)


def _overnight(page: Page, own: OwnKitchen) -> None:
    """A shoulder in the bath since 20:00, seen fine at 22:00, and found off at 07:00 by the cook's clock."""
    page.request.post("/kitchen/start", form=SHOULDER)
    own.now = EVENING
    page.request.post("/kitchen/1/event", form={"happening": "dropped in"})
    own.later(hours=2)
    page.request.post("/kitchen/1/event", form={"happening": "topped up"})
    own.now = DAWN


def test_a_power_cut_found_at_dawn_is_binned_and_asks_for_nothing_more(phone: Page, own: OwnKitchen) -> None:
    """Nobody knows when it went off after 22:00, so the worst case counts; see docs/decisions/0010-verdict.md."""
    _overnight(phone, own)
    phone.goto("/kitchen/1")
    expect(phone.locator("#verdict-head")).to_have_count(0)
    phone.get_by_role("button", name="Bath was off").click()
    expect(phone.locator("#verdict-head")).to_have_text("Bin")
    verdict = phone.locator("#verdict")
    expect(verdict.locator(".sentence")).to_contain_text("bin it")
    expect(verdict).to_contain_text("pasteurised before the fault")
    expect(verdict).to_contain_text("no more than 4 h in all below 54.4 °C (130 °F)")
    expect(verdict).to_contain_text("Heating it again does not help")
    expect(verdict).to_contain_text("Under which rule")
    expect(verdict.locator(".source").first).not_to_be_empty()
    expect(verdict).to_contain_text("at best")
    expect(phone.locator(".next-task")).to_have_count(0)
    expect(phone.locator("#sheet")).to_have_count(0)
    expect(phone.locator("#next")).to_contain_text(re.compile("Core now: between .* at worst and .* at best"))
    assert phone.locator("figure .narrow svg .area.grey").count() == 1
    own.later(hours=24)
    phone.goto("/kitchen")
    expect(phone.locator(".cooking .sentence")).to_contain_text("bin it")
    expect(phone.locator("#alarm")).to_be_hidden()


def test_a_cut_that_was_seen_is_finished_later_than_planned(phone: Page, own: OwnKitchen) -> None:
    """The bath was cold for an hour on the way up: the pull moves back, the sheet and its alarm with it."""
    phone.request.post("/kitchen/start", form=CHICKEN | {"eat": "2027-03-12T19:30"})
    own.now = datetime(2027, 3, 12, 14, 0, tzinfo=UTC)
    phone.request.post("/kitchen/1/event", form={"happening": "dropped in"})
    phone.goto("/kitchen/1")
    planned = phone.locator(".big time").inner_text()
    own.later(hours=1, minutes=15)
    phone.request.post("/kitchen/1/reading", form={"place": "bath", "value": "50 C"})
    phone.goto("/kitchen/1")
    phone.fill("#event-at", "1 h ago")
    phone.get_by_role("button", name="Bath was off").click()
    expect(phone.locator("#verdict-head")).to_have_text("Finish cooking")
    expect(phone.locator(".what")).to_contain_text("Pull no sooner than this")
    later = phone.locator(".big time").inner_text()
    assert later > planned
    expect(phone.locator(".sheet .now time")).to_have_text(later)
    expect(phone.locator("#alarms li").first).to_contain_text(f"{later}: Pull no sooner")


def _core_C(minutes: float) -> float:
    """A slab of 30 mm by the first term of its series, which is what a probe shows after some minutes."""
    return 4.0 + 58.0 * max(0.0, 1 - 1.27 * exp(-minutes / 12.5))


CSV = "time,bath,core\n" + "".join(
    f"2027-03-12 17:{25 + m}:00,{62.0 + 0.1 * (m % 2):.1f},{_core_C(m):.1f}\n" for m in range(30)
)


def _look_at(page: Page, name: str, text: str) -> None:
    page.goto("/kitchen/1")
    page.click("text=Readings from a logger")
    page.set_input_files("#file", {"name": name, "mimeType": "text/csv", "buffer": text.encode()})
    page.click("text=Look at it")


def _steak_in(page: Page, own: OwnKitchen) -> None:
    page.request.post("/kitchen/start", form=STEAK | {"want": "62 C"})
    own.now = datetime(2027, 3, 12, 16, 25, tzinfo=UTC)
    page.request.post("/kitchen/1/event", form={"happening": "dropped in"})
    own.later(minutes=30)


def test_a_loggers_file_is_shown_as_understood_before_it_is_kept(phone: Page, own: OwnKitchen) -> None:
    _steak_in(phone, own)
    _look_at(phone, "probe.csv", CSV)
    expect(phone.locator("h1")).to_have_text("probe.csv")
    understood = phone.locator("main")
    expect(understood).to_contain_text("Nothing is saved yet")
    expect(understood).to_contain_text("30 rows")
    expect(understood).to_contain_text("From 17:25:00 on Friday 12 March 2027")
    expect(understood).to_contain_text("degrees Celsius")
    phone.goto("/kitchen/1")
    expect(phone.locator("#sources li")).to_have_count(0)
    for _ in range(2):  # the second time adds nothing
        _look_at(phone, "probe.csv", CSV)
        phone.click("text=Save these 60 readings")
        expect(phone.locator("#sources")).to_contain_text("60 from probe.csv")
    found = re.search(r"about ([\d.]+)\s°C", phone.locator("#next").inner_text())
    assert found
    assert float(found[1]) == pytest.approx(_core_C(30), abs=1.5)
    expect(phone.locator("#next")).to_contain_text("The core behaves like a piece")
    phone.get_by_role("button", name="Remove the readings from probe.csv").click()
    expect(phone.locator("#sources li")).to_have_count(0)


def test_what_can_be_read_in_two_ways_is_asked(phone: Page, own: OwnKitchen) -> None:
    _steak_in(phone, own)
    _look_at(phone, "days.csv", CSV.replace("2027-03-12", "03/12/2027"))
    expect(phone.locator(".sentence")).to_have_text("Is 3/12 the day 3 of month 12, or the day 12 of month 3?")
    expect(phone.get_by_role("button", name="Save these")).to_have_count(0)
    phone.get_by_role("button", name="day first").click()
    expect(phone.locator("main")).to_contain_text("on Friday 3 December 2027")
    phone.click("text=It was read wrongly")
    phone.get_by_label("Dates").select_option("month first")
    phone.click("text=Read it again")
    expect(phone.locator("main")).to_contain_text("on Friday 12 March 2027")
    phone.get_by_role("button", name="Save these").click()
    times, _ = own.store.readings(1, Place.BATH)
    assert datetime.fromtimestamp(times[0], UTC) == datetime(2027, 3, 12, 16, 25, tzinfo=UTC)


def test_readings_that_fit_no_such_piece_are_said_to(phone: Page, own: OwnKitchen) -> None:
    _steak_in(phone, own)
    for minutes, value in ((20, "8 C"), (10, "9 C"), (1, "10 C")):
        reading: Form = {"place": "core", "value": value, "at": f"{minutes} min ago"}
        phone.request.post("/kitchen/1/reading", form=reading)
    phone.goto("/kitchen/1")
    expect(phone.locator("#next .mistake")).to_contain_text("check where the probe's tip sits")
