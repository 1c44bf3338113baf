"""Kitchen and Log without a browser: what routes take, what they refuse, and in which words."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from html import unescape
from pathlib import Path

import pytest
from fastapi.testclient import TestClient
from httpx2 import Response
from tests.web.own_page import loose
from tests.web.setting import KITCHEN, NOW

from corebath.log.cook import Place
from corebath.log.demo import demo_kitchen
from corebath.log.store import Store, StoreError
from corebath.web.app import create_app
from corebath.web.site import Site

STEAK = {
    "food": "beef-ribeye", "thick": "30 mm", "want": "medium-rare", "eat": "2027-03-12T19:30", "zone": "Europe/Paris",
}  # fmt: skip
DROP_IN = datetime(2027, 3, 12, 16, 25, tzinfo=UTC)
PIXEL = bytes.fromhex(
    "89504e470d0a1a0a0000000d49484452000000010000000108020000009077"
    "53de0000000c49444154789c63f8cfc0000003010100c9fe92ef0000000049454e44ae426082"
)


class Served:
    """A client of a kitchen with a clock that can be set."""

    def __init__(self, store: Store) -> None:
        self.store, self.now = store, NOW
        app = create_app(Site(store, KITCHEN, clock=lambda: self.now))
        self.client = TestClient(app, raise_server_exceptions=False, follow_redirects=False)

    def get(self, path: str) -> Response:
        return self.client.get(path)

    def post(self, path: str, **form: str) -> Response:
        return self.client.post(path, data=form)

    def revision(self, number: int = 1) -> str:
        return str(self.store.cook(number).revision)


@pytest.fixture
def served(tmp_path: Path) -> Iterator[Served]:
    store = Store(tmp_path / "kitchen.db")
    store.save_kitchen(demo_kitchen(KITCHEN.zone), 0)
    yield Served(store)
    store.close()


@pytest.fixture
def cooking(served: Served) -> Served:
    """A steak that dropped in half an hour ago."""
    served.post("/kitchen/start", **STEAK)
    served.now = DROP_IN
    served.post("/kitchen/1/event", happening="dropped in")
    served.now += timedelta(minutes=30)
    return served


def _mistakes(answer: Response) -> list[str]:
    return [unescape(text) for text in re.findall(r'class="mistake"[^>]*>([^<]*)<', loose(answer.text))]


def test_an_unclear_plan_starts_nothing(served: Served) -> None:
    answer = served.post("/kitchen/start", **(STEAK | {"thick": "10 m"}))
    assert answer.status_code == 303
    assert answer.headers["location"].startswith("/?")
    assert "Nothing is cooking" in served.get("/kitchen").text


@pytest.mark.parametrize(
    ("form", "said"),
    [
        ({"happening": "exploded"}, "Tap what happened: nothing is recorded yet."),
        ({}, "Tap what happened: nothing is recorded yet."),
        ({"happening": "pulled", "at": "tomorrow 10:00"}, "lies ahead"),
        ({"happening": "pulled", "at": "17:00"}, "It cannot have been pulled before it was dropped in."),
        ({"happening": "note", "text": "  "}, "The note is empty"),
        ({"happening": "note", "text": "x" * 5000}, "A note must have 0 to 4000 characters."),
        ({"happening": "note", "text": "a\x00b"}, "holds a character that cannot be kept"),
        ({"happening": "set point changed", "value": "hot"}, "'hot'"),
        ({"happening": "set point changed", "value": "140 C"}, "A set point must lie between 0 °C"),
        ({"happening": "dropped in", "at": "17:30"}, "“dropped in” is recorded already, at 17:25"),
    ],
)
def test_what_cannot_have_happened_is_refused_in_one_sentence(cooking: Served, form: dict[str, str], said: str) -> None:
    before = cooking.store.cook(1)
    answer = cooking.post("/kitchen/1/event", **form)
    assert answer.status_code == 422
    assert len(_mistakes(answer)) == 1
    assert said in _mistakes(answer)[0]
    assert cooking.store.cook(1) == before


def test_enter_in_the_time_field_records_nothing(cooking: Served) -> None:
    """HTML standard, implicit submission: Enter presses the first button of the form, so that one records nothing."""
    page = cooking.get("/kitchen/1").text
    form = page[page.index('id="taps"') :].partition("</form>")[0]
    first = form.index("<button")
    assert 'name="happening" value=""' in form[first : form.index(">", first)]
    assert form.index('id="event-at"') < form.index('value="pulled"')
    answer = cooking.post("/kitchen/1/event", happening="", at="5 min ago")
    assert answer.status_code == 422
    assert _mistakes(answer) == ["Tap what happened: nothing is recorded yet."]
    assert 'value="5 min ago"' in answer.text
    assert [e.happening.value for e in cooking.store.cook(1).events] == ["dropped in"]


def test_the_kitchen_says_the_steps_as_the_plan_page_does(cooking: Served) -> None:
    answer = cooking.client.get("/", params=STEAK, follow_redirects=True).text
    kitchen = cooking.get("/kitchen/1").text
    for words in ("Sear in a cast iron pan at", "At this thickness the core has half of its final salt"):
        assert words in answer
        assert words in kitchen
    assert "about a minute a side" not in kitchen


def test_a_double_tap_counts_once(cooking: Served) -> None:
    for _ in range(2):
        assert cooking.post("/kitchen/1/event", happening="pulled").status_code == 303
        cooking.now += timedelta(seconds=2)
    assert [e.happening.value for e in cooking.store.cook(1).events] == ["dropped in", "pulled"]


@pytest.mark.parametrize(
    ("form", "said"),
    [
        ({"place": "core", "value": "warm"}, "'warm'"),
        ({"place": "core", "value": ""}, "temperature"),
        ({"place": "core", "value": "999 C"}, "must lie between"),
        ({"place": "pan", "value": "54 C"}, "Say what was read, the core or the bath."),
        ({"place": "core", "value": "54 C", "at": "later"}, "'later' is not understood as a time"),
    ],
)
def test_a_reading_that_is_not_clear_is_refused(cooking: Served, form: dict[str, str], said: str) -> None:
    answer = cooking.post("/kitchen/1/reading", **form)
    assert answer.status_code == 422
    assert said in _mistakes(answer)[0]
    assert cooking.store.sources(1) == {}


def test_typed_readings_carry_their_unit_and_moment(cooking: Served) -> None:
    cooking.post("/kitchen/1/reading", place="core", value="50 °F", at="17:30")
    cooking.post("/kitchen/1/reading", place="bath", value="56,2", at="")
    times, values = cooking.store.readings(1, Place.CORE)
    assert (times[0], values[0]) == (datetime(2027, 3, 12, 16, 30, tzinfo=UTC).timestamp(), pytest.approx(10.0))
    assert cooking.store.readings(1, Place.BATH)[1][0] == pytest.approx(56.2)


def test_a_logger_posts_readings(cooking: Served) -> None:
    """As docs/store.md has them; sent again, they are kept once."""
    at = "2027-03-12T17:40:00+01:00"
    sent = [{"t": at, "core": 82.4, "bath": 133, "unit": "F"}, {"core": 43.0}]
    assert cooking.client.post("/api/cooks/1/readings", json=sent).json() == {"new": 3}
    assert cooking.client.post("/api/cooks/1/readings", json=sent).json() == {"new": 0}
    assert cooking.store.readings(1, Place.CORE)[1].tolist() == pytest.approx([28.0, 43.0])
    assert cooking.client.get("/api/cooks/1").json()["core"].startswith("about 4")
    assert "3 by a logger" in cooking.get("/kitchen/1").text


@pytest.mark.parametrize(
    "body",
    ["", "{", "[1]", "57.3", '{"core": "x"}', '{"core": 57, "colour": 1}', '{"core": 1e9}', '{"t": 5, "core": 1}'],
)
def test_readings_that_are_malformed_are_refused_as_json(cooking: Served, body: str) -> None:
    answer = cooking.client.post("/api/cooks/1/readings", content=body)
    assert answer.status_code == 422
    assert answer.json()["error"].endswith(".")
    assert cooking.store.sources(1) == {}


def test_programs_get_json_for_what_is_not_there(served: Served) -> None:
    for answer in (served.client.post("/api/cooks/77/readings", json={"core": 50}), served.get("/api/cooks/77")):
        assert answer.status_code == 404
        assert answer.json() == {"error": "There is no cook 77 in this store."}
    assert served.get("/api/nothing").json()["error"] == "There is nothing at this address."
    assert served.get("/api/cooks/x").status_code == 404


@pytest.mark.parametrize(
    ("method", "path", "status", "back"),
    [
        ("GET", "/nowhere", 404, "/"),
        ("GET", "/kitchen/77", 404, "/kitchen"),
        ("GET", "/kitchen/abc", 404, "/kitchen"),
        ("GET", "/kitchen/99999999999999999999", 404, "/kitchen"),
        ("GET", "/log/77", 404, "/log"),
        ("GET", "/log/compare?cook=77&cook=78", 404, "/log"),
        ("GET", "/log/compare?cook=x", 422, "/log"),
        ("GET", "/log?page=x", 422, "/log"),
        ("GET", "/log/1/photo/5", 404, "/log"),
        ("GET", "/kitchen/1/event", 405, "/kitchen/1"),
        ("POST", "/kitchen/77/event", 404, "/kitchen"),
        ("POST", "/kitchen/1/end", 409, "/kitchen/1"),
        ("POST", "/kitchen/1/event/99", 422, ""),
        ("POST", "/log/1/remove", 409, "/log/1"),
        ("GET", "/static/nothing.css", 404, "/"),
        ("GET", "/?food=" + "x" * 9000, 422, "/"),
    ],
)
def test_a_refusal_is_a_small_page_with_one_sentence_and_a_way_back(
    cooking: Served, method: str, path: str, status: int, back: str
) -> None:
    answer = cooking.client.request(method, path)
    assert answer.status_code == status
    assert answer.headers["content-type"].startswith("text/html")
    assert "nosniff" in answer.headers["x-content-type-options"]
    if back:
        said = re.findall(r'<p class="sentence">(.*?)</p>', answer.text)
        assert len(said) == 1
        assert re.fullmatch(r"[A-Z].*\.", unescape(said[0]))
        assert f'<p class="go"><a href="{back}">' in answer.text


def test_what_is_too_large_or_has_no_length_is_refused_as_a_page(cooking: Served) -> None:
    answer = cooking.client.post("/kitchen/1/event", content=b"x" * 100_000)
    assert answer.status_code == 413
    assert "at most 0.066 MB" in answer.text
    answer = cooking.client.post("/kitchen/1/file", content=(b"x" for _ in range(3)))
    assert answer.status_code == 411
    answer = cooking.client.post("/api/cooks/1/readings", content=b"[" + b" " * 17_000_000 + b"]")
    assert answer.status_code == 413
    assert "too large" in answer.json()["error"]
    answer = cooking.client.post("/kitchen/1/end", headers={"origin": "http://elsewhere.example"})
    assert answer.status_code == 403
    assert "Only corebath's own pages" in unescape(answer.text)


def test_a_store_that_fails_is_told_as_a_page(cooking: Served, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(*_: object) -> None:
        raise StoreError("the store cannot be written: the disk is full")

    monkeypatch.setattr(Store, "add_event", full)
    answer = cooking.post("/kitchen/1/event", happening="topped up")
    assert answer.status_code == 503
    assert "The store cannot be written: the disk is full." in answer.text
    assert 'href="/kitchen"' in answer.text


def test_a_mistake_of_our_own_is_a_page_too(cooking: Served, monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*_: object) -> None:
        raise ZeroDivisionError

    monkeypatch.setattr(Store, "sources", broken)
    answer = cooking.get("/kitchen/1")
    assert answer.status_code == 500
    assert "a mistake in corebath itself" in answer.text
    assert "default-src 'none'" in answer.headers["content-security-policy"]


def test_pages_of_the_kitchen_are_never_shown_stale(cooking: Served) -> None:
    for path in ("/kitchen", "/kitchen/1", "/log", "/api/cooks/1"):
        assert cooking.get(path).headers["cache-control"] == "no-store"


def test_the_next_top_up_is_told_with_its_time_until_it_is_done(served: Served) -> None:
    chuck = {
        "food": "beef chuck", "shape": "brick", "thick": "50 mm", "wide": "80 mm", "long": "100 mm", "want": "60 C",
        "bath": "30 h", "eat": "2027-03-14T19:30", "zone": "Europe/Paris", "vessel": "soup pot",
        "heater": "stick heater", "cover": "none",
    }  # fmt: skip
    served.post("/kitchen/start", **chuck)
    served.now = datetime(2027, 3, 13, 12, 0, tzinfo=UTC)
    served.post("/kitchen/1/event", happening="dropped in")
    page = loose(served.get("/kitchen/1").text)
    told = re.search(r"The water: (\d\d:\d\d) \(\+(\d) h (\d+) min\), Top up with", page)
    assert told
    served.now += timedelta(hours=int(told[2]), minutes=int(told[3]) + 40)
    assert _next(served) == (told[1], True)  # overdue, but not lost
    served.post("/kitchen/1/event", happening="topped up")
    at, _ = _next(served)
    assert at > told[1]


def _next(served: Served) -> tuple[str, bool]:
    """When the next task is, and whether it is to top up."""
    page = served.get("/kitchen/1").text
    found = re.search(r'<p class="big"><time[^>]*>([^<]*)</time>.*?<p class="what">([^<]*)', page, re.DOTALL)
    assert found
    return found[1], found[2].startswith("Top up")


def _alarms(served: Served, path: str) -> list[str]:
    """Keys of the tasks that would ring on a page, in order."""
    return [key.split()[1] for key in re.findall(r'data-alarm="([^"]*)"', served.get(path).text)]


def test_what_falls_due_at_the_pull_does_not_ring_beside_it(cooking: Served) -> None:
    assert _alarms(cooking, "/kitchen/1") == ["pull", "finish", "rest", "serve", "leftovers"]
    cooking.post("/kitchen/1/event", happening="pulled")
    assert _alarms(cooking, "/kitchen/1") == ["dry", "finish", "rest", "serve", "leftovers"]
    cooking.post("/kitchen/1/end", revision=cooking.revision())
    assert _alarms(cooking, "/kitchen") == []


def test_salting_at_drop_in_rings_beside_it(served: Served) -> None:
    """Both have to be done, and nobody tells the salting by a tap."""
    served.now = datetime(2027, 3, 12, 15, 0, tzinfo=UTC)
    served.post("/kitchen/start", **(STEAK | {"eat": "2027-03-12T18:30"}))
    keys = _alarms(served, "/kitchen/1")
    assert {"salt", "preheat", "drop-in"} <= set(keys)


def test_a_changed_set_point_moves_the_core_now(cooking: Served) -> None:
    cooking.post("/kitchen/1/event", happening="set point changed", value="65 C", at="20 min ago")
    hotter = cooking.client.get("/api/cooks/1").json()["core"]
    event = cooking.store.cook(1).events[-1]
    cooking.post(f"/kitchen/1/event/{event.id}", remove="1", revision=cooking.revision())
    planned = cooking.client.get("/api/cooks/1").json()["core"]
    assert float(hotter.split()[1]) > float(planned.split()[1]) + 1


def test_a_cook_forgotten_for_months_does_not_break_the_kitchen(cooking: Served) -> None:
    cooking.post("/kitchen/1/event", happening="bath was off")
    cooking.now += timedelta(days=90)
    for path in ("/kitchen", "/kitchen/1"):
        assert cooking.get(path).status_code == 200
    assert "The core is not computed" in cooking.get("/kitchen/1").text


def test_an_ended_cook_has_its_page_in_the_log(cooking: Served) -> None:
    assert cooking.get("/log/1").headers["location"] == "/kitchen/1"
    cooking.post("/kitchen/1/end", revision=cooking.revision())
    assert cooking.get("/kitchen/1").headers["location"] == "/log/1"
    answer = cooking.post("/kitchen/1/reading", place="core", value="nonsense")
    assert answer.status_code == 422
    assert "How was it?" in answer.text
    assert cooking.post("/kitchen/1/reading", place="core", value="55 C").headers["location"] == "/log/1"


@pytest.mark.parametrize(
    ("form", "said"),
    [
        ({"tender": "9"}, "A rating goes from -2"),
        ({"tender": "x"}, "A rating goes from -2"),
        ({"note": "x" * 4001}, "A note must have"),
    ],
)
def test_a_rating_out_of_range_is_refused(cooking: Served, form: dict[str, str], said: str) -> None:
    cooking.post("/kitchen/1/end", revision=cooking.revision())
    answer = cooking.post("/log/1/rating", revision=cooking.revision(), **form)
    assert answer.status_code == 422
    assert said in _mistakes(answer)[0]
    assert cooking.store.cook(1).rating is None


def test_a_photo_is_served_as_what_it_is(cooking: Served) -> None:
    cooking.post("/kitchen/1/end", revision=cooking.revision())
    named = {"photo": ("photo.html", PIXEL, "text/html")}
    assert cooking.client.post("/log/1/photo", files=named, data={"caption": "<b>"}).status_code == 303
    number = cooking.store.photos(1)[0].id
    picture = cooking.get(f"/log/1/photo/{number}")
    assert picture.content == PIXEL
    assert picture.headers["content-type"] == "image/png"
    assert picture.headers["x-content-type-options"] == "nosniff"
    assert "&lt;b&gt;" in cooking.get("/log/1").text
    assert cooking.get(f"/log/2/photo/{number}").status_code == 404
    assert cooking.post(f"/log/1/photo/{number}/remove").status_code == 303
    assert cooking.get(f"/log/1/photo/{number}").status_code == 404


@pytest.mark.parametrize(
    ("data", "caption", "said"),
    [
        (b"GIF89a", "", "A photo must be a JPEG or PNG picture."),
        (b"<svg xmlns='http://www.w3.org/2000/svg'/>", "", "A photo must be a JPEG or PNG picture."),
        (b"\xff\xd8\xff" + bytes(3_000_000), "", "A photo must have at most 2 MB."),
        (b"", "", "Choose a photo first."),
        (PIXEL, "x" * 201, "A caption must have 0 to 200 characters."),
    ],
)
def test_what_is_no_photo_is_refused(cooking: Served, data: bytes, caption: str, said: str) -> None:
    cooking.post("/kitchen/1/end", revision=cooking.revision())
    answer = cooking.client.post("/log/1/photo", files={"photo": ("a.jpg", data)}, data={"caption": caption})
    assert answer.status_code == 422
    assert _mistakes(answer) == [said]
    assert cooking.store.photos(1) == ()


def test_a_file_that_cannot_be_read_is_told(cooking: Served) -> None:
    for data, said in ((b"hello", "No columns were found"), (b"\x00\x01\x02" * 50, "."), (b"", ".")):
        answer = cooking.client.post("/kitchen/1/file", files={"file": ("a.csv", data, "text/csv")})
        assert answer.status_code == 422
        assert said in _mistakes(answer)[0]
    answer = cooking.client.post("/kitchen/1/file", files={"other": ("a.csv", b"x", "text/csv")})
    assert _mistakes(answer) == ["Choose a file first."]
    assert cooking.post("/kitchen/1/file/unknown", keep="1").status_code == 422
    answer = cooking.client.post("/kitchen/1/file", content=b"junk", headers={"content-type": "multipart/form-data"})
    assert answer.status_code == 400
    assert answer.headers["content-type"].startswith("text/html")


def test_hostile_text_is_escaped_everywhere(cooking: Served) -> None:
    hostile = '"><script>alert(1)</script>'
    cooking.post("/kitchen/1/name", name=hostile, revision=cooking.revision())
    cooking.post("/kitchen/1/event", happening="note", text=hostile)
    cooking.post("/kitchen/1/event", happening="pulled", at=hostile)
    pages = [cooking.get("/kitchen"), cooking.get("/kitchen/1"), cooking.post("/kitchen/1/event", at=hostile)]
    cooking.post("/kitchen/1/end", revision=cooking.revision())
    cooking.post("/log/1/rating", note=hostile, revision=cooking.revision())
    pages += [cooking.get("/log/1"), cooking.get("/log?q=" + hostile), cooking.get("/log")]
    for page in pages:
        assert "<script>alert" not in page.text
        assert "alert(1)" in page.text


def test_the_bath_seen_fine_is_one_tap(cooking: Served) -> None:
    assert 'value="bath seen fine"' in cooking.get("/kitchen/1").text
    assert 'value="power held"' not in cooking.get("/kitchen/1").text
    cooking.post("/kitchen/1/event", happening="bath seen fine", at="5 min ago")
    assert [e.happening.value for e in cooking.store.cook(1).events] == ["dropped in", "bath seen fine"]


def test_a_salt_that_rings_at_once_is_over_by_one_tap(served: Served) -> None:
    """Started for tomorrow the salt is due now: "Salt is on" is offered beside "Dropped in", and stops the alarm."""
    served.post("/kitchen/start", **STEAK)
    assert "salt" in _alarms(served, "/kitchen/1")
    page = served.get("/kitchen/1").text
    assert page.index('name="task" value="salt"') < page.index('value="dropped in"')
    assert 'name="task" value="salt"' in served.get("/kitchen").text
    for _ in range(2):
        assert served.post("/kitchen/1/event", task="salt").status_code == 303
    assert [(e.happening.value, e.text) for e in served.store.cook(1).events] == [("done", "salt")]
    assert "salt" not in _alarms(served, "/kitchen/1")
    page = served.get("/kitchen/1").text
    assert 'name="task" value="salt"' not in page
    assert "<span>Salt is on</span>" in page
    assert re.search(r"<i>Done:</i> Dry brine", page)
    served.post("/kitchen/1/event/1", remove="1", revision=served.revision())
    assert "salt" in _alarms(served, "/kitchen/1")


@pytest.mark.parametrize("form", [{"task": "nonsense"}, {"happening": "done"}, {"happening": "done", "text": "salt"}])
def test_a_task_that_is_none_is_not_called_done(cooking: Served, form: dict[str, str]) -> None:
    assert cooking.post("/kitchen/1/event", **form).status_code == 422
    assert len(cooking.store.cook(1).events) == 1
