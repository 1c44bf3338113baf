"""Salt, sear, chill, keeping, reheating and the whole story as data, by ends.schema.json: SI, and text for the cook."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from corebath.chill.runs import Reach
from corebath.chill.tables import KeepingRule
from corebath.data_files import read_json
from corebath.food.catalogue import Food
from corebath.heat.body import Body
from corebath.plan.alone.chill import ChillAnswer
from corebath.plan.alone.keep import KeepAnswer
from corebath.plan.alone.reheat import ReheatAnswer
from corebath.plan.alone.salt import SaltAnswer
from corebath.plan.alone.sear import SearAnswer
from corebath.plan.known import KnownPiece
from corebath.plan.story import Story
from corebath.safety.finding import Finding
from corebath.salt.brine import AfterHours, Pace
from corebath.sear.run import SearRun
from corebath.units import Preference, render

from .json_parts import finding_as_json, finite

Json = dict[str, Any]


def ends_schema(name: str) -> Json:
    """The JSON Schema of one of them. name : salt, sear, chill, keep, reheat or story"""
    schema = read_json("corebath.show", "ends.schema.json")
    return {"$schema": schema["$schema"], "$defs": schema["$defs"], "$ref": f"#/$defs/{name}"}


def salt_as_json(answer: SaltAnswer, preference: Preference) -> Json:
    """The salt, ready for `json.dumps`, as all of these are; a time that is not known is null."""
    request, dose, brine, salting = answer.request, answer.dose, answer.brine, answer.salting
    return {
        "schema": "corebath.salt/1",
        "piece": _piece(request.piece),
        "percent": request.percent,
        "bath_s": request.bath_s,
        "broad_faces_only": request.broad_faces_only,
        "dose": {
            "weighed": answer.weighed,
            "meat_kg": dose.meat_kg,
            "water_kg": dose.water_kg,
            "of_meat_kg": dose.of_meat_kg,
            "of_meat_and_water_kg": dose.of_meat_and_water_kg,
            "of_everything_kg": dose.of_everything_kg,
        },
        "brine": None
        if brine is None
        else {
            "salt_kg": brine.salt_kg,
            "brine_percent": brine.brine_percent,
            "meat_percent": brine.meat_percent,
            "meat_percent_low": brine.meat_percent_low,
        },
        "known": salting.known,
        "nominal": _pace(salting.nominal),
        "slow": _pace(salting.slow),
        "fast": _pace(salting.fast),
        "soonest_half_s": salting.soonest_half_s,
        "soonest_level_s": salting.soonest_level_s,
        "waits": [_wait(wait) for wait in salting.waits],
        "findings": _findings(answer.findings, preference),
        "statements": _said(answer.statements, preference),
        "assumptions": _said(salting.assumptions, preference),
        "source": salting.source,
    }


def sear_as_json(answer: SearAnswer, preference: Preference) -> Json:
    """The sear."""
    request, done = answer.request, answer.sear
    return {
        "schema": "corebath.sear/1",
        "piece": _piece(request.piece),
        "core_C": request.core_C,
        "start_C": request.core_C if request.start_C is None else request.start_C,
        "method": request.hot.method,
        "hot_C": request.hot.face_C,
        "surface": request.surface,
        "preheat_s": finite(answer.preheat_s),
        "cause": done.cause.value,
        "nominal": _run(done.nominal),
        "dull": _run(done.dull),
        "keen": _run(done.keen),
        "effects": [
            {"key": e.key, **_run(e.run), "statement": render(e.statement, preference)} for e in answer.effects
        ],
        "findings": _findings(answer.findings, preference),
        "statements": _said(answer.statements, preference),
        "cautions": [{"key": c.key, "text": render(c.text, preference), "source": c.source} for c in answer.cautions],
        "assumptions": _said(done.assumptions, preference),
    }


def chill_as_json(answer: ChillAnswer, preference: Preference) -> Json:
    """The chill."""
    request, ice = answer.request, answer.ice
    return {
        "schema": "corebath.chill/1",
        "piece": _piece(request.piece),
        "start_C": request.start_C,
        "medium": request.medium.key,
        "medium_C": request.medium.nominal_C,
        "reaches": _reaches(answer.chill.runs.reaches),
        "ice": None
        if ice is None
        else {
            "melts_kg": ice.melts_kg,
            "food_kg": ice.food_kg,
            "water_kg": ice.water_kg,
            "room_low_kg": ice.room_low_kg,
            "room_high_kg": ice.room_high_kg,
            "plan_low_kg": ice.plan_low_kg,
            "plan_high_kg": ice.plan_high_kg,
        },
        "limits": [
            {
                "rule": limit.rule,
                "authority": limit.authority,
                "binding": limit.binding,
                "stages": [{"from_C": s.from_C, "to_C": s.to_C, "limit_s": s.limit_s} for s in limit.stages],
            }
            for limit in answer.limits
        ],
        "findings": _findings(answer.findings, preference),
        "statements": _said(answer.statements, preference),
        "assumptions": _said(answer.chill.assumptions, preference),
    }


def keep_as_json(answer: KeepAnswer, preference: Preference) -> Json:
    """The keeping."""
    request, keeping = answer.request, answer.keeping
    return {
        "schema": "corebath.keep/2",
        "food": _food(request.food),
        "authority": request.authority.value,
        "day": request.day.isoformat(),
        "fridge_C": keeping.fridge_C,
        "fridge_measured": keeping.measured,
        "pasteurised": request.pasteurised,
        "opened": request.opened,
        "guests_at_risk": request.guests_at_risk,
        "garlic_or_oil": request.garlic_or_oil,
        "cooked_C": request.cooked_C,
        "cooked_s": request.cooked_s,
        "probe_offset_K": request.offset_K,
        "days": keeping.days,
        "use_by": answer.use_by.isoformat(),
        "rule": None if keeping.rule is None else _rule(keeping.rule, preference),
        "others": [_rule(rule, preference) for rule in keeping.others],
        "label": None if answer.label is None else _said(answer.label.lines, preference),
        "freezing": None if answer.freeze is None else _reaches(answer.freeze.runs.reaches),
        "findings": _findings(answer.findings, preference),
        "statements": _said(answer.statements, preference),
    }


def reheat_as_json(answer: ReheatAnswer, preference: Preference) -> Json:
    """The reheating."""
    request, made = answer.request, answer.reheat
    return {
        "schema": "corebath.reheat/2",
        "piece": _piece(request.piece),
        "start_C": request.start_C,
        "bath_C": request.bath_C,
        "cooked_C": request.cooked_C,
        "probe_offset_K": request.offset_K,
        "pasteurised": request.pasteurised,
        "hot_holding": request.hot_holding,
        "serve_C": made.to_C,
        "reaches": _reaches(made.runs.reaches),
        "findings": _findings(made.findings, preference),
        "statements": _said(made.statements, preference),
        "assumptions": _said(made.assumptions, preference),
    }


def story_as_json(story: Story, preference: Preference) -> Json:
    """The whole story: its stretches, and every finding at its moment."""
    way = story.way
    return {
        "schema": "corebath.story/2",
        "piece": _piece(story.piece),
        "set_point_C": way.set_point_C,
        "probe_offset_K": way.offset_K,
        "bath_s": way.bath_s,
        "salt_percent": way.salt_percent,
        "fridge_C": way.fridge_C,
        "pasteurised_by": None if story.pasteurised_by is None else story.pasteurised_by.key,
        "serve_C": story.reheat.to_C,
        "legs": [
            {
                "key": leg.key,
                "name": leg.name,
                "start_s": leg.start_s,
                "end_s": leg.end_s,
                "core_end_C": story.nominal.core_at(min(leg.end_s, story.nominal.duration_s)),
                "statements": _said(leg.statements, preference),
            }
            for leg in story.legs
        ],
        "told": [
            {"at_s": told.at_s, "leg": told.leg, "finding": finding_as_json(told.finding, preference)}
            for told in story.told
        ],
    }


def _food(food: Food) -> Json:
    return {"key": food.key, "name": food.name, "kind": food.kind.value}


def _body(body: Body) -> Json:
    return {
        "shape": body.shape.value,
        "thickness_m": body.thickness_m,
        "width_m": body.width_m,
        "length_m": body.length_m,
    }


def _piece(piece: KnownPiece) -> Json:
    return {
        "food": _food(piece.food),
        "body": _body(piece.body),
        "handling": piece.subject.handling,
        "pieces": piece.pieces,
        "mass_kg": piece.mass_kg,
        "layers": piece.layers,
        "guests_at_risk": piece.guests_at_risk,
        "authority": piece.authority.value,
        "frozen_before": piece.frozen_before,
    }


def _pace(pace: Pace | None) -> Json | None:
    if pace is None:
        return None
    return {"D_m2_s": pace.D_m2_s, "uptake_s": pace.uptake_s, "half_s": pace.half_s, "level_s": pace.level_s}


def _wait(wait: AfterHours) -> Json:
    return {
        "time_s": wait.time_s,
        "depth_m": wait.depth_m,
        "depth_low_m": wait.depth_low_m,
        "depth_high_m": wait.depth_high_m,
        "core_share": wait.core_share,
        "core_share_low": wait.core_share_low,
        "core_share_high": wait.core_share_high,
        "surface_share": wait.surface_share,
    }


def _run(run: SearRun) -> Json:
    return {
        "crust_s": list(run.crust_s),
        "side_s": list(run.side_s),
        "band_m": list(run.band_m),
        "through": run.through,
        "core_peak_C": run.core_peak_C,
        "core_rise_K": run.core_rise_K,
        "core_served_C": run.core_served_C,
        "outer_peak_C": run.outer_peak_C,
        "hot_low_C": run.hot_low_C,
    }


def _reaches(reaches: Iterable[Reach]) -> list[Json]:
    return [
        {"core_C": r.core_C, "quick_s": r.quick_s, "nominal_s": r.nominal_s, "cautious_s": r.cautious_s}
        for r in reaches
    ]


def _rule(rule: KeepingRule, preference: Preference) -> Json:
    return {"key": rule.key, "title": render(rule.title, preference), "days": rule.days, "source": rule.source}


def _findings(findings: Iterable[Finding], preference: Preference) -> list[Json]:
    return [finding_as_json(finding, preference) for finding in findings]


def _said(lines: Iterable[str], preference: Preference) -> list[str]:
    return [render(line, preference) for line in lines]
