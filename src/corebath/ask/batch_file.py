"""A batch as a TOML file: what holds for all of it, and one table for each food."""

from __future__ import annotations

import re
import tomllib
from datetime import date, datetime, time
from typing import Any

from corebath.data_files import read_text

from .batch_question import LOT, TOP, BatchQuestion, LotRow, Top
from .understand import Misunderstood

MOST_CHARACTERS = 60_000
_AT = re.compile(r"(.*?)\s*\(at (?:line (\d+), column \d+|end of document)\)", re.DOTALL)


def example_file() -> str:
    """A batch to begin with, with a word on every key."""
    return read_text("corebath.ask", "batch.toml")


def read_batch(text: str) -> BatchQuestion:
    """The question in a batch file. Raises Misunderstood with one sentence for everything that has no place in it."""
    if len(text) > MOST_CHARACTERS:
        raise Misunderstood({"file": f"a batch file can have {MOST_CHARACTERS} characters at most"}, {})
    try:
        data = tomllib.loads(text)
    except (tomllib.TOMLDecodeError, RecursionError) as error:
        raise Misunderstood({"file": _where(str(error), text)}, {}) from None
    wrong: dict[str, str] = {}
    lots = data.pop("lot", [])
    top = _answers(data, "", "the batch", TOP, (*TOP, "lot"), wrong)
    if not isinstance(lots, list) or not all(isinstance(table, dict) for table in lots):
        wrong["lot"] = "each food is a table of its own, headed [[lot]]"
        lots = []
    rows = [
        _answers(table, f"l{i}.", f"food {i} ({str(table.get('food', 'without a name'))[:40]})", LOT, LOT, wrong)
        for i, table in enumerate(lots, start=1)
    ]
    if wrong:
        raise Misunderstood(wrong, {})
    return BatchQuestion(Top(**top), tuple(LotRow(**row) for row in rows))


def _answers(
    table: dict[str, Any], prefix: str, where: str, known: tuple[str, ...], accepted: tuple[str, ...],
    wrong: dict[str, str],
) -> dict[str, str]:  # fmt: skip
    found = {}
    for key, value in table.items():
        typed = _typed(value)
        if key not in known:
            wrong[f"{prefix}{key[:40]}"] = f"{key[:40]!r} is no key of {where}: accepted are {', '.join(accepted)}"
        elif typed is None:
            wrong[f"{prefix}{key}"] = f"{key} of {where} must be one answer, written as text in quotes"
        else:
            found[key] = typed
    return found


def _typed(value: object) -> str | None:
    """A value of the file as it would be typed; None for one that is no single answer."""
    if isinstance(value, bool):
        return None
    if isinstance(value, str):
        return value.strip()
    if isinstance(value, datetime):
        return value.isoformat(timespec="minutes")
    if isinstance(value, time):
        return f"{value:%H:%M}"
    return str(value) if isinstance(value, int | float | date) else None


def _where(said: str, text: str) -> str:
    """What the parser says, as a sentence that begins with the line."""
    match = _AT.fullmatch(said)
    if match is None:
        return "the batch file is not understood: it is nested too deeply"
    what = match[1].rstrip(".")
    line = match[2] or len(text.splitlines())
    return f"line {line} of the batch file is not understood: {what[:1].lower()}{what[1:]}"
