"""The menu in whole minutes: what the search sees, free of food, water and clocks.

Minute 0 is the first moment anything can be asked of the cook. Moments of a bath (filling, changing,
drop-in, a cook-ahead's pull) lie on multiples of the slot; the works of finishing lie on any minute, and so
does the drop-in of a dish that may wait for less than a slot.
"""

from __future__ import annotations

from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class Stay:
    """One way to spend time in a bath.

    point : index of its set point;  cost : of choosing it [units]
    ready : per bath, the time it needs, None where it cannot be had [min];  latest : the time it may stay [min]
    pull_from : earliest pull from which it may be kept until its course [min]
    keeps : whether it may be chilled and kept after this stay, by the rules of cooling
    """

    point: int
    cost: int
    ready: tuple[int | None, ...]
    latest: tuple[int, ...]
    pull_from: int = 0
    keeps: bool = True


@dataclass(frozen=True, slots=True)
class Finish:
    """From the last bath to the plate.

    dry, sear, rest : [min];  hands : minutes of the sear that need them;  pans : at once
    most_wait : for the table [min]
    """

    dry: int
    sear: int
    hands: int
    rest: int
    pans: int
    most_wait: int


@dataclass(frozen=True, slots=True)
class Before:
    """What cooking ahead takes.

    chill : in ice water [min];  reheats : ways to warm it, empty when the pan does;  pan : then in the pan [min]
    """

    chill: int
    reheats: tuple[Stay, ...]
    pan: int


@dataclass(frozen=True, slots=True)
class Item:
    """One dish.

    cooks : set points inside its result;  wider : set points of its other results, for the search of a conflict
    direct, ahead : whether it may go from the bath to the table, and be cooked ahead
    before : what cooking ahead takes, None when no rule or no piece allows it
    room, hang, heat : per bath, its share of volume, of the space between bags and of what the heater carries [1/1000]
    dip : per bath, how long the bath is colder after it went in [min];  alone : per bath, it must go in alone
    """

    name: str
    course: int
    cooks: tuple[Stay, ...]
    finish: Finish
    direct: bool = True
    ahead: bool = False
    before: Before | None = None
    wider: tuple[Stay, ...] = ()
    room: tuple[int, ...] = ()
    hang: tuple[int, ...] = ()
    heat: tuple[int, ...] = ()
    dip: tuple[int, ...] = ()
    alone: tuple[bool, ...] = ()


@dataclass(frozen=True, slots=True)
class Tub:
    """One bath.

    heats : time from its filling water to each set point, None out of reach [min]
    rises : time at which it passes each set point on its way up, so that differences are what a turn takes [min]
    no_swap : pairs of set points between which no swap of water lands;  like : index of an equal bath before it
    """

    heats: tuple[int | None, ...]
    rises: tuple[int, ...]
    no_swap: frozenset[tuple[int, int]] = frozenset()
    like: int | None = None


@dataclass(frozen=True, slots=True)
class Seating:
    """One course. at : on the table;  plate : the work before that [min]"""

    at: int
    plate: int


@dataclass(frozen=True, slots=True)
class Works:
    """Minutes of one pair of hands."""

    fill: int
    turn: int
    swap: int
    fresh: int
    drop_in: int
    pull: int
    chill: int
    fridge: int
    settle: int


@dataclass(frozen=True, slots=True)
class Weights:
    """Units: for each minute, or each time."""

    bath_wait: int
    plate_wait: int
    swap: int
    turn: int
    ahead: int
    kept: int
    early: int
    bath: int
    bath_minute: int
    prompt: int


@dataclass(frozen=True, slots=True)
class Problem:
    """The whole menu.

    points : number of set points, coolest first;  slot [min];  asleep : spans in which nothing may be asked [min]
    runs : most set points one bath goes through;  fridge_within : a chilled dish is put away within so long [min]
    """

    points: int
    items: tuple[Item, ...]
    tubs: tuple[Tub, ...]
    seatings: tuple[Seating, ...]
    works: Works
    weights: Weights
    slot: int = 5
    asleep: tuple[tuple[int, int], ...] = ()
    pans: int = 1
    hands: int = 1
    runs: int = 3
    fridge_within: int = 60


@dataclass(frozen=True, slots=True)
class Placed:
    """One dish in time [min]. cook, reheat : indices of the stays;  run : of its bath;  None where there is none"""

    item: int
    cook: int
    bath: int
    run: int
    drop_in: int
    pull: int
    ahead: bool
    finish: int
    sear: int
    fridge: int | None = None
    reheat: int | None = None
    reheat_bath: int | None = None
    reheat_run: int | None = None
    reheat_in: int | None = None


@dataclass(frozen=True, slots=True)
class Run:
    """One set point of a bath.

    how : fill (first), turn (hotter), swap (colder water in) or fresh (filled anew)
    begin : of the work before it;  start, end : of its food [min]
    """

    bath: int
    number: int
    point: int
    how: str
    begin: int
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class Schedule:
    """An answer of the search. cost, bound [units]: none can cost less than the bound"""

    placed: tuple[Placed, ...]
    runs: tuple[Run, ...]
    cost: int
    bound: int
    proved: bool = field(default=True)
