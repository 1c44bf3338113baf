"""The table of times as a page, as a PDF and as data."""

from __future__ import annotations

import json
import time
from urllib.error import HTTPError, URLError
from urllib.parse import urlencode
from urllib.request import urlopen

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser
from tests.web.setting import LAPTOP, PHONE

SMALL = {"food": "pork loin", "shape": "slab", "thick": "20-40 mm step 20", "set": "57-61 C step 2"}


def get(address: str, path: str, **answers: str) -> tuple[int, str, bytes]:
    for _ in range(100):
        try:
            with urlopen(f"{address}{path}?{urlencode(answers)}", timeout=60) as answer:
                return answer.status, answer.headers["Content-Type"], answer.read()
        except HTTPError as error:
            return error.code, error.headers["Content-Type"], error.read()
        except URLError:
            time.sleep(0.1)  # the server is only just starting
    raise AssertionError("the server did not start")


def test_page_pdf_and_data(address: str) -> None:
    status, _, page = get(address, "/poster", **SMALL)
    assert status == 200
    assert "Pork loin: times in the bath" in page.decode()
    assert page.decode().count("<td") == 2 * 3 + 2
    status, kind, pdf = get(address, "/poster.pdf", **SMALL)
    assert (status, kind, pdf[:4]) == (200, "application/pdf", b"%PDF")
    status, _, data = get(address, "/api/poster", **SMALL)
    assert status == 200
    assert json.loads(data)["thicknesses_m"] == [0.02, 0.04]


def test_an_empty_question_is_a_form(address: str) -> None:
    status, _, page = get(address, "/poster")
    assert status == 200
    assert "Make the table" in page.decode()


@pytest.mark.parametrize(
    ("answers", "says"),
    [
        ({"food": "zz"}, "No food is called"),
        ({"food": "pork loin", "thick": "9-1 mm"}, "falls"),
        ({"food": "pork loin", "thick": "10-49 mm step 1", "set": "54-66 C step 1"}, "too long to wait for"),
        ({"food": "pork loin", "rules": "<script>"}, "is not an answer for rules"),
        ({"food": "pork loin", "start": "99 C"}, "must start between"),
    ],
)
def test_what_is_not_clear_is_said_at_its_answer(address: str, answers: dict[str, str], says: str) -> None:
    status, _, page = get(address, "/poster", **answers)
    assert status == 422
    assert says in page.decode()
    assert "<script>" not in page.decode().replace('<script type="module"', "")
    assert get(address, "/poster.pdf", **answers)[0] == 422
    status, _, data = get(address, "/api/poster", **answers)
    assert status == 422
    assert json.loads(data)["errors"]


@pytest.mark.browser
@pytest.mark.parametrize("size", [PHONE, LAPTOP], ids=["phone", "laptop"])
def test_it_is_accessible_and_never_wider_than_the_window(address: str, browser: Browser, size: dict[str, int]) -> None:
    page = browser.new_page(viewport=size)  # type: ignore[arg-type]
    page.goto(f"{address}/poster?{urlencode(SMALL)}")
    found = Axe().run(page)
    assert found.violations_count == 0, found.generate_report()
    assert page.evaluate("document.documentElement.scrollWidth <= window.innerWidth")
    page.close()
