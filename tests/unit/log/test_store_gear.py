"""The kitchen in the store: it comes back as it went in, and no window overwrites another's change."""

from __future__ import annotations

import threading
from dataclasses import replace
from pathlib import Path
from tempfile import TemporaryDirectory
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from corebath.bath.gear import Room
from corebath.bath.heater import Heater
from corebath.bath.vessel import Vessel, Wall
from corebath.log.demo import demo_kitchen
from corebath.log.gear import Kitchen, NamedHeater, NamedVessel
from corebath.log.store import Outdated, Store
from corebath.safety.authority import Authority
from corebath.units import METRIC, US

ZONE = ZoneInfo("Europe/Paris")
NAMES = st.text(st.characters(exclude_categories=("C", "Z")), min_size=1, max_size=40)
VESSELS = st.builds(
    NamedVessel,
    NAMES,
    st.builds(
        Vessel,
        st.floats(0.08, 1.5),
        st.none() | st.floats(0.08, 1.5),
        st.floats(0.05, 1.0),
        st.sampled_from(["steel", "plastic", "foam-box"]).map(Wall.named),
        st.floats(0, 2),
    ),
)
HEATERS = st.builds(
    NamedHeater,
    NAMES,
    st.builds(Heater, st.floats(100, 4000), st.floats(0, 0.4), st.floats(0.41, 1.0), st.floats(0, 2)),
)
KITCHENS = st.builds(
    Kitchen,
    zone=st.sampled_from([ZONE, ZoneInfo("UTC"), ZoneInfo("America/Argentina/Buenos_Aires")]),
    preference=st.sampled_from([METRIC, US]),
    authority=st.sampled_from(list(Authority)),
    room=st.builds(Room, st.floats(-10, 50), st.floats(0, 1), st.floats(-500, 5000), st.floats(0, 2)),
    cold_tap_C=st.floats(0, 40),
    hot_tap_C=st.floats(0, 80),
    fridge_C=st.floats(-2, 15),
    freezer_C=st.floats(-40, -5),
    probe_offset_K=st.floats(-5, 5),
    price_per_kWh=st.none() | st.floats(0, 100),
    cover=st.sampled_from(["none", "film", "balls"]),
    vessels=st.lists(VESSELS, max_size=4, unique_by=lambda v: v.name.casefold()).map(tuple),
    heaters=st.lists(HEATERS, max_size=3, unique_by=lambda h: h.name.casefold()).map(tuple),
)


@settings(max_examples=25, deadline=None)
@given(st.lists(KITCHENS, min_size=1, max_size=3))
def test_a_kitchen_comes_back_as_it_went_in_from_another_opening_too(kitchens: list[Kitchen]) -> None:
    with TemporaryDirectory() as folder:
        store = Store(Path(folder) / "kitchen.db")
        assert store.kitchen() is None
        revision = 0
        for kitchen in kitchens:
            revision = store.save_kitchen(kitchen, revision)
            assert store.kitchen() == (kitchen, revision)
        store.close()
        again = Store(Path(folder) / "kitchen.db")
        assert again.kitchen() == (kitchens[-1], len(kitchens))
        again.close()


@pytest.mark.parametrize("stale", [0, 1, 3, 99, -1])
def test_a_change_made_for_another_revision_writes_nothing(store: Store, stale: int) -> None:
    kitchen = demo_kitchen(ZONE)
    revision = store.save_kitchen(kitchen, 0)
    revision = store.save_kitchen(replace(kitchen, cover="film"), revision)
    with pytest.raises(Outdated, match="changed in another window"):
        store.save_kitchen(replace(kitchen, vessels=()), stale)
    assert store.kitchen() == (replace(kitchen, cover="film"), revision)


def test_of_many_windows_none_loses_a_change_that_was_acknowledged(address: str) -> None:
    windows = [Store(address) for _ in range(4)]
    windows[0].save_kitchen(demo_kitchen(ZONE), 0)
    written: list[str] = []

    def add(store: Store, who: int) -> None:
        for i in range(8):
            kept = store.kitchen()
            assert kept is not None
            kitchen, revision = kept
            name = f"pot {who}-{i}"
            more = replace(kitchen, vessels=(*kitchen.vessels, NamedVessel(name, Vessel.round(0.2, 0.2))))
            try:
                store.save_kitchen(more, revision)
            except Outdated:
                continue
            written.append(name)

    threads = [threading.Thread(target=add, args=(store, who)) for who, store in enumerate(windows)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    kept = windows[0].kitchen()
    assert kept is not None
    assert {v.name for v in kept[0].vessels} == {"soup pot", "blue tote", *written}
    assert kept[1] == 1 + len(written)
    for store in windows:
        store.close()
