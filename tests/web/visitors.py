"""Clients of the guard's own tests: from any address, by any name, with cookies of their own and no help."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

from fastapi import FastAPI
from fastapi.testclient import TestClient
from httpx2 import Response
from tests.web.own_page import HERE, token_in
from tests.web.setting import KITCHEN, NOW

from corebath.log.demo import demo_kitchen
from corebath.log.store import Store
from corebath.web.app import create_app
from corebath.web.pairing import Household, Serving
from corebath.web.site import Site

NETWORK = "http://192.0.2.7:8360"
PHONE = ("192.0.2.50", 40000)
SERVING = Serving(frozenset({"192.0.2.7", "kitchen.local"}), NETWORK)


class House:
    """A household in a folder, as it is served to a network, with a clock that can be set."""

    def __init__(self, folder: Path, serving: Serving = SERVING, name: str = "kitchen.db") -> None:
        self.now: datetime = NOW
        self.store = Store(folder / name)
        if self.store.kitchen() is None:
            self.store.save_kitchen(demo_kitchen(KITCHEN.zone), 0)
        self.app: FastAPI = create_app(Site(self.store, KITCHEN, clock=lambda: self.now), serving)
        self.household: Household = self.app.state.household
        self.key_file = folder / f"{name}.key"

    def visitor(self, address: tuple[str, int] = PHONE, base: str = NETWORK) -> Visitor:
        """Somebody at an address, who opens pages by a name."""
        return Visitor(self.app, address, base)

    def here(self) -> Visitor:
        """A browser on the machine itself."""
        return self.visitor(HERE, "http://127.0.0.1:8360")

    def paired(self, address: tuple[str, int] = PHONE) -> Visitor:
        """A device that was paired."""
        visitor = self.visitor(address)
        assert visitor.pair(self.household.new_code().text).status_code == 303
        return visitor


class Visitor:
    """A browser: it keeps cookies, and sends forms with the token of the page they stand on."""

    def __init__(self, app: FastAPI, address: tuple[str, int], base: str) -> None:
        self.client = TestClient(
            app, base_url=base, client=address, follow_redirects=False, raise_server_exceptions=False
        )

    def get(self, path: str, **headers: str) -> Response:
        return self.client.get(path, headers=headers)

    def send(self, path: str, page: str = "/pair", **form: str) -> Response:
        """Send a form as it stands on a page."""
        return self.sent_with({}, path, page, **form)

    def sent_with(self, headers: dict[str, str], path: str, page: str = "/pair", **form: str) -> Response:
        """Send a form as it stands on a page, with headers of one's own."""
        told = {"form-token": token_in(self.get(page).text)}
        return self.client.post(path, data=told | form, headers=headers)

    def bare(self, path: str, **form: str) -> Response:
        """Send a form without its token."""
        return self.client.post(path, data=form)

    def pair(self, code: str, name: str = "phone") -> Response:
        return self.send("/pair", code=code, name=name)
