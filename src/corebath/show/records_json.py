"""The records as data, by the schema records.schema.json: SI numbers with the unit in the key."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime
from typing import Any
from zoneinfo import ZoneInfo

from corebath.data_files import read_json
from corebath.log.record import Record
from corebath.log.record_judge import judge_record
from corebath.units import Preference

from .json_parts import finding_as_json
from .records_lines import Line

SCHEMA = "corebath.records/1"


def records_schema() -> dict[str, Any]:
    """The JSON Schema every `records_as_json` follows."""
    return read_json("corebath.show", "records.schema.json")


def records_as_json(
    lines: Sequence[Line], days: tuple[date, date], limits: Sequence[str], preference: Preference, zone: ZoneInfo
) -> dict[str, Any]:
    """Rows, ready for `json.dumps`; moments on the kitchen's clock with their offset."""
    return {
        "schema": SCHEMA,
        "from": days[0].isoformat(),
        "to": days[1].isoformat(),
        "zone": zone.key,
        "limits": list(limits),
        "asking": [line.number for line in lines if line.asks],
        "rows": [_row(line, preference, zone) for line in lines],
    }


def _row(line: Line, preference: Preference, zone: ZoneInfo) -> dict[str, Any]:
    record = line.entry.record
    subject = record.subject
    judged = judge_record(record, zone)
    return {
        "row": line.number,
        "at": _moment(record.at, zone),
        "step": record.step.value,
        "batch": record.batch,
        "cook": record.cook_id,
        "food": record.food or None,
        "kind": None if subject is None else subject.kind,
        "handling": None if subject is None else subject.handling,
        "guests_at_risk": None if subject is None else subject.guests_at_risk,
        "began": _moment(record.began, zone),
        "ended": _moment(record.ended, zone),
        "set_C": record.set_C,
        "measured": [{"at": _moment(m.at, zone), "value_C": m.value_C} for m in record.measured],
        "thermometer_offset_K": record.offset_K,
        "held_in": None if record.point is None else record.point.value,
        "altitude_m": record.altitude_m,
        "pasteurised": record.pasteurised,
        "opened": record.opened,
        "held_hot": record.held_hot,
        "authority": record.authority.value,
        "verdict": judged.verdict.value,
        "asks": line.asks,
        "findings": [finding_as_json(finding, preference) for finding in judged.findings],
        "actions": [_action(a, zone) for a in ((record,) if record.action else ()) + line.entry.actions],
        "note": record.note,
        "initials": record.initials,
        "told_at": _moment(record.told_at, zone),
        "corrects": line.corrects,
        "corrected_by": line.corrected_by,
    }


def _action(record: Record, zone: ZoneInfo) -> dict[str, Any]:
    return {"text": record.action, "initials": record.initials, "told_at": _moment(record.told_at, zone)}


def _moment(at: datetime | None, zone: ZoneInfo) -> str | None:
    return None if at is None else at.astimezone(zone).isoformat()
