"""The named lethality rules, read from the package's data."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType
from typing import Any

from corebath import data_files
from corebath.safety.lethality import LethalityRule, d_values_s


@dataclass(frozen=True, slots=True)
class Hazard:
    """How fast heat kills one organism in one class of food, and where that is supported.

    D_ref_s : time for one decimal reduction at T_ref_C [s]; z_K : step that changes it tenfold [K];
    target_log10 : reduction asked [log10]; floor_C, ceiling_C : no credit below, no faster above [degC]
    """

    key: str
    organism: str
    food: str
    D_ref_s: float
    T_ref_C: float
    z_K: float
    target_log10: float
    floor_C: float
    ceiling_C: float
    source: str


def read_toml(name: str) -> dict[str, Any]:
    """One TOML file of the room's data folder."""
    return data_files.read_toml("corebath.safety", name)


def read_csv(name: str) -> tuple[dict[str, str], ...]:
    """The rows of one CSV file of the room's data folder."""
    return data_files.read_rows("corebath.safety", name)


@cache
def sources() -> Mapping[str, str]:
    """Citations by the source keys that the data files use."""
    return MappingProxyType(read_toml("sources.toml"))


def citation(row: Mapping[str, str]) -> str:
    """The citation of a data row, with a note where its value was recalled rather than read."""
    return sources()[row["source"]] + ("; value from memory" if row["how"] == "memory" else "")


@cache
def hazards() -> Mapping[str, Hazard]:
    """Every organism and food class with supported heat resistance, by key."""
    return MappingProxyType(
        {
            row["key"]: Hazard(
                key=row["key"],
                organism=row["organism"],
                food=row["food"],
                D_ref_s=float(row["D_ref_min"]) * 60.0,
                T_ref_C=float(row["T_ref_C"]),
                z_K=float(row["z_K"]),
                target_log10=float(row["target_log10"]),
                floor_C=float(row["floor_C"]),
                ceiling_C=float(row["ceiling_C"]),
                source=citation(row),
            )
            for row in read_csv("hazards.csv")
        }
    )


@cache
def lethality_rules() -> Mapping[str, LethalityRule]:
    """Every lethality rule by key: the printed tables and the rules made from heat resistance."""
    rows = defaultdict(list)
    for row in read_csv("hold_times.csv"):
        rows[row["table"]].append((_celsius(float(row["temp"]), row["unit"]), float(row["hold_s"])))
    rules = {key: _from_table(key, rows[key], about) for key, about in read_toml("tables.toml").items()}
    return MappingProxyType(rules | {key: _from_hazard(hazard) for key, hazard in hazards().items()})


def _celsius(temperature: float, unit: str) -> float:
    """Fahrenheit rows are converted exactly: the printed Celsius beside them is rounded, often downwards."""
    return (temperature - 32.0) / 1.8 if unit == "F" else temperature


def _from_table(key: str, rows: list[tuple[float, float]], about: dict[str, Any]) -> LethalityRule:
    held = sorted(row for row in rows if row[1] > 0)
    return LethalityRule(
        key=key,
        title=about["title"],
        authority=about["authority"],
        target_log10=about.get("target_log10"),
        source=about["source"],
        temps_C=tuple(T for T, _ in held),
        dwell_s=tuple(s for _, s in held),
        instant_C=min((T for T, s in rows if s == 0), default=None),
    )


def _from_hazard(hazard: Hazard) -> LethalityRule:
    ends = (hazard.floor_C, hazard.ceiling_C)
    times = d_values_s(ends, hazard.D_ref_s, hazard.T_ref_C, hazard.z_K)
    return LethalityRule(
        key=hazard.key,
        title=f"{hazard.food}, {hazard.target_log10:g}-log {hazard.organism} at the core, by published D and z",
        authority="published review",
        target_log10=hazard.target_log10,
        source=hazard.source,
        temps_C=ends,
        dwell_s=tuple(hazard.target_log10 * s for s in times),
    )
