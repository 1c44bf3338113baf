"""Pages that only a form leads to, looked at as the other screens are: by axe in both themes, in small windows, with
forced colours; what moves, and what is too small for a finger, is found."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import pytest
from playwright.sync_api import Browser, FilePayload, Page
from tests.web.access_checks import axe, cut, forced, moves, open_all, structure, targets
from tests.web.access_places import PLAN, Places, furnished
from tests.web.setting import PHONE

pytestmark = pytest.mark.browser

_READ = "Time;Bath (°C)\n2027-03-12 14:10;61,8\n2027-03-12 14:20;62,1\n2027-03-12 14:30;61,9\n"
_DATES = "Time,Bath (C)\n05/03/2027 14:10,61.8\n06/03/2027 14:20,62.1\n"
_HOT = "Time;Bath (°C)\n2027-03-12 14:10;161,8\n2027-03-12 14:20;162,1\n"


def _file(page: Page, text: str) -> None:
    page.goto("/kitchen/2")
    open_all(page)
    page.set_input_files("#file", FilePayload(name="logger.csv", mimeType="text/csv", buffer=text.encode()))
    page.click("text=Look at it")


def _stale(page: Page, path: str, button: str) -> None:
    """Send a form made for a revision that is none any more."""
    page.goto(path)
    page.evaluate("document.querySelectorAll('[name=revision]').forEach((field) => { field.value = '0'; })")
    page.click(f"text={button}")


def _shared(page: Page) -> None:
    page.goto(PLAN)
    page.click("text=Share it")


def _code(page: Page) -> None:
    page.goto("/gear")
    page.click("text=Pair another device")


def _wrong_code(page: Page) -> None:
    page.goto("/pair")
    page.fill("#code", "WRONG-22")
    page.click("main button")


def _event(page: Page) -> None:
    page.goto("/kitchen/2")
    page.fill("#event-at", "yesterdayish")
    page.click("text=Topped up")


# What leads there, and words that stand on that page only.
REACHED: dict[str, tuple[Callable[[Page], None], str]] = {
    "a file understood": (lambda page: _file(page, _READ), "Save these 3 readings"),
    "a file that asks": (lambda page: _file(page, _DATES), "Nothing is saved yet"),
    "a file refused": (lambda page: _file(page, _HOT), "Nothing is saved yet"),
    "a plan shared": (_shared, "/s/"),
    "a code for a device": (_code, "127.0.0.2"),
    "a wrong code": (_wrong_code, "not one that holds"),
    "a time not understood": (_event, "yesterdayish"),
    "changed meanwhile": (lambda page: _stale(page, "/kitchen/2", "Done: on to the log"), "Changed meanwhile"),
}


@pytest.fixture(scope="module")
def kitchen(browser: Browser, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Places]:
    """A kitchen of its own, since forms may change it."""
    with furnished(browser, tmp_path_factory.mktemp("forms")) as places:
        yield places


@pytest.mark.parametrize("name", REACHED)
def test_a_page_behind_a_form_is_fit_for_every_reader(browser: Browser, kitchen: Places, name: str) -> None:
    reach, words = REACHED[name]
    with kitchen.window(browser, "gear") as page:
        reach(page)
        page.wait_for_load_state()
        assert words in page.content()
        open_all(page)
        assert axe(page) == []
        page.emulate_media(color_scheme="dark")
        assert axe(page, colours="all") == []
        page.emulate_media(color_scheme="light", forced_colors="active")
        assert forced(page) == []
        page.emulate_media(forced_colors="none")
        assert structure(page) == []
        assert moves(page) == []
        assert targets(page) == []
        page.set_viewport_size({"width": 320, "height": 256})
        assert cut(page) == []
        page.set_viewport_size({"width": PHONE["width"], "height": PHONE["height"]})
