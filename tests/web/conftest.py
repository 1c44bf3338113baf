"""A real server on a free port and a real browser for the screens."""

from __future__ import annotations

import os
import shutil
import socket
import threading
from collections.abc import Iterator
from pathlib import Path

import pytest
import uvicorn
from playwright.sync_api import Browser, Page, sync_playwright
from tests.web.access_places import Places, furnished
from tests.web.own_kitchen import OwnKitchen, window
from tests.web.own_page import own_pages
from tests.web.setting import KITCHEN, LAPTOP, NOW, PHONE

from corebath.log.demo import demo_kitchen
from corebath.log.store import Store
from corebath.web.app import create_app
from corebath.web.site import Site


@pytest.fixture(scope="session", autouse=True)
def _own_pages() -> Iterator[None]:
    """Posts come as from a page of our own; see `own_page`."""
    with own_pages():
        yield


@pytest.fixture(scope="session")
def address(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """Base address of a running demo kitchen whose clock stands at `NOW`."""
    store = Store(tmp_path_factory.mktemp("store") / "demo.db")
    store.save_kitchen(demo_kitchen(KITCHEN.zone), 0)
    listener = socket.socket()
    listener.bind(("127.0.0.1", 0))
    app = create_app(Site(store, KITCHEN, example=True, clock=lambda: NOW))
    server = uvicorn.Server(uvicorn.Config(app, log_level="warning"))
    thread = threading.Thread(target=server.run, kwargs={"sockets": [listener]}, daemon=True)
    thread.start()
    yield f"http://127.0.0.1:{listener.getsockname()[1]}"
    server.should_exit = True
    thread.join(timeout=10)
    listener.close()
    store.close()


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """The system's Chromium; without one these tests are skipped, and say so."""
    program = next(filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))), None)
    if program is None:
        pytest.skip("no Chromium on this machine: install the system's package 'chromium'")
    arguments = ["--disable-gpu", "--disable-background-networking", "--disable-component-update", "--disable-sync"]
    if hasattr(os, "geteuid") and os.geteuid() == 0:
        arguments.append("--no-sandbox")
    with sync_playwright() as playwright:
        chromium = playwright.chromium.launch(executable_path=program, args=arguments)
        yield chromium
        chromium.close()


@pytest.fixture(params=["phone", "laptop"])
def screen(request: pytest.FixtureRequest, browser: Browser, address: str) -> Iterator[Page]:
    """A fresh page at phone and at laptop size; script errors and foreign requests fail the test."""
    size = PHONE if request.param == "phone" else LAPTOP
    context = browser.new_context(
        viewport={"width": size["width"], "height": size["height"]},
        has_touch=request.param == "phone",
        base_url=address,
    )
    page = context.new_page()
    trouble: list[str] = []
    page.on("pageerror", lambda error: trouble.append(str(error)))
    page.on("console", lambda m: trouble.append(m.text) if m.type == "error" and "422" not in m.text else None)
    page.on("request", lambda r: trouble.append(r.url) if not r.url.startswith((address, "data:")) else None)
    yield page
    context.close()
    assert not trouble


@pytest.fixture
def own(tmp_path: Path) -> Iterator[OwnKitchen]:
    """A kitchen of the test's own, served, with a clock that stands at `NOW` until it is set."""
    kitchen = OwnKitchen(tmp_path)
    yield kitchen
    kitchen.stop()


@pytest.fixture
def phone(browser: Browser, own: OwnKitchen) -> Iterator[Page]:
    """A page of phone size on the test's own kitchen."""
    with window(browser, own.address) as page:
        yield page


@pytest.fixture(scope="session")
def places(browser: Browser, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Places]:
    """A kitchen with everything in it, for tests that look at every screen and change nothing."""
    with furnished(browser, tmp_path_factory.mktemp("places")) as kitchen:
        yield kitchen
