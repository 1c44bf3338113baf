"""Making a batch: bags, baths, cold, days."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime

from corebath.chill.ice import IceNeed, ice_finding, ice_needed
from corebath.chill.tables import medium
from corebath.chill.tables import settings as chill_settings
from corebath.plan.clock import after, elapsed_s, floor_to
from corebath.plan.data import defaults, pace_of
from corebath.plan.plan import Failure, Part
from corebath.plan.request import BadRequest
from corebath.safety.cooling import COLD_C
from corebath.safety.finding import Verdict
from corebath.units import mark

from .after import After
from .answer import BatchPlan, Day, Run, Stored, Way
from .bags import Bag, sorted_bags
from .batch import Batch, settings
from .cook import Bathful, bathfuls, run_of
from .labels import day_words
from .say import batch_statements, notes_of
from .sheet import run_sheet


def make_batch(batch: Batch) -> BatchPlan:
    """The plan for a batch.

    Returns a plan even when something of it cannot be had: then `failures` says what. Raises BadRequest for a
    batch outside what is planned: too little time, or a day that lies before the cooking.
    """
    bags = sorted_bags(batch.lots)
    baths = bathfuls(batch, bags)
    cold = After(batch)
    cold.share_baths((timed.bag, bathful.set_point_C) for bathful in baths for timed in bathful.bags)
    starts = _starts(batch, baths, cold)
    _check_days(batch, bags, starts)
    runs: list[Run] = []
    begins = starts
    for i, bathful in enumerate(baths):
        runs.append(run_of(batch, bathful, begins, baths[i - 1] if i else None))
        begins = runs[-1].ends
    stored = _stored(cold, runs)
    ice = _ice(batch, runs, stored)
    ice_findings = () if ice is None or batch.ice_kg is None else (ice_finding(batch.ice_kg, ice),)
    if any(finding.verdict is Verdict.NOT_MET for finding in ice_findings):
        cold.lack_ice()
        stored = _stored(cold, runs)
    plan = BatchPlan(
        batch=batch,
        starts=starts,
        ends=max([run.ends for run in runs] + [s.cold_at for s in stored if s.cold_at is not None]),
        runs=tuple(runs),
        bags=tuple(stored),
        days=tuple(_days(stored)),
        ice=ice,
        ice_findings=ice_findings,
        run_sheet=(),
        failures=tuple(_failures(runs, stored)),
        statements=(),
        notes=(),
    )
    return replace(
        plan, run_sheet=run_sheet(plan), statements=tuple(batch_statements(plan)), notes=tuple(notes_of(plan))
    )


def _stored(cold: After, runs: list[Run]) -> list[Stored]:
    bags = (cold.stored(cooked, run.set_point_C) for run in runs for cooked in run.bags)
    return sorted(bags, key=lambda s: s.bag.number)


def _starts(batch: Batch, baths: tuple[Bathful, ...], cold: After) -> datetime:
    """When the work begins: as told, or so that all is cold by the moment told."""
    if batch.start is not None:
        if batch.start < batch.now:
            raise BadRequest("start", "the start has passed already; choose one that lies ahead")
        return batch.start.astimezone(batch.zone)
    assert batch.done_by is not None
    at_s, long_s = 0.0, 0.0
    for bathful in baths:
        at_s += bathful.lead_s
        for timed in bathful.bags:
            fresh = timed.bag.eat_on == batch.done_by.astimezone(batch.zone).date()
            rest_s = (
                pace_of(timed.bag.lot.request.food.texture).finishing_s
                if fresh
                else cold.cold_s(timed.bag, bathful.set_point_C)
            )
            long_s = max(long_s, at_s + bathful.length_s + rest_s)
        at_s += bathful.length_s
    step_s = float(defaults()["rounding"]["drop_in_s"])
    starts = floor_to(after(batch.done_by, -long_s, batch.zone), step_s, batch.zone)
    if starts < batch.now:
        first = after(batch.now, long_s + step_s, batch.zone)
        raise BadRequest(
            "done",
            f"all of this cannot be cold by then: it takes {mark(60.0 * round(long_s / 60), 's')}, so the earliest is "
            f"{first:%H:%M} on {day_words(first.date())}",
        )
    return starts


def _check_days(batch: Batch, bags: tuple[Bag, ...], starts: datetime) -> None:
    first, longest = starts.astimezone(batch.zone).date(), settings()["limits"]["longest_days"]
    for bag in bags:
        if bag.eat_on is None:
            continue
        if bag.eat_on < first:
            raise BadRequest("days", f"{day_words(bag.eat_on)} lies before the cooking on {day_words(first)}")
        if (bag.eat_on - first).days > longest:
            raise BadRequest("days", f"{day_words(bag.eat_on)} lies more than {longest} days after the cooking")


def _ice(batch: Batch, runs: list[Run], stored: list[Stored]) -> IceNeed | None:
    """Ice for every bag that is chilled, all runs into one ice bath after each other."""
    chilled = {s.bag.number: s for s in stored if s.chill is not None}
    masses = [s.bag.mass_kg for s in chilled.values() if s.bag.mass_kg is not None]
    if not chilled or len(masses) < len(chilled):
        return None
    food_kg, capacity_J_K, heat_J = sum(masses), 0.0, 0.0
    for run in runs:
        for found in _of(run, chilled):
            thermal = found.bag.piece().thermal((run.set_point_C + COLD_C) / 2)
            one_J_K = (found.bag.mass_kg or 0.0) * thermal.warm.cp_J_kgK
            capacity_J_K += one_J_K
            heat_J += one_J_K * (run.set_point_C - COLD_C)
    # The ice bath is filled up with ice between runs, so that only the chills count and not the hours between them.
    spent_s = sum(
        max((elapsed_s(s.cooked.pulled, s.cold_at) for s in _of(run, chilled) if s.cold_at is not None), default=0.0)
        for run in runs
    )
    return ice_needed(
        food_kg=food_kg,
        food_cp_J_kgK=capacity_J_K / food_kg,
        from_C=COLD_C + heat_J / capacity_J_K,
        to_C=COLD_C,
        water_kg=food_kg * chill_settings()["ice_bath"]["water_per_food"]
        if batch.ice_water_kg is None
        else batch.ice_water_kg,
        water_C=batch.tap_C,
        end_C=medium(settings()["chill"]["medium"]).nominal_C,
        chill_s=min(spent_s, 172_800.0),
        room_C=batch.room_C,
    )


def _of(run: Run, chilled: dict[int, Stored]) -> list[Stored]:
    """What is chilled of a run."""
    return [chilled[c.bag.number] for c in run.bags if c.bag.number in chilled]


def _days(stored: list[Stored]) -> Iterator[Day]:
    for on in sorted({s.bag.eat_on for s in stored if s.bag.eat_on is not None}):
        todays = [s.bag for s in stored if s.bag.eat_on == on]
        yield Day(on, tuple(bag.number for bag in todays), sum(bag.count for bag in todays))


def _failures(runs: list[Run], stored: list[Stored]) -> Iterator[Failure]:
    for run in runs:
        yield from run.failures
    for one in stored:
        yield from one.failures
    yield from dict.fromkeys(_too_warm(stored))


def _too_warm(stored: list[Stored]) -> Iterator[Failure]:
    """The fridge, where it breaks the rule of cold holding and something lies in it."""
    for one in stored:
        in_fridge = one.way is Way.FRIDGE or (one.warmed is not None and one.warmed.thaw_from is not None)
        if one.keeping is None or not in_fridge:
            continue
        for finding in one.keeping.findings:
            if finding.rule.startswith("keep-cold-") and finding.verdict is Verdict.NOT_MET:
                why = f"not met: {finding.title}. {finding.why} Set it colder, or eat or freeze what would lie in it."
                yield Failure(Part.SAFETY, why)
