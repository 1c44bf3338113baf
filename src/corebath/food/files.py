"""Read the data files of this room, once."""

from __future__ import annotations

import csv
import tomllib
from functools import cache
from importlib.resources import files
from typing import Any


@cache
def rows(name: str) -> tuple[dict[str, str], ...]:
    """The rows of a CSV file in food/data, as dicts by column name."""
    text = (files("corebath.food") / "data" / name).read_text(encoding="utf-8")
    return tuple(csv.DictReader(text.splitlines(), strict=True))


@cache
def table(name: str) -> dict[str, Any]:
    """A TOML file in food/data."""
    return tomllib.loads((files("corebath.food") / "data" / name).read_text(encoding="utf-8"))


def sources() -> dict[str, str]:
    """Citation of every source key used by this room's data."""
    return {key: entry["citation"] for key, entry in table("sources.toml").items()}
