"""A batch as a TOML file: what holds for all of it, and one table for each food."""

from __future__ import annotations

from typing import Any

from corebath.data_files import read_text

from .batch_question import LOT, TOP, BatchQuestion, LotRow, Top
from .tables import no_single_answer, read_tables, typed
from .understand import Misunderstood


def example_file() -> str:
    """A batch to begin with, with a word on every key."""
    return read_text("corebath.ask", "batch.toml")


def read_batch(text: str) -> BatchQuestion:
    """The question in a batch file. Raises Misunderstood with one sentence for everything that has no place in it."""
    data = read_tables(text, "batch")
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
        answer = typed(value)
        if key not in known:
            wrong[f"{prefix}{key[:40]}"] = f"{key[:40]!r} is no key of {where}: accepted are {', '.join(accepted)}"
        elif answer is None:
            wrong[f"{prefix}{key}"] = no_single_answer(key, where)
        else:
            found[key] = answer
    return found
