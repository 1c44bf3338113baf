"""Reads the data files that lie in a room's `data` folder; each file is parsed once."""

from __future__ import annotations

import csv
import json
import tomllib
from functools import cache
from importlib.resources import files
from typing import Any


def read_text(room: str, name: str) -> str:
    """A file of a room. room : its package, such as "corebath.salt";  name : of the file in its `data` folder"""
    return (files(room) / "data" / name).read_text(encoding="utf-8")


@cache
def read_toml(room: str, name: str) -> dict[str, Any]:
    """The tables of a TOML file, shared by all who ask: not to be changed."""
    return tomllib.loads(read_text(room, name))


@cache
def read_rows(room: str, name: str) -> tuple[dict[str, str], ...]:
    """The rows of a CSV file by column name. Raises csv.Error where its quotes do not close."""
    return tuple(csv.DictReader(read_text(room, name).splitlines(), strict=True))


@cache
def read_json(room: str, name: str) -> dict[str, Any]:
    """A JSON file, shared by all who ask: not to be changed."""
    found: dict[str, Any] = json.loads(read_text(room, name))
    return found
