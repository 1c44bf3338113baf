"""One kitchen with everything in it, and every screen of the app as an address there."""

from __future__ import annotations

import re
import socket
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path
from urllib.parse import urlencode

import uvicorn
from playwright.sync_api import APIRequestContext, Browser, FilePayload, Page
from tests.web.own_kitchen import CHICKEN, STEAK, window
from tests.web.setting import PHONE
from tests.web.visitors import House

from corebath.log.record import Measured, Record, Step
from corebath.web.pairing import Serving

# An address of the loopback net that is none of this machine's usual names: to the guard it is a network's.
NETWORK = "127.0.0.2"
_PIXEL = bytes.fromhex(
    "89504e470d0a1a0a0000000d49484452000000010000000108020000009077"
    "53de0000000c49444154789c63f8cfc0000003010100c9fe92ef0000000049454e44ae426082"
)
_LONG = {
    "food": "beef-short-rib", "thick": "40 mm", "mass": "500 g", "pieces": "4", "want": "57 C", "bath": "30 h",
    "eat": "2027-03-14T19:30", "zone": "Europe/Paris", "guests": "risk", "vessel": "40 cm x 30 cm x 20 cm",
    "heater": "1.1 kW, 8 cm to 18 cm", "cover": "none", "eaters": "6", "paid": "12/kg",
}  # fmt: skip
_WEEK = {
    "begin": "2027-03-14T14:00", "days": "Mon to Wed", "fridge": "4 C", "vessel": "blue tote", "zone": "Europe/Paris",
    "l1.food": "chicken breast", "l1.thick": "25 mm x3", "l1.mass": "200 g", "l1.want": "62 C",
}  # fmt: skip
_DINNER = STEAK | {"eat": "2027-03-13T19:30"}  # it lies ahead when all else has happened
_MENU = {
    "zone": "Europe/Paris", "c1.name": "dinner", "c1.eat": "2027-03-13T20:00", "d1.food": "beef ribeye steak",
    "d1.pieces": "2", "d1.thick": "35 mm", "d1.want": "medium rare", "d2.food": "carrot", "d2.thick": "25 mm",
    "d2.want": "85 C",
}  # fmt: skip
_STEAK = urlencode(_DINNER)
_TABLE = urlencode({"food": "pork loin", "shape": "slab", "thick": "20-40 mm step 20", "set": "57-61 C step 2"})

PLAN = f"/?{_STEAK}"
# Screen by name: an address on the machine itself, or after "network:" as a device sees it that nobody paired.
SCREENS = {
    "plan, empty": "/?units=metric",
    "plan": PLAN,
    "plan, long": f"/?{urlencode(_LONG)}",
    "plan, US units": f"{PLAN}&units=us",
    "plan, mistakes": "/?food=sirloin&thick=10+m&want=soft&eat=soon&vessel=x&salt=90+%25&eaters=none",
    "plan, failing": f"/?{urlencode(_DINNER | {'want': '49 C', 'guests': 'risk'})}",
    "kitchen": "/kitchen",
    "cook, to start": "/kitchen/1",
    "cook, running": "/kitchen/2",
    "cook, binned": "/kitchen/3",
    "log": "/log",
    "log, nothing found": "/log?q=swordfish",
    "logged": "/log/4",
    "compared": "/log/compare?cook=4&cook=5",
    "compared, refused": "/log/compare?cook=4",
    "records": "/log/records?from=2027-03-01",
    "records, asking": "/log/records?asking=1",
    "records, mistakes": "/log/records?from=x",
    "record, which step": "/log/records/add",
    "record, a row": "/log/records/add?step=cook",
    "record, corrected": "/log/records/add?corrects=1",
    "gear": "/gear",
    "card": f"/card?{_STEAK}",
    "card, long": f"/card?{urlencode(_LONG)}",
    "card of a cook": "/kitchen/2/card",
    "labels": f"/labels?{_STEAK}",
    "message": f"/message?{_STEAK}",
    "poster, empty": "/poster",
    "poster": f"/poster?{_TABLE}",
    "poster, mistakes": "/poster?food=zz&thick=9-1+mm&paper=x",
    "batch": f"/batch?{urlencode(_WEEK)}",
    "batch, mistakes": "/batch?begin=soon&fridge=40+C&l1.food=chikn&l1.thick=9+m",
    "batch, failing": f"/batch?{urlencode(_WEEK | {'l1.want': '54 C', 'guests': 'risk'})}",
    "menu, empty": "/menu?add=bath",
    "menu": f"/menu?{urlencode(_MENU)}",
    "menu, mistakes": f"/menu?{urlencode(_MENU | {'d1.thick': '3 m', 'd2.food': 'sirloin', 'asleep': 'x'})}",
    "menu, failing": f"/menu?{urlencode(_MENU | {'c1.eat': '2027-03-12T22:50'})}",
    "not found": "/nowhere",
    "no such cook": "/kitchen/99",
    "address not understood": "/log?page=x",
    "not paired": "network:/kitchen",
    "pairing": "network:/pair",
    "not shared": "network:/s/nothing",
}
# Beside those of `SCREENS`, whose address is made anew each time.
SHARED = "shared card"
ALL = (*SCREENS, SHARED)


class Places:
    """The kitchen, served on this machine and to a network; `shared` is the path of its shared card."""

    def __init__(self, folder: Path) -> None:
        self._listeners = [socket.socket(), socket.socket()]
        self._listeners[0].bind(("127.0.0.1", 0))
        port = self._listeners[0].getsockname()[1]
        self._listeners[1].bind((NETWORK, port))
        self.here, self.network = f"http://127.0.0.1:{port}", f"http://{NETWORK}:{port}"
        self.house = House(folder, Serving(frozenset({NETWORK}), self.network))
        self._server = uvicorn.Server(uvicorn.Config(self.house.app, log_level="critical", proxy_headers=False))
        self._thread = threading.Thread(target=self._server.run, kwargs={"sockets": self._listeners}, daemon=True)
        self._thread.start()
        while not self._server.started:
            time.sleep(0.01)
        self.shared = ""

    def address(self, place: str) -> tuple[str, str]:
        """Where to open a screen of `ALL`, or a path: the address of the server and the path there."""
        path = self.shared if place == SHARED else SCREENS.get(place, place)
        if path.startswith("network:"):
            return self.network, path.removeprefix("network:")
        return self.here, path

    @contextmanager
    def window(
        self, browser: Browser, place: str, *, width: int = PHONE["width"], height: int = PHONE["height"],
        language: str = "en", still: bool = True,
    ) -> Iterator[Page]:  # fmt: skip
        """A browser of its own with one screen open. still : the reader asked for no motion"""
        base, path = self.address(place)
        context = browser.new_context(
            viewport={"width": width, "height": height}, base_url=base, locale=language,
            reduced_motion="reduce" if still else "no-preference",
        )  # fmt: skip
        page = context.new_page()
        page.goto(path)
        yield page
        context.close()

    def stop(self) -> None:
        """Stop serving, and close the store."""
        self._server.should_exit = self._server.force_exit = True
        self._thread.join(timeout=10)
        for listener in self._listeners:
            listener.close()
        self.house.store.close()

    def furnish(self, browser: Browser) -> None:
        """A cook to start, one under way, one binned, two in the log, rows of the records, a shared card."""
        with window(browser, self.here) as page:
            self._cook(page.request)
            self._share(page.request)
        reads = (Measured(datetime(2027, 3, 9, 10, 0, tzinfo=UTC), 3.4),)
        self.house.store.add_record(Record(Step.KEEP, "Fridge 1", reads[0].at, "JM", measured=reads))
        warm = (Measured(datetime(2027, 3, 10, 10, 0, tzinfo=UTC), 12.0),)
        self.house.store.add_record(Record(Step.KEEP, "Fridge 2", warm[0].at, "JM", measured=warm))

    def _cook(self, request: APIRequestContext) -> None:
        house, store = self.house, self.house.store

        def post(path: str, **form: str | float | bool) -> None:
            request.post(path, form=form)

        for question in (STEAK, CHICKEN, CHICKEN | {"eat": "2027-03-12T18:00"}, STEAK | {"want": "54 C"}, STEAK):
            post("/kitchen/start", **question)
        house.now = datetime(2027, 3, 12, 13, 0, tzinfo=UTC)
        for number in (3, 4, 5):
            post(f"/kitchen/{number}/event", happening="dropped in")
        for number in (4, 5):
            post(f"/kitchen/{number}/reading", place="core", value="5 C")
        house.now += timedelta(hours=2)
        post("/kitchen/2/event", happening="dropped in", at="1 h ago")
        post("/kitchen/2/reading", place="core", value="49 C", at="10 min ago")
        for number in (4, 5):
            post(f"/kitchen/{number}/event", happening="pulled")
            post(f"/kitchen/{number}/end", revision=str(store.cook(number).revision))
            post(f"/log/{number}/rating", revision=str(store.cook(number).revision), note="a bit dry, chewy")
        photo = FilePayload(name="slice.png", mimeType="image/png", buffer=_PIXEL)
        request.post("/log/4/photo", multipart={"photo": photo, "caption": "A slice"})
        house.now += timedelta(hours=6)
        post("/kitchen/3/event", happening="bath was off")

    def _share(self, request: APIRequestContext) -> None:
        page = request.post("/share", form=_DINNER).text()
        found = re.search(r'href="(/s/[^"]+)"', page)
        assert found, page
        self.shared = f"network:{found[1]}"


@contextmanager
def furnished(browser: Browser, folder: Path) -> Iterator[Places]:
    """The kitchen with everything in it, as long as it is served."""
    places = Places(folder)
    try:
        places.furnish(browser)
        yield places
    finally:
        places.stop()
