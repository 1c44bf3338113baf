"""The real server, as a program of its own: many at once get no error, and nothing is lost when it is ended."""

from __future__ import annotations

import asyncio
import random
import signal
import socket
import threading
import time
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime
from functools import partial
from pathlib import Path

import httpx2
import pytest
import uvicorn
from benchmarks.load import Tally, connected, load, post_reading, question, server
from tests.web.apart import run_apart
from tests.web.visitors import House

from corebath.log.cook import Cook, Place
from corebath.log.store import Store
from corebath.web.guard_settings import requests
from corebath.web.patient import PatientProtocol

POSTING = 8


def _cooks(folder: Path, count: int) -> list[int]:
    """A store with some cooks that readings can be posted to; their numbers."""
    store = Store(folder / "kitchen.db")
    now = datetime.now(UTC)
    made = [store.start_cook(Cook("food=x", now, f"cook {n}", "beef_ribeye", 57.0, 0.03, 7200.0)) for n in range(count)]
    store.close()
    return [cook.id or 0 for cook in made]


def test_many_at_once_get_no_error(tmp_path: Path) -> None:
    with server(tmp_path) as (_, address):
        tally = run_apart(load(address, users=20, seconds=5.0))
    assert not tally.wrong
    assert {"post a reading", "start a cook"} <= tally.seconds.keys()
    store = Store(tmp_path / "kitchen.db")
    for cook, values in tally.told.items():
        assert values <= {round(v, 3) for v in store.readings(cook, Place.BATH)[1]}
    assert store.cooks().total == 20
    store.close()


async def _post_until_gone(address: str, cooks: list[int], first: int, end: Callable[[], None]) -> tuple[Tally, int]:
    """Post readings to all cooks at once, end the server amid that, and go on until no post is answered any more.

    first : number of the first reading.  Returns what was acknowledged, and the first number that was not posted.
    """
    tally, last = Tally(), first

    async def post(client: httpx2.AsyncClient, cook: int) -> None:
        nonlocal last
        number = first
        while await post_reading(client, tally, cook, number):
            number += 1
            last = max(last, number)

    async def end_amid() -> None:
        while tally.requests < 5 * len(cooks):
            await asyncio.sleep(0.01)
        end()

    async with connected(2 * len(cooks)) as ways:
        client = httpx2.AsyncClient(base_url=address, timeout=30, transport=ways)
        # A plan is being reckoned meanwhile: an ending server waits for it, a killed one does not.
        slow = asyncio.create_task(client.get("/", params=question(random.Random(first))))
        await asyncio.gather(end_amid(), *(post(client, cook) for cook in cooks))
        await asyncio.gather(slow, return_exceptions=True)
    return tally, last + 1


@pytest.mark.parametrize("how", [signal.SIGTERM, signal.SIGKILL])
def test_nothing_acknowledged_is_lost_when_the_server_is_ended(tmp_path: Path, how: int) -> None:
    cooks, first, port = _cooks(tmp_path, POSTING), 1, 0
    told: dict[int, set[float]] = {cook: set() for cook in cooks}
    for _ in range(3):
        with server(tmp_path, port) as (running, address):
            port = int(address.rpartition(":")[2])
            tally, first = run_apart(_post_until_gone(address, cooks, first, partial(running.send_signal, how)))
            running.wait(30)
            for cook, values in tally.told.items():
                told[cook] |= values
        store = Store(tmp_path / "kitchen.db")
        for cook, values in told.items():
            kept = {round(v, 3) for v in store.readings(cook, Place.BATH)[1]}
            assert values <= kept
            assert len(kept - values) <= 3  # written, but ended before it could be acknowledged: once a server
        store.close()
    assert sum(map(len, told.values())) > 3 * POSTING


def _answer(port: int, sent: bytes, wait_s: float) -> bytes:
    """What comes back, until the other side closes the connection."""
    with socket.create_connection(("127.0.0.1", port), wait_s) as way:
        way.sendall(sent)
        got = b""
        while part := way.recv(65536):
            got += part
    return got


def test_a_client_that_never_finishes_is_sent_away(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The head of a request has `head_s`; many clients that do not finish it keep nobody else from being answered."""
    monkeypatch.setattr("corebath.web.patient.requests", lambda: replace(requests(), head_s=1.0))
    house = House(tmp_path)
    listener = socket.socket()
    listener.bind(("127.0.0.1", 0))
    port = listener.getsockname()[1]
    served = uvicorn.Server(uvicorn.Config(house.app, log_level="critical", http=PatientProtocol))
    thread = threading.Thread(target=served.run, kwargs={"sockets": [listener]}, daemon=True)
    thread.start()
    while not served.started:
        time.sleep(0.01)
    idle = [socket.create_connection(("127.0.0.1", port), 30) for _ in range(50)]
    for way in idle:
        way.sendall(b"GET / HTTP/1.1\r\nHost: 127.0.0.1\r\nX-Slow: ")
    assert b"200 OK" in _answer(port, b"GET /pair HTTP/1.1\r\nHost: 127.0.0.1\r\nConnection: close\r\n\r\n", 30)
    for way in idle:
        assert way.recv(100) == b""
        way.close()
    assert b"421" in _answer(port, b"GET / HTTP/1.0\r\n\r\n", 30).split(b"\r\n")[0]
    assert b"400" in _answer(port, b"nonsense\r\n\r\n", 30).split(b"\r\n")[0]
    served.should_exit = True
    thread.join(timeout=20)
    listener.close()
    house.store.close()
