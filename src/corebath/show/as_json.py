"""A plan as data, by the schema plan.schema.json: SI numbers with the unit in the key, text in the cook's units."""

from __future__ import annotations

from typing import Any

from corebath.data_files import read_json
from corebath.outcome.results import Result
from corebath.plan.basis import basis
from corebath.plan.plan import Plan
from corebath.plan.request import Request
from corebath.plan.run_sheet import Task
from corebath.plan.timing import Span
from corebath.plan.why.whole import plan_whys
from corebath.plan.why.why import Told
from corebath.units import Preference, render

from .as_text import cautions_of
from .json_parts import estimate_as_json, finding_as_json, finite
from .sentences import answer
from .water_json import equipment_as_json, water_as_json
from .why_json import whys_as_json

SCHEMA = "corebath.plan/2"


def plan_schema() -> dict[str, Any]:
    """The JSON Schema every `plan_as_json` follows."""
    return read_json("corebath.show", "plan.schema.json")


def plan_as_json(plan: Plan, preference: Preference, told: Told | None = None) -> dict[str, Any]:
    """The whole plan, ready for `json.dumps`; a time that never comes is null.

    told : whose word the answers behind it are, None where nobody noted it
    """

    def say(text: str) -> str:
        return render(text, preference)

    window, equipment = plan.window, plan.request.equipment
    water = None
    if plan.water is not None and equipment is not None:
        water = water_as_json(plan.water, equipment, preference)
    return {
        "schema": SCHEMA,
        "works": plan.works,
        "answer": answer(plan, preference),
        "request": request_as_json(plan.request),
        "set_point_C": plan.set_point_C,
        "result": None if plan.result is None else _result(plan.result),
        "bath_s": plan.bath_s,
        "preheat_s": plan.preheat_s,
        "first_drop_in": plan.first_drop_in.isoformat(),
        "drop_in": plan.drop_in.isoformat(),
        "last_drop_in": plan.last_drop_in.isoformat(),
        "pull": plan.pull.isoformat(),
        "serve": plan.serve.isoformat(),
        "window": {
            "early_s": finite(window.early_s),
            "nominal_s": finite(window.nominal_s),
            "ready_s": finite(window.ready_s),
            "latest_s": finite(window.latest_s),
            "softening_s": window.softening_s,
            "governs": window.governs.value,
        },
        "timing": {
            "come_up": _span(plan.timing.come_up),
            "lethality": [{"rule": rule, **_span(span)} for rule, span in plan.timing.lethality.items()],
        },
        "findings": [finding_as_json(f, preference) for f in plan.findings],
        "water": water,
        "outcome": [{"name": e.name, **estimate_as_json(e, preference)} for e in plan.outcome],
        "run_sheet": [_task(t, preference) for t in plan.run_sheet],
        "notes": [say(note) for note in plan.notes],
        "cautions": [
            {"key": c.key, "where": list(c.where), "text": say(c.text), "source": c.source} for c in cautions_of(plan)
        ],
        "basis": [say(line) for line in basis(plan)],
        "why": whys_as_json(plan_whys(plan, told), preference),
        "failures": [{"part": f.part.value, "why": say(f.why)} for f in plan.failures],
        "alternatives": [
            {"change": say(a.change), "request": request_as_json(a.request), "drop_in": a.drop_in.isoformat()}
            for a in plan.alternatives
        ],
    }


def request_as_json(request: Request) -> dict[str, Any]:
    """A request as it was understood; SI numbers with the unit in the key."""
    body, food = request.body, request.food
    return {
        "food": {"key": food.key, "name": food.name, "kind": food.kind.value, "texture": food.texture.value},
        "body": {
            "shape": body.shape.value,
            "thickness_m": body.thickness_m,
            "width_m": body.width_m,
            "length_m": body.length_m,
        },
        "table_time": request.table_time.isoformat(),
        "now": request.now.isoformat(),
        "zone": str(request.zone),
        "result": None if request.result is None else request.result.key,
        "set_point_C": request.set_point_C,
        "bath_s": request.bath_s,
        "state": request.state.value,
        "start_C": request.from_C,
        "handling": request.treated_as.value,
        "pieces": request.pieces,
        "piece_mass_kg": request.piece_mass_kg,
        "layers": request.layers,
        "guests_at_risk": request.guests_at_risk,
        "authority": request.authority.value,
        "parasites_frozen": request.parasites_frozen,
        "garlic_or_oil": request.garlic_or_oil,
        "seared": request.seared,
        "equipment": None if request.equipment is None else equipment_as_json(request.equipment),
        "altitude_m": request.altitude_m,
        "ice": None if request.ice is None else {"wait_s": request.ice.wait_s, "ice_kg": request.ice.ice_kg},
        "probe_offset_K": request.probe_offset_K,
    }


def _result(result: Result) -> dict[str, Any]:
    return {
        "key": result.key,
        "words": result.words,
        "low_C": result.low_C,
        "high_C": result.high_C,
        "hold_low_s": result.hold_low_s,
        "hold_high_s": result.hold_high_s,
        "source": result.source,
    }


def _span(span: Span) -> dict[str, Any]:
    return {
        "early_s": finite(span.early_s),
        "nominal_s": finite(span.nominal_s),
        "cautious_s": finite(span.cautious_s),
    }


def _task(task: Task, preference: Preference) -> dict[str, Any]:
    return {
        "key": task.key,
        "at": task.at.isoformat(),
        "since_drop_in_s": task.since_drop_in_s,
        "what": render(task.what, preference),
        "is_action": task.is_action,
    }
