"""The pages without a browser: status codes, headers, size, and what bad input gets."""

from __future__ import annotations

import gzip
import re
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import urlencode

import pytest
from fastapi.testclient import TestClient
from tests.web.setting import KITCHEN, NOW

from corebath.log.store import Store
from corebath.web.app import create_app
from corebath.web.site import Site

STEAK = {
    "food": "beef-ribeye",
    "thick": "30 mm",
    "want": "medium-rare",
    "eat": "2027-03-12T19:30",
    "zone": "Europe/Paris",
}


@pytest.fixture
def client(tmp_path: Path) -> Iterator[TestClient]:
    store = Store(tmp_path / "kitchen.db")
    yield TestClient(create_app(Site(store, KITCHEN, clock=lambda: NOW)))
    store.close()


def _bad() -> list[dict[str, str]]:
    return [
        {"thick": "-3 mm"}, {"thick": "10 m"}, {"thick": "nan"}, {"thick": "🥩"}, {"thick": "0"}, {"want": "105 C"},
        {"want": "60"}, {"want": "nan"}, {"want": "sideways"}, {"eat": "2020-01-01T19:30"}, {"eat": "never"},
        {"eat": "2999-01-01T10:00"}, {"food": "unicorn"}, {"food": "chickpeas"}, {"food": "sirloin"}, {"food": "\x00"},
        {"pieces": "-1"}, {"pieces": "1e9"}, {"mass": "0 g"}, {"start": "90 C"}, {"layers": "99"}, {"rules": "MARS"},
        {"zone": "../etc/passwd"}, {"bath": "-1 h"}, {"bath": "1000 h"}, {"state": "molten"}, {"units": "cubits"},
        {"shape": "torus"}, {"wide": "1 mm"}, {"shape": "ball", "wide": "50 mm"}, {"handling": "juggled"},
        {"food": "x" * 3000}, {"thick": "9" * 3000},
    ]  # fmt: skip


def test_a_clear_question_has_a_plan(client: TestClient) -> None:
    answer = client.get("/", params=STEAK)
    assert answer.status_code == 200
    assert "The plan" in answer.text
    assert "safe" not in answer.text.lower().replace("unsafe", "")


@pytest.mark.parametrize("wrong", _bad(), ids=lambda w: next(iter(w)) + "=" + next(iter(w.values()))[:12])
def test_an_unclear_question_gets_sentences(client: TestClient, wrong: dict[str, str]) -> None:
    for path in ("/", "/api/plan"):
        answer = client.get(path, params=STEAK | wrong)
        assert answer.status_code == 422, path
        assert "Traceback" not in answer.text
    errors = answer.json()["errors"]
    assert errors
    assert all(said[0] in "'\"" or said[0].isupper() for said in errors.values())
    assert all(said[-1] in ".?" for said in errors.values())


def test_a_plan_that_fails_is_not_offered_to_be_followed(client: TestClient) -> None:
    fails = client.get("/", params=STEAK | {"want": "49 C", "guests": "risk"}).text
    works = client.get("/", params=STEAK).text
    for only_when_it_works in ('aria-label="Text for the bag"', "Cook a week", 'href="#sheet-head"'):
        assert only_when_it_works in works
        assert only_when_it_works not in fails
    warning = "Of the plan as asked, which does not work: do not follow it."
    assert warning not in works
    assert fails.index('id="sheet-head"') < fails.index(warning) < fails.index('<table class="sheet"')


def test_numbers_of_a_page_stay_with_their_units(client: TestClient) -> None:
    page = client.get("/", params=STEAK)
    assert "\u00a0°C (" in page.text
    assert 'value="30 mm"' in page.text  # as typed
    assert "\u00a0" not in client.get("/api/plan", params=STEAK).text


def test_an_endless_question_is_refused(client: TestClient) -> None:
    answer = client.get("/?food=" + "x" * 50_000)
    assert answer.status_code == 422
    assert len(answer.text) < 3000


def test_the_empty_page_asks(client: TestClient) -> None:
    answer = client.get("/")
    assert answer.status_code == 200
    assert "three questions" in answer.text


def test_blank_answers_are_dropped_from_the_address(client: TestClient) -> None:
    answer = client.get("/?" + urlencode(STEAK | {"wide": "", "mass": " "}), follow_redirects=False)
    assert answer.status_code == 303
    assert "wide" not in answer.headers["location"]


def test_a_relative_table_time_is_spelt_out(client: TestClient) -> None:
    answer = client.get("/?" + urlencode(STEAK | {"eat": "19:30"}), follow_redirects=False)
    assert answer.status_code == 303
    assert "eat=2027-03-12T19%3A30" in answer.headers["location"]


def test_pages_allow_no_foreign_and_no_inline_script(client: TestClient) -> None:
    answer = client.get("/", params=STEAK)
    policy = answer.headers["content-security-policy"]
    assert "unsafe" not in policy
    assert "script-src 'self'" in policy
    assert " style=" not in answer.text
    assert "<script>" not in answer.text
    assert " onclick" not in answer.text


def test_the_page_is_light(client: TestClient) -> None:
    page = client.get("/", params=STEAK).content
    extras = b"".join(client.get(f"/static/{name}").content for name in ("corebath.css", "plan.js", "map.js"))
    assert len(page) + len(extras) < 300_000
    assert len(gzip.compress(page)) < 60_000


def test_hostile_text_is_escaped(client: TestClient) -> None:
    answer = client.get("/", params=STEAK | {"food": '"><script>alert(1)</script>'})
    assert "<script>alert" not in answer.text


def test_json_and_page_agree(client: TestClient) -> None:
    plan = client.get("/api/plan", params=STEAK).json()
    page = client.get("/", params=STEAK).text
    pull = next(task for task in plan["run_sheet"] if task["key"] == "pull")
    assert pull["at"][11:16] in page


@pytest.mark.parametrize(
    "path",
    ["/card", "/card.pdf?paper=a4", "/labels", "/labels.pdf", "/fridge.pdf", "/plan.ics", "/message", "/menu.csv",
     "/menu.ics", "/menu.toml", "/batch.csv", "/batch-days.csv", "/batch.ics", "/batch.pdf", "/poster.pdf"],
)  # fmt: skip
def test_a_file_of_nothing_is_refused_in_a_sentence(client: TestClient, path: str) -> None:
    answer = client.get(path, follow_redirects=False)
    assert answer.status_code == 422
    assert "No answers came with this address" in answer.text
    assert 'class="go"' in answer.text  # a way back


@pytest.mark.parametrize(
    ("path", "screen"),
    [("/", "Plan"), ("/menu", "Menu"), ("/batch", "Batch"), ("/kitchen", "Kitchen"), ("/log", "Log"),
     ("/log/records", "Log"), ("/gear", "Gear")],
)  # fmt: skip
def test_the_screen_at_hand_is_marked_in_the_list_of_screens(client: TestClient, path: str, screen: str) -> None:
    page = client.get(path).text
    assert re.findall(r'aria-current="page">([^<]*)<', page) == [screen]


def test_a_week_s_portions_and_the_table_of_times_are_a_tap_away(client: TestClient) -> None:
    assert 'href="/batch">a week' in client.get("/").text
    assert 'href="/poster">a table of times' in client.get("/").text
    assert 'href="/batch">a week' in client.get("/menu").text
