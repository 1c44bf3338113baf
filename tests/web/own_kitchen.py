"""A kitchen of a test's own: its store, a server that can be stopped and started again, and a clock that can be set."""

from __future__ import annotations

import socket
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime, timedelta
from pathlib import Path
from typing import Literal
from urllib.parse import urlencode

import uvicorn
from playwright.sync_api import Browser, Page
from tests.web.setting import KITCHEN, NOW, PHONE

from corebath.log.demo import demo_kitchen
from corebath.log.store import Store
from corebath.web.app import create_app
from corebath.web.site import Site

Form = dict[str, str | float | bool]
STEAK: Form = {
    "food": "beef ribeye steak",
    "thick": "30 mm",
    "want": "medium rare",
    "eat": "2027-03-12T19:30",
    "zone": "Europe/Paris",
}
PLAN = f"/?{urlencode(STEAK)}"
CHICKEN: Form = STEAK | {"food": "chicken breast", "thick": "38 mm", "want": "62 C"}


class OwnKitchen:
    """One store file, served on one port for as long as it is `start`ed. now : what the server takes for the time"""

    def __init__(self, folder: Path) -> None:
        self.file = folder / "kitchen.db"
        self.now: datetime = NOW
        store = Store(self.file)
        store.save_kitchen(demo_kitchen(KITCHEN.zone), 0)
        store.close()
        self._port = 0
        self.start()

    @property
    def address(self) -> str:
        """Where it is served; the same after a restart."""
        return f"http://127.0.0.1:{self._port}"

    def start(self) -> None:
        """Open the store and serve it."""
        self.store = Store(self.file)
        self._listener = socket.socket()
        self._listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        self._listener.bind(("127.0.0.1", self._port))
        self._port = self._listener.getsockname()[1]
        self.app = create_app(Site(self.store, KITCHEN, clock=lambda: self.now))
        self._server = uvicorn.Server(uvicorn.Config(self.app, log_level="critical"))
        self._thread = threading.Thread(target=self._server.run, kwargs={"sockets": [self._listener]}, daemon=True)
        self._thread.start()
        while not self._server.started:
            time.sleep(0.01)

    def stop(self) -> None:
        """Stop serving, and close the store."""
        self._server.should_exit = self._server.force_exit = True
        self._thread.join(timeout=10)
        self._listener.close()
        self.store.close()

    def later(self, **span: float) -> None:
        """Let time go by for the server: `later(hours=2)`."""
        self.now += timedelta(**span)


@contextmanager
def window(
    browser: Browser, address: str, *, width: int = PHONE["width"], height: int = PHONE["height"], script: bool = True,
    scheme: Literal["light", "dark"] = "light", frozen_at: datetime | None = None,
) -> Iterator[Page]:  # fmt: skip
    """A page of a browser of its own; a script error or a request elsewhere fails the test.

    frozen_at : the browser's clock stands there, and goes on only when told
    """
    context = browser.new_context(
        viewport={"width": width, "height": height}, base_url=address, java_script_enabled=script, color_scheme=scheme
    )
    page = context.new_page()
    if frozen_at is not None:
        page.clock.install(time=frozen_at)
    trouble: list[str] = []
    page.on("pageerror", lambda error: trouble.append(str(error)))
    page.on("request", lambda r: trouble.append(r.url) if not r.url.startswith((address, "data:", "blob:")) else None)
    yield page
    context.close()
    assert not trouble
