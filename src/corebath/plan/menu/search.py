"""Searching a menu: the best schedule, whether there is one at all, and which wishes stand against each other."""

from __future__ import annotations

from collections.abc import Iterable
from enum import StrEnum
from typing import Any

from ortools.sat.python import cp_model

from .figures import figures
from .model import DishVars, MenuModel
from .problem import Placed, Problem, Run, Schedule


class Found(StrEnum):
    """What a search came to."""

    ANSWER = "answer"
    NONE = "none"
    UNKNOWN = "unknown"


def solver(limit: str = "deterministic_s") -> cp_model.CpSolver:
    """One worker, one seed, and a limit counted in work, so that the same menu is answered alike everywhere.

    limit : which limit of the data file
    """
    limits = figures("search")
    made = cp_model.CpSolver()
    made.parameters.num_workers = 1
    made.parameters.random_seed = limits["seed"]
    # Deep probing and the search for symmetries cost small models like these more than they save.
    made.parameters.cp_model_probing_level = 1
    made.parameters.symmetry_level = 0
    made.parameters.max_deterministic_time = limits[limit]
    made.parameters.max_time_in_seconds = limits["wall_s"]
    return made


def search(problem: Problem, *, any_will_do: bool = False) -> tuple[Found, Schedule | None]:
    """The cheapest schedule of a problem.

    any_will_do : the first one found, with a cost of no meaning
    """
    made = MenuModel(problem)
    if not any_will_do:
        made.model.minimize(made.cost)
    run = solver("any_s" if any_will_do else "deterministic_s")
    status = run.solve(made.model)
    if status == cp_model.INFEASIBLE:
        return Found.NONE, None
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return Found.UNKNOWN, None
    return Found.ANSWER, _schedule(made, run, proved=status == cp_model.OPTIMAL, any_will_do=any_will_do)


def smallest_conflict(problem: Problem, keys: Iterable[str]) -> tuple[tuple[str, ...], bool]:
    """Wishes that cannot be met together, such that any of them given up makes the others possible.

    keys : every wish, those first that are most worth keeping out of the answer
    Returns the wishes and whether each of them was proved to be needed. Without any: all can be met together, proved,
    or not, when the limit was reached before that was known.
    """
    made = MenuModel(problem, relaxing=True)
    wanted = [key for key in keys if key in made.wishes]

    def fails(held: list[str]) -> bool | None:
        run = solver("conflict_s")
        made.model.clear_assumptions()
        made.model.add_assumptions([made.wishes[key] for key in held])
        status = run.solve(made.model)
        if status == cp_model.INFEASIBLE:
            return True
        return False if status in (cp_model.OPTIMAL, cp_model.FEASIBLE) else None

    together = fails(wanted)
    if not together:
        return (), together is False
    proved, held = True, wanted
    for key in wanted:
        fewer = [k for k in held if k != key]
        verdict = fails(fewer)
        if verdict:
            held = fewer
        elif verdict is None:
            proved = False
    return tuple(held), proved


def _schedule(made: MenuModel, run: cp_model.CpSolver, *, proved: bool, any_will_do: bool) -> Schedule:
    placed = tuple(_placed(i, dish, run) for i, dish in enumerate(made.dishes))
    runs = []
    for b, of_bath in enumerate(made.baths.runs):
        for k, var in enumerate(of_bath):
            if not run.boolean_value(var.used):
                continue
            how = "fill"
            for name, lit in (("turn", var.turn), ("swap", var.swap), ("fresh", var.fresh)):
                if lit is not None and run.boolean_value(lit):
                    how = name
            point = next(g for g, lit in var.at.items() if run.boolean_value(lit))
            inside = _inside(placed, b, k, made, run)
            runs.append(
                Run(b, k, point, how, run.value(var.begin), min(s for s, _ in inside), max(e for _, e in inside))
            )
    cost = 0 if any_will_do else round(run.objective_value)
    bound = 0 if any_will_do else round(run.best_objective_bound)
    return Schedule(placed, tuple(runs), cost, bound, proved)


def _inside(
    placed: tuple[Placed, ...], b: int, k: int, made: MenuModel, run: cp_model.CpSolver
) -> list[tuple[int, int]]:
    spans = []
    for dish, vars_ in zip(placed, made.dishes, strict=True):
        if (dish.bath, dish.run) == (b, k):
            spans.append((dish.drop_in, dish.pull))
        if (dish.reheat_bath, dish.reheat_run) == (b, k) and vars_.again is not None:
            spans.append((run.value(vars_.again.drop), run.value(vars_.again.pull)))
    return spans


def _placed(i: int, dish: DishVars, run: cp_model.CpSolver) -> Placed:
    cook, bath, number = _chosen(dish.cook.lits, run)
    ahead = bool(run.boolean_value(dish.ahead))
    reheat: tuple[int, int, int] | tuple[None, None, None] = (None, None, None)
    reheat_in = None
    if ahead and dish.again is not None:
        reheat = _chosen(dish.again.lits, run)
        reheat_in = run.value(dish.again.drop)
    return Placed(
        item=i, cook=cook, bath=bath, run=number,
        drop_in=run.value(dish.cook.drop), pull=run.value(dish.cook.pull), ahead=ahead,
        finish=run.value(dish.finish), sear=run.value(dish.sear),
        fridge=run.value(dish.fridge) if ahead else None,
        reheat=reheat[0], reheat_bath=reheat[1], reheat_run=reheat[2], reheat_in=reheat_in,
    )  # fmt: skip


def _chosen(lits: dict[tuple[int, int, int], Any], run: cp_model.CpSolver) -> tuple[int, int, int]:
    return next(key for key, lit in lits.items() if run.boolean_value(lit))
