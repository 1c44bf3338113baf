"""Redundant constraints: true of every schedule, and what lets the search prove an answer the best."""

from __future__ import annotations

from itertools import combinations
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from .model import MenuModel
    from .problem import Item


_WHOLE = 1000


def add_cuts(made: MenuModel) -> None:
    """Tell the search what follows from the wishes. Only for a model in which all of them hold."""
    _from_the_table(made)
    _at_the_same_time(made)
    _enough_runs(made)


def _took(item: Item, pull: int) -> int:
    return max(item.finish.dry, pull) + item.finish.sear + item.finish.rest


def _from_the_table(made: MenuModel) -> None:
    """Every dish bounds the first filling and its bath's time by itself."""
    m, problem = made.model, made.problem
    works = problem.works
    for item, dish in zip(problem.items, made.dishes, strict=True):
        cook, seating = dish.cook, problem.seatings[item.course]
        heats = sum(int(problem.tubs[b].heats[item.cooks[o].point] or 0) * x for (o, b, _), x in cook.lits.items())
        m.add(made.first + works.fill + heats <= cook.drop)
        m.add(cook.pull + seating.plate <= seating.at)
        if dish.fridge is not None and item.before is not None:
            after = (
                item.before.chill
                + works.fridge
                + min((min((r or 0) for r in w.ready) for w in item.before.reheats), default=0)
            )
            m.add(cook.pull + after * dish.ahead <= dish.finish)
        for b, runs in enumerate(made.baths.runs):
            for k, run in enumerate(runs):
                mine = [(o, x) for (o, bath, number), x in cook.lits.items() if (bath, number) == (b, k)]
                if mine:
                    m.add(run.end - run.start >= sum(int(item.cooks[o].ready[b] or 0) * x for o, x in mine))


def _at_the_same_time(made: MenuModel) -> None:
    """Two dishes that go from one bath to their tables and are surely in it together share its set point."""
    m, problem = made.model, made.problem
    sure = []
    for item, dish in zip(problem.items, made.dishes, strict=True):
        seating = problem.seatings[item.course]
        out = seating.at - seating.plate - _took(item, problem.works.pull)
        direct: dict[int, Any] = {}
        for b, inside in dish.cook.in_bath.items():
            direct[b] = m.new_bool_var("")
            m.add_bool_or(dish.ahead, ~inside, direct[b])
            m.add_implication(direct[b], inside)
            m.add_implication(direct[b], ~dish.ahead)
        m.add(sum(direct.values()) + dish.ahead == 1)
        sure.append((direct, out))
    pairs = set()
    for i, j in combinations(range(len(sure)), 2):
        one, other = problem.items[i], problem.items[j]
        for b in sure[i][0].keys() & sure[j][0].keys():
            spans = []
            for item, (_, out) in ((one, sure[i]), (other, sure[j])):
                shortest = min(w.ready[b] or 0 for w in item.cooks if w.ready[b] is not None)
                spans.append((out - shortest, out - item.finish.most_wait))
            # One follows the other only if the bath has time to change between them.
            if max(s for s, _ in spans) >= min(e for _, e in spans) + _shortest_change(made, b, one, other):
                continue
            if not _can_share(one, other, b):
                pairs.add((i, j, b))
            else:
                for k in range(len(made.baths.runs[b])):
                    x, y = (made.dishes[n].cook.in_run.get((b, k)) for n in (i, j))
                    if x is not None and y is not None:
                        m.add_bool_or(~sure[i][0][b], ~sure[j][0][b], ~x, y)
                        m.add_bool_or(~sure[i][0][b], ~sure[j][0][b], x, ~y)
    for b in range(len(problem.tubs)):
        for clique in _cliques({(i, j) for i, j, bath in pairs if bath == b}, len(sure)):
            m.add_at_most_one(sure[i][0][b] for i in clique)


def _can_share(one: Item, other: Item, bath: int) -> bool:
    """Whether two dishes could be in one bath at once."""
    crowded = one.room[bath] + other.room[bath] > _WHOLE or one.hang[bath] + other.hang[bath] > _WHOLE
    return not crowded and bool({w.point for w in one.cooks} & {w.point for w in other.cooks})


def _shortest_change(made: MenuModel, bath: int, one: Item, other: Item) -> int:
    """Minutes between two set points, one of each dish, at the least; 0 when they could share one."""
    problem = made.problem
    tub, works = problem.tubs[bath], problem.works
    pairs = [(a.point, b.point) for a in one.cooks for b in other.cooks]
    if any(a == b for a, b in pairs):
        return 0
    swap = works.swap + works.settle
    fresh = works.fresh + min(tub.heats[p] or 0 for pair in pairs for p in pair)
    return min(min(works.turn + abs(tub.rises[a] - tub.rises[b]), swap, fresh) for a, b in pairs)


def _enough_runs(made: MenuModel) -> None:
    """Dishes that can never be in a bath together need a run each, and its minutes."""
    m, problem = made.model, made.problem
    items, works, count = problem.items, problem.works, len(problem.items)
    for b, runs in enumerate(made.baths.runs):
        for k, run in enumerate(runs):
            took = works.fill * run.used + made.baths.heats(b, run)
            if k:
                took = works.turn * run.turn + (works.swap + works.settle) * run.swap + works.fresh * run.fresh
            m.add(run.on >= run.end - run.start + took)
    pairs = list(combinations(range(count), 2))
    apart = {(i, j) for i, j in pairs if not {w.point for w in items[i].cooks} & {w.point for w in items[j].cooks}}
    most = max((len(c) for c in _cliques(apart, count)), default=1)
    m.add(sum(run.used for runs in made.baths.runs for run in runs) >= most)
    lengths = sum(run.end - run.start for runs in made.baths.runs for run in runs)
    never = {(i, j) for i, j in pairs if not any(_can_share(items[i], items[j], b) for b in range(len(problem.tubs)))}
    for group in (*([i] for i in range(count)), *_cliques(never, count)):
        m.add(lengths >= sum(_needs(made, i) for i in group))


def _needs(made: MenuModel, i: int) -> Any:
    """Minutes that a dish has to be in its bath to be cooked."""
    item, lits = made.problem.items[i], made.dishes[i].cook.lits
    return sum(int(item.cooks[o].ready[b] or 0) * x for (o, b, _), x in lits.items())


def _cliques(pairs: set[tuple[int, int]], count: int) -> list[list[int]]:
    """For every pair some largest-looking group that holds it and is pairwise in `pairs`."""
    near: list[set[int]] = [set() for _ in range(count)]
    for i, j in pairs:
        near[i].add(j)
        near[j].add(i)
    found: list[list[int]] = []
    for i, j in sorted(pairs):
        if any(i in group and j in group for group in found):
            continue
        group = [i, j]
        for n in sorted(near[i] & near[j], key=lambda n: (-len(near[n]), n)):
            if all(n in near[g] for g in group):
                group.append(n)
        found.append(group)
    return found
