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


def test_a_tap_says_that_the_power_held_where_a_logger_fell_silent(store: Store) -> None:
    silent = started(store, read=((0.0, 62.0), (1.0, 62.0)), source="kitchen/bath")
    assert Happening.POWER_HELD in cook_view(silent, store, KITCHEN, at(12.0)).wanted
    assert silent.id is not None
    store.add_event(silent.id, Event(Happening.POWER_HELD, at(12.0), at(12.0)))
    believed = cook_view(store.cook(silent.id), store, KITCHEN, at(12.2))
    assert not believed.faulty
    assert Happening.POWER_HELD not in believed.wanted
    assert Happening.SEEN_FINE in believed.wanted
    # A later silence is not covered by it.
    later = cook_view(store.cook(silent.id), store, KITCHEN, at(13.5))
    assert later.faulty
    assert later.happened is not None
    assert later.happened.gaps[-1].start_s == pytest.approx(12 * 3600)


def test_a_bath_seen_fine_is_a_look_at_its_moment(store: Store) -> None:
    """Found cold at 8 h: a fault may have begun when it was last seen fine, at 7.5 h and not at drop-in."""
    plan = plan_of(QUESTION, NOW, KITCHEN)
    assert plan is not None
    looked = started(store, (7.5, Happening.SEEN_FINE), read=((8.0, 50.0),))
    found = judged(looked, store, plan, at(8.0))
    assert found is not None
    assert found[0].gaps[0].start_s == pytest.approx(7.5 * 3600)
