"""Shared plans in both kinds of store."""

from __future__ import annotations

from datetime import timedelta
from zoneinfo import ZoneInfo

import pytest
from tests.unit.log.cooks import NOON

from corebath.log.demo import demo_kitchen
from corebath.log.share import Shared, hash_of, nameless
from corebath.log.store import Missing, Store, StoreError

KITCHEN = nameless(demo_kitchen(ZoneInfo("Europe/Paris")))


def _shared(name: str = "beef ribeye", days: float = 30.0) -> Shared:
    return Shared(name, "food=ribeye&thick=30+mm", KITCHEN, NOON, NOON + timedelta(days=days))


def test_a_share_comes_back_with_its_kitchen(store: Store) -> None:
    kept = store.share(_shared(), hash_of("a"), 10)
    assert store.shared(hash_of("a"), NOON) == kept
    assert (kept.kitchen, kept.query, kept.name) == (KITCHEN, _shared().query, "beef ribeye")


def test_links_end(store: Store) -> None:
    store.share(_shared("first", days=1), hash_of("a"), 10)
    second = store.share(_shared("second"), hash_of("b"), 10)
    assert [s.name for s in store.shares(NOON)] == ["second", "first"]
    later = NOON + timedelta(days=1)
    assert [s.name for s in store.shares(later)] == ["second"]
    store.revoke_share(second.id or 0)
    assert store.shares(later) == ()
    for token in ("a", "b", "c", ""):
        with pytest.raises(Missing, match="nothing is shared at this address, or not any more"):
            store.shared(hash_of(token), later)
    for number in (0, -1, 99, 10**30):
        with pytest.raises(Missing):
            store.revoke_share(number)


def test_what_is_over_makes_room(store: Store) -> None:
    first = store.share(_shared(), hash_of("a"), 1)
    with pytest.raises(StoreError, match="1 plans are shared"):
        store.share(_shared(), hash_of("b"), 1)
    store.revoke_share(first.id or 0)
    assert store.share(_shared(), hash_of("b"), 1).id != first.id


@pytest.mark.parametrize(
    ("name", "query", "days", "why"),
    [("", "food=x", 1, "name"), ("x", "", 1, "question"), ("x", "q" * 5000, 1, "question"), ("x", "q", 0, "expire")],
)
def test_what_cannot_be_shared_is_refused(name: str, query: str, days: float, why: str) -> None:
    with pytest.raises(ValueError, match=why):
        Shared(name, query, KITCHEN, NOON, NOON + timedelta(days=days))
