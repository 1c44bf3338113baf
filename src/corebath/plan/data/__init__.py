"""Data of the plan room, read once."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Any

from corebath.data_files import read_rows, read_toml


def defaults() -> dict[str, Any]:
    """What a plan assumes when the cook says nothing; every table names its source."""
    return read_toml("corebath.plan", "defaults.toml")


def spreads() -> dict[str, Any]:
    """Standard deviations of the uncertain inputs; every table names its source."""
    return read_toml("corebath.plan", "spread.toml")


@dataclass(frozen=True, slots=True)
class Pace:
    """How a texture class sets its time, and what happens between the bath and the table.

    pace : "heat" (ready when hot through), "soften" (needs its hours) or "window" (the time is the recipe)
    dry_s, sear_s, rest_s, serve_s : finishing at the table's end [s];  finish : "sear", "glaze" or "peel"
    salt_share : salt as a share of the food's mass [-];  salt_lead_s : usual time between salting and bagging [s]
    """

    pace: str
    dry_s: float
    sear_s: float
    rest_s: float
    serve_s: float
    finish: str
    salt_share: float
    salt_lead_s: float
    source: str

    @property
    def finishing_s(self) -> float:
        """From the pull to the table [s]."""
        return self.dry_s + self.sear_s + self.rest_s + self.serve_s


@cache
def _paces() -> dict[str, Pace]:
    return {
        row["texture"]: Pace(
            pace=row["pace"],
            dry_s=60 * float(row["dry_min"]),
            sear_s=60 * float(row["sear_min"]),
            rest_s=60 * float(row["rest_min"]),
            serve_s=60 * float(row["serve_min"]),
            finish=row["finish"],
            salt_share=float(row["salt_pct"]) / 100,
            salt_lead_s=3600 * float(row["salt_lead_h"]),
            source=row["source"],
        )
        for row in read_rows("corebath.plan", "paces.csv")
    }


def pace_of(texture: str) -> Pace:
    """The pace of a texture class. Raises KeyError for an unknown one."""
    return _paces()[str(texture)]
