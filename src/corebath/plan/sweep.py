"""Sweeps: one question asked again for every thickness and set point of a table.

Every cell is the plan's own choice (`plan.choose.choice_at`): sampled unfrozen pieces, or linearised frozen ones, their
cautious history, and every rule read off it. Cells do not know of each other, so any executor may share them out.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Executor, Future, as_completed
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import pairwise
from math import ceil, floor, inf, isfinite
from typing import Any

from corebath.data_files import read_toml
from corebath.heat.grid import Array
from corebath.heat.history import History
from corebath.outcome.results import Result
from corebath.safety.finding import Verdict
from corebath.safety.lethality import LethalityRule
from corebath.safety.rule import Rule
from corebath.safety.rules import reported_lethality, rules_for

from .choose import Choice, choice_at, judged, result_at
from .data import pace_of
from .plan import Governs
from .request import BadRequest, Request, State, check_size
from .timing import Span

Progress = Callable[[int, int], None]
# Steps in which times are told, and below which time each holds [s].
_TOLD = ((3600.0, 60), (86_400.0, 300), (inf, 3600))
# Where a heat treatment is read off a history, by the check of its rule.
_WHERE: dict[str, Callable[[History], Array]] = {"core": lambda h: h.core_C, "surface": lambda h: h.surface_C}


def settings() -> dict[str, Any]:
    """Usual sizes and set points of a table, and its limits; every table names its source."""
    return read_toml("corebath.plan", "sweep.toml")


@dataclass(frozen=True, slots=True)
class Treatment:
    """When one heat treatment is met in one cell, counted from drop-in; infinite when never.

    rule : key of the rule;  binding : a plan may not be offered while it is not met
    nominal_s, cautious_s : for a piece as measured, and for the slowest in twenty [s]
    """

    rule: str
    binding: bool
    nominal_s: float
    cautious_s: float


@dataclass(frozen=True, slots=True)
class Ruled:
    """What one rule says of one cell at the time in the bath. binding : it binds there;  rule : its key"""

    rule: str
    verdict: Verdict
    binding: bool


@dataclass(frozen=True, slots=True)
class Cell:
    """The times of one piece in one bath, counted from drop-in, to the millisecond.

    Below that the order in which a processor sums shows, which differs from one run to the next.

    thickness_m : or diameter [m];  set_point_C : [degC];  result : whose band holds the set point, or None
    come_up : core within half a degree of the bath [s]
    ready_s, latest_s : when the slowest piece in twenty is hot, treated by the rules that bind and as soft as is usual,
        and the end of the usual texture window or of what a rule allows; infinite when never [s]
    softening_s : what the texture asks for, 0 for food that is ready when hot, None where it is not known [s]
    governs : what sets `ready_s`;  treatments : heat rules in the order of `rules_for`
    verdicts : of every rule, read off the cautious history at `ready_s` as told (`told_up_s`); none if it never comes
    broken : keys of the rules that bind and are not met then, or not known to be; or that are never met
    """

    thickness_m: float
    set_point_C: float
    result: Result | None
    come_up: Span
    ready_s: float
    latest_s: float
    softening_s: float | None
    governs: Governs
    treatments: tuple[Treatment, ...]
    verdicts: tuple[Ruled, ...]
    broken: tuple[str, ...]

    @property
    def is_offered(self) -> bool:
        """True when a plan would be offered: ready at some time, with every binding rule met."""
        return isfinite(self.ready_s) and not self.broken


@dataclass(frozen=True)
class Sweep:
    """A question and the axes of its table.

    like : asked for every cell with that cell's thickness and set point; its table time and its bath play no part
    thicknesses_m, set_points_C : axes, rising [m], [degC]

    Raises BadRequest, naming the answer, for axes that are empty, do not rise or are too long, and for sizes and set
    points outside what is planned.
    """

    like: Request
    thicknesses_m: tuple[float, ...]
    set_points_C: tuple[float, ...]

    def __post_init__(self) -> None:
        limits = settings()["limits"]
        for field, axis, most in (
            ("thick", self.thicknesses_m, limits["most_sizes"]),
            ("set", self.set_points_C, limits["most_set_points"]),
        ):
            if not axis or any(b <= a for a, b in pairwise(axis)):
                raise BadRequest(field, "the values must rise, and there must be at least one")
            if len(axis) > most:
                raise BadRequest(field, f"{len(axis)} values are too many: at most {most} are taken")
        most = limits["most_frozen_cells" if self.like.state is State.FROZEN else "most_cells"]
        if self.count > most:
            frozen = " of frozen pieces" if self.like.state is State.FROZEN else ""
            raise BadRequest(
                "thick", f"{self.count} cells{frozen} are too many: at most {most} are computed; take wider steps"
            )
        for thickness_m in self.thicknesses_m:
            check_size("thick", thickness_m)
        # A request refuses what is not planned.
        list(self._down)
        list(self._across)

    @property
    def count(self) -> int:
        """Number of cells."""
        return len(self.thicknesses_m) * len(self.set_points_C)

    @property
    def most_while_waiting(self) -> int:
        """So many cells of its kind are computed while a reader waits; frozen bodies of several axes are dear."""
        limits = settings()["limits"]
        if self.like.state is not State.FROZEN:
            return int(limits["page_cells"])
        return int(limits["page_frozen_cells"] if len(self.like.body.axes) == 1 else limits["page_frozen_blocks"])

    @property
    def _down(self) -> Iterator[Request]:
        for thickness_m in self.thicknesses_m:
            yield replace(self._still, body=replace(self.like.body, thickness_m=thickness_m))

    @property
    def _across(self) -> Iterator[Request]:
        for set_point_C in self.set_points_C:
            yield replace(self._still, set_point_C=set_point_C)

    @cached_property
    def _still(self) -> Request:
        """The question without a fixed time, a wanted result and a bath of its own."""
        first_C = self.like.set_point_C if self.like.set_point_C is not None else self.set_points_C[0]
        return replace(self.like, result=None, set_point_C=first_C, bath_s=None, equipment=None, ice=None)

    def tasks(self) -> Iterator[Task]:
        """The work in parts: a row each, since it shares its solution, or a cell each where pieces thaw."""
        for request in self._down:
            if request.state is State.FROZEN:
                yield from (Task(request, (set_point_C,)) for set_point_C in self.set_points_C)
            else:
                yield Task(request, self.set_points_C)


@dataclass(frozen=True, slots=True)
class Task:
    """Some neighbouring cells of one row; it can be pickled."""

    request: Request
    set_points_C: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Times:
    """The table: a row for each thickness, a cell for each set point.

    rules : every rule that speaks for the piece, in the order of `rules_for`
    """

    sweep: Sweep
    rows: tuple[tuple[Cell, ...], ...]
    rules: tuple[Rule, ...]


def make_times(sweep: Sweep, executor: Executor | None = None, progress: Progress | None = None) -> Times:
    """Compute every cell, here or shared out.

    executor : of threads, processes or a cluster; the cells are the same wherever they are computed
    progress : called here with the number of cells done and of all cells, after every part
    """
    tasks = tuple(sweep.tasks())
    told, done = progress or (lambda _done, _all: None), 0
    parts: dict[int, tuple[Cell, ...]] = {}
    for index, part in _computed(tasks, executor):
        parts[index] = part
        done += len(part)
        told(done, sweep.count)
    cells = [cell for index in range(len(tasks)) for cell in parts[index]]
    across = len(sweep.set_points_C)
    rows = tuple(tuple(cells[i : i + across]) for i in range(0, len(cells), across))
    return Times(sweep, rows, rules_for(sweep.like.subject, sweep.like.authority))


def _computed(tasks: Sequence[Task], executor: Executor | None) -> Iterator[tuple[int, tuple[Cell, ...]]]:
    if executor is None:
        yield from ((index, cells_of(task)) for index, task in enumerate(tasks))
        return
    waiting: dict[Future[tuple[Cell, ...]], int] = {executor.submit(cells_of, t): i for i, t in enumerate(tasks)}
    try:
        for future in as_completed(waiting):
            yield waiting[future], future.result()
    finally:
        for future in waiting:
            future.cancel()


def cells_of(task: Task) -> tuple[Cell, ...]:
    """The cells of one part of the work."""
    return tuple(_cell(task.request, set_point_C) for set_point_C in task.set_points_C)


def _cell(request: Request, set_point_C: float) -> Cell:
    request = replace(request, set_point_C=set_point_C)
    result = result_at(request, set_point_C)
    told = reported_lethality(request.subject, request.authority)
    choice = choice_at(request, set_point_C, result, told)
    window, cautious, come_up = choice.window, choice.cautious, choice.timing.come_up
    treatments = tuple(_treatments(rules_for(request.subject, request.authority), choice))
    if isfinite(window.ready_s):
        findings = judged(request, set_point_C, cautious.until(told_up_s(window.ready_s)))
        verdicts = tuple(Ruled(f.rule, f.verdict, f.binding) for f in findings)
        broken = tuple(v.rule for v in verdicts if v.binding and v.verdict is not Verdict.MET)
    else:
        verdicts, broken = (), tuple(t.rule for t in treatments if t.binding and not isfinite(t.cautious_s))
    return Cell(
        thickness_m=request.body.thickness_m,
        set_point_C=set_point_C,
        result=result,
        come_up=Span(_ms(come_up.early_s), _ms(come_up.nominal_s), _ms(come_up.cautious_s)),
        ready_s=_ms(window.ready_s),
        latest_s=_ms(window.latest_s),
        softening_s=_softening_s(request, choice),
        governs=window.governs,
        treatments=treatments,
        verdicts=verdicts,
        broken=broken,
    )


def _softening_s(request: Request, choice: Choice) -> float | None:
    if pace_of(request.food.texture).pace == "heat":
        return 0.0
    return None if choice.result is None else _ms(choice.window.softening_s)


def _ms(time_s: float) -> float:
    return round(time_s, 3)


def _treatments(rules: Sequence[Rule], choice: Choice) -> Iterator[Treatment]:
    """At the core by the sampled pieces, a binding rule never sooner than by the cautious one; at the surface by it."""
    timing, slow = choice.timing, choice.cautious
    for rule in heat_rules(rules):
        assert rule.lethality is not None
        where = _WHERE[rule.check]
        if rule.check == "core":
            span = timing.lethality[rule.key] if rule.binding else timing.told[rule.key]
            nominal_s, cautious_s = span.nominal_s, span.cautious_s
        else:
            nominal = choice.piece.history(slow.duration_s)
            nominal_s = cautious_s = _met_s(rule.lethality, nominal.time_s, where(nominal))
        if rule.binding or rule.check != "core":
            cautious_s = max(cautious_s, _met_s(rule.lethality, slow.time_s, where(slow)))
        yield Treatment(rule.key, rule.binding, _ms(nominal_s), _ms(cautious_s))


def _met_s(rule: LethalityRule, time_s: Array, temperature_C: Array) -> float:
    """When a treatment is met; past the end of the history the temperature stays as it is [s]."""
    met_s = rule.met_at_s(time_s, temperature_C)
    if met_s is not None:
        return met_s
    missing = 1.0 - float(rule.achieved(time_s, temperature_C)[-1])
    return float(time_s[-1]) + missing * float(rule.hold_s(temperature_C[-1]))


def told_up_s(time_s: float) -> float:
    """A finite time as told, rounded up: to the minute below an hour, 5 minutes below a day, then the hour [s]."""
    step_s = _told_step_s(time_s)
    return step_s * ceil(time_s / step_s - 1e-6)


def told_down_s(time_s: float) -> float:
    """A finite time as it is told, rounded down on the same steps [s]."""
    step_s = _told_step_s(time_s)
    return step_s * floor(time_s / step_s + 1e-6)


def _told_step_s(time_s: float) -> float:
    return next(float(step_s) for below_s, step_s in _TOLD if time_s < below_s)


def heat_rules(rules: Sequence[Rule]) -> tuple[Rule, ...]:
    """Those of the rules that are heat treatments with a time in every cell."""
    return tuple(r for r in rules if r.lethality is not None and r.check in _WHERE)
