"""Every screen is looked at with all opened: by axe (WCAG 2.2, AA) in light and dark, in small windows, with large
letters, in forced colours; what moves, and what is too small for a finger, is found."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import pytest
from playwright.sync_api import Browser, Page
from tests.web.access_checks import axe, cut, forced, moves, open_all, structure, targets
from tests.web.access_places import ALL, Places
from tests.web.setting import LAPTOP, PHONE

pytestmark = pytest.mark.browser

KITCHEN = ("kitchen", "cook, to start", "cook, running", "cook, binned")


@dataclass(frozen=True)
class Shown:
    """One screen with all opened. None of the tests leaves more behind than another size of a window."""

    place: str
    phone: Page
    laptop: Page


@pytest.fixture(scope="module", params=ALL)
def shown(request: pytest.FixtureRequest, browser: Browser, places: Places) -> Iterator[Shown]:
    place = request.param
    with (
        places.window(browser, place) as phone,
        places.window(browser, place, width=LAPTOP["width"], height=LAPTOP["height"]) as laptop,
    ):
        for page in (phone, laptop):
            open_all(page)
        yield Shown(place, phone, laptop)


def size(page: Page, width: int, height: int) -> Page:
    page.set_viewport_size({"width": width, "height": height})
    return page


def test_axe_finds_nothing_in_either_theme(shown: Shown) -> None:
    """Colours are looked at on the phone, and on the laptop in what is shown there only."""
    assert axe(size(shown.phone, **PHONE)) == []
    shown.phone.emulate_media(color_scheme="dark")
    assert axe(shown.phone, colours="all") == []
    shown.phone.emulate_media(color_scheme="light")
    laptop = size(shown.laptop, **LAPTOP)
    assert axe(laptop, colours="none") == []
    for scheme in ("light", "dark"):
        laptop.emulate_media(color_scheme="dark" if scheme == "dark" else "light")
        assert axe(laptop, colours="wide") == []
    laptop.emulate_media(color_scheme="light")


def test_structure_and_stillness(shown: Shown) -> None:
    """Headings, tables and charts are told; nothing moves for who asked for that."""
    assert structure(shown.phone) == []
    assert moves(shown.phone) == []


def test_edges_stand_for_shades_in_forced_colours(shown: Shown) -> None:
    for scheme in ("light", "dark"):
        shown.phone.emulate_media(forced_colors="active", color_scheme="dark" if scheme == "dark" else "light")
        assert forced(shown.phone) == []
    shown.phone.emulate_media(forced_colors="none", color_scheme="light")


def test_nothing_is_cut_or_scrolls_sideways(shown: Shown) -> None:
    """1280 px at 200 % (WCAG 1.4.4) and at 400 % zoom (1.4.10), and with letters twice as large."""
    assert cut(size(shown.phone, 320, 256)) == []
    assert cut(size(shown.laptop, 640, 400)) == []
    laptop = size(shown.laptop, **LAPTOP)
    laptop.evaluate("document.documentElement.style.fontSize = '200%'")
    assert cut(laptop) == []
    laptop.evaluate("document.documentElement.style.fontSize = ''")


def test_what_is_pressed_is_large_enough(shown: Shown) -> None:
    """24 px (WCAG 2.5.8); what the kitchen asks to be pressed while cooking, for wet fingers, 44 px (2.5.5)."""
    for page in (size(shown.phone, **PHONE), size(shown.laptop, **LAPTOP)):
        assert targets(page) == []
        if shown.place in KITCHEN:
            assert targets(page, 44, "main button") == []
