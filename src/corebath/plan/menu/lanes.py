"""Who and what is busy when: a lane for every bath, the pans, the hands and the cold."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from corebath.plan.clock import after
from corebath.units import mark

from .answer import Lane, Span
from .changes import ready_minute
from .laid_out import LaidOut
from .problem import Run, Schedule
from .served import Made


def lanes_of(laid: LaidOut, schedule: Schedule, made: Sequence[Made]) -> tuple[Lane, ...]:
    """Baths in the menu's order, then pans, hands and cold, each in time order; empty ones are left out."""
    lanes = [
        *(Lane(bath.name, "bath", _sorted(_bath(laid, schedule, made, b))) for b, bath in enumerate(laid.menu.baths)),
        Lane("pans", "pan", _sorted(_pans(laid, made))),
        Lane("hands", "hands", _sorted(_hands(laid, schedule, made))),
        Lane("cold", "cold", _sorted(_cold(laid, made))),
    ]
    return tuple(lane for lane in lanes if lane.spans)


def _sorted(spans: Iterator[Span]) -> tuple[Span, ...]:
    return tuple(sorted(spans, key=lambda s: (s.start.timestamp(), s.end.timestamp(), s.label)))


def _span(laid: LaidOut, start: int, end: int, label: str, kind: str) -> Span:
    return Span(laid.at(start), laid.at(end), label, kind)


def _bath(laid: LaidOut, schedule: Schedule, made: Sequence[Made], b: int) -> Iterator[Span]:
    before: Run | None = None
    for run in (r for r in schedule.runs if r.bath == b):
        label = f"to {mark(laid.points_C[run.point], 'C')}"
        yield _span(laid, run.begin, ready_minute(laid, run, before), label, "change")
        before = run
    for dish in made:
        placed = dish.placed
        name = laid.menu.dishes[placed.item].name
        if placed.bath == b:
            label = f"{name}, {mark(dish.plan.set_point_C, 'C')}"
            ready = after(dish.plan.drop_in, min(dish.plan.window.ready_s, dish.plan.bath_s), laid.menu.zone)
            yield Span(dish.plan.drop_in, ready, label, "heat")
            if ready < dish.plan.pull:
                yield Span(ready, dish.plan.pull, f"{name}, held", "hold")
        ahead = dish.ahead
        if placed.reheat_bath == b and ahead and ahead.reheat_in and ahead.reheat_out and ahead.reheat_C is not None:
            yield Span(ahead.reheat_in, ahead.reheat_out, f"{name}, {mark(ahead.reheat_C, 'C')}", "reheat")


def _sear_minutes(laid: LaidOut, dish: Made) -> tuple[int, int]:
    """In the pan, and of those with hands [min]."""
    item = laid.problem.items[dish.placed.item]
    if dish.placed.ahead and dish.placed.reheat is None and item.before is not None:
        return item.before.pan, min(item.finish.hands, item.before.pan)
    return item.finish.sear, item.finish.hands


def _pans(laid: LaidOut, made: Sequence[Made]) -> Iterator[Span]:
    for dish in made:
        minutes, _ = _sear_minutes(laid, dish)
        if minutes:
            name = laid.menu.dishes[dish.placed.item].name
            yield _span(laid, dish.placed.sear, dish.placed.sear + minutes, name, "sear")


def _hands(laid: LaidOut, schedule: Schedule, made: Sequence[Made]) -> Iterator[Span]:
    works = laid.problem.works
    took = {"fill": works.fill, "turn": works.turn, "swap": works.swap, "fresh": works.fresh}
    for run in schedule.runs:
        yield _span(laid, run.begin, run.begin + took[run.how], laid.menu.baths[run.bath].name, "work")
    for dish in made:
        placed, item = dish.placed, laid.problem.items[dish.placed.item]
        name = laid.menu.dishes[placed.item].name
        starts = [(placed.drop_in, works.drop_in)]
        if placed.fridge is not None:
            starts += [(placed.pull, works.chill), (placed.fridge, works.fridge)]
        if placed.reheat_in is not None:
            starts.append((placed.reheat_in, works.drop_in))
        if not (placed.ahead and placed.reheat is None):
            starts.append((placed.finish, max(item.finish.dry, works.pull)))
        starts.append((placed.sear, _sear_minutes(laid, dish)[1]))
        for start, minutes in starts:
            if minutes:
                yield _span(laid, start, start + minutes, name, "work")
    for course, seating in zip(laid.menu.courses, laid.problem.seatings, strict=True):
        if seating.plate:
            yield _span(laid, seating.at - seating.plate, seating.at, f"serve {course.name}", "work")
    first = min(run.begin for run in schedule.runs)
    last = max(seating.at for seating in laid.problem.seatings)
    for start, end in laid.problem.asleep:
        if end > first and start < last:
            yield _span(laid, max(start, first), min(end, last), "asleep", "asleep")


def _cold(laid: LaidOut, made: Sequence[Made]) -> Iterator[Span]:
    for dish in made:
        placed, ahead = dish.placed, dish.ahead
        if ahead is None or placed.fridge is None:
            continue
        name = laid.menu.dishes[placed.item].name
        yield Span(ahead.chill_from, laid.at(placed.fridge), name, "chill")
        out = placed.sear if placed.reheat_in is None else placed.reheat_in
        yield _span(laid, placed.fridge, out, name, "chill")
