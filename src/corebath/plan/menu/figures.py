"""Figures of a menu, read from their data file."""

from __future__ import annotations

from typing import Any

from corebath.data_files import read_toml

UNITS_PER_POINT = 60  # so that a point an hour is a whole unit a minute


def figures(table: str) -> dict[str, Any]:
    """One table of the menu's data file; every table names its source."""
    found: dict[str, Any] = read_toml("corebath.plan", "menu.toml")[table]
    return found


def points(table: str, key: str) -> int:
    """Points of one weight [-]."""
    return int(figures(table)[key]["points"])


def wait_min(texture: str) -> int:
    """How long a finished dish of a texture may wait for the table [min]."""
    waits = figures("wait")
    return int(waits.get(str(texture), waits["other"]))
