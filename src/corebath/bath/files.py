"""Read the data files of this room, once."""

from __future__ import annotations

from functools import cache
from typing import Any

from corebath.data_files import read_rows, read_toml


def table(name: str) -> dict[str, Any]:
    """One table of `data/constants.toml`."""
    found: dict[str, Any] = read_toml("corebath.bath", "constants.toml")[name]
    return found


@cache
def number(name: str, key: str) -> float:
    """One figure of a table."""
    return float(table(name)[key])


@cache
def rows(name: str) -> dict[str, dict[str, str]]:
    """The rows of a CSV file of this room by their `key`."""
    return {row["key"]: row for row in read_rows("corebath.bath", name)}


def row(name: str, key: str, what: str) -> dict[str, str]:
    """One row by its key. Raises ValueError that lists the accepted keys."""
    found = rows(name)
    if key not in found:
        raise ValueError(f"no {what} is called {key[:40]!r}; accepted: {', '.join(found)}")
    return found[key]
