"""The run sheet: timed tasks back from the table."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from corebath.bath.balance import TopUp
from corebath.data_files import read_toml
from corebath.units import mark

from .clock import after, clocks_change, elapsed_s, last_evening
from .data import Pace
from .request import Request, State
from .water import asleep, usual_night

_LONG_COOK_s = 8 * 3600
_LOOK_EVERY_s = 12 * 3600
_LAST_LOOK_s = 3600  # before the pull; later the pull is the look
_BEFORE_NIGHT_s = 300
_LEFTOVERS_s = 3600
NO_LEFTOVERS = "Eaten by now: the core was never hot. Throw out what is left and keep no leftovers."


@dataclass(frozen=True, slots=True)
class Task:
    """One thing to do.

    key : stable name: salt, preheat, ice, drop-in, hot-through, check, pull, dry, finish, rest, serve, leftovers
    at : when, in the cook's zone
    since_drop_in_s : elapsed time since drop-in, negative before it [s]
    what : what to do, quantities as marks;  is_action : False for a milestone that asks for nothing
    """

    key: str
    at: datetime
    since_drop_in_s: float
    what: str
    is_action: bool = True


def run_sheet(
    request: Request,
    pace: Pace,
    set_point_C: float,
    preheat_s: float,
    drop_in: datetime,
    pull: datetime,
    milestones: tuple[tuple[float, str], ...],
    top_ups: tuple[TopUp, ...],
    eaten_within_s: float | None = None,
) -> tuple[Task, ...]:
    """Tasks of a plan in time order.

    preheat_s : time the water needs [s];  drop_in, pull : planned moments
    milestones : elapsed seconds since drop-in and what is then reached;  top_ups : water to pour in meanwhile
    eaten_within_s : the limit from drop-in on for food that was never hot, None for food that was [s]
    """
    zone = request.zone
    tasks = [
        Task(key, at, elapsed_s(drop_in, at), what)
        for key, at, what in (
            *_before(request, pace, set_point_C, preheat_s, drop_in),
            *_during(request, set_point_C, drop_in, pull, top_ups),
            *_after(request, pace, pull, zone),
            _leftovers(drop_in, after(pull, pace.finishing_s, zone), zone, eaten_within_s),
        )
    ]
    tasks += [
        Task("milestone", after(drop_in, s, zone), s, what, is_action=False)
        for s, what in milestones
        if s <= elapsed_s(drop_in, pull)
    ]
    return tuple(sorted(tasks, key=lambda t: (t.since_drop_in_s, t.is_action)))


_Timed = tuple[str, datetime, str]


def _before(request: Request, pace: Pace, set_point_C: float, preheat_s: float, drop_in: datetime) -> Iterator[_Timed]:
    zone = request.zone
    preheat = after(drop_in, -preheat_s, zone)
    if request.ice is None:
        yield ("preheat", preheat, f"Fill the vessel, set the bath to {mark(set_point_C, 'C')} and start it.")
    else:
        yield (
            "ice",
            preheat,
            f"Fill the vessel with cold water, {mark(request.ice.ice_kg, 'kg')} of ice and the bags, wholly under "
            f"water, and stir. Let the pump run, and set the heater to start in {mark(request.ice.wait_s, 's')} "
            f"at {mark(set_point_C, 'C')}.",
        )
    if salt_share(request, pace) and request.state is not State.FROZEN:
        yield _salt(request, pace, drop_in if request.ice is None else preheat)


def salt_share(request: Request, pace: Pace) -> float:
    """Salt as a share of the food's mass: the cook's, or the usual for its texture [-]."""
    return pace.salt_share if request.salt_percent is None else request.salt_percent / 100


def _salt(request: Request, pace: Pace, drop_in: datetime) -> _Timed:
    zone = request.zone
    wanted = after(drop_in, -pace.salt_lead_s, zone)
    at = max(_in_the_evening(wanted), request.now.astimezone(zone))
    lead_s = elapsed_s(at, drop_in)
    part = salt_share(request, pace)
    share = f"{part * 100:g} % of its weight"
    dose = share
    if request.piece_mass_kg is not None:
        dose = f"{mark(request.piece_mass_kg * part, 'kg')} a piece ({share})"
    if pace.salt_lead_s and lead_s >= 2 * 3600:
        return ("salt", at, f"Dry brine: salt all over with {dose}, and leave it open in the fridge.")
    just_before = after(drop_in, -min(900.0, max(lead_s, 0.0)), zone)
    if not pace.salt_lead_s:
        return ("salt", just_before, f"Salt with {dose} and bag.")
    return ("salt", just_before, f"Salt with {dose} and bag; there is no time for a dry brine to level.")


def _in_the_evening(moment: datetime) -> datetime:
    """A step that may come earlier: on the evening before where it would fall in the usual night."""
    begins, ends = usual_night()
    clock = moment.time()
    night = clock >= begins or clock < ends if begins > ends else begins <= clock < ends
    return last_evening(moment, read_toml("corebath.plan", "ahead.toml")["evening"]["hour"]) if night else moment


def _during(
    request: Request, set_point_C: float, drop_in: datetime, pull: datetime, top_ups: tuple[TopUp, ...]
) -> Iterator[_Timed]:
    zone = request.zone
    if request.ice is not None:
        cold = f"at {mark(5.0, 'C')} or colder"
        yield (
            "drop-in",
            drop_in,
            f"The heater starts by itself. If someone is there, see that the water is {cold} and that the heater runs.",
        )
    else:
        yield (
            "drop-in",
            drop_in,
            f"Check that the bath holds {mark(set_point_C, 'C')}, then {_drop_in(request)}.",
        )
    length = elapsed_s(drop_in, pull)
    for pour in top_ups:
        what = f"Top up with {mark(round(pour.water_kg, 2), 'kg')} of water at {mark(pour.water_C, 'C')}."
        yield ("top-up", after(drop_in, pour.at_s, zone), what)
    for at_s in _looks(drop_in, length, zone):
        yield (
            "check",
            after(drop_in, at_s, zone),
            "Look in: water level above the heater's mark, bags under and sealed, temperature as set.",
        )
    note = clocks_note(drop_in, pull, zone)
    bag = "Lift it out" if _in_its_shell(request) else "Pull the bag"
    if request.pieces > 1:
        bag = "Lift them out" if _in_its_shell(request) else "Pull the bags"
    yield ("pull", pull, f"{bag}: {mark(length, 's')} after drop-in.{note}")


def _looks(drop_in: datetime, length_s: float, zone: ZoneInfo) -> list[float]:
    """When to look in on a long cook, from drop-in [s].

    None falls in the usual night: what guards the night is the level, its cover and the top-ups, which are computed
    for it. One that would is made twice, right before the night and right after it.
    """
    if length_s <= _LONG_COOK_s:
        return []
    nights = tuple(asleep(drop_in, length_s, zone, *usual_night()))
    last_s = length_s - _LAST_LOOK_s
    looks: set[float] = set()
    at_s = -_LOOK_EVERY_s / 2
    while (at_s := at_s + _LOOK_EVERY_s) < last_s:
        night = next(((begins, ends) for begins, ends in nights if begins <= at_s < ends), None)
        looks |= {at_s} if night is None else {night[0] - _BEFORE_NIGHT_s, night[1]}
    return sorted(s for s in looks if 0 < s < last_s)


def clocks_note(drop_in: datetime, pull: datetime, zone: ZoneInfo) -> str:
    """What is said of a change of the clocks between two times, with a space before it; empty without one."""
    change = clocks_change(drop_in, pull, zone)
    if not change:
        return ""
    way = "back" if change.total_seconds() < 0 else "forward"
    return f" The clocks go {way} by {mark(abs(change.total_seconds()), 's')} meanwhile; the elapsed time counts."


def _in_its_shell(request: Request) -> bool:
    return request.food.kind == "egg"


def _drop_in(request: Request) -> str:
    count = {1: "the piece", 2: "both pieces"}.get(request.pieces, f"all {request.pieces} pieces")
    if _in_its_shell(request):
        eggs = {1: "the egg", 2: "both eggs"}.get(request.pieces, f"all {request.pieces} eggs")
        return f"lower in {eggs} with a spoon, wholly under water"
    if request.layers > 1:
        return f"drop in {count}, as planned, {request.layers} against each other, wholly under water"
    if request.pieces == 1:
        return f"drop in {count}, flat, with water on every side, wholly under water"
    return f"drop in {count}, flat and apart, so that water runs between the bags, wholly under water"


def _after(request: Request, pace: Pace, pull: datetime, zone: ZoneInfo) -> Iterator[_Timed]:
    at = 0.0
    sear = request.seared and pace.finish == "sear"
    if pace.dry_s:
        yield ("dry", pull, "Open the bag, save the juice, and dry the surface with paper until it comes away dry.")
        at += pace.dry_s
    if pace.finish == "sear" and sear:
        yield (
            "finish",
            after(pull, at, zone),
            "Sear all over in a very hot pan, about a minute a side. Hot fat spits: dry food, long tongs, air on.",
        )
    elif pace.finish == "glaze":
        yield ("finish", after(pull, at, zone), "Toss in a hot pan with its own juice until it shines.")
    elif pace.finish == "peel":
        yield ("finish", after(pull, at, zone), "Cool under the tap just enough to hold, and crack or peel.")
    at += pace.sear_s
    if pace.rest_s:
        yield ("rest", after(pull, at, zone), "Rest it on a warm plate.")
        at += pace.rest_s
    at += pace.serve_s
    yield ("serve", after(pull, at, zone), "Serve.")


def _leftovers(drop_in: datetime, serve: datetime, zone: ZoneInfo, eaten_within_s: float | None) -> _Timed:
    if eaten_within_s is not None:
        at = max(serve, min(after(serve, _LEFTOVERS_s, zone), after(drop_in, eaten_within_s, zone)))
        return ("leftovers", at, NO_LEFTOVERS)
    return (
        "leftovers",
        after(serve, _LEFTOVERS_s, zone),
        f"Leftovers: into ice water and the fridge at {mark(5.0, 'C')} or colder within {mark(7200, 's')} of serving, "
        "or throw them out.",
    )
