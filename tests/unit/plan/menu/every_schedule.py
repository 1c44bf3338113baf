"""A second scheduler for the tests: it tries every schedule of a small menu and keeps the cheapest.

It shares nothing with the search but the problem's own words. Every figure of a problem must be a multiple of
its slot; then some best schedule has all its moments on slots, so trying those is trying enough.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise, product
from typing import NamedTuple

from corebath.plan.menu.problem import Item, Problem, Stay


class _InBath(NamedTuple):
    item: int
    bath: int
    point: int
    drop: int
    pull: int
    ready: int


class _Way(NamedTuple):
    """One dish from its first bath to its table."""

    stays: tuple[_InBath, ...]
    works: tuple[tuple[int, int], ...]
    sear: tuple[int, int, int] | None
    cost: int


def cheapest(problem: Problem) -> int | None:
    """Cost of the cheapest schedule, or None when there is none."""
    ways = [sorted(_ways(problem, i), key=lambda w: w.cost) for i in range(len(problem.items))]
    if any(not w for w in ways):
        return None
    floor = [0]
    for w in reversed(ways):
        floor.insert(0, floor[0] + w[0].cost)
    best: list[int | None] = [None]

    def go(i: int, chosen: list[_Way], cost: int) -> None:
        if i == len(ways):
            whole = _baths(problem, chosen, None if best[0] is None else best[0] - cost)
            if whole is not None and (best[0] is None or cost + whole < best[0]):
                best[0] = cost + whole
            return
        for way in ways[i]:
            if best[0] is not None and cost + way.cost + floor[i + 1] >= best[0]:
                return
            if _hands(problem, [*chosen, way], []) and _share(problem, [*chosen, way]):
                go(i + 1, [*chosen, way], cost + way.cost)

    go(0, [], 0)
    return best[0]


def _grid(problem: Problem, low: int, high: int) -> range:
    slot = problem.slot
    return range(-(-low // slot) * slot, high + 1, slot)


def _ways(problem: Problem, i: int) -> Iterator[_Way]:
    item = problem.items[i]
    seating = problem.seatings[item.course]
    works, weights = problem.works, problem.weights
    plate = seating.at - seating.plate
    pulling = max(item.finish.dry, works.pull)
    for cook, bath in product(item.cooks, range(len(problem.tubs))):
        for stay in _stays(problem, i, cook, bath, plate):
            wait_cost = weights.bath_wait * (stay.pull - stay.drop - stay.ready)
            start = [(stay.drop, works.drop_in)]
            if item.direct:
                for sear, cost in _from_bath(problem, item, stay.pull, plate):
                    yield _Way(
                        (stay,), (*start, (stay.pull, pulling), (sear, min(item.finish.hands, item.finish.sear))),
                        (sear, item.finish.sear, item.finish.pans), cook.cost + wait_cost + cost,
                    )  # fmt: skip
            if not item.ahead or item.before is None or not cook.keeps or stay.pull < cook.pull_from:
                continue
            cost = cook.cost + wait_cost + weights.ahead + weights.kept * (seating.at - stay.pull)
            cold = stay.pull + item.before.chill
            for fridge in _grid(problem, cold, cold + problem.fridge_within):
                begun = [*start, (stay.pull, works.chill), (fridge, works.fridge)]
                if not item.before.reheats:
                    pan = item.before.pan
                    for sear in _grid(problem, fridge + works.fridge, plate - pan - item.finish.rest):
                        wait = plate - sear - pan - item.finish.rest
                        if wait <= item.finish.most_wait:
                            yield _Way(
                                (stay,), (*begun, (sear, min(item.finish.hands, pan))), (sear, pan, item.finish.pans),
                                cost + weights.plate_wait * wait,
                            )  # fmt: skip
                    continue
                for again, other in product(item.before.reheats, range(len(problem.tubs))):
                    if again.point > cook.point:
                        continue
                    for warm in _stays(problem, i, again, other, plate):
                        if warm.drop < fridge + works.fridge:
                            continue
                        more = weights.bath_wait * (warm.pull - warm.drop - warm.ready) + again.cost
                        for sear, last in _from_bath(problem, item, warm.pull, plate):
                            yield _Way(
                                (stay, warm),
                                (
                                    *begun, (warm.drop, works.drop_in), (warm.pull, pulling),
                                    (sear, min(item.finish.hands, item.finish.sear)),
                                ),
                                (sear, item.finish.sear, item.finish.pans), cost + more + last,
                            )  # fmt: skip


def _stays(problem: Problem, i: int, stay: Stay, bath: int, last: int) -> Iterator[_InBath]:
    ready = stay.ready[bath]
    if ready is None or problem.tubs[bath].heats[stay.point] is None:
        return
    for drop in _grid(problem, 0, last):
        for pull in _grid(problem, drop + ready, min(drop + stay.latest[bath], last)):
            yield _InBath(i, bath, stay.point, drop, pull, ready)


def _from_bath(problem: Problem, item: Item, pull: int, plate: int) -> Iterator[tuple[int, int]]:
    """When it may be seared, and what its wait costs."""
    pulling = max(item.finish.dry, problem.works.pull)
    wait = plate - pull - pulling - item.finish.sear - item.finish.rest
    if 0 <= wait <= item.finish.most_wait:
        for sear in _grid(problem, pull + pulling, plate - item.finish.sear - item.finish.rest):
            yield sear, problem.weights.plate_wait * wait


def _hands(problem: Problem, chosen: list[_Way], more: list[tuple[int, int]]) -> bool:
    works = [work for way in chosen for work in way.works] + more
    works += [(s.at - s.plate, s.plate) for s in problem.seatings]
    busy: dict[int, int] = {}
    for start, minutes in works:
        if any(start < end and begin < start + minutes for begin, end in problem.asleep):
            return False
        for t in range(start, start + minutes, problem.slot):
            busy[t] = busy.get(t, 0) + 1
    pans: dict[int, int] = {}
    for way in chosen:
        if way.sear is not None:
            start, minutes, count = way.sear
            for t in range(start, start + minutes, problem.slot):
                pans[t] = pans.get(t, 0) + count
    return max(busy.values(), default=0) <= problem.hands and max(pans.values(), default=0) <= problem.pans


def _share(problem: Problem, chosen: list[_Way]) -> bool:
    """Food that is in one bath at once has one set point, room, and time enough for what the others cost it."""
    stays = [stay for way in chosen for stay in way.stays]
    for one in stays:
        late = 0
        for other in stays:
            if other is one or other.bath != one.bath:
                continue
            together = one.drop < other.pull and other.drop < one.pull
            if together and one.point != other.point:
                return False
            dip = problem.items[other.item].dip[one.bath]
            if other.item != one.item and other.drop < one.pull and other.drop + dip > one.drop:
                late += dip
            alone = problem.items[other.item].alone[one.bath]
            if alone and one.drop < other.drop + max(dip, 1) and other.drop < one.pull:
                return False
        if one.pull - one.drop < one.ready + late:
            return False
    for bath in range(len(problem.tubs)):
        for t in {s.drop for s in stays if s.bath == bath}:
            here = [problem.items[s.item] for s in stays if s.bath == bath and s.drop <= t < s.pull]
            if sum(i.room[bath] for i in here) > 1000 or sum(i.hang[bath] for i in here) > 1000:
                return False
            cold = [
                s for s in stays if s.bath == bath and s.drop <= t < s.drop + max(problem.items[s.item].dip[bath], 1)
            ]
            if sum(problem.items[s.item].heat[bath] for s in cold) > 1000:
                return False
    return True


class _Run(NamedTuple):
    bath: int
    point: int
    start: int
    end: int


def _baths(problem: Problem, chosen: list[_Way], below: int | None) -> int | None:
    """The cheapest way to get every bath to its set points in turn."""
    each = [list(_runs(problem, chosen, bath)) for bath in range(len(problem.tubs))]
    best: int | None = None
    for runs in product(*each):
        flat = [run for of_bath in runs for run in of_bath]
        found = _changes(problem, chosen, flat, [], 0, best if best is not None else below)
        if found is not None and (best is None or found < best):
            best = found
    return best


def _runs(problem: Problem, chosen: list[_Way], bath: int) -> Iterator[tuple[_Run, ...]]:
    """Every division of one bath's stays into set points that follow each other."""
    stays = sorted((s for way in chosen for s in way.stays if s.bath == bath), key=lambda s: (s.drop, s.pull))
    groups: list[_Run] = []
    for stay in stays:
        if groups and groups[-1].point == stay.point and stay.drop < groups[-1].end:
            groups[-1] = groups[-1]._replace(end=max(groups[-1].end, stay.pull))
        else:
            groups.append(_Run(bath, stay.point, stay.drop, stay.pull))
    joints = [k for k, (a, b) in enumerate(pairwise(groups)) if a.point == b.point]
    for joined in product((True, False), repeat=len(joints)):
        runs: list[_Run] = []
        for k, group in enumerate(groups):
            if k and k - 1 in joints and joined[joints.index(k - 1)]:
                runs[-1] = runs[-1]._replace(end=group.end)
            else:
                runs.append(group)
        if len(runs) <= problem.runs:
            yield tuple(runs)


def _changes(
    problem: Problem,
    chosen: list[_Way],
    runs: list[_Run],
    begun: list[tuple[int, int, int]],
    cost: int,
    below: int | None,
) -> int | None:
    """Try every way and moment to bring each run's bath to its set point. begun : begin, minutes, whether a fill"""
    if below is not None and cost >= below:
        return None
    if len(begun) == len(runs):
        if not _hands(problem, chosen, [(b, n) for b, n, _ in begun]):
            return None
        first = min(b for b, _, fill in begun if fill)
        return cost + problem.weights.early * (max(s.at for s in problem.seatings) - first)
    run, works, weights = runs[len(begun)], problem.works, problem.weights
    before = runs[len(begun) - 1] if begun and runs[len(begun) - 1].bath == run.bath else None
    tub = problem.tubs[run.bath]
    heats = tub.heats[run.point]
    assert heats is not None
    ways: list[tuple[str, int, int]] = []
    if before is None:
        ways.append(("fill", works.fill, heats))
    else:
        ways.append(("fresh", works.fresh, heats))
        if run.point > before.point:
            ways.append(("turn", works.turn, tub.rises[run.point] - tub.rises[before.point]))
        if run.point < before.point and (before.point, run.point) not in tub.no_swap:
            ways.append(("swap", works.swap, works.settle))
    best = below
    found = None
    for how, minutes, after in ways:
        for begin in _grid(problem, 0 if before is None else before.end, run.start - minutes - after):
            if before is None:
                more = weights.bath + weights.bath_minute * (run.end - begin)
            elif how == "fresh":
                more = weights.swap + weights.bath_minute * (run.end - begin)
            else:
                more = weights.prompt * (begin - before.end) + weights.bath_minute * (run.end - before.end)
                more += weights.swap if how == "swap" else weights.turn
            whole = _changes(problem, chosen, runs, [*begun, (begin, minutes, int(before is None))], cost + more, best)
            if whole is not None and (best is None or whole < best):
                best = found = whole
    return found
