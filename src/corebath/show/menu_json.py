"""A menu as data, by the schema menu.schema.json: SI numbers with the unit in the key, text in the cook's units."""

from __future__ import annotations

from typing import Any

from corebath.data_files import read_json
from corebath.plan.menu.answer import Change, CookedAhead, Lane, MenuPlan, MenuTask, Served
from corebath.plan.menu.menu import Menu
from corebath.units import Preference, render

from .as_json import plan_as_json, request_as_json
from .json_parts import finding_as_json
from .menu_words import menu_answer, menu_cautions, works
from .water_json import equipment_as_json

SCHEMA = "corebath.menu/1"


def menu_schema() -> dict[str, Any]:
    """The JSON Schema every `menu_as_json` follows."""
    return read_json("corebath.show", "menu.schema.json")


def menu_as_json(plan: MenuPlan, preference: Preference) -> dict[str, Any]:
    """The whole answer to a menu, ready for `json.dumps`."""

    def say(text: str) -> str:
        return render(text, preference)

    return {
        "schema": SCHEMA,
        "works": works(plan),
        "proof": plan.proof.value,
        "gap": plan.gap,
        "answer": menu_answer(plan, preference),
        "menu": _menu(plan.menu),
        "served": [_served(one, preference) for one in plan.served],
        "changes": [_change(change, preference) for change in plan.changes],
        "lanes": [_lane(lane, preference) for lane in plan.lanes],
        "run_sheet": [_task(task, preference) for task in plan.run_sheet],
        "cautions": [
            {"key": c.key, "dishes": list(names), "text": say(c.text), "source": c.source}
            for c, names in menu_cautions(plan)
        ],
        "conflict": [{"key": wish.key, "words": say(wish.words)} for wish in plan.conflict],
        "ways_out": [{"change": say(w.change), "cost": w.cost, "menu": _menu(w.menu)} for w in plan.ways_out],
        "notes": [say(note) for note in plan.notes],
    }


def _menu(menu: Menu) -> dict[str, Any]:
    night = menu.asleep
    return {
        "courses": [{"name": course.name, "at": course.at.isoformat()} for course in menu.courses],
        "dishes": [
            {"name": d.name, "course": d.course, "ahead": d.ahead.value, "request": request_as_json(d.request)}
            for d in menu.dishes
        ],
        "baths": [{"name": bath.name, "equipment": equipment_as_json(bath.equipment)} for bath in menu.baths],
        "pans": menu.pans,
        "hands": menu.hands,
        "now": menu.now.isoformat(),
        "zone": menu.zone.key,
        "asleep": None if night is None else {"begins": f"{night[0]:%H:%M}", "ends": f"{night[1]:%H:%M}"},
    }


def _served(served: Served, preference: Preference) -> dict[str, Any]:
    return {
        "dish": served.dish.name,
        "course": served.dish.course,
        "bath": served.bath,
        "finish": served.finish.isoformat(),
        "serve": served.serve.isoformat(),
        "gives_up": [render(line, preference) for line in served.gives_up],
        "plan": plan_as_json(served.plan, preference),
        "ahead": None if served.ahead is None else _ahead(served.ahead, preference),
    }


def _ahead(ahead: CookedAhead, preference: Preference) -> dict[str, Any]:
    def found(findings: Any) -> list[dict[str, Any]]:
        return [finding_as_json(f, preference) for f in findings]

    kept = ahead.keep
    return {
        "chill_from": ahead.chill_from.isoformat(),
        "chilled_by": ahead.chilled_by.isoformat(),
        "chill_findings": found(ahead.chill.findings),
        "keep_days": kept.days,
        "fridge_C": kept.fridge_C,
        "fridge_measured": kept.measured,
        "keep_findings": found(kept.findings),
        "reheat_bath": ahead.reheat_bath,
        "reheat_C": ahead.reheat_C,
        "reheat_in": None if ahead.reheat_in is None else ahead.reheat_in.isoformat(),
        "reheat_out": None if ahead.reheat_out is None else ahead.reheat_out.isoformat(),
        "reheat_findings": [] if ahead.reheat is None else found(ahead.reheat.findings),
    }


def _change(change: Change, preference: Preference) -> dict[str, Any]:
    return {
        "bath": change.bath,
        "start": change.start.isoformat(),
        "end": change.end.isoformat(),
        "from_C": change.from_C,
        "to_C": change.to_C,
        "swap_L": change.swap_L,
        "swap_C": change.swap_C,
        "what": render(change.what, preference),
    }


def _lane(lane: Lane, preference: Preference) -> dict[str, Any]:
    return {
        "name": lane.name,
        "kind": lane.kind,
        "spans": [
            {
                "start": span.start.isoformat(),
                "end": span.end.isoformat(),
                "label": render(span.label, preference),
                "kind": span.kind,
            }
            for span in lane.spans
        ],
    }


def _task(task: MenuTask, preference: Preference) -> dict[str, Any]:
    return {
        "key": task.key,
        "at": task.at.isoformat(),
        "since_start_s": task.since_start_s,
        "dishes": list(task.dishes),
        "where": task.where,
        "what": render(task.what, preference),
        "is_action": task.is_action,
    }
