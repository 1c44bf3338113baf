"""A phone that pairs, cooks, and is parted again, in a real browser; and what a stranger's browser gets."""

from __future__ import annotations

import socket
import threading
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
import uvicorn
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page
from tests.web.own_kitchen import PLAN, window
from tests.web.visitors import House

from corebath.web.pairing import Serving

pytestmark = pytest.mark.browser

# An address of the loopback net that is none of this machine's usual names: to the guard it is a network's.
NETWORK = "127.0.0.2"


@pytest.fixture
def served(tmp_path: Path) -> Iterator[tuple[House, str]]:
    """A household that is served to a network, and its address there."""
    listeners = [socket.socket(), socket.socket()]
    listeners[0].bind(("127.0.0.1", 0))
    port = listeners[0].getsockname()[1]
    listeners[1].bind((NETWORK, port))
    address = f"http://{NETWORK}:{port}"
    house = House(tmp_path, Serving(frozenset({NETWORK}), address))
    server = uvicorn.Server(uvicorn.Config(house.app, log_level="critical", proxy_headers=False))
    thread = threading.Thread(target=server.run, kwargs={"sockets": listeners}, daemon=True)
    thread.start()
    while not server.started:
        time.sleep(0.01)
    yield house, address
    server.should_exit = server.force_exit = True
    thread.join(timeout=10)
    for listener in listeners:
        listener.close()
    house.store.close()


def _clean(page: Page) -> None:
    found = Axe().run(page)
    assert found.violations_count == 0, found.generate_report()
    assert page.evaluate("document.documentElement.scrollWidth") <= page.evaluate("innerWidth")


@pytest.mark.parametrize("script", [True, False])
def test_a_phone_pairs_by_the_link_cooks_and_is_parted(
    browser: Browser, served: tuple[House, str], script: bool
) -> None:
    house, address = served
    with window(browser, address, script=script) as phone:
        phone.goto("/kitchen")
        phone.click("text=Pair this device")
        phone.fill("#code", "WRONG-22")
        phone.click("main button")
        assert "not one that holds" in phone.inner_text(".mistake")
        phone.goto(house.household.link(house.household.new_code()))
        phone.fill("#device-name", "kitchen tablet")
        phone.click("main button")
        phone.wait_for_url("**/")
        phone.goto(PLAN)
        phone.click("text=Start this cook")
        phone.wait_for_url("**/kitchen/1")
        phone.click("text=Dropped in")
        phone.wait_for_url("**/kitchen/1")
        assert [e.happening.value for e in house.store.cook(1).events] == ["dropped in"]
        phone.goto("/gear")
        assert "kitchen tablet" in phone.inner_text("main")
        phone.click("text=Unpair all devices")
        assert "not paired" in phone.inner_text("main")


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_a_card_is_shared_and_read_by_a_stranger(browser: Browser, served: tuple[House, str], scheme: str) -> None:
    house, address = served
    dark = scheme == "dark"
    here = address.replace(NETWORK, "127.0.0.1")
    with window(browser, here, scheme="dark" if dark else "light") as cook:
        cook.goto(PLAN)
        cook.click("text=Share it")
        link = cook.inner_text(".token a")
        assert link.startswith(f"{address}/s/")
        _clean(cook)
        cook.goto("/gear")
        cook.click("text=Pair another device")
        _clean(cook)
        cook.goto("/gear")
        assert "Stop sharing" in cook.inner_text("#shares-head ~ ul")
        _clean(cook)
    with window(browser, address, scheme="dark" if dark else "light", width=320, height=640) as guest:
        guest.goto(link)
        assert "A shared plan" in guest.inner_text("main")
        guest.evaluate("document.querySelectorAll('details').forEach((d) => { d.open = true; })")
        _clean(guest)
        assert guest.context.cookies() == []
        guest.goto("/")
        assert "not paired" in guest.inner_text("main")
        _clean(guest)
        guest.goto("/pair")
        _clean(guest)
    assert house.store.cooks().total == 0
