"""A table of times as data: JSON by poster.schema.json, CSV with a line for each cell, and text for a terminal."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator
from datetime import date
from typing import Any

from corebath import __version__
from corebath.data_files import read_json
from corebath.plan.sweep import Cell, Times, heat_rules
from corebath.plan.timing import Span
from corebath.units import Preference, render, show_length, show_temperature

from .json_parts import finite
from .poster import Poster
from .poster_words import letters_of, notes_of

SCHEMA = "corebath.poster/1"


def poster_schema() -> dict[str, Any]:
    """The JSON Schema every `times_as_json` follows."""
    return read_json("corebath.show", "poster.schema.json")


def times_as_json(times: Times, preference: Preference, made: date) -> dict[str, Any]:
    """The whole table, ready for `json.dumps`; a time that never comes or is not known is null."""
    like, sweep, letters = times.sweep.like, times.sweep, letters_of(times)
    timed = heat_rules(times.rules)
    return {
        "schema": SCHEMA,
        "made": made.isoformat(),
        "version": __version__,
        "food": {"key": like.food.key, "name": like.food.name},
        "body": {"shape": like.body.shape.value, "width_m": like.body.width_m, "length_m": like.body.length_m},
        "state": like.state.value,
        "start_C": like.from_C,
        "handling": str(like.treated_as),
        "layers": like.layers,
        "guests_at_risk": like.guests_at_risk,
        "authority": like.authority.value,
        "thicknesses_m": list(sweep.thicknesses_m),
        "set_points_C": list(sweep.set_points_C),
        "rules": [
            {
                "letter": letters[rule.key],
                "rule": rule.key,
                "title": render(rule.title, preference),
                "authority": rule.authority,
                "binding": rule.binding,
                "heat_treatment": rule in timed,
                "source": rule.source,
                "assumptions": [render(a, preference) for a in rule.assumptions],
            }
            for rule in times.rules
        ],
        "rows": [[_cell(cell) for cell in row] for row in times.rows],
        "notes": [{"head": head, "lines": list(lines)} for head, lines in notes_of(times, preference)],
    }


def _cell(cell: Cell) -> dict[str, Any]:
    return {
        "thickness_m": cell.thickness_m,
        "set_point_C": cell.set_point_C,
        "result": None if cell.result is None else cell.result.key,
        "offered": cell.is_offered,
        "come_up": _span(cell.come_up),
        "ready_s": finite(cell.ready_s),
        "latest_s": finite(cell.latest_s),
        "softening_s": cell.softening_s,
        "governs": cell.governs.value,
        "treatments": {
            t.rule: {"nominal_s": finite(t.nominal_s), "cautious_s": finite(t.cautious_s), "binding": t.binding}
            for t in cell.treatments
        },
        "verdicts": {v.rule: {"verdict": v.verdict.value, "binding": v.binding} for v in cell.verdicts},
        "broken": list(cell.broken),
    }


def _span(span: Span) -> dict[str, float | None]:
    return {f"{name}_s": finite(getattr(span, f"{name}_s")) for name in ("early", "nominal", "cautious")}


def times_as_csv(times: Times, preference: Preference) -> str:
    """A line for each cell, times in minutes; a time that never comes or is not known is empty."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(_columns(times))
    for row in times.rows:
        for cell in row:
            writer.writerow(_fields(times, cell, preference))
    return out.getvalue()


def _columns(times: Times) -> Iterator[str]:
    yield from ("size", "size_mm", "set_point", "set_point_C", "result", "offered", "governs")
    yield from ("ready_min", "latest_min", "softening_min")
    yield from ("come_up_early_min", "come_up_nominal_min", "come_up_cautious_min")
    timed = heat_rules(times.rules)
    for rule in timed:
        yield from (f"{rule.key}_nominal_min", f"{rule.key}_cautious_min")
    yield from (rule.key for rule in times.rules if rule not in timed)


def _fields(times: Times, cell: Cell, preference: Preference) -> Iterator[str]:
    yield show_length(cell.thickness_m, preference, both=False)
    yield f"{1000 * cell.thickness_m:.6g}"
    yield show_temperature(cell.set_point_C, preference, both=False)
    yield f"{cell.set_point_C:.6g}"
    yield "" if cell.result is None else cell.result.words
    yield "yes" if cell.is_offered else "no"
    yield cell.governs.value
    yield from (_minutes(s) for s in (cell.ready_s, cell.latest_s, cell.softening_s))
    yield from (_minutes(s) for s in (cell.come_up.early_s, cell.come_up.nominal_s, cell.come_up.cautious_s))
    for treatment in cell.treatments:
        yield from (_minutes(treatment.nominal_s), _minutes(treatment.cautious_s))
    said = {v.rule: v.verdict.value for v in cell.verdicts}
    timed = heat_rules(times.rules)
    yield from (said.get(rule.key, "") for rule in times.rules if rule not in timed)


def _minutes(time_s: float | None) -> str:
    known = finite(time_s)
    return "" if known is None else f"{known / 60:.1f}"


def poster_text(poster: Poster) -> str:
    """The table for a terminal: times in the bath, then a line of rules for every cell, the key and the notes."""
    lines = [poster.title, poster.subtitle, ""]
    heads = ["", *(column.first for column in poster.columns)]
    table = [heads] + [
        [row.first, *(f"{cell.ready}{cell.sign}" for cell in cells)]
        for row, cells in zip(poster.rows, poster.cells, strict=True)
    ]
    widths = [max(len(line[i]) for line in table) for i in range(len(heads))]
    lines += ["  ".join(text.rjust(width) for text, width in zip(line, widths, strict=True)) for line in table]
    lines += ["", "Hot through, and the rules, cell by cell", ""]
    for row, cells in zip(poster.rows, poster.cells, strict=True):
        for column, cell in zip(poster.columns, cells, strict=True):
            said = [f"{cell.ready}{cell.sign}", cell.until, f"hot {cell.hot}", cell.soft, *(m.text for m in cell.marks)]
            lines.append(f"{row.first}, {column.first}: {' '.join(part for part in said if part)}")
    lines += ["", "What the signs mean", ""]
    lines += [f"{key.sign:>9}  {key.text}" for key in poster.key]
    for head, told in poster.notes:
        lines += ["", head, *(f"- {line}" for line in told)]
    return "\n".join([*lines, "", poster.made])
