"""Cooks, events, ratings and photos in the store, on both kinds of it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from threading import Barrier, Thread
from zoneinfo import ZoneInfo

import pytest
from tests.unit.log.cooks import JPEG, NOON, PNG, a_cook, an_event, trace

from corebath.log.cook import Cook, Event, Happening, Place, Rating
from corebath.log.photo import Photo
from corebath.log.store import Missing, Outdated, Store, StoreError
from corebath.log.texts import limits


def started(store: Store, cook: Cook | None = None) -> tuple[int, Cook]:
    kept = store.start_cook(cook or a_cook())
    assert kept.id is not None
    return kept.id, kept


def test_a_cook_comes_back_as_it_went_in(store: Store) -> None:
    planned_at = NOON.astimezone(ZoneInfo("Asia/Kolkata")) + timedelta(microseconds=123_457)
    events = (an_event(), an_event(Happening.NOTE, 3, "ø\n{57|C} ' \" % \\"))
    cook = replace(a_cook(planned_at=planned_at), events=events, rating=Rating(tender=-2, note="tough"))
    number, kept = started(store, cook)
    numbered = tuple(replace(e, id=k.id) for e, k in zip(events, kept.events, strict=True))
    assert kept == replace(cook, id=number, revision=1, events=numbered)
    assert store.cook(number) == kept


def test_events_stand_in_the_order_they_happened_and_their_time_can_be_changed(store: Store) -> None:
    number, _ = started(store)
    store.add_event(number, an_event(Happening.PULLED, 130))
    store.add_event(number, an_event(Happening.TOPPED_UP, 60))
    cook = store.add_event(number, an_event(Happening.DROPPED_IN, 90))
    assert [e.happening for e in cook.events] == [Happening.TOPPED_UP, Happening.DROPPED_IN, Happening.PULLED]
    dropped = cook.first(Happening.DROPPED_IN)
    assert dropped is not None
    earlier = replace(dropped, at=NOON)
    cook = store.change_event(number, earlier, cook.revision)
    assert cook.events[0] == earlier
    assert cook.bath_s == 130 * 60
    assert dropped.id is not None
    cook = store.remove_event(number, dropped.id, cook.revision)
    assert cook.first(Happening.DROPPED_IN) is None
    assert cook == store.cook(number)


def test_a_rating_can_be_changed_and_taken_back(store: Store) -> None:
    number, cook = started(store)
    cook = store.rate(number, Rating(tender=1), cook.revision)
    cook = store.rate(number, Rating(salt=-1, note="fade"), cook.revision)
    assert cook.rating == Rating(salt=-1, note="fade")
    assert store.rate(number, None, cook.revision).rating is None


def test_a_cook_ends_goes_on_and_changes_its_name(store: Store) -> None:
    number, cook = started(store)
    cook = store.end_cook(number, cook.revision)
    assert cook.ended
    cook = store.reopen_cook(number, cook.revision)
    assert not cook.ended
    assert store.rename_cook(number, "Sunday roast", cook.revision).name == "Sunday roast"
    with pytest.raises(ValueError, match="name of a cook must have 1 to 80 characters"):
        store.rename_cook(number, " ", store.cook(number).revision)


def test_a_change_made_for_an_older_state_is_refused_and_writes_nothing(store: Store, address: str) -> None:
    number, seen = started(store)
    event = store.add_event(number, an_event()).events[0]
    photo = store.add_photo(number, Photo(JPEG, NOON))
    other = Store(address)
    other.rate(number, Rating(tender=2), store.cook(number).revision)
    other.close()
    before = store.cook(number)
    assert event.id is not None
    changes: list[Callable[[int], object]] = [
        lambda revision: store.rate(number, Rating(tender=-2), revision),
        lambda revision: store.change_event(number, replace(event, at=NOON + timedelta(hours=1)), revision),
        lambda revision: store.remove_event(number, event.id or 0, revision),
        lambda revision: store.end_cook(number, revision),
        lambda revision: store.reopen_cook(number, revision),
        lambda revision: store.rename_cook(number, "other", revision),
        lambda revision: store.remove_cook(number, revision),
    ]
    for change in changes:
        for stale in (seen.revision, before.revision - 1, before.revision + 1):
            with pytest.raises(Outdated, match="changed in another window"):
                change(stale)
    assert store.cook(number) == before
    assert store.photos(number) == (photo,)


def test_of_two_windows_that_change_at_the_same_time_exactly_one_succeeds(store: Store, address: str) -> None:
    number, cook = started(store)
    for _ in range(10):
        told: list[str] = []
        revision, start = store.cook(number).revision, Barrier(2)

        def change(mine: Store, tender: int, seen: int, said: list[str], together: Barrier) -> None:
            together.wait()
            try:
                mine.rate(number, Rating(tender=tender), seen)
                said.append(f"wrote {tender}")
            except Outdated:
                said.append("outdated")

        windows = [Store(address), Store(address)]
        threads = [Thread(target=change, args=(w, k, revision, told, start)) for k, w in enumerate(windows)]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        for window in windows:
            window.close()
        cook = store.cook(number)
        assert cook.rating is not None
        assert sorted(told) == ["outdated", f"wrote {cook.rating.tender}"]
        assert cook.revision == revision + 1


def test_taps_in_two_windows_are_both_kept(store: Store, address: str) -> None:
    number, _ = started(store)
    windows = [Store(address) for _ in range(3)]

    def tap(window: Store, mine: int) -> None:
        for k in range(10):
            window.add_event(number, an_event(Happening.NOTE, k, f"{mine}.{k}"))

    threads = [Thread(target=tap, args=(window, k)) for k, window in enumerate(windows)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    for window in windows:
        window.close()
    assert {e.text for e in store.cook(number).events} == {f"{i}.{k}" for i in range(3) for k in range(10)}
    assert store.cook(number).revision == 31


SEARCHES: list[tuple[str, set[str]]] = [
    ("", {"Öl-Lachs", "Short ribs 100%", "Eggs_soft"}),
    ("öl", {"Öl-Lachs"}),
    ("ÖL LACHS", {"Öl-Lachs"}),
    ("SHORT beef", {"Short ribs 100%"}),
    ("%", {"Short ribs 100%"}),
    ("_", {"Eggs_soft"}),
    ("straße", {"Eggs_soft"}),
    ("STRASSE", {"Eggs_soft"}),
    ("too salty", {"Short ribs 100%"}),
    ("\\", set()),
    ("short eggs", set()),
]


def test_a_search_finds_every_word_in_names_foods_and_notes(store: Store) -> None:
    started(store, a_cook("Öl-Lachs", food="salmon"))
    ribs, cook = started(store, a_cook("Short ribs 100%", food="beef_short_ribs"))
    store.rate(ribs, Rating(note="Too SALTY"), cook.revision)
    eggs, _ = started(store, a_cook("Eggs_soft", food="egg"))
    store.add_event(eggs, an_event(Happening.NOTE, 1, "von der Straße"))
    for search, found in SEARCHES:
        listed = store.cooks(search)
        assert {c.name for c in listed.cooks} == found, search
        assert listed.total == len(found)


def test_a_search_forgets_what_was_changed(store: Store) -> None:
    number, _ = started(store, a_cook("Alpha"))
    cook = store.add_event(number, an_event(Happening.NOTE, text="gravy"))
    cook = store.rename_cook(number, "Beta", cook.revision)
    store.remove_event(number, cook.events[0].id or 0, cook.revision)
    assert [store.cooks(word).total for word in ("alpha", "gravy", "beta")] == [0, 0, 1]


def test_a_list_comes_in_pages_the_last_started_first(store: Store) -> None:
    order = [5, 1, 9, 3, 3, 7, 0]
    for days in order:
        number, cook = started(store, a_cook(f"day {days}", planned_at=NOON + timedelta(days=days)))
        store.add_event(number, an_event(Happening.NOTE, text=f"note {days}"))
        if days % 2:
            store.end_cook(number, store.cook(cook.id or 0).revision)
    pages = [store.cooks(first=k, most=3) for k in (0, 3, 6, 9)]
    assert {page.total for page in pages} == {7}
    assert [c.name for page in pages for c in page.cooks] == [f"day {k}" for k in sorted(order, reverse=True)]
    assert all(c.events[0].text == f"note {c.name.removeprefix('day ')}" for page in pages for c in page.cooks)
    assert store.cooks(ended=True).total == 6
    assert [c.name for c in store.cooks("day", ended=False).cooks] == ["day 0"]


def test_a_list_goes_by_drop_in_else_by_pull_else_by_start(store: Store) -> None:
    day = 24 * 60.0
    cases: tuple[tuple[str, int, tuple[tuple[Happening, int], ...]], ...] = (
        ("dropped in", 9, ((Happening.DROPPED_IN, 3), (Happening.PULLED, 8))),
        ("pulled", 9, ((Happening.PULLED, 4),)),
        ("started", 5, ()),
        ("noted", 2, ((Happening.NOTE, 9),)),
    )
    for name, start, events in cases:
        number, _ = started(store, a_cook(name, planned_at=NOON + timedelta(days=start)))
        for happening, at in events:
            store.add_event(number, an_event(happening, at * day))
    cooks = store.cooks().cooks
    assert [c.name for c in cooks] == ["started", "pulled", "dropped in", "noted"]
    assert [(c.cooked_at - NOON).days for c in cooks] == [5, 4, 3, 2]
    assert [c.name for c in store.cooks(first=1, most=2).cooks] == ["pulled", "dropped in"]


def test_a_removed_cook_takes_everything_with_it_and_its_number_is_not_given_again(store: Store) -> None:
    number, _ = started(store)
    store.add_event(number, an_event())
    store.add_readings(number, trace([20.0, 21.0]))
    photo = store.add_photo(number, Photo(JPEG, NOON))
    store.remove_cook(number, store.cook(number).revision)
    calls: list[Callable[[], object]] = [
        lambda: store.cook(number),
        lambda: store.photo(photo.id),
        lambda: store.readings(number, Place.CORE),
        lambda: store.add_event(number, an_event()),
        lambda: store.add_readings(number, trace([1.0])),
        lambda: store.add_photo(number, Photo(JPEG, NOON)),
        lambda: store.remove_photo(photo.id),
        lambda: store.sources(number),
        lambda: store.photos(number),
        lambda: store.cook(10**30),
    ]
    for call in calls:
        with pytest.raises(Missing, match=r"there is no (cook|photo) \d+ in this store"):
            call()
    assert started(store)[0] > number


def test_an_event_of_another_cook_is_not_touched(store: Store) -> None:
    mine, _ = started(store)
    others, _ = started(store)
    event = store.add_event(others, an_event()).events[0]
    with pytest.raises(Missing, match="there is no event"):
        store.change_event(mine, event, store.cook(mine).revision)
    with pytest.raises(Missing, match="there is no event"):
        store.remove_event(mine, event.id or 0, store.cook(mine).revision)
    with pytest.raises(ValueError, match="only after it is stored"):
        store.change_event(mine, an_event(), store.cook(mine).revision)
    assert store.cook(others).events == (event,)


def test_photos_come_back_byte_by_byte(store: Store) -> None:
    number, cook = started(store)
    later = store.add_photo(number, Photo(PNG, NOON + timedelta(hours=1), "cut open"))
    first = store.add_photo(number, Photo(JPEG, NOON))
    assert store.photos(number) == (first, later)
    assert (first.media_type, first.size, later.media_type) == ("image/jpeg", len(JPEG), "image/png")
    assert store.photo(later.id) == Photo(PNG, NOON + timedelta(hours=1), "cut open", later.id)
    store.remove_photo(first.id)
    assert store.photos(number) == (later,)
    assert store.cook(number) == cook


def test_photos_are_limited_in_kind_size_and_number(store: Store) -> None:
    with pytest.raises(ValueError, match="must be a JPEG or PNG"):
        Photo(b"GIF89a", NOON)
    with pytest.raises(ValueError, match="at most 2 MB"):
        Photo(JPEG + bytes(limits().photo_bytes), NOON)
    number, _ = started(store)
    for _ in range(limits().photos_a_cook):
        store.add_photo(number, Photo(JPEG, NOON))
    with pytest.raises(ValueError, match="at most 24 photos"):
        store.add_photo(number, Photo(JPEG, NOON))


@pytest.mark.parametrize(
    ("make", "why"),
    [
        (lambda: a_cook(""), "name of a cook must have 1 to 80"),
        (lambda: a_cook("x" * 81), "name of a cook must have 1 to 80"),
        (lambda: a_cook("a\0b"), "character that cannot be kept"),
        (lambda: a_cook("a\ud800b"), "character that cannot be kept"),
        (lambda: a_cook(planned_at=NOON.replace(tzinfo=None)), "needs a time zone"),
        (lambda: replace(a_cook(), set_point_C=float("nan")), "a set point must lie between"),
        (lambda: replace(a_cook(), thickness_m=0.0), "thickness"),
        (lambda: replace(a_cook(), planned_bath_s=-1.0), "planned time in the bath"),
        (lambda: Event(Happening.NOTE, NOON.replace(tzinfo=None), NOON), "needs a time zone"),
        (lambda: Event(Happening.SET_POINT, NOON, NOON), "needs its temperature"),
        (lambda: Event(Happening.SET_POINT, NOON, NOON, 120.0), "a set point must lie between"),
        (lambda: Event(Happening.NOTE, NOON, NOON, text="x" * 4001), "a note must have 0 to 4000"),
        (lambda: Rating(note="\x07"), "character that cannot be kept"),
    ],
)
def test_what_no_store_can_keep_is_refused_before_it_gets_there(make: Callable[[], object], why: str) -> None:
    with pytest.raises(ValueError, match=why):
        make()


def test_a_moment_out_of_all_proportion_is_refused_and_writes_nothing(store: Store) -> None:
    with pytest.raises(ValueError, match="must lie after 1970 and before 2200"):
        store.start_cook(a_cook(planned_at=NOON.replace(year=9999)))
    number, cook = started(store)
    with pytest.raises(ValueError, match="must lie after 1970"):
        store.add_event(number, Event(Happening.NOTE, NOON.replace(year=3), NOON))
    assert store.cook(number) == cook
    assert store.cooks().total == 1


def test_every_refusal_of_the_store_is_one_kind_of_error() -> None:
    assert issubclass(Outdated, StoreError)
    assert issubclass(Missing, StoreError)
