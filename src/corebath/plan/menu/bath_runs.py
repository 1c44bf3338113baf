"""The baths of a menu in the search: each goes through a few set points in turn, and food shares one at a time."""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import permutations
from typing import Any

from ortools.sat.python import cp_model

from .problem import Item, Problem, Stay

_WHOLE = 1000  # shares are thousandths


@dataclass(slots=True)
class StayVars:
    """One stay of one dish in some bath. longer : minutes that other food going in costs it [min]

    points : set points and baths it may be in;  lits : by stay, bath and run;  in_run, in_bath : likewise added up
    """

    item: Item
    drop: Any
    pull: Any
    longer: Any = 0
    points: set[tuple[int, int]] = field(default_factory=set)
    lits: dict[tuple[int, int, int], Any] = field(default_factory=dict)
    in_run: dict[tuple[int, int], Any] = field(default_factory=dict)
    in_bath: dict[int, Any] = field(default_factory=dict)


@dataclass(slots=True)
class RunVars:
    """One set point of one bath. at : by set point;  on : minutes in which the bath runs for it"""

    used: Any
    begin: Any
    start: Any
    end: Any
    at: dict[int, Any]
    turn: Any = None
    swap: Any = None
    fresh: Any = None
    on: Any = None


class BathRuns:
    """Variables and constraints of all baths."""

    def __init__(self, model: cp_model.CpModel, problem: Problem, low: int, high: int) -> None:
        self.model, self.problem, self.low, self.high = model, problem, low, high
        self.stays: list[StayVars] = []
        self.works: list[Any] = []  # intervals of one pair of hands
        self.costs: list[Any] = []
        self.firsts: list[tuple[Any, Any]] = []  # begin of a first filling, and whether there is one
        most = min(problem.runs, 2 * len(problem.items))
        self.runs = [[self._run(b) for _ in range(most)] for b in range(len(problem.tubs))]
        for b in range(len(problem.tubs)):
            self._follow(b)

    def _run(self, bath: int) -> RunVars:
        m, reach = self.model, self.problem.tubs[bath].heats
        used = m.new_bool_var("")
        at = {g: m.new_bool_var("") for g, heat in enumerate(reach) if heat is not None}
        m.add(sum(at.values()) == used)
        begin, start, end = (m.new_int_var(self.low, self.high, "") for _ in range(3))
        m.add(start <= end)
        slot = self.problem.slot
        m.add(begin == slot * m.new_int_var(-(-self.low // slot), self.high // slot, "")).only_enforce_if(used)
        for moment in (begin, start, end):
            m.add(moment == self.low).only_enforce_if(~used)
        return RunVars(used, begin, start, end, at)

    def heats(self, bath: int, run: RunVars) -> Any:
        """Minutes from the filling water to a run's set point."""
        heats = self.problem.tubs[bath].heats
        return sum(int(heats[g] or 0) * lit for g, lit in run.at.items())

    def _rises(self, bath: int, run: RunVars) -> Any:
        return sum(self.problem.tubs[bath].rises[g] * lit for g, lit in run.at.items())

    def _rank(self, run: RunVars) -> Any:
        return sum(g * lit for g, lit in run.at.items())

    def _follow(self, b: int) -> None:
        """What happens to a bath before each set point, and what that costs."""
        m, works, weights, tub = self.model, self.problem.works, self.problem.weights, self.problem.tubs[b]
        runs = self.runs[b]
        for k, run in enumerate(runs):
            heats = self.heats(b, run)
            on = m.new_int_var(0, self.high - self.low, "")
            if k == 0:
                m.add(run.begin + works.fill + heats <= run.start).only_enforce_if(run.used)
                self._work(run.begin, works.fill, run.used)
                m.add(on >= run.end - run.begin)
                self.costs.append(weights.bath * run.used)
                self.firsts.append((run.begin, run.used))
                if tub.like is not None:
                    m.add_implication(run.used, self.runs[tub.like][0].used)
            else:
                before = runs[k - 1]
                m.add_implication(run.used, before.used)
                run.turn, run.swap, run.fresh = (m.new_bool_var("") for _ in range(3))
                m.add(run.turn + run.swap + run.fresh == run.used)
                m.add(run.begin >= before.end).only_enforce_if(run.used)
                rise = self._rises(b, run) - self._rises(b, before)
                rank, rank_before = self._rank(run), self._rank(before)
                m.add(rank >= rank_before + 1).only_enforce_if(run.turn)
                m.add(run.begin + works.turn + rise <= run.start).only_enforce_if(run.turn)
                m.add(rank <= rank_before - 1).only_enforce_if(run.swap)
                m.add(run.begin + works.swap + works.settle <= run.start).only_enforce_if(run.swap)
                m.add(run.begin + works.fresh + heats <= run.start).only_enforce_if(run.fresh)
                for g, to in tub.no_swap:
                    if g in before.at and to in run.at:
                        m.add_bool_or(~before.at[g], ~run.at[to], ~run.swap)
                for lit, minutes in ((run.turn, works.turn), (run.swap, works.swap), (run.fresh, works.fresh)):
                    self._work(run.begin, minutes, lit)
                idle = m.new_int_var(0, self.high - self.low, "")
                m.add(idle >= run.begin - before.end).only_enforce_if(run.used, ~run.fresh)
                m.add(on >= run.end - before.end).only_enforce_if(run.used, ~run.fresh)
                m.add(on >= run.end - run.begin).only_enforce_if(run.fresh)
                changed = weights.swap * (run.swap + run.fresh) + weights.turn * run.turn
                self.costs += [changed, weights.prompt * idle]
            run.on = on
            self.costs.append(weights.bath_minute * on)

    def _work(self, begin: Any, minutes: int, lit: Any) -> None:
        self.works.append(self.model.new_optional_fixed_size_interval_var(begin, minutes, lit, ""))

    def stay(self, item: Item, ways: tuple[Stay, ...], drop: Any, pull: Any) -> StayVars:
        """A stay of a dish: which way, which bath and which of its set points is left open."""
        m = self.model
        made = StayVars(item, drop, pull)
        for b, runs in enumerate(self.runs):
            for k, run in enumerate(runs):
                here = []
                for o, way in enumerate(ways):
                    if way.ready[b] is not None and way.point in run.at:
                        lit = m.new_bool_var("")
                        m.add_implication(lit, run.at[way.point])
                        made.lits[o, b, k] = lit
                        made.points.add((way.point, b))
                        here.append(lit)
                if here:
                    inside = m.new_bool_var("")
                    m.add(sum(here) == inside)
                    m.add(run.start <= drop).only_enforce_if(inside)
                    m.add(pull <= run.end).only_enforce_if(inside)
                    made.in_run[b, k] = inside
            lits = [lit for (bath, _), lit in made.in_run.items() if bath == b]
            if lits:
                made.in_bath[b] = m.new_bool_var("")
                m.add(sum(lits) == made.in_bath[b])
        self.stays.append(made)
        return made

    def close(self) -> None:
        """Once every stay is known: room, what the heater carries, and no set point without food."""
        m = self.model
        for b, runs in enumerate(self.runs):
            for k, run in enumerate(runs):
                m.add(sum(s.in_run[b, k] for s in self.stays if (b, k) in s.in_run) >= run.used)
            inside = [s for s in self.stays if b in s.in_bath]
            if len(inside) < 2:
                continue
            stays = [self._span(s.drop, s.pull, s.in_bath[b]) for s in inside]
            for shares in ([s.item.room[b] for s in inside], [s.item.hang[b] for s in inside]):
                if sum(shares) > _WHOLE:
                    m.add_cumulative(stays, shares, _WHOLE)
            dips = [
                m.new_optional_fixed_size_interval_var(s.drop, max(s.item.dip[b], 1), s.in_bath[b], "") for s in inside
            ]
            m.add_cumulative(dips, [s.item.heat[b] for s in inside], _WHOLE)
            lonely = [(dip, s) for dip, s in zip(dips, inside, strict=True) if s.item.alone[b]]
            if lonely:
                count = len(inside)
                m.add_cumulative([*stays, *(dip for dip, _ in lonely)], [1] * count + [count - 1] * len(lonely), count)
            self._delays(b, inside)

    def _span(self, start: Any, end: Any, lit: Any) -> Any:
        size = self.model.new_int_var(0, self.high - self.low, "")
        return self.model.new_optional_interval_var(start, size, end, lit, "")

    def _delays(self, b: int, inside: list[StayVars]) -> None:
        """Food that goes in while other food is there costs that food the minutes in which the bath is colder."""
        m = self.model
        for one, other in permutations(inside, 2):
            minutes = other.item.dip[b]
            if minutes == 0 or one.item is other.item or not _together(one, other, b):
                continue
            before, after, during = (m.new_bool_var("") for _ in range(3))
            m.add_bool_or(before, after, during, ~one.in_bath[b], ~other.in_bath[b])
            m.add(other.drop + minutes <= one.drop).only_enforce_if(before)
            m.add(other.drop >= one.pull).only_enforce_if(after)
            one.longer = one.longer + minutes * during


def _together(one: StayVars, other: StayVars, bath: int) -> bool:
    """Whether two stays have a set point of a bath in common, so that they may be in it at once."""
    points = [{way for way, b in s.points if b == bath} for s in (one, other)]
    return bool(points[0] & points[1])
