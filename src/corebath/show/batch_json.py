"""A batch as data, by batch.schema.json: SI, and text for the cook."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from corebath.chill.runs import Reach
from corebath.data_files import read_json
from corebath.plan.batch.answer import BatchPlan, Cooked, Run, Stored, Warmed
from corebath.plan.batch.batch import Lot
from corebath.plan.batch.labels import Label
from corebath.plan.menu.answer import MenuTask
from corebath.units import Preference, render

from .batch_words import answer_words, judged_bags
from .json_parts import finding_as_json, finite

Json = dict[str, Any]


def batch_schema() -> Json:
    """The JSON Schema of a batch."""
    return read_json("corebath.show", "batch.schema.json")


def batch_as_json(plan: BatchPlan, preference: Preference) -> Json:
    """The batch, ready for `json.dumps`; a time that never comes or is not known is null."""
    batch = plan.batch
    return {
        "schema": "corebath.batch/1",
        "works": plan.works,
        "answer": answer_words(plan, preference),
        "zone": batch.zone.key,
        "fridge_C": batch.fridge_C,
        "lots": [_lot(lot) for lot in batch.lots],
        "starts": _moment(plan.starts),
        "ends": _moment(plan.ends),
        "runs": [_run(run, preference) for run in plan.runs],
        "bags": [_bag(stored, preference) for stored in plan.bags],
        "days": [{"on": d.on.isoformat(), "bags": list(d.bags), "portions": d.portions} for d in plan.days],
        "ice": None
        if plan.ice is None
        else {
            "melts_kg": plan.ice.melts_kg,
            "food_kg": plan.ice.food_kg,
            "water_kg": plan.ice.water_kg,
            "plan_low_kg": plan.ice.plan_low_kg,
            "plan_high_kg": plan.ice.plan_high_kg,
        },
        "run_sheet": [_task(task, preference) for task in plan.run_sheet],
        "failures": [{"part": f.part.value, "why": render(f.why, preference)} for f in plan.failures],
        "findings": [
            {"bags": list(numbers), **finding_as_json(finding, preference)} for finding, numbers in judged_bags(plan)
        ],
        "statements": [render(line, preference) for line in plan.statements],
        "notes": [render(line, preference) for line in plan.notes],
    }


def _lot(lot: Lot) -> Json:
    request = lot.request
    return {
        "name": lot.name,
        "food": {"key": request.food.key, "name": request.food.name, "kind": request.food.kind},
        "handling": request.treated_as.value,
        "guests_at_risk": request.guests_at_risk,
        "authority": request.authority.value,
        "result": None if request.result is None else request.result.key,
        "bath_s": request.bath_s,
        "pieces": [
            {
                "thickness_m": p.thickness_m,
                "count": p.count,
                "mass_kg": p.mass_kg,
                "overlapping": p.overlapping,
            }
            for p in lot.pieces
        ],
        "eaten": [{"on": portions.day.isoformat(), "portions": portions.count} for portions in lot.eaten],
    }


def _run(run: Run, preference: Preference) -> Json:
    return {
        "set_point_C": run.set_point_C,
        "bags": [c.bag.number for c in run.bags],
        "governing": run.governing,
        "begins": _moment(run.begins),
        "preheat_s": run.preheat_s,
        "change": None
        if run.change is None
        else {
            "from_C": run.change.from_C,
            "to_C": run.change.to_C,
            "swap_L": run.change.swap_L,
            "what": render(run.change.what, preference),
        },
        "drop_in": _moment(run.drop_in),
        "ends": _moment(run.ends),
        "failures": [{"part": f.part.value, "why": render(f.why, preference)} for f in run.failures],
        "statements": [render(line, preference) for line in run.statements],
    }


def _bag(stored: Stored, preference: Preference) -> Json:
    bag = stored.bag
    return {
        "number": bag.number,
        "lot": bag.lot.name,
        "thicknesses_m": list(bag.thicknesses_m),
        "layers": bag.layers,
        "mass_kg": bag.mass_kg,
        "eat_on": None if bag.eat_on is None else bag.eat_on.isoformat(),
        "bath": _bath(stored.cooked),
        "way": stored.way.value,
        "chill": None if stored.chill is None else [_reach(r) for r in stored.chill.runs.reaches],
        "cold_at": None if stored.cold_at is None else _moment(stored.cold_at),
        "use_by": None if stored.use_by is None else stored.use_by.isoformat(),
        "keep_rule": None
        if stored.keeping is None or stored.keeping.rule is None
        else {
            "key": stored.keeping.rule.key,
            "title": render(stored.keeping.rule.title, preference),
            "days": stored.keeping.days,
            "source": stored.keeping.rule.source,
        },
        "freezing": None if stored.freeze is None else [_reach(r) for r in stored.freeze.runs.reaches],
        "reheat": None if stored.warmed is None else _warmed(stored.warmed),
        "label": _label(stored.label, preference),
        "failures": [{"part": f.part.value, "why": render(f.why, preference)} for f in stored.failures],
        "statements": [render(line, preference) for line in stored.statements],
    }


def _bath(cooked: Cooked) -> Json:
    window = cooked.plan.window
    return {
        "enters": _moment(cooked.enters),
        "pulled": _moment(cooked.pulled),
        "bath_s": cooked.bath_s,
        "nominal_s": finite(window.nominal_s),
        "ready_s": finite(window.ready_s),
        "latest_s": finite(window.latest_s),
        "waits": cooked.waits,
        "flat_ready_s": cooked.flat_ready_s,
        "pasteurised_by": None if cooked.pasteurised_by is None else cooked.pasteurised_by.key,
        "pasteurised_s": finite(cooked.pasteurised_s),
    }


def _warmed(warmed: Warmed) -> Json:
    return {
        "state": warmed.state,
        "bath_C": warmed.bath_C,
        "serve_C": warmed.reheat.to_C,
        "reaches": [_reach(r) for r in warmed.reheat.runs.reaches],
        "ready_s": finite(warmed.ready_s),
        "thaw_from": None if warmed.thaw_from is None else _moment(warmed.thaw_from),
        "thaw": None if warmed.thaw is None else _reach(warmed.thaw),
        "into": _moment(warmed.into),
        "out": _moment(warmed.out),
        "served": _moment(warmed.served),
    }


def _label(label: Label, preference: Preference) -> Json:
    return {
        "key": label.key,
        "title": label.title,
        "lines": [render(line, preference) for line in label.lines],
        "cooked": _moment(label.cooked),
        "use_by": None if label.use_by is None else label.use_by.isoformat(),
        "rule": render(label.rule, preference),
        "frozen": label.frozen,
    }


def _task(task: MenuTask, preference: Preference) -> Json:
    return {
        "key": task.key,
        "at": _moment(task.at),
        "since_start_s": task.since_start_s,
        "foods": list(task.dishes),
        "where": task.where,
        "what": render(task.what, preference),
    }


def _reach(reach: Reach) -> Json:
    return {
        "core_C": reach.core_C,
        "quick_s": reach.quick_s,
        "nominal_s": reach.nominal_s,
        "cautious_s": reach.cautious_s,
    }


def _moment(at: datetime) -> str:
    return at.isoformat(timespec="seconds")
