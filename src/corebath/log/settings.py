"""Figures of the log room, read once; every table names its source."""

from __future__ import annotations

import tomllib
from functools import cache
from importlib.resources import files
from typing import Any


@cache
def settings(name: str) -> dict[str, Any]:
    """The tables of `data/<name>.toml`."""
    return tomllib.loads((files(__package__) / "data" / f"{name}.toml").read_text(encoding="utf-8"))
