"""Whatever is sent to any address of the app, it is answered as described: no fault, and no page of another kind."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from tests.fuzz.described_app import EXAMPLES, Asker
from tests.web.own_kitchen import OwnKitchen

# Where one answer takes a second or so of reckoning, fewer are asked for.
SLOW = ("/menu", "/api/menu", "/batch", "/api/batch", "/poster", "/api/poster")
PARTS = ("/kitchen", "/log", "/gear", "/card", "/labels", "/api", "/batch", "/menu", "/poster", "")


@pytest.fixture(scope="module")
def asker(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Asker]:
    """A kitchen with some cooks, served on this machine."""
    kitchen = OwnKitchen(tmp_path_factory.mktemp("fuzz"))
    asker = Asker(kitchen)
    yield asker
    print("asked, by status:", dict(sorted(asker.asked.items())))
    kitchen.stop()


@pytest.mark.parametrize("part", PARTS)
def test_every_answer_is_as_described(asker: Asker, part: str) -> None:
    def wanted(path: str) -> bool:
        mine = next(p for p in PARTS if path.startswith(p))
        return mine == part

    operations = asker.operations(wanted)
    assert operations
    for operation in operations:
        asker.ask(operation, EXAMPLES or (3 if operation.path.startswith(SLOW) else 12))
