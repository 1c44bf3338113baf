"""The records as a table for a spreadsheet: one row a row, figures in SI, sentences in the cook's units."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable
from datetime import datetime
from zoneinfo import ZoneInfo

from .records_lines import Line

COLUMNS = (
    "row", "at", "step", "batch", "food", "began", "ended", "set_C", "measured", "verdict", "limits", "sources",
    "corrective_action", "note", "initials", "told_at", "corrects", "corrected_by", "authority",
    "thermometer_offset_K",
)  # fmt: skip
# A spreadsheet would take a text that begins so for a formula.
_FORMULA = ("=", "+", "-", "@", "\t", "\r")


def records_csv(lines: Iterable[Line], zone: ZoneInfo) -> str:
    """The table, its first line the names of the columns; moments with their offset, on the kitchen's clock."""
    out = io.StringIO()
    table = csv.writer(out, lineterminator="\r\n")
    table.writerow(COLUMNS)
    for line in lines:
        record = line.entry.record

        def moment(at: datetime | None) -> str:
            return "" if at is None else at.astimezone(zone).isoformat(timespec="seconds")

        measured = "; ".join(f"{moment(m.at)} {round(m.value_C, 2):g} C" for m in record.measured)
        row = (
            line.number, moment(record.at), line.step, record.batch, record.food, moment(record.began),
            moment(record.ended), "" if record.set_C is None else round(record.set_C, 2), measured, line.verdict,
            " ".join(f"{limit.title}: {limit.verdict}. {limit.why}" for limit in line.limits),
            "; ".join(dict.fromkeys(limit.source for limit in line.limits)),
            "; ".join(f"{done.text} ({done.when}, {done.initials})" for done in line.done), record.note,
            record.initials, moment(record.told_at), line.corrects or "", line.corrected_by or "",
            record.authority.value, record.offset_K,
        )  # fmt: skip
        table.writerow([_plain(cell) if isinstance(cell, str) else cell for cell in row])
    return out.getvalue()


def _plain(text: str) -> str:
    return f"'{text}" if text.startswith(_FORMULA) else text
