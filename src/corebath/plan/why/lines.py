"""Which number stands behind each printed line: the key of its why."""

from __future__ import annotations

from collections.abc import Iterator

from corebath.plan.ends import Ends, Kept, Salted, Seared
from corebath.plan.plan import Plan
from corebath.plan.run_sheet import Task
from corebath.plan.water import Water

Line = tuple[str, str]
_SEAR = ("crust", "crust", "grey-band", "core-rise")
_SALT = {"The salt has left": "salt-surface", "After": "salt-waits"}
_TASKS = {
    "salt": "salt-lead", "preheat": "preheat", "ice": "preheat", "drop-in": "drop-in", "top-up": "top-ups",
    "pull": "pull", "dry": "serve", "finish": "serve", "rest": "serve", "serve": "serve", "leftovers": "leftovers",
}  # fmt: skip


def water_lines(water: Water) -> tuple[Line, ...]:
    """Statements of the water with their keys."""
    return tuple((line, _water_key(water, line)) for line in water.statements)


def water_details(water: Water) -> tuple[Line, ...]:
    """Its other figures likewise."""
    return tuple((line, _water_key(water, line)) for line in water.details)


def _water_key(water: Water, line: str) -> str:
    holders = (
        ("ice-wait", water.ice), ("fit", water.fit), ("dip", water.dip), ("float", water.floating),
        ("level", water.night), ("top-ups", water.schedule), ("outage", water.outage),
    )  # fmt: skip
    if line in water.warm_up.statements:
        return "warm-up" if line == water.warm_up.statements[0] else "holds"
    for key, part in holders:
        if part is not None and line in part.statements:
            return key
    if line.startswith("Energy costs"):
        return "cost"
    if line.startswith("Fill with"):
        return "fill"
    if line.startswith("The food's times"):
        return "dip"
    # What is left tells how the filling is mixed, or what to weigh so that more can be told.
    return "mix" if "land on" in line or line.startswith("Filled with") else "fill"


def salt_lines(salted: Salted) -> tuple[Line, ...]:
    """Statements of the salt with their keys."""

    def key(line: str) -> str:
        return next((key for begins, key in _SALT.items() if line.startswith(begins)), "salt-times")

    first, *rest = salted.statements
    return ((first, key(first) if salted.dose is None else "dose"), *((line, key(line)) for line in rest))


def sear_lines(seared: Seared) -> tuple[Line, ...]:
    """Statements of the sear with their keys."""
    return tuple(
        (line, _SEAR[i] if i < len(_SEAR) else "chill-first" if line.startswith("Chilled") else "oils")
        for i, line in enumerate(seared.statements)
    )


def keep_lines(kept: Kept) -> tuple[Line, ...]:
    """Statements of what is kept with their keys."""
    return tuple(zip(kept.statements, _keep_keys(kept), strict=True))


def _keep_keys(kept: Kept) -> Iterator[str]:
    yield "pasteurised"
    yield from ("chill-time" for _ in kept.chill.statements)
    if kept.ice is not None:
        yield from ("ice" for _ in kept.ice.statements)
    yield from ("keeping" for _ in kept.keeping.statements)
    if kept.reheat is not None:
        yield from ("reheat" for _ in kept.reheat.statements)


def task_key(task: Task, plan: Plan) -> str:
    """The key behind a task of the run sheet; empty for one without a figure of its own."""
    if task.key != "milestone":
        return _TASKS.get(task.key, "")
    for finding in plan.findings:
        if finding.binding and finding.met_at_s and finding.title in task.what:
            return f"rules-{finding.rule}"
    return "core-curve" if "thawed" in task.what else "come-up"


def lines_of(plan: Plan, ends: Ends | None) -> Iterator[Line]:
    """Every line of a plan that tells a number, with the key of the number."""
    yield from ((finding.why, f"rules-{finding.rule}") for finding in plan.findings)
    if plan.water is not None:
        yield from water_lines(plan.water)
        yield from water_details(plan.water)
        yield from ((finding.why, f"water-{finding.rule}") for finding in plan.water.findings)
    yield from ((estimate.words, f"outcome-{estimate.name}") for estimate in plan.outcome)
    yield from ((task.what, key) for task in plan.run_sheet if (key := task_key(task, plan)))
    if ends is None:
        return
    if ends.salted is not None:
        yield from salt_lines(ends.salted)
        yield from ((finding.why, f"salt-{finding.rule}") for finding in ends.salted.findings)
    if ends.seared is not None:
        yield from sear_lines(ends.seared)
        yield from ((finding.why, f"sear-{finding.rule}") for finding in ends.seared.sear.findings)
    yield from keep_lines(ends.kept)
    yield from ((finding.why, f"keep-{finding.rule}") for finding in ends.kept.findings)
