"""The chill room's figures, read from its data files."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cache
from typing import Any

from corebath.data_files import read_rows, read_toml
from corebath.units import between


@dataclass(frozen=True, slots=True)
class Medium:
    """What a piece cools or freezes in.

    key, words, place : its name, in words, and as the start of a sentence
    nominal_C, warm_C, cold_C : its temperature, and the warm and cold end of what it may be [degC]
    h_nominal, h_low, h_high : surface coefficient, bag included [W/(m2 K)]
    """

    key: str
    words: str
    place: str
    nominal_C: float
    warm_C: float
    cold_C: float
    h_nominal: float
    h_low: float
    h_high: float
    source: str

    def measured(self, temperature_C: float) -> Medium:
        """The same at a measured temperature, taken as exact. Raises ValueError outside -40 to 50 degC."""
        between(self.words, temperature_C, -40.0, 50.0, "C")
        return replace(self, nominal_C=temperature_C, warm_C=temperature_C, cold_C=temperature_C)


@dataclass(frozen=True, slots=True)
class KeepingRule:
    """One row of the keeping rules.

    state : "pasteurised", "heated" (not pasteurised), "opened", "guests" or "garlic";  days : how long
    decides : False for what is named beside the rule that decides, and never decides itself
    cooking_day_counts : the day of cooking is day one
    """

    key: str
    title: str
    profiles: tuple[str, ...]
    at_least_C: float
    at_most_C: float
    days: int
    state: str
    decides: bool
    cooking_day_counts: bool
    source: str
    note: str


def settings() -> dict[str, Any]:
    """Thresholds and constants, each with its source."""
    return read_toml("corebath.chill", "settings.toml")


@cache
def media() -> dict[str, Medium]:
    """What food is chilled in, by name."""
    return {
        row["key"]: Medium(
            key=row["key"],
            words=row["words"],
            place=row["place"],
            nominal_C=float(row["nominal_C"]),
            warm_C=float(row["warm_C"]),
            cold_C=float(row["cold_C"]),
            h_nominal=float(row["h_nominal"]),
            h_low=float(row["h_low"]),
            h_high=float(row["h_high"]),
            source=row["source"],
        )
        for row in read_rows("corebath.chill", "media.csv")
    }


def medium(key: str) -> Medium:
    """One medium by name. Raises ValueError that lists the names."""
    found = media().get(str(key))
    if found is None:
        raise ValueError(f"no medium is called {str(key)[:40]!r}; take one of {', '.join(media())}")
    return found


@cache
def keeping_rules() -> tuple[KeepingRule, ...]:
    """Every keeping rule held."""
    return tuple(
        KeepingRule(
            key=row["key"],
            title=row["title"],
            profiles=tuple(row["profiles"].split()),
            at_least_C=float(row["at_least_C"]),
            at_most_C=float(row["at_most_C"]),
            days=int(row["days"]),
            state=row["state"],
            decides=row["decides"] == "yes",
            cooking_day_counts=row["cooking_day_counts"] == "yes",
            source=row["source"] + ("; value from memory" if row["how"] == "memory" else ""),
            note=row["note"],
        )
        for row in read_rows("corebath.chill", "keeping.csv")
    )
