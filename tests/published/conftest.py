"""Keeps how far each check lies from its published figures.

`pytest tests/published --agreement FILE` writes it down. Any other run compares what it measured with the file that is
checked in, module by module, so that the documentation cannot tell an old story.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from tests.published.measuring import Gathered, Measure, strayed

_GATHERED = pytest.StashKey[Gathered]()


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--agreement", type=Path, help="write how far the checks lie from print to this CSV file")


def _to_write(config: pytest.Config) -> Path | None:
    # The option is not known in a run that began in another folder.
    path = config.getoption("--agreement", None)
    return path if isinstance(path, Path) else None


@pytest.fixture
def measured(request: pytest.FixtureRequest) -> Measure:
    """Call with the room, what was compared, our figures, the published ones, their unit and their source."""
    return request.config.stash.setdefault(_GATHERED, Gathered()).measure(request.path.name)


@pytest.fixture(scope="module", autouse=True)
def _as_written_down(request: pytest.FixtureRequest) -> Iterator[None]:
    failed = request.session.testsfailed
    yield
    config, test = request.config, request.path.name
    if _to_write(config) is not None or request.session.testsfailed > failed:
        return
    gathered = config.stash.get(_GATHERED, Gathered())
    fresh = [row for row in gathered.rows() if row["test"] == test]
    whole = not config.getoption("keyword") and not any("::" in arg for arg in config.args)
    found = strayed(test, fresh, whole)
    assert not found, f"{found}: look at the change, then write it down by `make agreement`"


def pytest_sessionfinish(session: pytest.Session) -> None:
    path, gathered = _to_write(session.config), session.config.stash.get(_GATHERED, None)
    if path is not None and gathered is not None:
        gathered.write(path)
