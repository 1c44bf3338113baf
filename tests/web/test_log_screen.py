"""The Log screen in a real browser: rating, the next proposal, comparing, photos, finding."""

from __future__ import annotations

import re
import struct
import zlib
from datetime import UTC, datetime, timedelta
from pathlib import Path
from random import Random
from urllib.parse import parse_qs, urlparse

import pytest
from playwright.sync_api import Browser, Page, expect
from tests.web.own_kitchen import STEAK, OwnKitchen, window

pytestmark = pytest.mark.browser

FIRST = datetime(2027, 3, 12, 11, 0, tzinfo=UTC)


def _cooked(page: Page, own: OwnKitchen, number: int, day: datetime, **answers: str | float | bool) -> None:
    """A steak cooked and ended on a day."""
    own.now = day
    page.request.post("/kitchen/start", form=STEAK | {"eat": f"{day:%Y-%m-%d}T19:30"} | answers)
    own.now = day + timedelta(hours=5)
    page.request.post(f"/kitchen/{number}/event", form={"happening": "dropped in"})
    own.later(hours=2)
    page.request.post(f"/kitchen/{number}/event", form={"happening": "pulled"})
    _end(page, own, number)


def _end(page: Page, own: OwnKitchen, number: int) -> None:
    revision = str(own.store.cook(number).revision)
    page.request.post(f"/kitchen/{number}/end", form={"revision": revision})


def _png(width: int, height: int, noisy: bool = False) -> bytes:
    """A picture, flat or hard to compress."""
    random = Random(1)
    rows = [random.randbytes(3 * width) if noisy else bytes(3 * width) for _ in range(height)]

    def chunk(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    pixels = zlib.compress(b"".join(b"\0" + row for row in rows), 1)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", pixels) + chunk(b"IEND", b"")


def test_words_are_heard_and_a_change_is_proposed_that_fills_the_next_plan(phone: Page, own: OwnKitchen) -> None:
    for number in (1, 2, 3):
        _cooked(phone, own, number, FIRST + timedelta(days=7 * number))
        phone.goto(f"/log/{number}")
        expect(phone.locator("main")).to_contain_text("2 h in the bath")
        phone.fill("#note", "far too pink, a bit chewy")
        phone.select_option("#done", "far too pink")
        phone.get_by_role("button", name="Save this").click()
        expect(phone.locator("main")).to_contain_text("Understood: tenderness too firm.")
        expect(phone.locator("#note")).to_have_value("far too pink, a bit chewy")
        expect(phone.locator("#done")).to_have_value("-2")
    section = phone.locator("section", has=phone.locator("#next-head"))
    expect(section.locator(".sentence")).to_contain_text(re.compile("°C"))
    expect(section).to_contain_text("rated cooks of beef ribeye steak")
    phone.click("text=How the proposal moved")
    moves = section.locator("details", has_text="How the proposal moved").locator("li")
    expect(moves).to_have_count(3)
    expect(moves.first).to_contain_text("After beef ribeye steak of Fri 19 Mar")
    phone.click("text=Plan it like this")
    answers = parse_qs(urlparse(phone.url).query)
    assert "eat" not in answers
    assert float(answers["want"][0].split()[0]) > 56  # medium rare was asked for, which stands at 56 °C
    expect(phone.locator("#food")).to_have_value("beef ribeye steak")
    expect(phone.locator("#want")).to_have_value(answers["want"][0])


def test_nothing_is_proposed_before_a_rating(phone: Page, own: OwnKitchen) -> None:
    _cooked(phone, own, 1, FIRST)
    phone.goto("/log/1")
    expect(phone.locator("#next-head")).to_have_count(0)
    expect(phone.locator("figure .narrow svg")).to_be_visible()


def test_two_cooks_are_compared_in_a_sentence_and_two_curves(phone: Page, own: OwnKitchen) -> None:
    _cooked(phone, own, 1, FIRST)
    _cooked(phone, own, 2, FIRST + timedelta(days=7), want="52 C", thick="40 mm")
    phone.goto("/log")
    for box in phone.locator(".logged input").all():
        box.check()
    phone.click("text=Compare the two ticked")
    expect(phone.locator(".sentence")).to_contain_text(
        "The first is beef ribeye steak of Fri 12 Mar, the second is beef ribeye steak of Fri 19 Mar. "
        "The second was set 4 °C lower (52 °C instead of 56 °C)"
    )
    drawn = phone.locator("figure .narrow svg")
    expect(drawn.get_by_label("Core of beef ribeye steak of Fri 12 Mar")).to_be_visible()
    expect(drawn.get_by_label("Core of beef ribeye steak of Fri 19 Mar")).to_be_visible()
    phone.get_by_role("link", name="Beef ribeye steak of Fri 19 Mar").click()
    assert phone.url.endswith("/log/2")
    phone.goto("/log/compare?cook=1&cook=1")
    expect(phone.locator(".mistake")).to_have_text("Tick exactly two cooks.")


def test_cooks_are_found_by_name_and_by_what_was_said(phone: Page, own: OwnKitchen) -> None:
    _cooked(phone, own, 1, FIRST)
    _cooked(phone, own, 2, FIRST, food="chicken breast", thick="38 mm", want="62 C")
    revision = str(own.store.cook(1).revision)
    phone.request.post("/log/1/rating", form={"revision": revision, "note": "for grandmother, soft"})
    phone.goto("/log")
    expect(phone.locator(".logged li")).to_have_count(2)
    for words, found in (("CHICKEN", 1), ("grandmother soft", 1), ("e", 2), ("swordfish", 0)):
        phone.fill("#q", words)
        phone.get_by_role("button", name="Find").click()
        expect(phone.locator(".logged li")).to_have_count(found)
        expect(phone.locator("#q")).to_have_value(words)
    expect(phone.locator("main")).to_contain_text("Nothing fits.")


def test_a_photo_is_kept_shown_and_forgotten(phone: Page, own: OwnKitchen, tmp_path: Path) -> None:
    _cooked(phone, own, 1, FIRST)
    phone.goto("/log/1")
    (tmp_path / "slice.png").write_bytes(_png(60, 40))
    phone.set_input_files("#photo", tmp_path / "slice.png")
    phone.fill("#caption", "The first slice")
    phone.get_by_role("button", name="Save the photo").click()
    picture = phone.get_by_role("img", name="The first slice")
    expect(picture).to_be_visible()
    expect(picture).to_have_js_property("naturalWidth", 60)
    phone.get_by_role("button", name="Delete the photo The first slice").click()
    expect(picture).to_have_count(0)


def test_a_photo_of_a_phone_is_made_smaller_before_it_is_sent(phone: Page, own: OwnKitchen, tmp_path: Path) -> None:
    """The store takes 2 MB at most (`photo_bytes` of log/data/limits.toml)."""
    _cooked(phone, own, 1, FIRST)
    phone.goto("/log/1")
    large = _png(1700, 900, noisy=True)
    assert len(large) > 2_097_152
    (tmp_path / "large.png").write_bytes(large)
    phone.set_input_files("#photo", tmp_path / "large.png")
    expect(phone.locator("#photo-said")).to_have_text("It was made smaller.")
    phone.get_by_role("button", name="Save the photo").click()
    expect(phone.locator(".photo img")).to_be_visible()
    expect(phone.locator(".photo img")).to_have_js_property("naturalWidth", 1600)
    assert own.store.photo(own.store.photos(1)[0].id).media_type == "image/jpeg"


def test_of_two_windows_the_second_rating_is_refused_and_its_words_stay(browser: Browser, own: OwnKitchen) -> None:
    with window(browser, own.address) as one, window(browser, own.address) as two:
        _cooked(one, own, 1, FIRST)
        one.goto("/log/1")
        two.goto("/log/1")
        one.fill("#note", "lovely")
        one.get_by_role("button", name="Save this").click()
        expect(one.locator("#note")).to_have_value("lovely")
        two.fill("#note", "a bit salty")
        two.select_option("#salt", "too much salt")
        two.get_by_role("button", name="Save this").click()
        expect(two.locator(".mistake")).to_contain_text("changed in another window")
        expect(two.locator("#note")).to_have_value("a bit salty")
        expect(two.locator("#salt")).to_have_value("1")
        rating = own.store.cook(1).rating
        assert rating is not None
        assert rating.note == "lovely"
        two.get_by_role("button", name="Save this").click()
        expect(two.locator(".mistake")).to_have_count(0)
        rating = own.store.cook(1).rating
        assert rating is not None
        assert (rating.note, rating.salt) == ("a bit salty", 1)


def test_a_cook_goes_back_to_the_kitchen_is_renamed_and_forgotten(phone: Page, own: OwnKitchen) -> None:
    _cooked(phone, own, 1, FIRST)
    phone.goto("/kitchen/1")  # ended, so its page is in the log
    assert phone.url.endswith("/log/1")
    phone.get_by_role("button", name="Back to the kitchen").click()
    assert phone.url.endswith("/kitchen/1")
    phone.click("text=Call it something else")
    phone.get_by_label("Its name").fill("Sunday steak")
    phone.click("text=Save the name")
    expect(phone.locator("h1")).to_have_text("Sunday steak")
    phone.click("text=Done: on to the log")
    phone.click("summary:has-text('Delete this cook')")
    phone.get_by_role("button", name="Delete it").click()
    expect(phone.locator("main")).to_contain_text("Nothing was cooked yet")


def test_the_log_works_without_script(browser: Browser, own: OwnKitchen, tmp_path: Path) -> None:
    with window(browser, own.address, script=False) as page:
        _cooked(page, own, 1, FIRST)
        _cooked(page, own, 2, FIRST + timedelta(days=1))
        page.goto("/log")
        page.get_by_role("link", name="Beef ribeye steak").first.click()
        page.fill("#note", "juicy")
        page.get_by_role("button", name="Save this").click()
        expect(page.locator("main")).to_contain_text("Understood: juiciness just right.")
        (tmp_path / "slice.png").write_bytes(_png(60, 40))
        page.set_input_files("#photo", tmp_path / "slice.png")
        page.get_by_role("button", name="Save the photo").click()
        expect(page.locator(".photo img")).to_be_visible()
        page.goto("/log")
        for box in page.locator(".logged input").all():
            box.check()
        page.click("text=Compare the two ticked")
        expect(page.locator(".sentence")).to_contain_text("The first is beef ribeye steak of Fri 12 Mar")


@pytest.mark.parametrize("path", ["/log", "/log/1"])
def test_fields_stand_level_with_the_buttons_beside_them(browser: Browser, own: OwnKitchen, path: str) -> None:
    with window(browser, own.address, width=1280, height=800) as page:
        _cooked(page, own, 1, FIRST)
        page.goto(path)
        page.evaluate("document.querySelectorAll('details').forEach((d) => { d.open = true; })")
        lines = page.evaluate(
            "[...document.querySelectorAll('.say')].map((line) => [...line.querySelectorAll('input, select, button')]"
            ".map((e) => [e.getBoundingClientRect().top, e.getBoundingClientRect().height]))"
        )
        assert any(len(line) > 1 for line in lines)
        for line in lines:
            for top, height in line:
                assert (top, height) == pytest.approx(line[0], abs=0.5)
