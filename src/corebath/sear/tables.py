"""The sear room's figures, read from its data files."""

from __future__ import annotations

import difflib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any, TypeVar

from corebath.data_files import read_rows, read_toml

_T = TypeVar("_T")


@dataclass(frozen=True, slots=True)
class Metal:
    """What a pan is made of. rho [kg/m3], cp [J/(kg K)], k [W/(m K)], usual_m : usual thickness [m]"""

    material: str
    rho_kg_m3: float
    cp_J_kgK: float
    k_W_mK: float
    usual_m: float
    source: str


def settings() -> dict[str, Any]:
    """Thresholds and constants, each with its source."""
    return read_toml("corebath.sear", "settings.toml")


@cache
def metals() -> dict[str, Metal]:
    """Pan materials by name."""
    return {
        row["material"]: Metal(
            material=row["material"],
            rho_kg_m3=float(row["rho_kg_m3"]),
            cp_J_kgK=float(row["cp_J_kgK"]),
            k_W_mK=float(row["k_W_mK"]),
            usual_m=float(row["usual_mm"]) / 1000,
            source=row["source"],
        )
        for row in read_rows("corebath.sear", "pans.csv")
    }


@cache
def burners() -> dict[str, float]:
    """Share of a burner's power that goes into the pan, by kind of burner [-]."""
    return {row["kind"]: float(row["share_into_pan"]) for row in read_rows("corebath.sear", "burners.csv")}


def pick(what: str, name: str, offered: Mapping[str, _T]) -> _T:
    """The entry of that name. Raises ValueError that lists near or all names."""
    if name in offered:
        return offered[name]
    near = difflib.get_close_matches(str(name)[:40], offered, n=3, cutoff=0.6) or list(offered)
    raise ValueError(f"{what} {str(name)[:40]!r} is not known; take one of {', '.join(near)}")
