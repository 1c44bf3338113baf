"""Timings of the log's reading of files, of verdicts and of estimates.

Budget: 100,000 readings read and judged in 2 s.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from functools import partial
from zoneinfo import ZoneInfo

import numpy as np

from benchmarks.coverage import piece_of_beef
from benchmarks.same_bath import Row, best
from corebath.food.catalogue import catalogue
from corebath.heat.body import Body, Shape
from corebath.log.as_cooked import as_cooked
from corebath.log.cook import Place
from corebath.log.csv_import import read_csv
from corebath.log.estimate import estimate
from corebath.log.verdict import Judged, verdict
from corebath.plan.request import Request

PARIS = ZoneInfo("Europe/Paris")
START = datetime(2026, 11, 20, 17, 0, tzinfo=UTC)
COUNT = 100_000
SLAB = Body(Shape.SLAB, 0.045)
BRICK = Body(Shape.BRICK, 0.045, 0.10, 0.15)


def rows() -> Iterator[Row]:
    """Name, seconds and note of every timing."""
    text = file_of(COUNT)
    yield f"read {COUNT} readings", best(partial(read_csv, text, PARIS), 3), f"{len(text) / 1e6:.1f} MB of text"
    for body in (SLAB, BRICK):
        yield (
            f"read and judge {COUNT} readings, {body.shape.value}",
            best(partial(judge, text, body), 3),
            "budget 2000 ms",
        )
    t = 60.0 * np.arange(2.0, 60.0, 2.0)
    for body in (SLAB, BRICK):
        piece = piece_of_beef(body)
        core = np.asarray(57 - 53 * np.exp(-t / 3000.0), dtype=np.float64)
        yield (
            f"estimate from 29 core readings, {body.shape.value}",
            best(partial(estimate, piece, t, core, now_s=3600.0)),
            "",
        )


def judge(text: str, body: Body) -> Judged:
    """Read a file and judge the chuck in it."""
    read = read_csv(text, PARIS)
    bath = read.of(Place.BATH)
    assert bath is not None
    request = Request(
        food=catalogue()["beef-chuck"], body=body, table_time=START + timedelta(days=3), now=START, zone=PARIS,
        set_point_C=57.0,
    )  # fmt: skip
    since = bath.time_s - bath.time_s[0]
    cooked = as_cooked(request, 57.0, until_s=float(since[-1]), bath=(since, bath.value_C))
    return verdict(cooked, request.subject, request.authority)


def file_of(count: int) -> str:
    """A night with a power cut and a hole in the readings, one a second, as a logger in Paris writes it."""
    rng = np.random.default_rng(1)
    s = np.arange(count, dtype=np.float64)
    s[count // 3 :] += 2400.0
    off = np.clip(s - 0.8 * s[-1], 0.0, None)
    bath = 20 + 37 * np.exp(-off / 25_000.0) + rng.normal(0, 0.05, count)
    moments = (START + timedelta(seconds=float(x)) for x in s)
    lines = (f"{m.astimezone(PARIS):%d/%m/%Y %H:%M:%S},{c:.2f}" for m, c in zip(moments, bath, strict=True))
    return "\n".join(["Time,Bath (C)", *lines])
