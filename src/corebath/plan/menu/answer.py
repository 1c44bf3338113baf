"""A menu as answered: who needs bath, pan and hands when, what each dish gives up, or what cannot be had together."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from corebath.chill.cool import Chill
from corebath.chill.keep import Keeping
from corebath.chill.reheat import Reheat
from corebath.plan.plan import Plan

from .menu import Dish, Menu


class Proof(StrEnum):
    """What the search can say of its answer."""

    BEST = "best"  # proved: none is better
    GOOD = "good"  # found in the time there was; `gap` says how much better one could be
    NONE = "none"  # proved: the wishes cannot be met together
    UNKNOWN = "unknown"  # neither an answer nor a proof in the time there was


@dataclass(frozen=True, slots=True)
class CookedAhead:
    """What a dish cooked ahead goes through between its bath and its table.

    chill, keep, reheat : computed like any other; None where the finish warms it (a glaze in the pan)
    chill_from, chilled_by : in ice water;  reheat_in, reheat_out : in the bath, None with no reheat
    reheat_bath : name of the bath;  reheat_C : its set point [degC]
    """

    chill: Chill
    keep: Keeping
    chill_from: datetime
    chilled_by: datetime
    reheat: Reheat | None
    reheat_bath: str | None
    reheat_C: float | None
    reheat_in: datetime | None
    reheat_out: datetime | None


@dataclass(frozen=True, slots=True)
class Served:
    """One dish of the answer.

    plan : its own plan at the bath, set point and time given to it, computed and judged like any other
    bath : name of its bath;  ahead : None when it goes from the bath to the table
    finish, serve : when its finishing begins, and when it is on the table
    gives_up : what sharing costs it, one sentence each, empty when nothing
    """

    dish: Dish
    plan: Plan
    bath: str
    ahead: CookedAhead | None
    finish: datetime
    serve: datetime
    gives_up: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Change:
    """A bath brought from one set point to the next.

    bath : its name;  start, end : when;  from_C, to_C : set points [degC]
    swap_L : bath water replaced by water at `swap_C`, 0 when only the heater is turned [L]
    what : one sentence with marks: what to do, and the reading to wait for before food goes in
    """

    bath: str
    start: datetime
    end: datetime
    from_C: float
    to_C: float
    swap_L: float
    swap_C: float
    what: str


@dataclass(frozen=True, slots=True)
class Span:
    """One bar of a lane. label : short;  kind : heat, hold, change, chill, reheat, sear, work or asleep"""

    start: datetime
    end: datetime
    label: str
    kind: str


@dataclass(frozen=True, slots=True)
class Lane:
    """One bath, the pans, the hands or the fridge over time. kind : bath, pan, hands or cold"""

    name: str
    kind: str
    spans: tuple[Span, ...]


@dataclass(frozen=True, slots=True)
class MenuTask:
    """One line of the merged run sheet.

    key : as `plan.run_sheet.Task.key`, and change, chill, fridge, reheat, reheat-out
    at : when;  since_start_s : elapsed since the first task [s]
    dishes : names it is for;  where : bath or pan, "" for none;  what : quantities as marks
    is_action : asks for hands
    """

    key: str
    at: datetime
    since_start_s: float
    dishes: tuple[str, ...]
    where: str
    what: str
    is_action: bool = True


@dataclass(frozen=True, slots=True)
class Wish:
    """One thing asked for. key : stable, such as "served:ribeye";  words : one phrase, quantities as marks"""

    key: str
    words: str


@dataclass(frozen=True, slots=True)
class WayOut:
    """A neighbouring menu that works. change : one sentence;  menu : ask this to get it;  cost : cheapest first [-]"""

    change: str
    menu: Menu
    cost: float


@dataclass(frozen=True, slots=True)
class MenuPlan:
    """The answer to a menu.

    proof : what is known of it;  gap : share by which a better one could beat it, 0 when proved [-]
    served, changes, lanes, run_sheet : empty when nothing works
    conflict : the smallest set of wishes that cannot be met together, empty when all can
    ways_out : neighbouring menus that work, the smallest change first
    notes : what else the cook should know, marks inside
    coarse_s : steps of the clock that were searched, 0 where they were the finest [s]
    """

    menu: Menu
    proof: Proof
    gap: float
    served: tuple[Served, ...]
    changes: tuple[Change, ...]
    lanes: tuple[Lane, ...]
    run_sheet: tuple[MenuTask, ...]
    conflict: tuple[Wish, ...]
    ways_out: tuple[WayOut, ...]
    notes: tuple[str, ...]
    coarse_s: float = 0.0
