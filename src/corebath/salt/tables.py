"""The salt room's figures, read from its data files."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from math import sqrt
from typing import Any

from corebath.data_files import read_rows, read_toml


@dataclass(frozen=True, slots=True)
class Diffusivity:
    """How fast salt moves through one kind of food.

    low_m2_s, high_m2_s : the published range [m2/s]
    basis : "measured", or "stand-in" when another kind's range is taken
    source, note : where the range comes from and what to know about it
    """

    kind: str
    low_m2_s: float
    high_m2_s: float
    basis: str
    source: str
    note: str

    @property
    def nominal_m2_s(self) -> float:
        """Geometric mean of the range: times scale with 1/D, so the middle is taken in ratio [m2/s]."""
        return sqrt(self.low_m2_s * self.high_m2_s)


@dataclass(frozen=True, slots=True)
class UsualDose:
    """A dose that cooks use. low_percent, high_percent : grams of salt per 100 g of what `words` says [%]"""

    key: str
    words: str
    low_percent: float
    high_percent: float
    source: str
    note: str


def settings() -> dict[str, Any]:
    """Thresholds and constants, each with its source."""
    return read_toml("corebath.salt", "settings.toml")


@cache
def _diffusivities() -> dict[str, Diffusivity]:
    return {
        row["kind"]: Diffusivity(
            kind=row["kind"],
            low_m2_s=float(row["low_m2_s"]),
            high_m2_s=float(row["high_m2_s"]),
            basis=row["basis"],
            source=row["source"],
            note=row["note"],
        )
        for row in read_rows("corebath.salt", "diffusivity.csv")
    }


def diffusivity(kind: str, *, frozen_before: bool = False) -> Diffusivity | None:
    """The published range for a kind of food, or None where no usable measurement is held.

    kind : as in `corebath.food` ("beef", "pork", "fish", ...);  frozen_before : the piece was frozen and
    thawed, which raises both ends by 30 %. Poultry has no value at ordinary pressure: None.
    """
    found = _diffusivities().get(str(kind))
    if found is None or not frozen_before:
        return found
    entry = settings()["frozen_before"]
    return Diffusivity(
        kind=found.kind,
        low_m2_s=found.low_m2_s * entry["factor"],
        high_m2_s=found.high_m2_s * entry["factor"],
        basis=found.basis,
        source=f"{found.source}; thawed meat: {entry['source']}",
        note=found.note,
    )


@cache
def usual_doses() -> tuple[UsualDose, ...]:
    """What cooks use, with where each figure comes from."""
    return tuple(
        UsualDose(
            key=row["key"],
            words=row["words"],
            low_percent=float(row["low_percent"]),
            high_percent=float(row["high_percent"]),
            source=row["source"],
            note=row["note"],
        )
        for row in read_rows("corebath.salt", "doses.csv")
    )
