"""Menus that the tests of this folder show, put together by hand: a dinner of one bath, a long one, one that fails."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import datetime, time, timedelta
from functools import cache
from zoneinfo import ZoneInfo

from corebath.bath.cover import Cover
from corebath.bath.heater import Heater
from corebath.bath.vessel import Vessel
from corebath.chill.cool import chill
from corebath.chill.keep import keep
from corebath.chill.reheat import reheat
from corebath.food.catalogue import catalogue
from corebath.heat.body import Body, Shape
from corebath.outcome.results import find_result
from corebath.plan.clock import after, elapsed_s
from corebath.plan.equipment import Equipment
from corebath.plan.make import make_plan
from corebath.plan.menu.answer import (
    Change,
    CookedAhead,
    Lane,
    MenuPlan,
    MenuTask,
    Proof,
    Served,
    Span,
    WayOut,
    Wish,
)
from corebath.plan.menu.menu import Ahead, Course, Dish, Menu, MenuBath
from corebath.plan.request import Request
from corebath.safety.authority import Authority
from corebath.units import mark

ZONE = ZoneInfo("Europe/Paris")
NOW = datetime(2027, 3, 12, 12, 0, tzinfo=ZONE)
TABLE = datetime(2027, 3, 13, 20, 0, tzinfo=ZONE)
POT = Equipment(Vessel.round(0.26, 0.18), Heater(1100.0, 0.08, 0.145), Cover.named("loose-lid"))
NIGHT = (time(23, 0), time(7, 0))


def _request(
    food: str, body: Body, want: str, *, eat: datetime = TABLE, pieces: int = 1, mass_kg: float = 0.3
) -> Request:
    known = catalogue()[food]
    return Request(
        known, body, eat, NOW, ZONE, result=find_result(known.texture, want), pieces=pieces, piece_mass_kg=mass_kg,
        authority=Authority.UK,
    )  # fmt: skip


STEAK = Dish("steaks", "main", _request("beef-ribeye", Body(Shape.SLAB, 0.035), "medium rare", pieces=2))
CARROTS = Dish("carrots", "main", _request("carrot", Body(Shape.CYLINDER, 0.025), "tender", pieces=8, mass_kg=0.08))
CHICKEN = Dish(
    "chicken <b>& leeks", "main", _request("chicken-breast", Body(Shape.SLAB, 0.038), "juicy"), ahead=Ahead.MUST
)
MENU = Menu((Course("main", TABLE),), (STEAK, CARROTS), (MenuBath("soup pot", POT),), NOW, ZONE, asleep=NIGHT)


def _served(dish: Dish, finished: datetime, bath: str, *gives_up: str, ahead: CookedAhead | None = None) -> Served:
    plan = make_plan(replace(dish.request, equipment=POT, table_time=finished), offer=False)
    table = dish.request.table_time
    return Served(dish, plan, bath, ahead, after(table, -900, ZONE) if ahead else plan.pull, table, gives_up)


def _span(start: datetime, minutes: float, label: str, kind: str) -> Span:
    return Span(start, after(start, 60 * minutes, ZONE), label, kind)


def _tasks(*served: Served) -> Iterator[MenuTask]:
    for one in served:
        for t in one.plan.run_sheet:
            where = one.bath if t.key in ("preheat", "drop-in", "pull") else "pan" if t.key == "finish" else ""
            yield MenuTask(t.key, t.at, 0.0, (one.dish.name,), where, t.what, t.is_action)


def _sheet(tasks: list[MenuTask]) -> tuple[MenuTask, ...]:
    tasks.sort(key=lambda t: t.at.timestamp())
    return tuple(replace(t, since_start_s=elapsed_s(tasks[0].at, t.at)) for t in tasks)


def _lanes(bath: str, served: tuple[Served, ...], extra: tuple[Span, ...] = ()) -> tuple[Lane, ...]:
    baths: list[Span] = [s for s in extra if s.kind == "change"]
    hands: list[Span] = []
    pans: list[Span] = []
    for one in served:
        p, name = one.plan, one.dish.name
        ready = after(p.drop_in, 0.8 * p.bath_s, ZONE)
        baths.append(Span(p.drop_in, ready, f"{name}, {mark(p.set_point_C, 'C')}", "heat"))
        baths.append(Span(ready, p.pull, f"{name}, held", "hold"))
        hands += [_span(p.drop_in, 5, f"drop in {name}", "work"), _span(p.pull, 5, f"pull {name}", "work")]
        if p.request.subject.seared:
            pans.append(_span(after(p.pull, 600, ZONE), 5, f"sear {name}", "sear"))
            hands.append(_span(after(p.pull, 600, ZONE), 5, f"sear {name}", "work"))
        hands.append(_span(one.serve, 5, f"serve {name}", "work"))
    first = min(s.start for s in baths)
    baths.append(_span(after(first, -2700, ZONE), 45, f"to {mark(85.0, 'C')}", "change"))
    cold = tuple(s for s in extra if s.kind == "chill")
    lanes = [Lane(bath, "bath", tuple(sorted(baths, key=lambda s: s.start)))]
    lanes += [Lane("pan", "pan", tuple(pans)), Lane("hands", "hands", tuple(sorted(hands, key=lambda s: s.start)))]
    if cold:
        lanes.append(Lane("fridge", "cold", cold))
    return tuple(lanes)


def _dinner() -> MenuPlan:
    """Carrots, then steaks, in one pot."""
    steak = _served(STEAK, TABLE, "soup pot")
    carrots = _served(
        CARROTS, after(steak.plan.drop_in, -2400, ZONE), "soup pot",
        f"They are out of the bath {mark(5400, 's')} before the table and are warmed in the pan.",
    )  # fmt: skip
    start = after(carrots.plan.pull, 300, ZONE)
    change = Change(
        "soup pot", start, after(start, 1500, ZONE), 85.0, 56.0, 3.9, 15.0,
        f"Take out {mark(3.9, 'L')} of water and pour in as much at {mark(15.0, 'C')}; "
        f"wait until the bath reads {mark(56.0, 'C')} or less before the steaks go in.",
    )  # fmt: skip
    served = (steak, carrots)
    swap = Span(change.start, change.end, f"to {mark(56.0, 'C')}", "change")
    task = MenuTask("change", change.start, 0.0, (), "soup pot", change.what)
    return MenuPlan(
        menu=MENU,
        proof=Proof.BEST,
        gap=0.0,
        served=served,
        changes=(change,),
        lanes=_lanes("soup pot", served, (swap,)),
        run_sheet=_sheet([task, *_tasks(*served)]),
        conflict=(),
        ways_out=(),
        notes=(f"Worked out in steps of {mark(300, 's')}.",),
    )


def _ahead() -> MenuPlan:
    """Steaks from the bath, chicken cooked the day before and reheated, not proved the best."""
    steak = _served(
        STEAK, TABLE, "soup pot", f"They are cooked at {mark(57.0, 'C')}, {mark(1.0, 'K')} above the usual."
    )
    evening = datetime(2027, 3, 12, 19, 0, tzinfo=ZONE)
    plan = make_plan(replace(CHICKEN.request, equipment=POT, table_time=evening), offer=False)
    request = plan.request
    thermal = plan.timing.cautious.thermal
    cold = chill(request.body, thermal, plan.set_point_C, "ice-water-still", request.subject, request.authority)
    kept = keep(request.authority, fridge_C=3.0, pasteurised=True)
    warm = reheat(
        request.body,
        thermal,
        3.0,
        56.0,
        request.subject,
        request.authority,
        cooked_C=plan.set_point_C,
        pasteurised=True,
    )
    chilled = after(plan.pull, 5400, ZONE)
    ahead = CookedAhead(
        cold, kept, plan.pull, chilled, warm, "soup pot", 56.0, after(TABLE, -4500, ZONE), after(TABLE, -900, ZONE)
    )
    chicken = _served(CHICKEN, evening, "soup pot", "It is cooked the day before.", ahead=ahead)
    served = (steak, chicken)
    bars = (
        Span(plan.pull, chilled, f"ice {CHICKEN.name}", "chill"),
        Span(chilled, after(TABLE, -4500, ZONE), f"fridge {CHICKEN.name}", "chill"),
    )
    lanes = _lanes("soup pot", served, bars)
    bath = replace(
        lanes[0], spans=(*lanes[0].spans, Span(after(TABLE, -4500, ZONE), after(TABLE, -900, ZONE), "reheat", "reheat"))
    )
    again = MenuTask("reheat", after(TABLE, -4500, ZONE), 0, (CHICKEN.name,), "soup pot", "Reheat.")
    return MenuPlan(
        menu=replace(MENU, dishes=(STEAK, CHICKEN)),
        proof=Proof.GOOD,
        gap=0.12,
        served=served,
        changes=(),
        lanes=(bath, *lanes[1:]),
        run_sheet=_sheet([*_tasks(*served), again]),
        conflict=(),
        ways_out=(),
        notes=(),
    )  # fmt: skip


def _long() -> MenuPlan:
    """Twelve dishes in two baths over a night across the end of summer time."""
    table = datetime(2027, 10, 31, 19, 0, tzinfo=ZONE)
    night = datetime(2027, 10, 30, 6, 0, tzinfo=ZONE)
    menu = replace(
        MENU,
        courses=(Course("first", after(table, -3600, ZONE)), Course("main", table)),
        baths=(MenuBath("a big blue tote in the cellar", POT), MenuBath("soup pot", POT)),
        dishes=tuple(replace(STEAK, name=f"steak number {i}") for i in range(12)),
        now=datetime(2027, 10, 29, 12, 0, tzinfo=ZONE),
    )
    hours = (36.0, 3.0, 2.5, 2.0, 1.5, 1.0, 1.0, 0.75, 0.5, 0.25, 5.0, 0.1)
    dark, light = (datetime(2027, 10, day, hour, tzinfo=ZONE) for day, hour in ((30, 23), (31, 7)))
    held, works, sears = [], [], []
    for i, long in enumerate(hours):
        start = after(table, -3600 * long - 1200, ZONE) if i else night
        name = menu.dishes[i].name
        held.append(Span(start, after(table, -1200, ZONE), f"{name} {mark(57.0 + i, 'C')}", "hold"))
        works += [
            _span(start, 5, f"drop in {name}", "work"),
            _span(after(table, -1200 + 60 * i, ZONE), 5, f"pull {name}", "work"),
        ]
        sears.append(_span(after(table, -900 + 60 * i, ZONE), 5, f"sear {name}", "sear"))
    lanes = (
        Lane(menu.baths[0].name, "bath", tuple(held[::2])),
        Lane("soup pot", "bath", tuple(held[1::2])),
        Lane("pan", "pan", tuple(sears)),
        Lane("hands", "hands", (*works, Span(dark, light, "asleep", "asleep"))),
    )  # fmt: skip
    return replace(_dinner(), menu=menu, lanes=lanes, proof=Proof.GOOD, gap=0.3)


def _impossible() -> MenuPlan:
    """A wish that cannot be met, with two ways out."""
    early = replace(MENU, courses=(Course("main", NOW + timedelta(minutes=50)),))
    later = replace(MENU, courses=(Course("main", datetime(2027, 3, 12, 16, 25, tzinfo=ZONE)),))
    two = replace(MENU, baths=(*MENU.baths, MenuBath("second soup pot", POT)))
    return MenuPlan(
        menu=early,
        proof=Proof.NONE,
        gap=0.0,
        served=(),
        changes=(),
        lanes=(),
        run_sheet=(),
        conflict=(
            Wish("served:steaks", "steaks on the table at 12:50"),
            Wish("now", f"nothing begins before now, {mark(3000, 's')} earlier"),
        ),
        ways_out=(
            WayOut("Serve main at 16:25.", later, 1.0),
            WayOut(f"Take a second pot of {mark(9.5, 'L')}.", two, 2.0),
        ),
        notes=(),
    )


_MENUS: dict[str, Callable[[], MenuPlan]] = {
    "dinner": _dinner,
    "ahead": _ahead,
    "long": _long,
    "impossible": _impossible,
}
NAMES = tuple(_MENUS)
WORKING = tuple(name for name in NAMES if name != "impossible")


@cache
def menu_of(name: str) -> MenuPlan:
    """One of the menus, made once."""
    return _MENUS[name]()
