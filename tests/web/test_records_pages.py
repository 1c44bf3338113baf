"""The records without a browser: rows written, asked about, corrected, narrowed, and handed on as a table."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta
from html import unescape
from pathlib import Path

import pytest
from httpx2 import Response
from tests.web.own_page import loose
from tests.web.setting import KITCHEN
from tests.web.test_kitchen_pages import STEAK, Served

from corebath.log.store import Store
from corebath.units import US

BAG = {"step": "bag", "batch": "chicken", "measured": "11:40 9 C", "by": "JM"}


@pytest.fixture
def served(tmp_path: Path) -> Iterator[Served]:
    store = Store(tmp_path / "kitchen.db")
    store.save_kitchen(KITCHEN, 0)
    yield Served(store)
    store.close()


def text(answer: Response) -> str:
    return unescape(re.sub(r"\s+", " ", re.sub(r"<[^>]*>", "", answer.text)))


def mistakes(answer: Response) -> list[str]:
    return [unescape(found) for found in re.findall(r'class="mistake"[^>]*>([^<]*)<', loose(answer.text))]


def test_a_row_is_written_and_stands_in_its_day(served: Served) -> None:
    answer = served.post("/log/records/add", **(BAG | {"measured": "11:40 3.8 C"}))
    assert answer.status_code == 303
    assert answer.headers["location"] == "/log/records?from=2027-03-12&to=2027-03-12#row-1"
    page = text(served.get("/log/records"))
    assert "Friday 12 March 2027" in page
    assert "11:40 3.8 °C" in page
    assert "the word of your inspector and of your local food authority counts" in page
    assert "profile United States" in page
    assert 'href="/log/records"' in served.get("/log").text


def test_a_missed_limit_asks_until_something_was_done(served: Served) -> None:
    served.post("/log/records/add", **BAG)
    page = served.get("/log/records?asking=1")
    assert "A corrective action is asked for." in text(page)
    empty = served.post("/log/records/1/action", action="Into ice", by="")
    assert empty.status_code == 422
    assert "Say who did it, by initials." in mistakes(empty)
    assert 'value="Into ice"' in empty.text
    done = served.post("/log/records/1/action", action="Into ice", by="AB", **{"from": "2027-03-12", "to": ""})
    assert done.headers["location"] == "/log/records?from=2027-03-12#row-1"
    assert "Into ice (12:00, AB)" in text(served.get("/log/records"))
    assert "A corrective action is asked for." not in text(served.get("/log/records"))
    assert "No rows here." in text(served.get("/log/records?asking=1"))


def test_rows_that_ask_elsewhere_are_told(served: Served) -> None:
    served.post("/log/records/add", **(BAG | {"measured": "2027-01-02 10:00 9 C"}))
    page = served.get("/log/records")
    assert mistakes(page)[0].startswith("1 row that is not shown here asks for a corrective action")
    assert "2 January 2027" in text(served.get("/log/records?asking=1"))


@pytest.mark.parametrize(
    ("form", "said"),
    [
        ({"measured": "hot"}, "'hot' is not understood as a reading"),
        ({"measured": "18.05"}, "may be a time or a temperature"),
        ({"measured": "11:40 300 C"}, "A reading must lie between −60 °C (−76 °F) and 150 °C (302 °F)."),
        ({"measured": "2027-03-13 11:40 3 C"}, "lies ahead"),
        ({"by": ""}, "Say who writes it, by initials."),
        ({"batch": ""}, "Say what it is about: the batch or the bag."),
        ({"batch": "<b>" * 40}, "What a record is about must have 1 to 80 characters."),
        ({"step": "cook"}, "Say what it is: a food or a cut"),
        ({"step": "eat"}, "accepted are bag, cook, chill, keep, reheat, probe"),
        ({"step": "probe"}, "Say where it was held"),
        ({"rules": "ZZ"}, "accepted are US, UK, AU"),
        ({"cook": "x"}, "'x' is not the number of a cook"),
        ({"corrects": "x"}, "'x' is not the number of a row"),
    ],
)
def test_what_is_not_clear_is_told_at_the_form_and_nothing_is_lost(
    served: Served, form: dict[str, str], said: str
) -> None:
    typed = BAG | {"note": "A <note> & more"} | form
    answer = served.post("/log/records/add", **typed)
    assert answer.status_code == 422
    assert any(said in sentence for sentence in mistakes(answer)), mistakes(answer)
    assert served.store.records() == ()
    if form.get("step") != "eat":
        assert "A &lt;note&gt; &amp; more" in answer.text
        for value in (typed["batch"], typed["by"]):
            assert value in unescape(answer.text)


@pytest.mark.parametrize(
    ("path", "status"),
    [
        ("/log/records/add?corrects=9", 404), ("/log/records/add?cook=9&step=cook", 404),
        ("/log/records/add?corrects=x", 422), ("/log/records/add?cook=x", 422), ("/log/records?from=x", 422),
        ("/log/records?cook=9", 422), ("/log/records?cook=x", 422), ("/log/records.csv?from=x", 422),
        ("/log/records?from=2027-03-02&to=2027-03-01", 422), ("/log/records/add", 200),
        ("/log/records?asking=%00", 200),
    ],
)  # fmt: skip
def test_addresses_that_are_not_understood_are_told(served: Served, path: str, status: int) -> None:
    assert served.get(path).status_code == status


def test_an_action_about_no_row_and_a_correction_of_a_corrected_one_are_refused(served: Served) -> None:
    assert served.post("/log/records/9/action", action="x", by="y").status_code == 404
    served.post("/log/records/add", **BAG)
    corrected = BAG | {"measured": "11:40 4 C", "corrects": "1"}
    told = served.post("/log/records/add", **corrected)
    assert "A correction says in its note why the old row was wrong." in mistakes(told)
    assert served.post("/log/records/add", **(corrected | {"note": "misread"})).status_code == 303
    late = served.post("/log/records/add", **(corrected | {"note": "misread"}))
    assert late.status_code == 422
    assert any("Row 1 was corrected by row 2 meanwhile" in sentence for sentence in mistakes(late))
    acted = served.post("/log/records/1/action", action="x", by="y")
    assert acted.status_code == 409
    page = text(served.get("/log/records"))
    assert "corrected by row 2" in page
    assert "11:40 9 °C" in page  # the old row stays


def test_the_form_of_a_correction_holds_the_old_row(served: Served) -> None:
    served.post("/log/records/add", step="reheat", batch="soup", food="carrot", hold="hot", began="10:00",
                measured="11:00 75 C", by="JM")  # fmt: skip
    page = unescape(served.get("/log/records/add?corrects=1").text)
    for held in ('value="soup"', 'value="carrot"', 'value="2027-03-12 10:00"', "2027-03-12 11:00 75 C"):
        assert held in page
    assert '<option value="hot" selected>' in page


def test_a_cook_fills_in_its_rows_and_links_to_them(served: Served) -> None:
    served.post("/kitchen/start", **STEAK)
    served.now += timedelta(hours=4)
    served.post("/kitchen/1/event", happening="dropped in")
    served.now += timedelta(hours=1)
    served.post("/kitchen/1/reading", place="core", value="54.8 C")
    served.post("/kitchen/1/event", happening="pulled")
    assert 'href="/log/records/add?step=cook&amp;cook=1"' in served.get("/kitchen/1").text
    form = unescape(served.get("/log/records/add?step=cook&cook=1").text)
    for held in ("beef ribeye steak", 'value="2027-03-12 16:00"', "2027-03-12 17:00 54.8 C", 'value="56 C"'):
        assert held in form
    assert 'name="food"' not in form  # its plan knows what it is
    written = served.post("/log/records/add", step="cook", cook="1", batch="steaks", began="16:00", ended="17:00",
                          measured="17:00 54.8 C", by="JM")  # fmt: skip
    assert written.status_code == 303
    page = text(served.get("/log/records?cook=1"))
    assert "beef ribeye steak" in page
    assert "Surface of intact meat: seared all over" in page
    served.post("/kitchen/1/end", revision=served.revision())
    assert 'href="/log/records?cook=1"' in served.get("/log/1").text
    served.post("/log/1/remove", revision=served.revision())
    assert "beef ribeye steak" in text(served.get("/log/records"))


def test_the_table_holds_the_rows_shown(served: Served) -> None:
    served.post("/log/records/add", **(BAG | {"batch": "=cmd", "note": 'Öl, "x"'}))
    served.post("/log/records/add", **(BAG | {"measured": "2027-01-02 10:00 3 C"}))
    answer = served.get("/log/records.csv?from=2027-03-12")
    assert answer.headers["content-type"] == "text/csv; charset=utf-8"
    assert 'filename="records-2027-03-12-to-2027-03-12.csv"' in answer.headers["content-disposition"]
    (row,) = csv.DictReader(io.StringIO(answer.content.decode("utf-8-sig"), newline=""))
    assert (row["batch"], row["note"]) == ("'=cmd", 'Öl, "x"')


def test_a_kitchen_in_fahrenheit_reads_and_types_fahrenheit(served: Served) -> None:
    kitchen, revision = served.store.kitchen() or (KITCHEN, 0)
    served.store.save_kitchen(replace(kitchen, preference=US), revision)
    served.post("/log/records/add", **(BAG | {"measured": "11:40 38.6"}))
    page = text(served.get("/log/records"))
    assert "11:40 38.6 °F" in page
    assert "Cold holding at 41 °F or below" in page
