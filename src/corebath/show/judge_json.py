"""A verdict as data, by the schema judge.schema.json: SI numbers with the unit in the key."""

from __future__ import annotations

from typing import Any

import numpy as np

from corebath.ask.judge import Answered
from corebath.data_files import read_json
from corebath.units import Preference, render

from .json_parts import finding_as_json

SCHEMA = "corebath.judge/1"


def judge_schema() -> dict[str, Any]:
    """The JSON Schema every `judge_as_json` follows."""
    return read_json("corebath.show", "judge.schema.json")


def judge_as_json(answer: Answered, preference: Preference) -> dict[str, Any]:
    """The whole verdict, ready for `json.dumps`."""

    def say(text: str) -> str:
        return render(text, preference)

    told, cooked, file = answer.judged, answer.cooked, answer.understood
    finish = told.finish
    return {
        "schema": SCHEMA,
        "decision": told.decision.value,
        "doubt": told.doubt,
        "sentence": say(told.sentence),
        "why": [say(line) for line in told.why],
        "rules": [{"title": say(title), "source": source} for title, source in told.rules],
        "pasteurised": told.pasteurised,
        "pasteurised_said": say(told.pasteurised_said),
        "finish": None
        if finish is None
        else {
            "set_point_C": finish.set_point_C,
            "warm_up_s": finish.warm_up_s,
            "from_now_s": finish.from_now_s,
        },
        "left_s": told.left_s,
        "back_s": told.back_s,
        "bands": [{"band": say(band.words), "best_s": band.best_s, "worst_s": band.worst_s} for band in told.bands],
        "food": cooked.request.food.key,
        "authority": cooked.request.authority.value,
        "set_point_C": cooked.set_point_C,
        "drop_in": None if answer.drop_in is None else answer.drop_in.isoformat(),
        "until_s": cooked.until_s,
        "core_best_C": float(cooked.best.core_C[-1]),
        "core_worst_C": float(cooked.lowest_core_C(np.array([cooked.until_s]))[0]),
        "faults": [
            {
                "kind": fault.kind.value,
                "start_s": fault.start_s,
                "end_s": fault.end_s,
                "lowest_C": fault.lowest_C,
                "why": say(fault.why),
            }
            for fault in cooked.faults
        ],
        "gaps": [
            {
                "kind": gap.kind.value,
                "start_s": gap.start_s,
                "end_s": gap.end_s,
                "before_C": gap.before_C,
                "after_C": gap.after_C,
                "why": say(gap.why),
            }
            for gap in cooked.gaps
        ],
        "read": {
            "readings": file.count,
            "absolute": file.absolute,
            "places": [
                {
                    "place": series.place.value,
                    "column": series.name,
                    "readings": int(series.time_s.size),
                    "usual_interval_s": series.beat.usual_s,
                    "on_change": series.beat.on_change,
                }
                for series in file.series
            ],
            "sentences": [say(line) for line in file.sentences],
        },
        "assumed": [say(line) for line in (*answer.taken, *cooked.assumed)],
        "findings": [finding_as_json(finding, preference) for finding in told.findings],
    }
