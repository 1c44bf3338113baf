"""Posts that come as from a page of our own: with the cookie the browser got, and the token that stood in the form."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import pytest
from fastapi.testclient import TestClient
from playwright.sync_api import APIRequestContext, APIResponse

from corebath.web.guard_token import HEADER

HERE = ("127.0.0.1", 50000)
_TOKEN = re.compile(r'name="form-token" value="([^"]+)"')


def token_in(page: str) -> str:
    """The token of the first form of a page."""
    found = _TOKEN.search(page)
    assert found, "no form with a token on this page"
    return found[1]


def loose(page: str) -> str:
    """A page with plain spaces between its numbers and their units."""
    return page.replace("\N{NO-BREAK SPACE}", " ")


@contextmanager
def own_pages() -> Iterator[None]:
    """Inside, test clients are on this machine, and both they and a browser's `request` post with a token.

    A test client that is told its own `client` address is left alone, for tests of the guard itself.
    """
    made, asked, posted = TestClient.__init__, TestClient.request, APIRequestContext.post

    def make(self: TestClient, *args: Any, **options: Any) -> None:
        self.as_own_page = "client" not in options  # type: ignore[attr-defined]
        options = {"base_url": "http://127.0.0.1", "client": HERE} | options
        made(self, *args, **options)

    def request(self: TestClient, method: str, url: Any, **options: Any) -> Any:
        if method == "POST" and self.as_own_page:  # type: ignore[attr-defined]
            told = token_in(asked(self, "GET", "/pair").text)
            options["headers"] = {HEADER: told} | dict(options.get("headers") or {})
        return asked(self, method, url, **options)

    def post(self: APIRequestContext, url: str, **options: Any) -> APIResponse:
        told = token_in(self.get("/pair").text())
        return posted(self, url, **options | {"headers": {HEADER: told} | (options.get("headers") or {})})

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(TestClient, "__init__", make)
        patch.setattr(TestClient, "request", request)
        patch.setattr(APIRequestContext, "post", post)
        yield
