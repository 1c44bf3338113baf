"""Read the data files of this room, once."""

from __future__ import annotations

from typing import Any

from corebath.data_files import read_rows, read_toml


def rows(name: str) -> tuple[dict[str, str], ...]:
    """The rows of a CSV file in food/data, as dicts by column name."""
    return read_rows("corebath.food", name)


def table(name: str) -> dict[str, Any]:
    """A TOML file in food/data."""
    return read_toml("corebath.food", name)


def sources() -> dict[str, str]:
    """Citation of every source key used by this room's data."""
    return {key: entry["citation"] for key, entry in table("sources.toml").items()}
