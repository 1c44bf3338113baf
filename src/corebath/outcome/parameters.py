"""Reads the models' figures from the package data, once."""

from __future__ import annotations

from functools import cache
from typing import Any

from corebath.data_files import read_toml

GAS_CONSTANT_kJ_molK = 8.31446261815324e-3  # CODATA 2018, exact
ZERO_C_K = 273.15


@cache
def table(name: str) -> dict[str, Any]:
    """One table of `data/parameters.toml`; a dotted name reaches into it. For this room only."""
    where: dict[str, Any] = read_toml("corebath.outcome", "parameters.toml")
    for part in name.split("."):
        where = where[part]
    return where


@cache
def number(name: str, key: str) -> float:
    """One figure of a table."""
    return float(table(name)[key])


@cache
def numbers(name: str, key: str) -> tuple[float, ...]:
    """A row of figures of a table."""
    return tuple(float(value) for value in table(name)[key])


@cache
def words(name: str, key: str) -> tuple[str, ...]:
    """A row of words of a table."""
    return tuple(str(value) for value in table(name)[key])


@cache
def source(name: str, key: str = "source") -> str:
    """Where a table's figures come from."""
    return str(table(name)[key])
