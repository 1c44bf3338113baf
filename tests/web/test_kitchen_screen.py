"""The Kitchen screen in a real browser: a cook from its plan to the plate, told by taps."""

from __future__ import annotations

import re
from datetime import UTC, datetime

import pytest
from playwright.sync_api import Browser, Page, expect
from tests.web.own_kitchen import CHICKEN, PLAN, STEAK, OwnKitchen, window
from tests.web.setting import LAPTOP, PHONE

pytestmark = pytest.mark.browser

# The plan says: drop in at 17:25, pull at 19:15, in Paris.
DROP_IN = datetime(2027, 3, 12, 16, 25, tzinfo=UTC)
PULL = datetime(2027, 3, 12, 18, 15, tzinfo=UTC)


def _start(page: Page, own: OwnKitchen) -> None:
    """The steak, dropped in by plan."""
    page.request.post("/kitchen/start", form=STEAK)
    own.now = DROP_IN
    page.request.post("/kitchen/1/event", form={"happening": "dropped in"})


@pytest.mark.parametrize("size", [PHONE, LAPTOP], ids=["phone", "laptop"])
def test_a_cook_goes_from_plan_to_plate_by_taps(browser: Browser, own: OwnKitchen, size: dict[str, int]) -> None:
    with window(browser, own.address, width=size["width"], height=size["height"]) as page:
        page.goto(PLAN)
        page.click("text=Start this cook")
        expect(page.locator(".what")).to_contain_text("Dry brine")
        own.now = DROP_IN
        page.reload()
        expect(page.locator(".big time")).to_have_text("17:25")
        expect(page.locator(".what")).to_contain_text("drop in the piece")
        page.click("text=Dropped in")
        expect(page.locator(".big time")).to_have_text("19:15")
        expect(page.locator(".big [data-until]")).to_have_text(re.compile("in 1 h (49|50) min"))
        expect(page.locator(".sheet .now")).to_contain_text("+1 h 50 min")
        expect(page.locator("#next")).to_contain_text("Core now")
        own.now = PULL
        page.reload()
        page.get_by_role("button", name="Pulled").click()
        expect(page.locator(".what")).to_contain_text("dry the surface")
        own.later(minutes=5)
        page.reload()
        expect(page.locator(".what")).to_contain_text("Sear")
        own.later(minutes=10)
        page.get_by_role("button", name="Served").click()
        expect(page.locator(".what")).to_contain_text("Leftovers")
        page.click("text=Done: on to the log")
        expect(page.locator("h1")).to_have_text("Beef ribeye steak")
        assert page.url.endswith("/log/1")


def test_a_time_can_be_told_and_changed_and_taken_back(phone: Page, own: OwnKitchen) -> None:
    phone.request.post("/kitchen/start", form=STEAK)
    own.now = DROP_IN
    phone.goto("/kitchen/1")
    phone.fill("#event-at", "10 min ago")
    phone.click("text=Dropped in")
    expect(phone.locator(".big time")).to_have_text("19:05")
    field = phone.get_by_label("When: dropped in")
    expect(field).to_have_value("2027-03-12T17:15")
    field.fill("2027-03-12T17:00")
    phone.get_by_role("button", name="Change the time: dropped in").click()
    expect(phone.locator(".big time")).to_have_text("18:50")
    expect(phone.locator(".clocks")).to_contain_text("since 17:00")
    phone.get_by_role("button", name="Remove: dropped in").click()
    expect(phone.locator(".clocks")).to_have_text("Not in the bath yet.")
    expect(phone.locator(".big time")).to_have_text("17:25")


def test_what_is_not_clear_gets_one_sentence_and_loses_nothing(phone: Page, own: OwnKitchen) -> None:
    _start(phone, own)
    own.later(minutes=30)
    phone.goto("/kitchen/1")
    phone.get_by_label("What was read").fill("warm")
    phone.get_by_label("When it was read").fill("10 min ago")
    phone.get_by_label("Where it was read").select_option("bath")
    phone.click("text=Save the reading")
    expect(phone.locator("#reading-mistake")).to_contain_text("'warm'")
    expect(phone.get_by_label("What was read")).to_have_value("warm")
    expect(phone.get_by_label("When it was read")).to_have_value("10 min ago")
    expect(phone.get_by_label("Where it was read")).to_have_value("bath")
    phone.fill("#event-at", "sometime")
    phone.get_by_role("button", name="Pulled").click()
    expect(phone.locator("#event-mistake")).to_contain_text("'sometime'")
    expect(phone.locator("#event-at")).to_have_value("sometime")


def test_a_reading_moves_the_core_and_the_time_it_is_ready(phone: Page, own: OwnKitchen) -> None:
    _start(phone, own)
    own.later(minutes=30)
    phone.goto("/kitchen/1")
    before = phone.locator("#next").inner_text()
    phone.get_by_label("What was read").fill("102 F")
    phone.click("text=Save the reading")
    expect(phone.locator("#sources")).to_contain_text("1 typed in")
    after = phone.locator("#next").inner_text()
    assert "about 4" in before
    assert re.search(r"about (38|39)\.?\d?\s°C", after), after  # 102 °F is 38.9 °C
    assert _ready(after) > _ready(before)
    expect(phone.locator("figure .narrow svg")).to_be_visible()
    expect(phone.locator("figure .wide svg")).to_be_hidden()


def _ready(text: str) -> str:
    found = re.search(r"Hot through by (\d\d:\d\d), give or take", text)
    assert found, text
    return found[1]


def test_an_alarm_outlives_reload_and_restart_until_it_is_heard(phone: Page, own: OwnKitchen) -> None:
    _start(phone, own)
    own.now = PULL
    phone.goto("/kitchen/1")
    alarm = phone.locator("#alarm")
    expect(alarm).to_contain_text("Pull the bag")
    assert phone.title().startswith("Now: ")
    phone.reload()
    expect(alarm).to_contain_text("Pull the bag")
    own.stop()
    own.start()
    phone.reload()
    expect(alarm).to_contain_text("Pull the bag")
    alarm.get_by_role("button", name="Heard").click()
    expect(alarm).to_be_hidden()
    phone.reload()
    expect(phone.locator(".big time")).to_have_text("19:15")
    expect(alarm).to_be_hidden()
    own.stop()
    own.start()
    phone.reload()
    expect(phone.locator(".big time")).to_have_text("19:15")
    expect(alarm).to_be_hidden()


def test_an_alarm_comes_when_due_on_an_open_page_though_the_server_is_away(browser: Browser, own: OwnKitchen) -> None:
    with window(browser, own.address, frozen_at=DROP_IN) as page:
        _start(page, own)
        page.goto("/kitchen/1")
        expect(page.locator("#alarm")).to_be_hidden()
        own.stop()
        page.clock.run_for(109 * 60_000)
        expect(page.locator("#alarm")).to_be_hidden()
        expect(page.locator(".big [data-until]")).to_have_text("in 1:00 min")
        page.clock.run_for(61_000)
        expect(page.locator("#alarm")).to_contain_text("Pull the bag")
        expect(page.locator(".big [data-until]")).to_have_text("now")
        own.start()


def test_several_cooks_go_on_at_once_and_ring_everywhere(phone: Page, own: OwnKitchen) -> None:
    _start(phone, own)
    phone.request.post("/kitchen/start", form=CHICKEN | {"eat": "2027-03-12T21:30"})
    own.now = PULL
    phone.goto("/kitchen")
    expect(phone.locator(".cooking")).to_have_count(2)
    expect(phone.locator("#alarm")).to_contain_text("Beef ribeye steak, 19:15: Pull the bag")
    phone.goto("/kitchen/2")
    expect(phone.locator("h1")).to_contain_text("Chicken")
    expect(phone.locator("#alarm")).to_contain_text("Beef ribeye steak, 19:15: Pull the bag")
    phone.request.post("/kitchen/1/event", form={"happening": "pulled"})
    phone.reload()
    expect(phone.locator("#alarm")).not_to_contain_text("Pull the bag")


def test_an_open_page_takes_over_what_another_window_told(browser: Browser, own: OwnKitchen) -> None:
    with window(browser, own.address, frozen_at=DROP_IN) as page:
        page.request.post("/kitchen/start", form=STEAK)
        own.now = DROP_IN
        page.goto("/kitchen/1")
        page.get_by_label("What was read").fill("54")
        page.request.post("/kitchen/1/event", form={"happening": "dropped in"})
        page.clock.run_for(31_000)
        expect(page.locator(".big time")).to_have_text("19:15")
        expect(page.get_by_role("button", name="Pulled")).to_be_visible()
        expect(page.get_by_label("What was read")).to_have_value("54")


def test_of_two_windows_the_second_change_is_refused_with_a_way_back(browser: Browser, own: OwnKitchen) -> None:
    with window(browser, own.address) as one, window(browser, own.address) as two:
        _start(one, own)
        one.goto("/kitchen/1")
        two.goto("/kitchen/1")
        one.get_by_label("When: dropped in").fill("2027-03-12T17:20")
        one.get_by_role("button", name="Change the time: dropped in").click()
        expect(one.locator(".clocks")).to_contain_text("since 17:20")
        two.get_by_role("button", name="Remove: dropped in").click()
        expect(two.locator("h1")).to_have_text("Changed meanwhile")
        expect(two.locator(".sentence")).to_have_text(re.compile(r"^The cook was changed in another window [^.]*\.$"))
        two.get_by_role("link", name="Back to the cook").click()
        expect(two.locator(".clocks")).to_contain_text("since 17:20")


def test_sound_and_screen_stay_as_they_were_switched(phone: Page, own: OwnKitchen) -> None:
    _start(phone, own)
    phone.goto("/kitchen/1")
    sound = phone.locator("#sound")
    expect(sound).to_have_attribute("aria-pressed", "false")
    sound.click()
    expect(sound).to_have_attribute("aria-pressed", "true")
    expect(phone.locator("#device-said")).to_contain_text("Alarms sound on this device")
    phone.locator("#awake").click()
    expect(phone.locator("#device-said")).to_contain_text(re.compile("screen", re.IGNORECASE))
    phone.get_by_role("button", name="Topped up").click()
    expect(phone.locator("#events")).to_contain_text("Topped up")
    expect(sound).to_have_attribute("aria-pressed", "true")
    expect(phone.locator("#awake")).to_have_attribute("aria-pressed", "true")
    sound.click()
    phone.reload()
    expect(sound).to_have_attribute("aria-pressed", "false")


def test_a_cook_is_told_with_the_keyboard_alone(phone: Page, own: OwnKitchen) -> None:
    phone.request.post("/kitchen/start", form=STEAK)
    own.now = DROP_IN
    phone.goto("/kitchen/1")

    def reach(words: str) -> None:
        for _ in range(60):
            phone.keyboard.press("Tab")
            label = "document.activeElement.ariaLabel || document.activeElement.textContent || ''"
            if words in str(phone.evaluate(label)):
                return
        pytest.fail(f"the tab key does not reach {words}")

    reach("Skip to the content")
    phone.keyboard.press("Enter")
    reach("Dropped in")
    phone.keyboard.press("Enter")
    expect(phone.locator(".clocks")).to_contain_text("In the bath since 17:25")
    own.now = PULL
    phone.reload()
    reach("Heard")
    phone.keyboard.press("Enter")
    expect(phone.locator("#alarm")).to_be_hidden()
    reach("What was read")
    phone.keyboard.type("55.5 C")
    phone.keyboard.press("Enter")
    expect(phone.locator("#sources")).to_contain_text("1 typed in")


def test_the_kitchen_works_without_script(browser: Browser, own: OwnKitchen) -> None:
    with window(browser, own.address, script=False) as page:
        page.goto(PLAN)
        page.click("text=Start this cook")
        own.now = DROP_IN
        page.click("text=Dropped in")
        expect(page.locator(".big time")).to_have_text("19:15")
        assert "load the page again" in page.content()
        page.get_by_label("When: dropped in").fill("2027-03-12T17:20")
        page.get_by_role("button", name="Change the time: dropped in").click()
        page.get_by_label("What was read").fill("12 C")
        page.click("text=Save the reading")
        expect(page.locator("#sources")).to_contain_text("1 typed in")
        page.goto("/kitchen")
        page.get_by_role("link", name="Beef ribeye steak").click()
        page.click("text=Done: on to the log")
        expect(page.locator("#rate-head")).to_be_visible()
