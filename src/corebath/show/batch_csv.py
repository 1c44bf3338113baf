"""A batch as tables for a spreadsheet: one row for each bag, or one for each task of the week."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Iterator
from datetime import datetime

from corebath.plan.batch.answer import BatchPlan, Stored
from corebath.safety.cooling import COLD_C, WARM_C
from corebath.units import Preference, render

from .batch_words import way_words

BAGS = (
    "bag", "food", "pieces", "thickest_mm", "layers", "mass_kg", "set_point_C", "in", "out", "bath_min", "ready_min",
    "latest_min", "pasteurised_by", "to_21_C_min", "to_5_C_min", "cold_at", "goes_to", "use_by", "rule", "eaten_on",
    "thaw_from", "reheat_C", "reheat_in", "reheat_out", "reheat_min",
)  # fmt: skip
DAYS = ("at", "day", "clock", "key", "foods", "where", "what")
_FORMULA = ("=", "+", "-", "@", "\t", "\r")


def bags_as_csv(plan: BatchPlan, preference: Preference) -> str:
    """One row for every bag, under a head row: figures in the units of the head, cautious where they are times."""
    set_points = {c.bag.number: run.set_point_C for run in plan.runs for c in run.bags}
    return _table(BAGS, (_bag(stored, set_points[stored.bag.number], plan, preference) for stored in plan.bags))


def days_as_csv(plan: BatchPlan, preference: Preference) -> str:
    """One row for every task of the week, under a head row; texts in the cook's units."""
    zone = plan.batch.zone
    rows = (
        (
            task.at.astimezone(zone).isoformat(), f"{task.at.astimezone(zone):%Y-%m-%d}",
            f"{task.at.astimezone(zone):%H:%M}", task.key, ", ".join(task.dishes), task.where,
            render(task.what, preference),
        )
        for task in plan.run_sheet
    )  # fmt: skip
    return _table(DAYS, rows)


def _bag(stored: Stored, set_point_C: float, plan: BatchPlan, preference: Preference) -> Iterator[str]:
    bag, cooked, warmed = stored.bag, stored.cooked, stored.warmed
    window = cooked.plan.window
    yield from (str(bag.number), bag.lot.name, str(bag.count), f"{bag.governing_m * 1000:.1f}", str(bag.layers))
    yield "" if bag.mass_kg is None else f"{bag.mass_kg:.3f}"
    yield from (f"{set_point_C:.1f}", _moment(cooked.enters, plan), _moment(cooked.pulled, plan))
    yield from (_minutes(cooked.bath_s), _minutes(window.ready_s), _minutes(window.latest_s))
    yield "" if cooked.pasteurised_by is None else cooked.pasteurised_by.title
    for level_C in (WARM_C, COLD_C):
        yield _minutes(None if stored.chill is None else stored.chill.runs.reach(level_C).cautious_s)
    yield from (_moment(stored.cold_at, plan), way_words(stored))
    yield "" if stored.label.use_by is None else stored.label.use_by.isoformat()
    yield render(stored.label.rule, preference)
    yield "" if bag.eat_on is None else bag.eat_on.isoformat()
    if warmed is None:
        yield from ("", "", "", "", "")
        return
    yield from (_moment(warmed.thaw_from, plan), f"{warmed.bath_C:.1f}")
    yield from (_moment(warmed.into, plan), _moment(warmed.out, plan), _minutes(warmed.ready_s))


def _table(head: tuple[str, ...], rows: Iterable[Iterable[str]]) -> str:
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(head)
    for row in rows:
        writer.writerow([f"'{text}" if text.startswith(_FORMULA) else text for text in row])
    return out.getvalue()


def _moment(at: datetime | None, plan: BatchPlan) -> str:
    return "" if at is None else at.astimezone(plan.batch.zone).isoformat(timespec="minutes")


def _minutes(seconds: float | None) -> str:
    return "" if seconds is None or seconds == float("inf") else f"{seconds / 60:.0f}"
