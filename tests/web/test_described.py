"""The OpenAPI document says what the app does: every form of its pages is in it, and every schema is one."""

from __future__ import annotations

import re
from collections.abc import Iterator
from html.parser import HTMLParser
from pathlib import Path
from urllib.parse import urlencode

import pytest
from jsonschema import Draft202012Validator
from tests.web.own_kitchen import STEAK
from tests.web.visitors import House, Visitor

_FORM = {name: str(value) for name, value in STEAK.items()}
_MENU = {
    "c1.eat": "2027-03-13T20:00", "d1.food": "beef ribeye steak", "d1.thick": "35 mm", "d1.want": "medium rare",
    "d2.food": "carrot", "d2.thick": "25 mm", "d2.want": "85 C",
}  # fmt: skip
_PAGES = (
    f"/?{urlencode(_FORM)}", "/kitchen", "/kitchen/1", "/log/2", "/log/records", "/log/records/add?step=cook", "/gear",
    "/pair", f"/menu?{urlencode(_MENU)}",
)  # fmt: skip


class Forms(HTMLParser):
    """The posted forms of a page. found : where each is sent, and the names of its answers"""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.found: list[tuple[str, set[str]]] = []
        self._open = False
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        told = {name: value or "" for name, value in attrs}
        if tag == "form":
            self._open = told.get("method") == "post"
            if self._open:
                self.found.append((told["action"], set()))
        elif self._open and told.get("name") and told["name"] != "form-token":
            self.found[-1][1].add(told["name"])

    def handle_endtag(self, tag: str) -> None:
        self._open = self._open and tag != "form"


@pytest.fixture
def house(tmp_path: Path) -> Iterator[House]:
    made = House(tmp_path)
    yield made
    made.store.close()


def _furnish(visitor: Visitor) -> None:
    for number in (1, 2):
        visitor.send("/kitchen/start", **_FORM)
        visitor.send(f"/kitchen/{number}/event", happening="dropped in")
        visitor.send(f"/kitchen/{number}/reading", place="core", value="5 C")
    visitor.send("/kitchen/2/end", revision="1")
    visitor.send("/log/records/add", step="keep", batch="fridge", measured="09:00 12 C", by="JM")
    visitor.send("/share", **_FORM)


def test_every_form_of_the_pages_is_described(house: House) -> None:
    paths = house.app.openapi()["paths"]
    visitor = house.here()
    _furnish(visitor)
    seen: set[str] = set()
    for page in _PAGES:
        answer = visitor.get(page)
        while answer.status_code == 303:
            answer = visitor.get(answer.headers["location"])
        assert answer.status_code == 200, re.findall(r"mistake[^>]*>([^<]+)", answer.text)
        for action, names in Forms(answer.text).found:
            path = next(p for p in paths if re.fullmatch(re.sub(r"{\w+}", "[^/]+", p), action))
            seen.add(path)
            ((_, content),) = paths[path]["post"]["requestBody"]["content"].items()
            told = {re.sub(r"\d+$", "1", name) if path == "/menu/start" else name for name in names}
            assert told <= set(content["schema"]["properties"]), path
    assert len(seen) >= 17


def test_every_schema_is_one_and_every_reference_leads_somewhere(house: House) -> None:
    document = house.app.openapi()
    for schema in document["components"]["schemas"].values():
        Draft202012Validator.check_schema(schema)

    def references(part: object) -> Iterator[str]:
        if isinstance(part, dict):
            for key, value in part.items():
                if key == "$ref":
                    yield value
                else:
                    yield from references(value)
        elif isinstance(part, list):
            for item in part:
                yield from references(item)

    found = set(references(document))
    assert len(found) > 20
    for reference in found:
        place: object = document
        for step in reference.removeprefix("#/").split("/"):
            assert isinstance(place, dict)
            place = place[step]


def test_what_only_leads_on_has_no_answer_of_its_own(house: House) -> None:
    paths = house.app.openapi()["paths"]
    assert set(paths["/kitchen/start"]["post"]["responses"]) == {"303", "4XX", "5XX"}
    assert list(paths["/batch.csv"]["get"]["responses"]["200"]["content"]) == ["text/csv"]
    assert "303" not in paths["/api/plan"]["get"]["responses"]
