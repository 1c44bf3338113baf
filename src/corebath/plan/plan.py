"""A plan: what is offered to the cook, with everything it rests on."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from corebath.heat.history import History
from corebath.outcome.estimate import Estimate
from corebath.outcome.results import Result
from corebath.safety.finding import Finding, Verdict
from corebath.safety.rules import rules_for

from .request import Request
from .run_sheet import Task
from .timing import Timing
from .water import Water


class Governs(StrEnum):
    """What sets the time in the bath."""

    HEAT = "heat"
    SAFETY = "safety"
    TENDERNESS = "tenderness"
    RECIPE = "recipe"


class Part(StrEnum):
    """Which part of a wish fails."""

    SAFETY = "safety"
    TIME = "time"
    RESULT = "result"
    WATER = "water"


@dataclass(frozen=True, slots=True)
class Failure:
    """One reason why the wish as asked cannot be met.

    part : which part fails;  why : one sentence, quantities as marks
    """

    part: Part
    why: str


@dataclass(frozen=True, slots=True)
class Alternative:
    """A neighbouring plan that works.

    change : what would be different, one sentence with marks;  request : ask this to get it
    drop_in : when its food goes in
    """

    change: str
    request: Request
    drop_in: datetime


@dataclass(frozen=True, slots=True)
class Window:
    """Time in the bath [s], counted from drop-in.

    early_s, nominal_s : when one piece in twenty, and a piece as measured, would be ready
    ready_s : when nineteen pieces in twenty are ready: the plan goes by this
    latest_s : until then the food keeps its result and its rules
    governs : what sets `ready_s`
    softening_s : hours the wanted texture asks for, 0 when it asks for none
    """

    early_s: float
    nominal_s: float
    ready_s: float
    latest_s: float
    governs: Governs
    softening_s: float


@dataclass(frozen=True, slots=True)
class Plan:
    """One plan for one request. It may be unworkable: then `failures` says why, and `alternatives` what would work.

    set_point_C : bath temperature [degC];  result : the wanted result it serves, None when no name fits
    window : times in the bath;  timing : come-up and lethality with their spread
    bath_s : planned time in the bath [s];  preheat_s : time allowed for heating the water [s]
    drop_in, pull, serve : planned moments;  last_drop_in, first_drop_in : the window for dropping in
    nominal, cautious : histories over the whole window, from drop-in on
    findings : every rule, read off the cautious history at the planned pull
    water : what becomes of the bath, None when nothing is known of it
    outcome : what the food will be like, read off the nominal history at the planned pull
    notes : what else the cook should know, marks inside
    """

    request: Request
    set_point_C: float
    result: Result | None
    window: Window
    timing: Timing
    bath_s: float
    preheat_s: float
    first_drop_in: datetime
    drop_in: datetime
    last_drop_in: datetime
    pull: datetime
    serve: datetime
    nominal: History
    cautious: History
    findings: tuple[Finding, ...]
    water: Water | None
    outcome: tuple[Estimate, ...]
    run_sheet: tuple[Task, ...]
    notes: tuple[str, ...]
    failures: tuple[Failure, ...]
    alternatives: tuple[Alternative, ...]

    @property
    def works(self) -> bool:
        """True when nothing of the wish fails."""
        return not self.failures

    @property
    def bath_C(self) -> float:
        """What the bath is in truth when its thermometer shows the set point [degC]."""
        return self.set_point_C - self.request.probe_offset_K

    @property
    def out_before(self) -> bool:
        """True when it was warm before it drops in, and how long may decide whether it can be eaten."""
        clocks = any(r.check == "time-control" for r in rules_for(self.request.subject, self.request.authority))
        return self.request.starts_warm and clocks

    @property
    def never_hot(self) -> bool:
        """True when the core never got hot, so that time is the only control there is."""
        clocks = {r.key for r in rules_for(self.request.subject, self.request.authority) if r.check == "time-control"}
        return any(f.binding and f.rule in clocks for f in self.findings)

    @property
    def broken(self) -> tuple[Finding, ...]:
        """Binding rules that are not met, or not known to be."""
        return tuple(f for f in self.findings if f.binding and f.verdict is not Verdict.MET)
