"""Many cooks at one server: `python -m benchmarks load`. It starts the real server as a program of its own.

Everybody has a cook of their own, and in turn looks at plans, asks for them as data, posts readings, tells what
happened and looks at the kitchen. It takes a minute, so `make bench` leaves it out.
"""

from __future__ import annotations

import asyncio
import os
import random
import re
import subprocess
import sys
import tempfile
import time
from collections import Counter, defaultdict
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from pathlib import Path

import httpx2

Row = tuple[str, float, str]

ONLY_WHEN_ASKED = True
USERS, SECONDS = 200, 60.0
THINK_s = 1.0
PATIENCE_s = 300.0  # as long as browsers wait for an answer; value from memory
_TOKEN = re.compile(r'name="form-token" value="([^"]+)"')
_FOODS = (("beef ribeye steak", "medium rare"), ("chicken breast", "62 C"), ("salmon fillet", "50 C"))


@dataclass
class Tally:
    """What came of the requests: seconds by kind, and what went wrong. told : readings that were acknowledged"""

    seconds: dict[str, list[float]] = field(default_factory=lambda: defaultdict(list))
    wrong: Counter[str] = field(default_factory=Counter)
    told: dict[int, set[float]] = field(default_factory=lambda: defaultdict(set))

    @property
    def requests(self) -> int:
        """How many were answered as they should."""
        return sum(map(len, self.seconds.values()))

    def rows(self) -> Iterator[Row]:
        """A row for each kind, with its median time, and one for what went wrong."""
        for kind, taken in sorted(self.seconds.items()):
            some = sorted(taken)
            half, most, nearly_all = (some[min(int(share * len(some)), len(some) - 1)] for share in (0.5, 0.95, 0.99))
            yield kind, half, f"{len(some)} requests; 95 % in {most * 1000:.0f} ms, 99 % in {nearly_all * 1000:.0f} ms"
        wrong = ", ".join(f"{what}: {count}" for what, count in self.wrong.items())
        yield "errors", 0.0, wrong or "none"


@contextmanager
def server(folder: Path, port: int = 0) -> Iterator[tuple[subprocess.Popen[str], str]]:
    """A server of its own with a store in a folder, and its address; it is ended with the block."""
    with subprocess.Popen(
        [sys.executable, "-m", "corebath", "serve", "--port", str(port)],
        env=os.environ | {"COREBATH_STORE": str(folder / "kitchen.db")}, stdout=subprocess.PIPE, text=True,
    ) as running:  # fmt: skip
        try:
            assert running.stdout is not None
            found = re.search(r"http://\S+:\d+", running.stdout.readline())
            assert found, "the server did not start"
            yield running, found[0]
        finally:
            running.terminate()
            try:
                running.wait(30)
            except subprocess.TimeoutExpired:
                running.kill()


def question(chance: random.Random) -> dict[str, str]:
    """One of many questions."""
    food, want = chance.choice(_FOODS)
    eat = (datetime.now(UTC) + timedelta(days=2)).strftime("%Y-%m-%dT19:30")
    return {"food": food, "thick": f"{chance.randint(20, 45)} mm", "want": want, "eat": eat, "zone": "Europe/Paris"}


async def load(address: str, users: int, seconds: float, seed: int = 1) -> Tally:
    """Let so many users work for so many seconds; what came of it."""
    tally = Tally()
    until = time.monotonic() + seconds
    async with connected(users) as ways:
        # Everybody has a browser of their own, with its own cookies; only the connections are shared.
        browsers = [httpx2.AsyncClient(base_url=address, timeout=PATIENCE_s, transport=ways) for _ in range(users)]
        chances = [random.Random(f"{seed} {n}") for n in range(users)]
        await asyncio.gather(
            *(_user(browser, chance, until, tally) for browser, chance in zip(browsers, chances, strict=True))
        )
    return tally


def connected(users: int) -> httpx2.AsyncHTTPTransport:
    """Connections for so many users."""
    limits = httpx2.Limits(max_connections=users, max_keepalive_connections=users)
    return httpx2.AsyncHTTPTransport(limits=limits, verify=False)


async def _user(client: httpx2.AsyncClient, chance: random.Random, until: float, tally: Tally) -> None:
    await asyncio.sleep(chance.uniform(0, THINK_s))
    page = await _asked(client, tally, "pairing page", "GET", "/pair")
    form = {"form-token": _TOKEN.findall(page.text)[0]} if page is not None else {}
    started = await _asked(client, tally, "start a cook", "POST", "/kitchen/start", data=question(chance) | form)
    cook = int(started.headers["location"].rpartition("/")[2]) if started is not None else 0
    reading = 0
    while time.monotonic() < until:
        kind = chance.choices(("plan", "plan part", "api", "reading", "event", "kitchen"), (3, 2, 1, 4, 1, 1))[0]
        match kind:
            case "plan":
                await _asked(client, tally, "plan page", "GET", "/", params=question(chance))
            case "plan part":
                part = {"x-part": "plan", "x-cut": "narrow"}
                await _asked(client, tally, "plan for script", "GET", "/", params=question(chance), headers=part)
            case "api":
                await _asked(client, tally, "plan as data", "GET", "/api/plan", params=question(chance))
            case "reading":
                reading += 1
                await post_reading(client, tally, cook, reading)
            case "event":
                note = {"happening": "note", "text": f"after {reading}"} | form
                await _asked(client, tally, "tell an event", "POST", f"/kitchen/{cook}/event", data=note)
            case "kitchen":
                await _asked(client, tally, "kitchen page", "GET", f"/kitchen/{cook}")
        await asyncio.sleep(chance.expovariate(1 / THINK_s))


async def post_reading(client: httpx2.AsyncClient, tally: Tally, cook: int, number: int) -> bool:
    """Post a reading of its own value; noted as told only when it was acknowledged."""
    value = round(20 + number / 1000, 3)
    path = f"/api/cooks/{cook}/readings"
    answer = await _asked(client, tally, "post a reading", "POST", path, json={"bath": value})
    if answer is not None:
        tally.told[cook].add(value)
    return answer is not None


async def _asked(
    client: httpx2.AsyncClient, tally: Tally, kind: str, method: str, path: str, **options: object
) -> httpx2.Response | None:
    begun = time.perf_counter()
    try:
        answer = await client.request(method, path, **options)  # type: ignore[arg-type]
    except httpx2.HTTPError as error:
        tally.wrong[f"{kind}: {type(error).__name__}"] += 1
        return None
    if answer.status_code >= 400:
        tally.wrong[f"{kind}: {answer.status_code}"] += 1
        return None
    tally.seconds[kind].append(time.perf_counter() - begun)
    return answer


def rows() -> Iterator[Row]:
    """Name, median seconds and note of every kind of request; first how many were answered in all."""
    with tempfile.TemporaryDirectory() as folder, server(Path(folder)) as (_, address):
        begun = time.monotonic()
        tally = asyncio.run(load(address, USERS, SECONDS))
        taken = time.monotonic() - begun
    yield f"{USERS} users at once", taken, f"{tally.requests} requests, {tally.requests / taken:.0f} a second"
    yield from tally.rows()
