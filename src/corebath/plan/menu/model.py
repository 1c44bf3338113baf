"""The menu as a constraint model: dishes in baths, hands and pans, and what a dinner costs."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from ortools.sat.python import cp_model

from .bath_runs import BathRuns, StayVars
from .cuts import add_cuts
from .problem import Before, Item, Problem, Stay

BACK_MIN = 3 * 24 * 60  # how far the search of a conflict may look before the first moment


@dataclass(slots=True)
class DishVars:
    """One dish. present : on the table;  ahead : cooked ahead"""

    present: Any
    ahead: Any
    cook: StayVars
    again: StayVars | None
    fridge: Any
    finish: Any
    sear: Any


class MenuModel:
    """A problem in variables.

    relaxing : every wish may be given up, by its literal in `wishes`; else all hold
    """

    def __init__(self, problem: Problem, *, relaxing: bool = False) -> None:
        self.model = cp_model.CpModel()
        self.problem, self.relaxing = problem, relaxing
        self.wishes: dict[str, Any] = {}
        last = max(seating.at for seating in problem.seatings)
        back = BACK_MIN - BACK_MIN % problem.slot
        self.low, self.high = (-back if relaxing else 0), last
        self.baths = BathRuns(self.model, problem, self.low, self.high)
        self.works: list[Any] = []
        self.sears: list[tuple[Any, int]] = []
        self.costs: list[Any] = []
        self.dishes = [self._dish(item) for item in problem.items]
        self.baths.close()
        for dish in self.dishes:
            self._long_enough(dish)
        self._plates()
        self._limits()
        self._early()
        if not relaxing:
            add_cuts(self)
        self.cost = sum((*self.costs, *self.baths.costs))

    def wish(self, key: str) -> Any:
        """Literal of a wish: true when it has to hold."""
        if not self.relaxing:
            return self.model.new_constant(1)
        if key not in self.wishes:
            self.wishes[key] = self.model.new_bool_var(key)
        return self.wishes[key]

    def _moment(self) -> Any:
        return self.model.new_int_var(self.low, self.high, "")

    def _on_slot(self) -> Any:
        slot = self.problem.slot
        return slot * self.model.new_int_var(-(-self.low // slot), self.high // slot, "")

    def _drop(self, item: Item, ways: tuple[Stay, ...]) -> Any:
        """When a dish goes in: on a step of the clock, or on any minute where its window and wait are less than one."""
        opens = [
            latest - ready
            for way in ways
            for latest, ready in zip(way.latest, way.ready, strict=True)
            if ready is not None
        ]
        tight = min(opens, default=0) + item.finish.most_wait < self.problem.slot - 1
        return self._moment() if tight else self._on_slot()

    def _work(self, begin: Any, minutes: int, lit: Any) -> None:
        if minutes:
            self.works.append(self.model.new_optional_fixed_size_interval_var(begin, minutes, lit, ""))

    def _dish(self, item: Item) -> DishVars:
        m = self.model
        present, ahead = m.new_bool_var(""), m.new_bool_var("")
        m.add_implication(self.wish(f"served:{item.name}"), present)
        m.add_implication(ahead, present)
        if item.before is None:
            m.add(ahead == 0)
        elif not item.ahead:
            m.add_implication(self.wish(f"fresh:{item.name}"), ~ahead)
        if not item.direct:
            m.add_bool_or(ahead, ~present, ~self.wish(f"ahead:{item.name}"))
        ways = (*item.cooks, *(item.wider if self.relaxing else ()))
        drop, pull = self._drop(item, ways), self._moment()
        cook = self._stay(item, ways, drop, pull, present, f"result:{item.name}", len(item.cooks))
        self._work(drop, self.problem.works.drop_in, present)
        again, fridge = None, None
        if item.before is not None:
            again, fridge = self._before(item, item.before, ways, cook, ahead)
        finish, sear = self._moment(), self._moment()
        dish = DishVars(present, ahead, cook, again, fridge, finish, sear)
        self._finish(item, dish)
        return dish

    def _stay(
        self, item: Item, ways: tuple[Stay, ...], drop: Any, pull: Any, lit: Any, result: str = "", own: int = 0
    ) -> StayVars:
        m, works = self.model, self.problem.works
        stay = self.baths.stay(item, ways, drop, pull)
        for (o, _, _), chosen in stay.lits.items():
            if result and o >= own:
                m.add_implication(chosen, ~self.wish(result))
        if self.relaxing:
            # A bath of its own, filled for this stay alone.
            for o, way in enumerate(ways):
                for b, ready in enumerate(way.ready):
                    heats = self.problem.tubs[b].heats[way.point]
                    if ready is None or heats is None:
                        continue
                    alone = m.new_bool_var("")
                    stay.lits[o, b, -1] = alone
                    m.add_implication(alone, ~self.wish("baths"))
                    m.add(drop >= works.fill + heats).only_enforce_if(alone, self.wish("now"))
                    if result and o >= own:
                        m.add_implication(alone, ~self.wish(result))
        m.add(sum(stay.lits.values()) == lit)
        m.add(drop >= 0).only_enforce_if(self.wish("now"))
        self.costs += [ways[o].cost * x for (o, _, _), x in stay.lits.items()]
        return stay

    def _before(
        self, item: Item, before: Before, ways: tuple[Stay, ...], cook: StayVars, ahead: Any
    ) -> tuple[StayVars | None, Any]:
        """Chilled, put away, and warmed again in a bath or in the pan."""
        m, works, weights = self.model, self.problem.works, self.problem.weights
        at = self.problem.seatings[item.course].at
        fridge = self._moment()
        m.add(cook.pull == self._on_slot()).only_enforce_if(ahead)
        m.add(fridge >= cook.pull + before.chill).only_enforce_if(ahead)
        m.add(fridge <= cook.pull + before.chill + self.problem.fridge_within).only_enforce_if(ahead)
        self._work(cook.pull, works.chill, ahead)
        self._work(fridge, works.fridge, ahead)
        for (o, _, _), lit in cook.lits.items():
            if ways[o].keeps:
                m.add(cook.pull >= ways[o].pull_from).only_enforce_if(lit, ahead)
            else:
                m.add_bool_or(~lit, ~ahead)
        kept = m.new_int_var(0, self.high - self.low, "")
        m.add(kept >= at - cook.pull).only_enforce_if(ahead)
        self.costs += [weights.ahead * ahead, weights.kept * kept]
        if not before.reheats:
            return None, fridge
        drop, pull = self._on_slot(), self._moment()
        again = self._stay(item, before.reheats, drop, pull, ahead)
        m.add(drop >= fridge + works.fridge).only_enforce_if(ahead)
        self._work(drop, works.drop_in, ahead)
        # Never hotter than it was cooked.
        m.add(
            sum(before.reheats[o].point * x for (o, _, _), x in again.lits.items())
            <= sum(ways[o].point * x for (o, _, _), x in cook.lits.items())
        )
        return again, fridge

    def _finish(self, item: Item, dish: DishVars) -> None:
        m, finish, problem = self.model, item.finish, self.problem
        seating = problem.seatings[item.course]
        plate_at = seating.at - seating.plate
        pan = item.before.pan if item.before is not None else 0
        from_pan = dish.ahead if item.before is not None and dish.again is None else m.new_constant(0)
        wet = m.new_bool_var("")  # comes to the table from a bath
        m.add(wet == dish.present - from_pan)
        pulling = max(finish.dry, problem.works.pull)
        self._work(dish.finish, pulling, wet)
        m.add(dish.sear >= dish.finish + pulling).only_enforce_if(wet)
        m.add(dish.sear == dish.finish).only_enforce_if(from_pan)
        if dish.again is not None:
            m.add(dish.finish == dish.again.pull).only_enforce_if(dish.ahead)
        elif dish.fridge is not None:
            m.add(dish.finish >= dish.fridge + problem.works.fridge).only_enforce_if(dish.ahead)
        m.add(dish.finish == dish.cook.pull).only_enforce_if(dish.present, ~dish.ahead)
        for minutes, lit in ((finish.sear, wet), (pan, from_pan)):
            if minutes:
                interval = m.new_optional_fixed_size_interval_var(dish.sear, minutes, lit, "")
                self.sears.append((interval, finish.pans))
                self._work(dish.sear, min(finish.hands, minutes), lit)
        took = pulling * wet + finish.sear * wet + pan * from_pan + finish.rest * dish.present
        wait = m.new_int_var(0, finish.most_wait, "")
        m.add(wait == plate_at - dish.finish - took).only_enforce_if(dish.present)
        m.add(dish.sear + finish.sear * wet + pan * from_pan + finish.rest <= plate_at).only_enforce_if(dish.present)
        self.costs.append(problem.weights.plate_wait * wait)

    def _long_enough(self, dish: DishVars) -> None:
        m = self.model
        cooks = dish.cook.item.cooks + (dish.cook.item.wider if self.relaxing else ())
        stays: tuple[tuple[StayVars, tuple[Stay, ...], Any], ...] = ((dish.cook, cooks, dish.present),)
        before = dish.cook.item.before
        if dish.again is not None and before is not None:
            stays = (*stays, (dish.again, before.reheats, dish.ahead))
        for stay, ways, lit in stays:
            ready = sum(int(ways[o].ready[b] or 0) * x for (o, b, _), x in stay.lits.items())
            latest = sum(ways[o].latest[b] * x for (o, b, _), x in stay.lits.items())
            m.add(stay.pull - stay.drop >= ready + stay.longer).only_enforce_if(lit)
            m.add(stay.pull - stay.drop <= latest).only_enforce_if(lit)
            wait = m.new_int_var(0, self.high - self.low, "")
            m.add(wait >= stay.pull - stay.drop - ready).only_enforce_if(lit)
            self.costs.append(self.problem.weights.bath_wait * wait)

    def _plates(self) -> None:
        """The plates of a course are one work, right before its table time."""
        for c, seating in enumerate(self.problem.seatings):
            lits = [d.present for d, item in zip(self.dishes, self.problem.items, strict=True) if item.course == c]
            served = self.model.new_bool_var("")
            self.model.add_max_equality(served, lits or [self.model.new_constant(0)])
            self._work(seating.at - seating.plate, seating.plate, served)

    def _limits(self) -> None:
        """Hands and pans, and nothing asked of anyone asleep."""
        m, problem = self.model, self.problem
        works = [*self.works, *self.baths.works]
        hands: Any = problem.hands
        pans: Any = problem.pans
        if self.relaxing:
            hands = m.new_int_var(problem.hands, problem.hands + len(works), "")
            m.add(hands == problem.hands).only_enforce_if(self.wish("hands"))
            most = sum(n for _, n in self.sears)
            pans = m.new_int_var(problem.pans, problem.pans + most, "")
            m.add(pans == problem.pans).only_enforce_if(self.wish("pans"))
            for begin, used in self.baths.firsts:
                m.add(begin >= 0).only_enforce_if(used, self.wish("now"))
        awake = self.wish("asleep") if problem.asleep else m.new_constant(0)
        nights = [
            m.new_optional_fixed_size_interval_var(start, end - start, awake, "")
            for start, end in problem.asleep
            if end > start
        ]
        m.add_cumulative([*works, *nights], [1] * len(works) + [hands] * len(nights), hands)
        if self.sears:
            m.add_cumulative([i for i, _ in self.sears], [n for _, n in self.sears], pans)

    def _early(self) -> None:
        m = self.model
        self.first = first = m.new_int_var(self.low, self.high, "")
        for begin, used in self.baths.firsts:
            m.add(first <= begin).only_enforce_if(used)
        self.costs.append(self.problem.weights.early * (self.high - first))
