"""The records as plain text: a heading a day, a block a row."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from .records_lines import Line, by_day
from .words import capital

NO_ROWS = "No rows in these days."


def records_text(lines: Sequence[Line], limits: Sequence[str]) -> str:
    """Rows under their days, whose limits they are held to, and how many still ask for a corrective action."""
    parts = []
    for day, rows in by_day(lines):
        parts.append("\n\n".join([f"{day:%A} {day.day} {day:%B %Y}", *("\n".join(_row(line)) for line in rows)]))
    asking = [line.number for line in lines if line.asks]
    if asking:
        rows_, ask = ("Row", "asks") if len(asking) == 1 else ("Rows", "ask")
        numbers = ", ".join(map(str, asking))
        parts.append(f"{rows_} {numbers} still {ask} for a corrective action: corebath records action NUMBER.")
    return "\n\n".join([*(parts or [NO_ROWS]), *limits]) + "\n"


def row_text(line: Line) -> str:
    """One row."""
    return "\n".join(_row(line)) + "\n"


def _row(line: Line) -> Iterator[str]:
    about = line.batch if not line.food or line.food in line.batch.casefold() else f"{line.batch} ({line.food})"
    yield f"{line.clock}  {capital(line.step)}: {about}: {line.verdict}  [row {line.number}, {line.initials}]"
    if line.corrects is not None:
        yield f"  - Corrects row {line.corrects}."
    if line.corrected_by is not None:
        yield f"  - Corrected by row {line.corrected_by}."
    if line.facts:
        yield f"  - {capital(', '.join(line.facts))}."
    if line.measured:
        yield f"  - Measured: {'; '.join(line.measured)}."
    for limit in line.limits:
        told = "" if limit.binding else " (does not bind)"
        yield f"  - {capital(limit.verdict)}: {limit.title}{told}. {limit.why} [{limit.source}]"
    for done in line.done:
        yield f"  - Corrective action, {done.when}, {done.initials}: {done.text}"
    if line.asks:
        yield "  - A corrective action is asked for."
    if line.note:
        yield f"  - Note: {line.note}"
