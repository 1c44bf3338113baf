"""A batch as answered: each bag from the bath to the plate, each bath run, each day."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum

from corebath.chill.cool import Chill
from corebath.chill.freeze import Freeze
from corebath.chill.ice import IceNeed
from corebath.chill.keep import Keeping
from corebath.chill.reheat import Reheat
from corebath.chill.runs import Reach
from corebath.plan.menu.answer import Change, MenuTask
from corebath.plan.plan import Failure, Plan
from corebath.safety.finding import Finding, Verdict
from corebath.safety.lethality import LethalityRule

from .bags import Bag
from .batch import Batch
from .labels import Label


class Way(StrEnum):
    """Where a bag goes from the bath."""

    TABLE = "table"  # eaten on the day it is cooked
    FRIDGE = "fridge"
    FREEZER = "freezer"


@dataclass(frozen=True, slots=True)
class Cooked:
    """A bag in its bath.

    plan : its own plan, with the whole load of the run in the bath and the time it is given, judged like any other
    enters, pulled : when;  bath_s : from its drop-in to its pull [s]
    waits : it waits inside its window for the bag that sets the time
    flat_ready_s : for pieces that lie on each other: when they were ready flat and apart, else None [s]
    pasteurised_by : the core treatment met by then, or None;  pasteurised_s : from when on, None for never here [s]
    """

    bag: Bag
    plan: Plan
    enters: datetime
    bath_s: float
    pulled: datetime
    waits: bool
    flat_ready_s: float | None
    pasteurised_by: LethalityRule | None
    pasteurised_s: float | None


@dataclass(frozen=True, slots=True)
class Run:
    """Bags that share a bath at one set point, and come out together.

    change : how the bath gets there from the run before, None for the first
    preheat_s : heating up from the tap, 0 after a change [s];  begins : of preheating or changing
    drop_in, ends : when the first go in, and when all are pulled;  governing : number of the bag that sets the time
    failures : what fails in this bath;  statements : what to do and to know, marks inside
    """

    set_point_C: float
    bags: tuple[Cooked, ...]
    change: Change | None
    preheat_s: float
    begins: datetime
    drop_in: datetime
    ends: datetime
    governing: int
    failures: tuple[Failure, ...]
    statements: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Warmed:
    """A bag warmed again on its day.

    state : "fridge" or "frozen", from which it goes into the bath;  bath_C : its set point [degC]
    shared : that is lower than it would be alone, for what else is eaten on the day
    ready_s : until its core is warm enough, cautious; None when it never is [s]
    thaw_from : when it is moved from the freezer to the fridge, None otherwise;  thaw : how long that takes
    into, out, served : moments of the day
    """

    state: str
    bath_C: float
    shared: bool
    reheat: Reheat
    ready_s: float | None
    thaw_from: datetime | None
    thaw: Reach | None
    into: datetime
    out: datetime
    served: datetime


@dataclass(frozen=True, slots=True)
class Stored:
    """A bag after its bath.

    way : where it goes;  chill, keeping : None for a bag that goes to the table
    cold_at : its core is at 5 degC, cautious;  use_by : last day in this fridge, None without keeping
    freeze : None unless it is frozen;  warmed : None without a day, and for a bag that goes to the table
    failures : why it cannot be eaten as asked
    """

    cooked: Cooked
    way: Way
    chill: Chill | None
    cold_at: datetime | None
    keeping: Keeping | None
    use_by: date | None
    freeze: Freeze | None
    warmed: Warmed | None
    label: Label
    failures: tuple[Failure, ...]
    statements: tuple[str, ...]

    @property
    def bag(self) -> Bag:
        """The bag itself."""
        return self.cooked.bag

    @property
    def may_wait(self) -> bool:
        """False for a bag that is not for today and that no rule lets wait in the fridge."""
        return self.way is not Way.FRIDGE or (self.keeping is not None and self.keeping.rule is not None)

    @property
    def findings(self) -> tuple[Finding, ...]:
        """Every rule from the bath to the plate."""
        cooled = () if self.chill is None else self.chill.findings
        kept = () if self.keeping is None else self.keeping.findings
        again = () if self.warmed is None else self.warmed.reheat.findings
        # A bag that is chilled is judged by its chill, not by a bath that does not cool it.
        once = {finding.rule for finding in cooled}
        return (*(f for f in self.cooked.plan.findings if f.rule not in once), *cooled, *kept, *again)


@dataclass(frozen=True, slots=True)
class Day:
    """What is eaten on a day. bags : numbers"""

    on: date
    bags: tuple[int, ...]
    portions: int


@dataclass(frozen=True, slots=True)
class BatchPlan:
    """The answer to a batch.

    starts : the work begins;  ends : everything is out of the bath, and what is kept is cold
    runs : in order;  bags : by number;  days : in order
    ice : for all bags that are chilled, None when nothing is, or masses are not known
    run_sheet : all tasks across the week
    failures : what cannot be had as asked, empty when all can;  statements : the answer in cooking order
    notes : what else to know, and what the numbers rest on
    """

    batch: Batch
    starts: datetime
    ends: datetime
    runs: tuple[Run, ...]
    bags: tuple[Stored, ...]
    days: tuple[Day, ...]
    ice: IceNeed | None
    ice_findings: tuple[Finding, ...]
    run_sheet: tuple[MenuTask, ...]
    failures: tuple[Failure, ...]
    statements: tuple[str, ...]
    notes: tuple[str, ...]

    @property
    def works(self) -> bool:
        """True when nothing of the batch fails."""
        return not self.failures

    @property
    def labels(self) -> tuple[Label, ...]:
        """One for each bag."""
        return tuple(stored.label for stored in self.bags)

    @property
    def broken(self) -> tuple[tuple[Finding, tuple[int, ...]], ...]:
        """Binding rules that are not met, or not known to be, each once with the numbers of its bags."""
        found: dict[tuple[str, str], tuple[Finding, list[int]]] = {}
        for stored in self.bags:
            for finding in stored.findings:
                if finding.binding and finding.verdict is not Verdict.MET:
                    found.setdefault((finding.rule, finding.why), (finding, []))[1].append(stored.bag.number)
        return tuple((finding, tuple(dict.fromkeys(numbers))) for finding, numbers in found.values())
