"""Print one table of all timings: every module here that has `rows()` adds to it.

`python -m benchmarks [module ...]` prints; `--write FILE` also writes the table as a page.
"""

from __future__ import annotations

import importlib
import os
import pkgutil
import platform
import re
import sys
from collections.abc import Iterable, Iterator
from math import isfinite
from pathlib import Path

Row = tuple[str, float, str]
_BUDGET = re.compile(r"budget(?: with judging)? (\d+) ms")
_HEAD = """\
# Benchmarks

Written by `python -m benchmarks --write docs/benchmarks.md` (`make bench` prints the same); do not edit by hand.

Times are processor time, which is what the clock shows on an idle machine for work of one thread (or the clock's own,
where several threads make that the shorter): the best of a few runs, or a single run where that takes seconds, on
{cores} shared cores ({machine}, Python {python}, numpy {numpy}, scipy {scipy}). Budgets are guides for two cores; one
that was missed says so. Ratios are at equal accuracy: the core within 0.01 °C of the exact series at every five minutes
of the bath, for each solver with the cheapest of several meshes and steps; 50 times are asked. Exponents say how a time
grows with the size of the question: 1 means twice the work for twice the size.

The load average of the machine was {before:.1f} when the run began and {after:.1f} when it ended: above its cores,
shared caches make every time longer than on an idle machine, and what waits for a disk (log) much longer.
"""


def measured(wanted: list[str]) -> Iterator[tuple[str, Row]]:
    """The rows of every module, or of the wanted ones, as they come; a budget that was missed says so."""
    for module in pkgutil.iter_modules([str(Path(__file__).parent)]):
        if module.name == "__main__" or (wanted and module.name not in wanted):
            continue
        loaded = importlib.import_module(f"{__package__}.{module.name}")
        if getattr(loaded, "ONLY_WHEN_ASKED", False) and module.name not in wanted:
            continue
        rows: Iterable[Row] | None = getattr(loaded, "rows", lambda: None)()
        for name, seconds, note in rows or ():
            yield module.name, (name, seconds, _held(seconds, note))


def _held(seconds: float, note: str) -> str:
    budget = _BUDGET.search(note)
    missed = budget is not None and seconds * 1000 > float(budget[1])
    return f"{note}, MISSED" if missed else note


def _page(found: list[tuple[str, Row]], before: float) -> str:
    versions = {name: importlib.import_module(name).__version__ for name in ("numpy", "scipy")}
    head = _HEAD.format(
        cores=os.cpu_count(),
        machine=platform.machine(),
        python=platform.python_version(),
        before=before,
        after=os.getloadavg()[0],
        **versions,
    )
    lines = [head]
    last = ""
    for module, (name, seconds, note) in found:
        if module != last:
            lines += ["", f"## {module}", "", "| what | time | note |", "|---|---:|---|"]
            last = module
        time = (
            f"{seconds * 1000:,.{2 if seconds < 0.01 else 1 if seconds < 1 else 0}f} ms" if isfinite(seconds) else "–"
        )
        lines.append(f"| {name.replace('|', '/')} | {time} | {note.replace('|', '/')} |")
    missed = [f"{module}: {name} ({note})" for module, (name, _, note) in found if "MISSED" in note]
    lines += ["", "## What was missed", "", *(f"- {line}" for line in missed or ["Nothing."])]
    return "\n".join(lines) + "\n"


def main(words: list[str]) -> None:
    """Print the table, and write it when told to."""
    path = None
    if "--write" in words:
        at = words.index("--write")
        path, words = Path(words[at + 1]), words[:at] + words[at + 2 :]
    found, before = [], os.getloadavg()[0]
    for module, row in measured(words):
        found.append((module, row))
        print(f"{module:8} {row[0]:44} {row[1] * 1000:10.2f} ms  {row[2]}", flush=True)
    if path is not None:
        path.write_text(_page(found, before), encoding="utf-8")


if __name__ == "__main__":
    main(sys.argv[1:])
