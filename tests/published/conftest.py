"""Keeps how far each check lies from its published figures, when asked: `pytest tests/published --agreement FILE`."""

from __future__ import annotations

import csv
from collections.abc import Callable, Iterator
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import ArrayLike

Measure = Callable[..., None]
_ROWS = pytest.StashKey[list[dict[str, str]]]()
_COLUMNS = ("what", "n", "unit", "mean", "rms", "largest", "source")


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--agreement", type=Path, help="write how far the checks lie from print to this CSV file")


@pytest.fixture
def measured(request: pytest.FixtureRequest) -> Iterator[Measure]:
    """Call with what was compared, our figures, the published ones, their unit and their source."""

    def keep(what: str, ours: ArrayLike, published: ArrayLike, *, unit: str, source: str, ratio: bool = False) -> None:
        own, printed = np.asarray(ours, dtype=float), np.asarray(published, dtype=float)
        off = 100.0 * (own / printed - 1.0) if ratio else own - printed
        largest = off[np.argmax(np.abs(off))]
        row = (what, str(off.size), unit, f"{off.mean():+.3g}", f"{np.sqrt((off**2).mean()):.3g}", f"{largest:+.3g}")
        rows = request.config.stash.setdefault(_ROWS, [])
        rows.append(dict(zip(_COLUMNS, (*row, source), strict=True)))

    yield keep


def pytest_sessionfinish(session: pytest.Session) -> None:
    path = session.config.getoption("--agreement")
    rows = session.config.stash.get(_ROWS, None)
    if path is not None and rows:
        with path.open("w", encoding="utf-8", newline="") as stream:
            writer = csv.DictWriter(stream, _COLUMNS, lineterminator="\n")
            writer.writeheader()
            writer.writerows(sorted(rows, key=lambda row: row["what"]))
