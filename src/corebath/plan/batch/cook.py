"""The baths of a batch: one run for each set point, every bag with its own time inside its own window."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import datetime
from math import ceil, floor, isfinite

from corebath.bath.fit import Fit
from corebath.bath.mixing import swap
from corebath.bath.warm_up import warm_up
from corebath.plan.choose import Choice, choice_at, choose, in_dipping_bath
from corebath.plan.clock import after
from corebath.plan.data import defaults, pace_of
from corebath.plan.make import make_plan
from corebath.plan.menu.answer import Change
from corebath.plan.plan import Failure, Part, Plan
from corebath.plan.request import Request
from corebath.plan.tell import pasteurised_by
from corebath.plan.water import start_bath
from corebath.units import mark

from .answer import Cooked, Run
from .bags import Bag
from .batch import Batch, Order, settings
from .say import bag_list, run_statements


@dataclass(frozen=True, slots=True)
class Timed:
    """A bag with its choice in the bath that its run makes.

    flat : the same pieces flat and apart, None where they are
    enters_s : after the first of its run [s];  bath_s : time given to it [s];  waits : longer than it needs
    """

    bag: Bag
    choice: Choice
    flat: Choice | None
    enters_s: float
    bath_s: float
    waits: bool


@dataclass(frozen=True, slots=True)
class Bathful:
    """A run before it has a clock.

    lead_s : preheating or changing before it [s];  load : the request that stands for its whole load
    trouble : why the load does not go into the bath, "" when it does;  swap_L : water to swap for it [L]
    """

    set_point_C: float
    bags: tuple[Timed, ...]
    lead_s: float
    load: Request
    trouble: str
    swap_L: float

    @property
    def length_s(self) -> float:
        """From the first drop-in to the pull of all [s]."""
        return max(timed.bath_s for timed in self.bags)

    @property
    def governing(self) -> Timed:
        """The bag that sets the time: the one that is ready last."""
        return max(self.bags, key=lambda t: (_needed_s(t.choice, t.bag), -t.bag.number))


def bathfuls(batch: Batch, bags: tuple[Bag, ...]) -> tuple[Bathful, ...]:
    """Runs in order, each with the times of its bags."""
    chosen = _chosen(bags)
    together: dict[float, list[Bag]] = {}
    for bag in bags:
        together.setdefault(chosen[bag.kind].set_point_C, []).append(bag)
    found: list[Bathful] = []
    for set_point_C in sorted(together, reverse=batch.order is Order.HOTTER):
        load = _load(batch, set_point_C, together[set_point_C])
        found.append(_bathful(load, together[set_point_C], chosen, found[-1] if found else None))
    return tuple(found)


def _load(batch: Batch, set_point_C: float, bags: list[Bag]) -> Request:
    """The request that stands for all bags of a run: as many pieces like the thickest, of their mean mass."""
    thickest = max(bags, key=lambda b: b.governing_m)
    pieces = sum(bag.count for bag in bags)
    masses = [bag.mass_kg for bag in bags if bag.mass_kg is not None]
    return replace(
        thickest.asked(layers=1),
        pieces=pieces,
        piece_mass_kg=sum(masses) / pieces if len(masses) == len(bags) else None,
        set_point_C=set_point_C,
        equipment=batch.equipment,
    )


def _chosen(bags: Iterable[Bag]) -> dict[tuple[str, float, int], Choice]:
    """A choice for every kind of bag: the one of a lot that takes longest to heat sets the lot's set point."""
    chosen: dict[tuple[str, float, int], Choice] = {}
    lots: dict[str, Choice] = {}
    for bag in sorted(bags, key=lambda b: -b.lies_m):
        if bag.kind in chosen:
            continue
        first = lots.get(bag.lot.name)
        if first is None:
            choice = lots[bag.lot.name] = choose(bag.asked())
        else:
            choice = choice_at(bag.asked(), first.set_point_C, first.result)
        chosen[bag.kind] = choice
    return chosen


def _bathful(
    load: Request, bags: list[Bag], chosen: dict[tuple[str, float, int], Choice], before: Bathful | None
) -> Bathful:
    gear, set_point_C = load.equipment, load.set_point_C
    assert set_point_C is not None
    usual_s = float(defaults()["preheat"]["seconds"])
    lead_s, swap_L, trouble = usual_s, 0.0, ""
    if before is not None:
        lead_s, swap_L = _change(before, load)
    elif gear is not None:
        try:
            heated = warm_up(gear.filled(0.0, set_point_C), set_point_C, gear.fill_C).time_s
            lead_s = _stepped(next((s for s in (heated.high, heated.nominal) if isfinite(s)), usual_s))
        except ValueError as error:
            trouble = str(error)
    made, flats = {}, {}
    for bag in bags:
        if bag.kind not in made:
            made[bag.kind], told = _in_this_bath(bag, load, chosen[bag.kind])
            trouble = trouble or told
            if bag.layers > 1:
                flats[bag.kind] = choice_at(bag.asked(layers=1), set_point_C, chosen[bag.kind].result)
    timed = _placed([(bag, made[bag.kind], flats.get(bag.kind)) for bag in bags])
    return Bathful(set_point_C, timed, lead_s, load, trouble, swap_L)


def _placed(bags: list[tuple[Bag, Choice, Choice | None]]) -> tuple[Timed, ...]:
    """Every bag out with the last: it waits inside its window, or goes in later where that is too short.

    A later bag goes in together with another one, and waits a little, where its window allows that.
    """
    last_s = max(_needed_s(choice, bag) for bag, choice, _ in bags)
    step_s = float(defaults()["rounding"]["drop_in_s"])
    entered: list[float] = []
    found = []
    for bag, choice, flat in sorted(bags, key=lambda b: (-_needed_s(b[1], b[0]), b[0].number)):
        own_s, told_s = _needed_s(choice, bag), bag.lot.request.bath_s
        latest_s = max(choice.window.latest_s, own_s) if told_s is None else own_s
        with_others = [s for s in entered if own_s <= last_s - s <= latest_s]
        enters_s = max(with_others, default=step_s * floor((last_s - own_s) / step_s))
        enters_s = last_s - own_s if told_s is not None else enters_s
        entered.append(enters_s)
        found.append(Timed(bag, choice, flat, enters_s, last_s - enters_s, last_s - enters_s >= own_s + step_s))
    return tuple(sorted(found, key=lambda timed: timed.bag.number))


def _in_this_bath(bag: Bag, load: Request, choice: Choice) -> tuple[Choice, str]:
    """The choice in the bath that the whole load dips, and why that cannot be reckoned."""
    if load.equipment is None:
        return choice, ""
    request = _loaded(bag, load)
    try:
        start = start_bath(request, load.equipment, choice.piece)
    except ValueError as error:
        return choice, str(error)
    nominal, cautious = start.dip_K(cautious=False), start.dip_K(cautious=True)
    if nominal is None or cautious is None:
        return choice, ""
    dipping = in_dipping_bath(request, choice, nominal, cautious)
    return (dipping if isfinite(dipping.timing.come_up.cautious_s) else choice), ""


def _loaded(bag: Bag, load: Request) -> Request:
    """The request of a bag with as many pieces beside it as the whole run holds."""
    return replace(
        bag.asked(),
        pieces=load.pieces,
        piece_mass_kg=load.piece_mass_kg,
        set_point_C=load.set_point_C,
        equipment=load.equipment,
    )


def _needed_s(choice: Choice, bag: Bag) -> float:
    """The time a bag is given when it does not wait: as told, or until it is ready, on the clock's steps [s]."""
    if bag.lot.request.bath_s is not None:
        return bag.lot.request.bath_s
    window = choice.window
    ready_s = next(s for s in (window.ready_s, choice.timing.come_up.cautious_s) if isfinite(s))
    stepped_s = _stepped(ready_s)
    return stepped_s if stepped_s <= window.latest_s else _minutes_up(ready_s)


def _change(before: Bathful, load: Request) -> tuple[float, float]:
    """Time and water to bring the bath from the run before to this one [s], [L]."""
    figures, gear = settings()["change"], load.equipment
    from_C, to_C = before.set_point_C, load.set_point_C
    assert to_C is not None
    if to_C > from_C:
        if gear is None:
            return float(figures["hotter_s"]), 0.0
        try:
            heated = warm_up(gear.filled(0.0, to_C), to_C, from_C).time_s
        except ValueError:
            return float(figures["hotter_s"]), 0.0
        known = next((s for s in (heated.high, heated.nominal) if isfinite(s)), float(figures["hotter_s"]))
        return _stepped(known), 0.0
    if gear is None:
        return float(figures["swap_s"]), 0.0
    try:
        return float(figures["swap_s"]), swap(gear.filled(0.0, from_C), from_C, to_C, gear.fill_C).swap_L
    except ValueError:
        return float(figures["swap_s"]), 0.0


def run_of(batch: Batch, bathful: Bathful, begins: datetime, before: Bathful | None) -> Run:
    """A run on the clock, with the real plan of every bag."""
    zone = batch.zone
    drop_in = after(begins, bathful.lead_s, zone)
    ends = after(drop_in, bathful.length_s, zone)
    plans: dict[tuple[tuple[str, float, int], float], Plan] = {}
    bags = []
    for timed in bathful.bags:
        key = (timed.bag.kind, timed.bath_s)
        enters = after(drop_in, timed.enters_s, zone)
        if key not in plans:
            plans[key] = _plan(timed, bathful, enters, batch)
        plan, request = plans[key], timed.bag.asked()
        cautious = timed.choice.cautious
        treated_s = _first_pasteurised(request, timed.choice)
        rule = pasteurised_by(request.subject, request.authority, cautious.until(timed.bath_s))
        flat_s = None if timed.flat is None else _needed_s(timed.flat, timed.bag)
        bags.append(Cooked(timed.bag, plan, enters, timed.bath_s, ends, timed.waits, flat_s, rule, treated_s))
    governing = bathful.governing.bag.number
    change = None if before is None else _changed(batch, before, bathful, begins, drop_in)
    run = Run(
        set_point_C=bathful.set_point_C,
        bags=tuple(bags),
        change=change,
        preheat_s=bathful.lead_s if before is None else 0.0,
        begins=begins,
        drop_in=drop_in,
        ends=ends,
        governing=governing,
        failures=tuple(_failures(bathful, bags, governing)),
        statements=(),
    )
    return replace(run, statements=tuple(run_statements(run)))


def _plan(timed: Timed, bathful: Bathful, drop_in: datetime, batch: Batch) -> Plan:
    """The bag's own plan: in at the run's drop-in, out at its own time, with the run's load in the bath."""
    request = _loaded(timed.bag, bathful.load)
    finishing_s = pace_of(request.food.texture).finishing_s
    return make_plan(
        replace(
            request,
            result=timed.choice.result,
            set_point_C=bathful.set_point_C,
            bath_s=timed.bath_s,
            equipment=None if bathful.trouble else request.equipment,
            table_time=after(drop_in, timed.bath_s + finishing_s, batch.zone),
            now=batch.now,
            zone=batch.zone,
        ),
        offer=False,
    )


def _first_pasteurised(request: Request, choice: Choice) -> float | None:
    """From when on the core counts as pasteurised for keeping, on the cautious history as far as it goes [s]."""
    subject, authority, history = request.subject, request.authority, choice.cautious
    if pasteurised_by(subject, authority, history) is None:
        return None
    low, high = 0.0, history.duration_s
    while high - low > 60:
        middle = (low + high) / 2
        if pasteurised_by(subject, authority, history.until(middle)) is None:
            low = middle
        else:
            high = middle
    return high


def _changed(batch: Batch, before: Bathful, now: Bathful, start: datetime, end: datetime) -> Change:
    from_C, to_C = before.set_point_C, now.set_point_C
    tap_C = batch.tap_C if batch.equipment is None else batch.equipment.fill_C
    if to_C > from_C:
        what = (
            f"Set the bath from {mark(from_C, 'C')} to {mark(to_C, 'C')}, about {mark(now.lead_s, 's')}, and wait "
            f"until it reads {mark(to_C, 'C')} before the next food goes in."
        )
    else:
        much = f"{mark(round(now.swap_L, 1), 'L')} of it" if now.swap_L else "some of it"
        what = (
            f"Set the bath from {mark(from_C, 'C')} to {mark(to_C, 'C')}: bale out {much}, pour in as much water at "
            f"{mark(tap_C, 'C')}, and wait until it reads below {mark(to_C + 0.5, 'C')} before the next food goes in."
        )
    return Change("bath", start, end, from_C, to_C, now.swap_L, tap_C, what)


def _failures(bathful: Bathful, bags: list[Cooked], governing: int) -> Iterator[Failure]:
    if bathful.trouble:
        yield Failure(Part.WATER, f"The food does not go into this bath: {bathful.trouble}.")
    water = next(c for c in bags if c.bag.number == governing).plan.water
    if water is not None and water.fit is not None and _crowded(water.fit):
        yield Failure(
            Part.WATER,
            f"Only {water.fit.most_free} of {bathful.load.pieces} such pieces hang or lie free in this bath, and the "
            "times hold for pieces with water on every side: cook them in several batches, or in a larger vessel.",
        )
    told: dict[tuple[Part, str], list[int]] = {}
    for cooked in bags:
        for failure in cooked.plan.failures:
            # The water is that of the whole run, so it is told once; the clock of a batch is its own.
            of_water = failure.part is Part.WATER
            if failure.part is Part.TIME or (of_water and cooked.bag.number != governing):
                continue
            told.setdefault((failure.part, failure.why), []).append(0 if of_water else cooked.bag.number)
    for (part, why), numbers in told.items():
        yield Failure(part, why if numbers == [0] else f"{bag_list(numbers)}: {why}")


def _crowded(fit: Fit) -> bool:
    """Not all of it has water on every side; water too low for it is another matter, told with the water."""
    return fit.layers != 1 and not fit.too_low


def _stepped(seconds: float) -> float:
    """Up to the next step of the clock [s]."""
    step_s = float(defaults()["rounding"]["drop_in_s"])
    return step_s * ceil(seconds / step_s)


def _minutes_up(seconds: float) -> float:
    return 60.0 * ceil(seconds / 60.0)
