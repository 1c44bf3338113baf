"""What the Kitchen puts to the verdict: looks of a cook, readings of a logger, and what a tap says of the bath."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta
from pathlib import Path
from urllib.parse import urlencode

import pytest
from tests.web.own_kitchen import CHICKEN
from tests.web.setting import KITCHEN, NOW

from corebath.log.cook import Cook, Event, Happening, Place, Reading
from corebath.log.store import Store
from corebath.log.verdict import Decision
from corebath.web.cook_judged import judged
from corebath.web.cook_view import cook_view, plan_of

QUESTION = urlencode({k: str(v) for k, v in CHICKEN.items()})


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    one = Store(tmp_path / "kitchen.db")
    one.save_kitchen(KITCHEN, 0)
    yield one
    one.close()


def at(hours: float) -> datetime:
    return NOW + timedelta(hours=hours)


def started(store: Store, *happened: tuple[float, Happening], read: tuple[tuple[float, float], ...] = (),
            source: str = "typed") -> Cook:  # fmt: skip
    cook = store.start_cook(Cook(QUESTION, NOW, "dinner", "chicken-breast", 62.0, 0.038, 7200.0))
    assert cook.id is not None
    for hours, what in ((0.0, Happening.DROPPED_IN), *happened):
        store.add_event(cook.id, Event(what, at(hours), at(hours) + timedelta(seconds=1)))
    store.add_readings(cook.id, [Reading(at(h), Place.BATH, c, source) for h, c in read])
    return store.cook(cook.id)


def test_a_bath_that_is_on_again_is_not_hot_for_that(store: Store) -> None:
    """Off for an hour and a half and on again: only a reading shows that it is back at its set point."""
    plan = plan_of(QUESTION, NOW, KITCHEN)
    assert plan is not None
    cook = started(store, (0.5, Happening.BATH_OFF), (2.0, Happening.BATH_ON))
    found = judged(cook, store, plan, at(2.5))
    assert found is not None
    happened, _ = found
    assert happened.gaps[-1].end_s == pytest.approx(2.5 * 3600)
    assert happened.bath_now_C < 61.0
    assert "only once a reading shows it" in " ".join(happened.assumed)


def test_a_typed_look_that_found_it_fine_asks_for_no_verdict(store: Store) -> None:
    view = cook_view(started(store, read=((1.0, 62.0),)), store, KITCHEN, at(12.0))
    assert not view.faulty
    assert not view.binned


def test_a_logger_that_fell_silent_is_no_look(store: Store) -> None:
    view = cook_view(started(store, read=((0.0, 62.0), (1.0, 62.0)), source="kitchen/bath"), store, KITCHEN, at(12.0))
    assert view.faulty
    assert view.judged is not None
    assert view.judged.decision is Decision.BIN
    assert view.judged.doubt
