"""Sorting pieces into bags: nothing is lost, like lies with like, and each bag is opened on one day."""

from __future__ import annotations

from collections import Counter
from datetime import date, timedelta
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.unit.plan.planning import asked, slab

from corebath.plan.batch.bags import sorted_bags
from corebath.plan.batch.batch import Lot, Pieces, Portions, settings
from corebath.plan.batch.say import bag_list
from corebath.plan.request import BadRequest

MONDAY = date(2027, 5, 3)


def lot(*pieces: Pieces, eaten: tuple[int, ...] = (), name: str = "chicken breast") -> Lot:
    days = tuple(Portions(MONDAY + timedelta(days=i), n) for i, n in enumerate(eaten) if n)
    thick = max(p.thickness_m for p in pieces)
    return Lot(name, asked("chicken breast", slab(thick), set_point_C=62.0), pieces, days)


def test_each_day_has_bags_of_its_own() -> None:
    bags = sorted_bags((lot(Pieces(0.038, 10, 0.32), eaten=(2, 2, 2, 2, 2)),))
    assert [bag.count for bag in bags] == [2] * 5
    assert len({bag.eat_on for bag in bags}) == 5
    assert all(bag.mass_kg == pytest.approx(0.64) for bag in bags)


def test_what_is_left_over_has_no_day() -> None:
    bags = sorted_bags((lot(Pieces(0.03, 5), eaten=(2,)),))
    assert [(bag.count, bag.eat_on) for bag in bags] == [(2, MONDAY), (3, None)]


def test_a_thin_piece_begins_a_bag_of_its_own() -> None:
    bags = sorted_bags((lot(Pieces(0.022, 2), Pieces(0.038, 1), Pieces(0.036, 1), eaten=(4,)),))
    assert [bag.thicknesses_m for bag in bags] == [(0.038, 0.036), (0.022, 0.022)]
    assert bags[0].governing_m == 0.038


def test_pieces_on_each_other_stay_in_one_bag_and_are_opened_together() -> None:
    bags = sorted_bags((lot(Pieces(0.028, 2, overlapping=True), Pieces(0.028, 2), eaten=(2, 2)),))
    assert {bag.layers for bag in bags} == {1, 2}
    assert {bag.lies_m for bag in bags} == {0.028, 0.056}
    with pytest.raises(BadRequest, match="eat them on one day"):
        sorted_bags((lot(Pieces(0.028, 2, overlapping=True), eaten=(1, 1)),))


def test_foods_do_not_share_a_bag() -> None:
    bags = sorted_bags((lot(Pieces(0.03, 1), name="a"), lot(Pieces(0.03, 1), name="b")))
    assert [bag.lot.name for bag in bags] == ["a", "b"]
    assert [bag.number for bag in bags] == [1, 2]


@pytest.mark.parametrize(
    ("make", "says"),
    [
        (lambda: Pieces(0.001, 1), "must lie between"),
        (lambda: Pieces(0.03, 0), "between 1 and"),
        (lambda: Pieces(0.03, 1, overlapping=True), "between 2 and 6"),
        (lambda: lot(Pieces(0.03, 40), Pieces(0.02, 40)), "at most 60"),
        (lambda: lot(Pieces(0.06, 6, overlapping=True)), "thick in all"),
        (lambda: lot(Pieces(0.03, 2), eaten=(3,)), "3 portions are eaten and 2 cooked"),
    ],
)
def test_what_no_kitchen_has_is_refused(make: object, says: str) -> None:
    assert callable(make)
    with pytest.raises(BadRequest, match=says):
        make()


@given(
    st.lists(st.tuples(st.sampled_from([20, 22, 25, 30, 38, 45]), st.integers(1, 9)), min_size=1, max_size=5),
    st.lists(st.integers(0, 4), max_size=6),
)
def test_no_piece_is_lost_and_like_lies_with_like(sizes: list[tuple[int, int]], eaten: list[int]) -> None:
    pieces = tuple(Pieces(mm / 1000, n) for mm, n in sizes)
    total = sum(n for _, n in sizes)
    wanted = tuple(n for n in eaten) if sum(eaten) <= total else ()
    bags = sorted_bags((lot(*pieces, eaten=wanted),))
    held = Counter(m for bag in bags for m in bag.thicknesses_m)
    assert held == Counter({p.thickness_m: 0 for p in pieces} | Counter(mm / 1000 for mm, n in sizes for _ in range(n)))
    figures = settings()["bag"]
    for bag in bags:
        assert bag.count <= figures["most_pieces"]
        assert bag.thicknesses_m[-1] >= (1 - figures["like_with_like"]) * bag.governing_m
        assert all(a >= b for a, b in pairwise(bag.thicknesses_m))
    for i, n in enumerate(wanted):
        assert sum(bag.count for bag in bags if bag.eat_on == MONDAY + timedelta(days=i)) == n


@pytest.mark.parametrize(
    ("numbers", "words"),
    [
        ([3], "Bag 3"),
        ([1, 2], "Bags 1 and 2"),
        ([1, 2, 3], "Bags 1 to 3"),
        ([1, 3, 4, 6], "Bags 1, 3, 4 and 6"),
        ([2, 3, 4, 9], "Bags 2 to 4 and 9"),
    ],
)
def test_bags_are_named_shortly(numbers: list[int], words: str) -> None:
    assert bag_list(numbers) == words
