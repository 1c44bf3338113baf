"""The Log without a browser: times nobody told, what a proposal starts from, and the words of a comparison."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from html import unescape
from pathlib import Path

import pytest
from tests.web.setting import KITCHEN
from tests.web.test_kitchen_clock import CHUCK
from tests.web.test_kitchen_pages import Served

from corebath.log.store import Store

DAY = timedelta(days=1)
FIRST = datetime(2027, 3, 1, 9, 0, tzinfo=UTC)


@pytest.fixture
def served(tmp_path: Path) -> Iterator[Served]:
    store = Store(tmp_path / "kitchen.db")
    store.save_kitchen(KITCHEN, 0)
    yield Served(store)
    store.close()


def _cooked(served: Served, number: int, start: datetime, hours: float | None, **form: str) -> None:
    """A chuck that dropped in two hours after it was planned; `hours` None when its pull was never told."""
    served.now = start
    eat = start + timedelta(days=4)
    served.post("/kitchen/start", **(CHUCK | {"eat": f"{eat:%Y-%m-%dT%H:%M}"} | form))
    served.now += timedelta(hours=2)
    served.post(f"/kitchen/{number}/event", happening="dropped in")
    if hours is None:
        served.now += timedelta(minutes=20)
    else:
        served.now += timedelta(hours=hours)
        served.post(f"/kitchen/{number}/event", happening="pulled")
    served.post(f"/kitchen/{number}/end", revision=served.revision(number))


def _rate(served: Served, number: int, **rating: str) -> str:
    served.post(f"/log/{number}/rating", revision=served.revision(number), **rating)
    return _page(served, number)


def _page(served: Served, number: int) -> str:
    return unescape(re.sub(r"\s+", " ", served.get(f"/log/{number}").text))


def test_a_cook_ended_early_is_not_taken_as_cooked_to_plan(served: Served) -> None:
    _cooked(served, 1, FIRST, None, bath="24 h")
    page = _rate(served, 1, tender="-2")
    assert "in the bath, as planned" not in page
    assert "planned for 24 h in the bath; its time in the bath is not recorded" in page
    assert "When was it pulled?" in page
    assert 'name="PULLED" size="17" value=""' in page  # the planned moment lies ahead
    assert page.index("When was it pulled?") < page.index("How was it?")
    assert "this cook is left out of what ratings teach" in page
    assert "rated cook of beef chuck" not in page
    assert "<svg" not in page  # where its curve ends is not known
    _cooked(served, 2, FIRST + 2 * DAY, 24, bath="24 h")
    compared = unescape(served.get("/log/compare?cook=1&cook=2").text)
    assert "How long the first stayed in the bath is not recorded" in compared
    assert "hot through" not in compared
    assert 'value="2027-03-02 12:00"' in _page(served, 1)  # it has passed meanwhile: offered, and still not assumed


def test_a_pull_told_afterwards_counts(served: Served) -> None:
    _cooked(served, 1, FIRST, None, bath="24 h")
    _rate(served, 1, tender="-1")
    served.now += 2 * DAY
    for wrong in ("", "2027-03-01 11:00", "soon"):
        assert served.post("/log/1/bath", PULLED=wrong).status_code == 422
    assert served.store.cook(1).bath_s is None
    assert served.post("/log/1/bath", PULLED="2027-03-02 12:00").headers["location"] == "/log/1"
    page = _page(served, 1)
    assert "24 h in the bath." in page
    assert "When was it pulled?" not in page
    assert "one rated cook of beef chuck" in page
    assert "<svg" in page


def test_the_proposal_beside_a_cook_rated_off_says_what_it_starts_from(served: Served) -> None:
    _cooked(served, 1, FIRST, 24, bath="24 h")
    _rate(served, 1, tender="0", juicy="0")
    _cooked(served, 2, FIRST + 7 * DAY, 48, bath="48 h")
    page = _rate(served, 2, tender="-1", juicy="-1")
    proposed = re.sub("<[^>]+>", "", page[page.index(">Next time<") :])
    assert "Nothing to change" not in proposed
    assert "It was rated off" in proposed
    assert re.search(r"Plan it like this: 57 °C, 2 days in the bath", proposed)
    beside = re.sub("<[^>]+>", "", _page(served, 1))
    assert "Cook it as beef chuck roast of Mon 8 Mar: 57 °C (135 °F), 2 days in the bath, not as this one." in beside


def test_two_cooks_of_one_day_are_told_apart_and_a_scale_settles_its_words(served: Served) -> None:
    for number, start in ((1, FIRST), (2, FIRST + timedelta(hours=1))):
        _cooked(served, number, start, 24, bath="24 h")
    _rate(served, 1, tender="0", juicy="0")
    page = re.sub("<[^>]+>", "", _rate(served, 2, tender="1", note="soft but a bit dry"))
    assert "Was it soft as you like it" not in page
    assert "anything up to too soft" not in page
    assert "After beef chuck roast of Mon 1 Mar, 12:00:" in page
    assert "After beef chuck roast of Mon 1 Mar, 13:00:" in page


def test_a_cook_has_the_date_of_its_drop_in_in_list_heading_comparison_and_next_time(served: Served) -> None:
    """Three cooks started on one day, with their drop-in and pull given as of earlier days and not in their order."""
    served.now = FIRST + timedelta(days=29)
    for number, day in ((1, 15), (2, 1), (3, 8)):
        eat = served.now + timedelta(days=4)
        served.post("/kitchen/start", **(CHUCK | {"eat": f"{eat:%Y-%m-%dT%H:%M}", "bath": f"{24 + number} h"}))
        served.post(f"/kitchen/{number}/event", happening="dropped in", at=f"2027-03-{day:02} 10:00")
        served.post(f"/kitchen/{number}/event", happening="pulled", at=f"2027-03-{day + 1:02} {10 + number}:00")
        served.post(f"/kitchen/{number}/end", revision=served.revision(number))
    listed = served.get("/log").text
    days = re.findall(r"Compare beef chuck roast of (\d+ \w+) 2027", listed)
    assert days == ["15 Mar", "8 Mar", "1 Mar"]
    assert "30 Mar" not in listed
    assert "Monday 8 March 2027" in _page(served, 3)
    compared = unescape(served.get("/log/compare?cook=1&cook=2").text)
    assert (
        "The first is beef chuck roast of Mon 1 Mar, the second is beef chuck roast of Mon 15 Mar. The second was"
        in compared
    )
    _rate(served, 2, tender="-2")
    page = _rate(served, 1, tender="-1")
    assert page.index("After beef chuck roast of Mon 1 Mar:") < page.index("After beef chuck roast of Mon 15 Mar:")
    assert "30 Mar" not in page


def test_two_pieces_of_one_drop_in_are_told_apart_by_their_number(served: Served) -> None:
    served.now = FIRST
    for _ in (1, 2):
        eat = FIRST + timedelta(days=4)
        served.post("/kitchen/start", **(CHUCK | {"eat": f"{eat:%Y-%m-%dT%H:%M}", "bath": "24 h"}))
    served.now += timedelta(days=2)
    for number in (1, 2):
        served.post(f"/kitchen/{number}/event", happening="dropped in", at="2027-03-01 12:00")
        served.post(f"/kitchen/{number}/event", happening="pulled", at=f"2027-03-02 1{number}:00")
        served.post(f"/kitchen/{number}/end", revision=served.revision(number))
    _rate(served, 1, tender="0")
    page = _rate(served, 2, tender="-1")
    for number in (1, 2):
        assert f"After beef chuck roast of Mon 1 Mar, 12:00, number {number}:" in page


def test_a_dry_edge_is_asked_about_though_the_scale_says_how_dry(served: Served) -> None:
    _cooked(served, 1, FIRST, 36, bath="36 h")
    page = re.sub("<[^>]+>", "", _rate(served, 1, tender="0", juicy="-1", note="dry edges"))
    asked = "Dry at the edges only, or all through? At the edges alone it may be the sear"
    assert page.count(asked) == 2  # under the rating, and beside what to change
    assert "it may be the sear" not in _rate(served, 1, tender="0", juicy="0", note="dry edges")
