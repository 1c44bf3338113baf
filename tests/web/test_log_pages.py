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
    assert "How long beef chuck roast of Mon 1 Mar stayed in the bath was not told" in compared
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
    assert "After beef chuck roast of Mon 1 Mar, 10:00:" in page
    assert "After beef chuck roast of Mon 1 Mar, 11:00:" in page
