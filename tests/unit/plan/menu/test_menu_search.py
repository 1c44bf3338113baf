"""The search against a scheduler that tries everything, and what every schedule has to keep."""

from __future__ import annotations

import random
from dataclasses import replace
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from ortools.sat.python import cp_model
from tests.unit.plan.menu.every_schedule import cheapest

from corebath.plan.menu.problem import (
    Before,
    Finish,
    Item,
    Problem,
    Schedule,
    Seating,
    Stay,
    Tub,
    Weights,
    Works,
)
from corebath.plan.menu.search import Found, search, smallest_conflict

SLOT = 30


def small_menu(seed: int, dishes: int = 2, tubs: int = 1, courses: int = 1) -> Problem:
    """A menu in half hours, drawn at random: three set points, some dishes that may be cooked ahead."""
    draw, kept = random.Random(seed), random.Random(-seed - 1)
    items = []
    for i in range(dishes):
        points = sorted(draw.sample(range(3), draw.choice((1, 1, 2))))
        usual = draw.choice(points)
        ready = SLOT * draw.choice((1, 2, 3))
        cooks = tuple(
            Stay(
                p,
                0 if p == usual else 240,
                (ready,) * tubs,
                (ready + SLOT * draw.choice((0, 1, 2)),) * tubs,
                keeps=kept.random() < 0.7,
            )
            for p in points
        )
        in_pan = draw.random() < 0.5
        warm = tuple(Stay(p, 0, (SLOT,) * tubs, (2 * SLOT,) * tubs) for p in range(usual + 1))
        items.append(
            Item(
                name=f"dish {i}",
                course=draw.randrange(courses),
                cooks=cooks,
                finish=Finish(SLOT, SLOT, draw.choice((0, SLOT)), 0, 1, draw.choice((0, SLOT))),
                ahead=i == 0 and draw.random() < 0.7,
                before=Before(SLOT, () if in_pan else warm, SLOT if in_pan else 0),
                room=(draw.choice((300, 600)),) * tubs,
                hang=(draw.choice((200, 500)),) * tubs,
                heat=(draw.choice((200, 600)),) * tubs,
                dip=(draw.choice((0, SLOT)),) * tubs,
                alone=(draw.random() < 0.1,) * tubs,
            )
        )
    heats = (SLOT, 2 * SLOT, 3 * SLOT)
    return Problem(
        points=3,
        items=tuple(items),
        tubs=tuple(Tub(heats, heats, frozenset({(1, 0)}) if draw.random() < 0.2 else frozenset()) for _ in range(tubs)),
        seatings=tuple(Seating(SLOT * (14 + 2 * c), SLOT) for c in range(courses)),
        works=Works(SLOT, SLOT, SLOT, SLOT, SLOT, SLOT, SLOT, SLOT, 0),
        weights=Weights(
            bath_wait=draw.choice((1, 4)), plate_wait=9, swap=draw.choice((100, 900)), turn=draw.choice((50, 300)),
            ahead=draw.choice((200, 1500)), kept=1, early=draw.choice((0, 1)), bath=600,
            bath_minute=draw.choice((0, 2)), prompt=1,
        ),
        slot=SLOT,
        asleep=((4 * SLOT, 6 * SLOT),) if draw.random() < 0.3 else (),
        pans=1,
        hands=draw.choice((1, 2, 2)),
        runs=3,
        fridge_within=SLOT,
    )  # fmt: skip


@pytest.mark.parametrize("seed", range(24))
def test_the_search_finds_what_trying_everything_finds(seed: int) -> None:
    problem = small_menu(seed, dishes=2, tubs=1 + seed % 2, courses=1 + seed % 3 // 2)
    found, schedule = search(problem)
    least = cheapest(problem)
    if least is None:
        assert found is Found.NONE
        return
    assert schedule is not None
    assert schedule.proved
    assert schedule.cost == schedule.bound == least


@pytest.mark.parametrize("seed", range(8))
def test_three_dishes_too(seed: int) -> None:
    problem = small_menu(100 + seed, dishes=3)
    problem = replace(problem, items=tuple(replace(item, ahead=False) for item in problem.items))
    found, schedule = search(problem)
    least = cheapest(problem)
    assert (least is None) == (found is Found.NONE)
    if least is not None:
        assert schedule is not None
        assert schedule.cost == least


@pytest.mark.parametrize("ready", [33, 36, 39, 40])
def test_a_dish_that_may_not_wait_goes_in_between_steps(ready: int) -> None:
    """Ready at the latest moment it is good, and to be eaten at once: some drop-in still suits the table."""
    problem = small_menu(3, dishes=1)
    item = replace(
        problem.items[0], cooks=(Stay(0, 0, (ready,), (ready,)),), finish=Finish(2, 3, 2, 0, 1, 4),
        ahead=False, before=None,
    )  # fmt: skip
    found, schedule = search(replace(problem, slot=10, items=(item,), asleep=()))
    assert found is Found.ANSWER
    assert schedule is not None
    (dish,) = schedule.placed
    assert dish.pull - dish.drop_in == ready


def works_of(problem: Problem, schedule: Schedule) -> list[tuple[int, int]]:
    """Every work of a pair of hands: from, to [min]."""
    works = problem.works
    took = {"fill": works.fill, "turn": works.turn, "swap": works.swap, "fresh": works.fresh}
    found = [(run.begin, run.begin + took[run.how]) for run in schedule.runs]
    found += [(s.at - s.plate, s.at) for s in problem.seatings]
    for dish in schedule.placed:
        item = problem.items[dish.item]
        found.append((dish.drop_in, dish.drop_in + works.drop_in))
        from_pan = dish.ahead and dish.reheat is None
        if dish.fridge is not None:
            found += [(dish.pull, dish.pull + works.chill), (dish.fridge, dish.fridge + works.fridge)]
        if dish.reheat_in is not None:
            found.append((dish.reheat_in, dish.reheat_in + works.drop_in))
        if not from_pan:
            found.append((dish.finish, dish.finish + max(item.finish.dry, works.pull)))
        sear = item.before.pan if from_pan and item.before is not None else item.finish.sear
        found.append((dish.sear, dish.sear + min(sear, item.finish.hands)))
    return [(start, end) for start, end in found if end > start]


@settings(max_examples=25, deadline=None)
@given(st.integers(0, 10_000), st.integers(1, 2), st.integers(1, 2))
def test_nothing_overlaps_wrongly_and_nobody_is_woken(seed: int, tubs: int, courses: int) -> None:
    problem = small_menu(seed, dishes=3, tubs=tubs, courses=courses)
    found, schedule = search(problem)
    if found is not Found.ANSWER:
        return
    assert schedule is not None
    works = works_of(problem, schedule)
    for start, _ in works:
        assert sum(a <= start < b for a, b in works) <= problem.hands
    for begin, end in problem.asleep:
        assert not any(a < end and begin < b for a, b in works)
    for one, other in combinations(schedule.runs, 2):
        if one.bath == other.bath:
            assert one.end <= other.begin or other.end <= one.begin
    for dish in schedule.placed:
        item = problem.items[dish.item]
        stay = item.cooks[dish.cook]
        ready = stay.ready[dish.bath]
        assert ready is not None
        assert ready <= dish.pull - dish.drop_in <= stay.latest[dish.bath]
        run = next(r for r in schedule.runs if (r.bath, r.number) == (dish.bath, dish.run))
        assert run.point == stay.point
        assert stay.keeps or not dish.ahead
        assert run.start <= dish.drop_in < dish.pull <= run.end
        seating = problem.seatings[item.course]
        from_pan = dish.ahead and dish.reheat is None
        sear = item.before.pan if from_pan and item.before is not None else item.finish.sear
        assert 0 <= seating.at - seating.plate - dish.sear - sear - item.finish.rest <= item.finish.most_wait


def test_a_conflict_is_smallest() -> None:
    """Giving up any one wish of it makes the rest possible; all of them together are not."""
    hot = Item(
        "carrots", 0, (Stay(2, 0, (60,), (120,)),), Finish(SLOT, SLOT, 0, 0, 1, SLOT),
        room=(200,), hang=(200,), heat=(200,), dip=(0,), alone=(False,),
    )  # fmt: skip
    cool = replace(hot, name="steak", cooks=(Stay(0, 0, (90,), (120,)),))
    problem = replace(small_menu(3), items=(hot, cool), hands=2, pans=2, asleep=())
    found, _ = search(problem)
    assert found is Found.NONE
    every = ("pans", "hands", "baths", "result:carrots", "result:steak", "now", "served:carrots", "served:steak")
    keys, proved = smallest_conflict(problem, every)
    assert proved
    assert set(keys) == {"baths", "served:carrots", "served:steak"}
    assert search(replace(problem, items=(hot,)))[0] is Found.ANSWER
    assert search(replace(problem, items=(cool,)))[0] is Found.ANSWER
    two = replace(problem, tubs=problem.tubs * 2, items=tuple(_in_two(i) for i in (hot, cool)))
    assert search(two)[0] is Found.ANSWER


def test_wishes_that_can_all_be_kept_are_no_conflict() -> None:
    problem = replace(small_menu(3), hands=2, pans=2, asleep=())
    assert search(problem)[0] is Found.ANSWER
    every = ("pans", "hands", "baths", "now", *(f"served:{item.name}" for item in problem.items))
    assert smallest_conflict(problem, every) == ((), True)


def test_a_limit_that_was_reached_is_no_proof(monkeypatch: pytest.MonkeyPatch) -> None:
    def undecided(_self: cp_model.CpSolver, _model: cp_model.CpModel) -> int:
        return int(cp_model.UNKNOWN)

    monkeypatch.setattr(cp_model.CpSolver, "solve", undecided)
    assert smallest_conflict(small_menu(3), ("baths",)) == ((), False)


def _in_two(item: Item) -> Item:
    cooks = tuple(replace(s, ready=s.ready * 2, latest=s.latest * 2) for s in item.cooks)
    return replace(
        item, cooks=cooks, room=item.room * 2, hang=item.hang * 2, heat=item.heat * 2, dip=item.dip * 2,
        alone=item.alone * 2,
    )  # fmt: skip
