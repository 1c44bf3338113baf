"""Timings of the Plan screen at the server, without a network: the answer of a script's request, and the whole page."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from datetime import UTC, datetime
from functools import partial
from itertools import count
from pathlib import Path
from zoneinfo import ZoneInfo

from fastapi.testclient import TestClient

from benchmarks.same_bath import Row, best
from corebath.log.gear import Kitchen
from corebath.log.store import Store
from corebath.web.app import create_app
from corebath.web.site import Site

NOW = datetime(2027, 3, 12, 11, 0, tzinfo=UTC)
MOST_KB = 300
PLAN = {"x-part": "plan", "x-cut": "narrow"}


def rows() -> Iterator[Row]:
    """Name, seconds and note of every timing."""
    with tempfile.TemporaryDirectory() as folder:
        store = Store(Path(folder) / "bench.db")
        site = Site(store, Kitchen(zone=ZoneInfo("Europe/Paris")), clock=lambda: NOW)
        client = TestClient(create_app(site), base_url="http://127.0.0.1", client=("127.0.0.1", 50_000))
        # Every request another thickness, so that nothing kept from the last one helps.
        sizes = (f"{30 + i / 1000:.3f} mm" for i in count())
        for name, food, headers, budget in (
            ("Plan screen, the answer to a script", "beef ribeye steak", PLAN, "budget 100 ms"),
            ("Plan screen, the whole page", "beef ribeye steak", {}, ""),
        ):
            answer = partial(_get, client, food, headers, sizes)
            taken = best(lambda answer=answer: answer(), 7)  # type: ignore[misc]
            size = len(answer())
            fits = "" if size < MOST_KB * 1000 else ", MISSED"
            yield name, taken, f"{budget}{'; ' if budget else ''}{size / 1000:.0f} KB of {MOST_KB}{fits}"
        client.close()
        store.close()


def _get(client: TestClient, food: str, headers: dict[str, str], sizes: Iterator[str]) -> bytes:
    answers = {
        "food": food,
        "thick": next(sizes),
        "want": "medium rare",
        "eat": "2027-03-13 19:30",
        "zone": "Europe/Paris",
    }
    response = client.get("/", params=answers, headers=headers)
    assert response.status_code == 200, response.text[:300]
    return response.content
