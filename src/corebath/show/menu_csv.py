"""The run sheet of a menu as a table for a spreadsheet."""

from __future__ import annotations

import csv
import io

from corebath.plan.menu.answer import MenuPlan
from corebath.units import Preference, render

from .menu_words import since

COLUMNS = ("at", "day", "clock", "since_start_s", "since_start", "key", "dishes", "where", "what", "asks_for_hands")
_FORMULA = ("=", "+", "-", "@")


def menu_as_csv(plan: MenuPlan, preference: Preference) -> str:
    """One row for every task, under a head row; moments as ISO 8601 and by the clock, texts in the cook's units."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(COLUMNS)
    for task in plan.run_sheet:
        here = task.at.astimezone(plan.menu.zone)
        texts = (", ".join(task.dishes), task.where, render(task.what, preference))
        row = (
            here.isoformat(),
            f"{here:%Y-%m-%d}",
            f"{here:%H:%M}",
            f"{task.since_start_s:.0f}",
            since(task).lstrip("+"),
        )
        writer.writerow((*row, task.key, *map(_plain, texts), "yes" if task.is_action else "no"))
    return out.getvalue()


def _plain(text: str) -> str:
    """A text that no spreadsheet takes for a formula."""
    return f"'{text}" if text.startswith(_FORMULA) else text
