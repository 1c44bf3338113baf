"""The guard: names of hosts, unknown devices, tokens of forms, lengths, paces, and what every answer carries."""

from __future__ import annotations

import asyncio
import re
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import urlencode

import pytest
from jinja2 import Environment
from starlette.types import Message
from tests.web.apart import run_apart
from tests.web.own_kitchen import STEAK
from tests.web.own_page import HERE, token_in
from tests.web.visitors import NETWORK, PHONE, House

import corebath.web
from corebath.log.errors import StoreError
from corebath.web.guard_body import Gone, TooLarge, TooSlow, again, whole_body
from corebath.web.guard_body import token_in as body_token
from corebath.web.guard_pace import Buckets
from corebath.web.guard_settings import Pace, pace, requests
from corebath.web.guard_token import FormTokens
from corebath.web.pairing import Serving

FORM = {name: str(value) for name, value in STEAK.items()}
TEMPLATES = sorted((Path(corebath.web.__file__).parent / "templates").glob("*.html"))


@pytest.fixture
def house(tmp_path: Path) -> Iterator[House]:
    made = House(tmp_path)
    yield made
    made.store.close()


@pytest.mark.parametrize("host", ["localhost", "127.0.0.1:8360", "[::1]:8360", "192.0.2.7", "Kitchen.Local:8360"])
def test_names_of_this_machine_are_answered(house: House, host: str) -> None:
    assert house.visitor(HERE).get("/pair", host=host).status_code == 200


@pytest.mark.parametrize(
    "host", ["evil.example", "127.0.0.1.evil.example", "192.0.2.8", "", "localhost.evil.example:8360", "[::2]", "@"]
)
def test_other_names_are_not(house: House, host: str) -> None:
    """DNS rebinding: a page of another site points its own name at this machine."""
    answer = house.here().get("/", host=host)
    assert answer.status_code == 421
    assert "set-cookie" not in answer.headers or "device" not in answer.headers["set-cookie"]
    assert "does not answer to the name" in answer.text


def test_without_lan_only_this_machine_has_a_name(tmp_path: Path) -> None:
    alone = House(tmp_path, Serving())
    assert alone.visitor(HERE, NETWORK).get("/").status_code == 421
    assert alone.here().get("/").status_code == 200
    alone.store.close()


@pytest.mark.parametrize("path", ["/", "/kitchen", "/log", "/gear", "/api/plan", "/openapi.json", "/nowhere", "/share"])
def test_an_unknown_device_is_refused_as_a_plain_page(house: House, path: str) -> None:
    answer = house.visitor().get(path)
    assert answer.status_code == 401
    said = answer.json()["error"] if path.startswith("/api/") else answer.text
    assert "This device is not paired with this kitchen." in said
    assert "soup pot" not in answer.text


def test_an_unknown_device_gets_the_pairing_page_how_it_looks_and_shared_cards(house: House) -> None:
    visitor = house.visitor()
    for path, status in (("/pair", 200), ("/static/corebath.css", 200), ("/s/unknown", 404)):
        assert visitor.get(path).status_code == status
    assert visitor.get("/static/../app.py").status_code in (401, 404)
    assert visitor.get("/static/%2e%2e/app.py").status_code == 404


@pytest.mark.parametrize("name", ["x-forwarded-for", "forwarded", "x-real-ip", "via"])
def test_what_a_relay_hands_on_is_not_taken_for_this_machine(house: House, name: str) -> None:
    assert house.here().get("/gear", **{name: "203.0.113.5"}).status_code == 401


def test_a_loopback_address_by_a_name_of_the_network_is_not_this_machine(house: House) -> None:
    assert house.visitor(HERE, "http://kitchen.local:8360").get("/gear").status_code == 401


def test_every_form_that_changes_something_gets_a_token() -> None:
    plain, tokens = Environment(autoescape=True), Environment(autoescape=True, extensions=[FormTokens])
    forms = 0
    for template in TEMPLATES:
        text = template.read_text(encoding="utf-8")
        wanted = len(re.findall(r'method="?post', text, re.IGNORECASE))
        assert tokens.preprocess(text).count("form_token()") == wanted, template.name
        assert "form_token" not in plain.preprocess(text)
        forms += wanted
    assert forms > 20


@pytest.mark.parametrize("path", ["/kitchen/start", "/gear", "/share", "/gear/unpair", "/gear/pair", "/log/1/remove"])
def test_a_form_without_its_token_changes_nothing(house: House, path: str) -> None:
    for visitor in (house.here(), house.paired()):
        before = house.key_file.read_bytes()
        for sent in ({}, {"form-token": "x"}, {"form-token": ""}):
            answer = visitor.bare(path, **FORM, **sent)
            assert answer.status_code == 403
            assert "Only corebath&#39;s own pages" in answer.text
        assert house.store.cooks().total == 0
        assert house.store.shares(house.now) == ()
        assert house.key_file.read_bytes() == before


def test_a_token_holds_for_its_own_session_only(house: House) -> None:
    mine, yours = house.here(), house.here()
    stolen = token_in(mine.get("/gear").text)
    yours.get("/gear")
    assert yours.bare("/kitchen/start", **FORM, **{"form-token": stolen}).status_code == 403
    assert mine.bare("/kitchen/start", **FORM, **{"form-token": stolen}).status_code == 303


def test_the_token_is_found_in_a_form_with_files(house: House) -> None:
    here = house.here()
    here.send("/kitchen/start", **FORM)
    token = token_in(here.get("/kitchen/1").text)
    sent = {"file": ("a.csv", b"time,bath\n2027-03-12T12:00:00+01:00,60\n", "text/csv")}
    assert here.client.post("/kitchen/1/file", files=sent).status_code == 403
    assert here.client.post("/kitchen/1/file", files=sent, data={"form-token": token}).status_code in (200, 422)


@pytest.mark.parametrize(
    "headers",
    [
        {"origin": "http://evil.example"}, {"origin": "null"}, {"origin": "http://127.0.0.1:9999"},
        {"sec-fetch-site": "cross-site"}, {"sec-fetch-site": "same-site"},
    ],
)  # fmt: skip
def test_another_sites_page_is_refused_even_with_a_token(house: House, headers: dict[str, str]) -> None:
    here = house.here()
    assert here.sent_with(headers, "/kitchen/start", **FORM).status_code == 403
    assert here.client.post("/api/cooks/1/readings", content='{"core": 50}', headers=headers).status_code == 403
    assert here.sent_with({"origin": "http://127.0.0.1:8360"}, "/kitchen/start", **FORM).status_code == 303


def test_a_logger_is_free_on_this_machine_and_needs_its_token_in_the_network(house: House) -> None:
    house.here().send("/kitchen/start", **FORM)
    path, sent, token = "/api/cooks/1/readings", {"core": 50}, house.household.logger_token
    assert house.here().client.post(path, json=sent).json() == {"new": 1}
    logger = house.visitor().client
    assert logger.post(path, json=sent).status_code == 401
    for wrong in ("Bearer x", f"Basic {token}", token, f"Bearer {token}x", "Bearer ü"):
        assert logger.post(path, json=sent, headers={b"authorization": wrong.encode()}).status_code == 401
    known = {"authorization": f"Bearer {token}"}
    assert logger.post(path, json={"core": 51}, headers=known).json() == {"new": 1}
    for other in ("/api/cooks/1", "/kitchen/1", "/gear", path):
        assert logger.get(other, headers=known).status_code == 401
    assert logger.post("/kitchen/1/reading", data={"value": "50 C"}, headers=known).status_code == 401
    house.household.unpair_all()
    assert logger.post(path, json=sent, headers=known).status_code == 401


def test_only_what_may_be_sent_is_read() -> None:
    def sending(*parts: bytes, end: Message | None = None) -> list[Message]:
        told: list[Message] = [{"type": "http.request", "body": part, "more_body": True} for part in parts]
        return [*told, end or {"type": "http.request", "body": b"", "more_body": False}]

    async def read(messages: list[Message], most: int = 10, within_s: float = 5.0) -> bytes:
        left = iter(messages)

        async def receive() -> Message:
            message = next(left, None)
            if message is None:
                await asyncio.sleep(60)
            assert message is not None
            return message

        body = await whole_body(receive, most, within_s)
        assert (await again(body, receive)())["body"] == body
        return body

    assert run_apart(read(sending(b"12345", b"67890"))) == b"1234567890"
    with pytest.raises(TooLarge):
        run_apart(read(sending(b"12345", b"678901")))
    with pytest.raises(Gone):
        run_apart(read(sending(b"1", end={"type": "http.disconnect"})))
    with pytest.raises(TooSlow):
        run_apart(read([{"type": "http.request", "body": b"1", "more_body": True}], within_s=0.01))


def test_a_token_is_read_only_from_its_own_field() -> None:
    plain, multipart = "application/x-www-form-urlencoded", "multipart/form-data; boundary=x"
    assert body_token(b"form-token=abc&at=1", plain) == "abc"
    assert body_token(b"at=1&form-token=abc", plain) == "abc"
    assert body_token(b"note=form-token%3Dabc&my-form-token=abc", plain) == ""
    assert body_token(b"", plain) == ""
    part = b'--x\r\nContent-Disposition: form-data; name="form-token"\r\n\r\nabc\r\n--x'
    assert body_token(part, multipart) == "abc"
    assert body_token(b"x" * 5000 + part, multipart) == ""


def test_a_client_that_asks_too_often_waits(house: House) -> None:
    visitor = house.visitor()
    asked = 0
    while (late := visitor.get("/nowhere")).status_code != 429:
        asked += 1
    assert asked >= pace("network").at_once
    assert "Too much is asked at once" in late.text
    assert int(late.headers["retry-after"]) >= 1
    assert house.visitor(("192.0.2.51", 1)).get("/pair").status_code == 200
    assert {house.here().get("/pair").status_code for _ in range(300)} == {200}


def test_buckets_fill_again_and_do_not_grow_for_ever() -> None:
    now = 0.0
    buckets = Buckets(Pace(at_once=2, a_second=0.5), lambda: now)
    assert [buckets.take("a") for _ in range(3)] == [0.0, 0.0, 2.0]
    assert (buckets.wait_s("a"), buckets.wait_s("b")) == (2.0, 0.0)
    now = 2.0
    assert [buckets.take("a") for _ in range(2)] == [0.0, 2.0]
    for number in range(10_000):
        buckets.take(str(number))
    assert len(buckets._filled) < 5000


@pytest.mark.parametrize("path", ["/", "/pair", "/kitchen", "/log", "/gear", "/s/x", "/nowhere", "/static/icon.svg"])
def test_every_answer_carries_what_its_page_may_do(house: House, path: str) -> None:
    for visitor in (house.here(), house.visitor()):
        headers = visitor.get(path).headers
        policy = headers["content-security-policy"]
        assert "default-src 'none'" in policy
        assert "unsafe" not in policy
        assert "frame-ancestors 'none'" in policy
        assert headers["x-content-type-options"] == "nosniff"
        assert headers["x-frame-options"] == "DENY"
        assert headers["referrer-policy"] == ("no-referrer" if path.startswith("/s/") else "same-origin")
        assert "geolocation=()" in headers["permissions-policy"]


def test_cookies_are_out_of_reach(house: House) -> None:
    for base, secure in (("http://127.0.0.1:8360", False), ("https://127.0.0.1:8360", True)):
        cookie = house.visitor(HERE, base).get("/").headers["set-cookie"].lower()
        assert "httponly" in cookie
        assert "samesite=lax" in cookie
        assert "path=/" in cookie
        assert ("; secure" in cookie) is secure
    assert "set-cookie" not in house.visitor().get("/s/x").headers
    assert "set-cookie" not in house.visitor().get("/static/icon.svg").headers


def _pages(house: House) -> Iterator[str]:
    """Every address of the app that takes no number, and some that take one, with a question."""
    house.here().send("/kitchen/start", **FORM)
    for path, ways in house.app.openapi()["paths"].items():
        if "get" in ways and "{" not in path:
            yield f"{path}?{urlencode(FORM)}"
    yield from ("/", "/kitchen/1", "/log/1", "/nowhere", "/s/x", "/?thick=x")


def test_no_page_has_script_or_style_in_its_lines(house: House) -> None:
    seen = 0
    for path in _pages(house):
        answer = house.here().get(path)
        if not answer.headers.get("content-type", "").startswith("text/html"):
            continue
        seen += 1
        assert not re.search(r"<[^>]*\s(style|on[a-z]+)\s*=|<style|href=.javascript:", answer.text), path
        for script in re.findall(r"<script\b[^>]*>", answer.text):
            assert 'src="/static/' in script, path
        assert "unsafe" not in answer.headers["content-security-policy"], path
        assert answer.text.count('method="post"') == answer.text.count('name="form-token" value="'), path
        assert 'name="form-token" value=""' not in answer.text, path
    assert seen > 10


def test_a_store_that_fails_is_told_by_the_guard_too(house: House, monkeypatch: pytest.MonkeyPatch) -> None:
    def fails(*_: object) -> None:
        raise StoreError("the key of this kitchen cannot be read: the disk is full")

    monkeypatch.setattr(house.household, "caller", fails)
    answer = house.visitor(PHONE).get("/")
    assert answer.status_code == 503
    assert "The key of this kitchen cannot be read: the disk is full." in answer.text


def test_the_limits_are_those_of_the_data(house: House) -> None:
    here = house.here()
    token = token_in(here.get("/pair").text)
    large = b"form-token=" + token.encode() + b"&x=" + b"x" * requests().form_bytes
    assert here.client.post("/gear", content=large).status_code == 413
    for length in ("-1", "x", "²"):
        told = {b"content-length": length.encode("latin-1", "replace")}
        answer = here.client.post("/gear", content=b"x", headers=told)
        assert answer.status_code in (411, 413)
