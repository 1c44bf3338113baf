"""Figures of the log room, read once; every table names its source."""

from __future__ import annotations

from typing import Any

from corebath.data_files import read_toml


def settings(name: str) -> dict[str, Any]:
    """The tables of `data/<name>.toml`."""
    return read_toml("corebath.log", f"{name}.toml")
