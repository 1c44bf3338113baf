"""What the Kitchen says of times: one clock, the cook's own, and no contradiction between its parts."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from html import unescape
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from tests.web.own_page import loose
from tests.web.setting import KITCHEN
from tests.web.test_kitchen_pages import STEAK, Served

from corebath.log.store import Store

CHUCK = {
    "food": "beef chuck", "thick": "50 mm", "want": "57 C", "eat": "2027-03-14T19:30", "zone": "Europe/Paris",
}  # fmt: skip
DROP_IN = datetime(2027, 3, 13, 12, 0, tzinfo=UTC)


@pytest.fixture
def served(tmp_path: Path) -> Iterator[Served]:
    """A kitchen whose own clock is two hours behind that of the plans in winter."""
    store = Store(tmp_path / "kitchen.db")
    store.save_kitchen(replace(KITCHEN, zone=ZoneInfo("Atlantic/Azores")), 0)
    yield Served(store)
    store.close()


def _started(served: Served, form: dict[str, str], at: datetime) -> str:
    served.post("/kitchen/start", **form)
    served.now = at
    served.post("/kitchen/1/event", happening="dropped in")
    served.now += timedelta(minutes=20)
    return loose(unescape(served.get("/kitchen/1").text))


def test_a_time_the_cook_chose_is_the_time_it_is_over(served: Served) -> None:
    """By the run sheet it is pulled a day after 13:00; hours for tenderness are neither awaited nor given a spread."""
    page = _started(served, CHUCK | {"bath": "24 h"}, DROP_IN)
    assert re.search(r"Hot through by \d\d:\d\d, give or take [1-9][0-9]+ min; its 24 h in the bath", page)
    assert "as you chose, are over Sunday 13:00" in page
    assert re.search(r"<time[^>]*>(<span[^>]*>Sun 14 Mar</span> )?13:00</time></th>\s*<td>\+24 h</td>", page)
    assert "soft" not in page[page.index("Core now") :].split("</p>")[0]


def test_usual_hours_stand_apart_from_the_heat(served: Served) -> None:
    page = _started(served, CHUCK | {"eat": "2027-03-16T19:30"}, DROP_IN)
    ready = page[page.index("Core now") :].split("</p>")[0]
    assert re.search(r"soft \w+day 13:\d\d, after the 48 h \d+ min that are usual\.", ready), ready
    assert "give or take 1 min" not in ready


def test_one_page_has_one_clock(served: Served) -> None:
    """Dropped in at 16:25 UTC: 17:25 in Paris, where the plan is; 15:25 on the Azores, where the kitchen is."""
    page = _started(served, STEAK, datetime(2027, 3, 12, 16, 25, tzinfo=UTC))
    assert "In the bath since" in page
    clocks = re.findall(r'datetime="2027-03-12T(\d\d):\d\d:\d\d([+-]\d\d):00"', page)
    assert {offset for _, offset in clocks} == {"+01"}
    assert 'value="2027-03-12T17:25"' in page
    assert "15:25" not in page
    served.post("/kitchen/1/event", happening="topped up", at="17:30")
    assert served.store.cook(1).events[-1].at == datetime(2027, 3, 12, 16, 30, tzinfo=UTC)
    served.post("/kitchen/1/reading", place="core", value="20 C", at="17:40")
    assert served.store.sources(1) == {"typed": 1}


def test_once_dropped_in_the_sheet_stays_in_order_and_what_lay_before_is_over(served: Served) -> None:
    """Planned to be salted on Sunday and dropped in on Monday; dropped in on Saturday at 13:00."""
    page = _started(served, CHUCK | {"eat": "2027-03-16T19:30", "bath": "24 h"}, DROP_IN)
    rows = re.findall(r"<tr class=\"(task|milestone)([^\"]*)\">(.*?)</tr>", page, re.DOTALL)
    moments = [re.findall(r'datetime="([^"]*)"', row)[0] for _, _, row in rows]
    assert moments == sorted(moments)
    behind = [re.sub(r"<[^>]*>|\s+", " ", row) for _, state, row in rows if "over" in state]
    assert len(behind) == 3
    assert re.search(r"by 13:00 .* 0 .*Done or left out:\s+Dry brine", behind[0]), behind[0]
    assert re.search(r"by 13:00 .* 0 .*Done or left out:\s+Fill the vessel", behind[1]), behind[1]
    assert re.search(r" 13:00 .* 0 .*Done:\s+Check that the bath holds", behind[2]), behind[2]
    served.post("/kitchen/1/event", happening="pulled")
    page = unescape(served.get("/kitchen/1").text)
    moments = re.findall(r'<th scope="row"><time datetime="([^"]*)"', page)
    assert moments == sorted(moments)
