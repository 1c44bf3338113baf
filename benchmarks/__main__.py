"""Print one table of all timings: every module here that has `rows()` adds to it."""

from __future__ import annotations

import importlib
import pkgutil
import sys
from collections.abc import Iterable
from pathlib import Path


def main(wanted: list[str]) -> None:
    """Print the rows of every module, or of the wanted ones, as they come."""
    for module in pkgutil.iter_modules([str(Path(__file__).parent)]):
        if module.name == "__main__" or (wanted and module.name not in wanted):
            continue
        rows: Iterable[tuple[str, float, str]] | None = getattr(
            importlib.import_module(f"{__package__}.{module.name}"), "rows", lambda: None
        )()
        for name, seconds, note in rows or ():
            print(f"{module.name:8} {name:44} {seconds * 1000:10.2f} ms  {note}", flush=True)


if __name__ == "__main__":
    main(sys.argv[1:])
