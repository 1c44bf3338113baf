"""What is left of food: trim, bone, juice and crust as shares, and how much of it makes a portion.

Figures come from public tables where one was found and from common practice where not; each carries its source.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import cache

from corebath.food.catalogue import Food
from corebath.food.files import rows, table


class Loss(StrEnum):
    """Where weight goes, in cooking order."""

    TRIM = "trim"  # cut away raw, before the bag
    BONE = "bone"  # bone or shell that goes into the bag and is not eaten
    COOK = "cook"  # juice and fat left in the bag
    FINISH = "finish"  # dried and melted away in the pan


class Appetite(StrEnum):
    """How much one eater eats."""

    SMALL = "small"
    USUAL = "usual"
    LARGE = "large"


@dataclass(frozen=True, slots=True)
class Share:
    """A share of the mass before a step that the step takes away, with its range [-].

    source : citation;  how : read or memory;  note : the row or the reason behind it

    Raises ValueError unless 0 <= low <= nominal <= high < 1.
    """

    nominal: float
    low: float
    high: float
    source: str
    how: str
    note: str

    def __post_init__(self) -> None:
        if not 0 <= self.low <= self.nominal <= self.high < 1:
            raise ValueError(f"a share must rise from 0 to below 1, got {self.low:g}, {self.nominal:g}, {self.high:g}")


def loss_share(food: Food, loss: Loss) -> Share:
    """The share a food loses at one step, by the row of the food, of its texture class or of its kind [-].

    `Loss.COOK` is what holds where no juiciness model does: long, hot or unmeasured cooks.
    """
    found = _shares()
    return next(found[key, loss] for key in (food.key, food.texture.value, food.kind.value) if (key, loss) in found)


def portion_kg(food: Food, appetite: Appetite) -> float:
    """Cooked mass that one eater is reckoned to want, without bone [kg]."""
    return _portions()[food.kind.value][appetite]


def portion_source(food: Food, appetite: Appetite) -> str:
    """Citation behind `portion_kg`."""
    row = next(row for row in rows("yields_portions.csv") if row["kind"] == food.kind.value)
    return _citation(row[f"{appetite}_source"])


@cache
def _shares() -> Mapping[tuple[str, Loss], Share]:
    return {
        (row["of"], Loss(row["part"])): Share(
            nominal=float(row["pct"]) / 100,
            low=float(row["low_pct"]) / 100,
            high=float(row["high_pct"]) / 100,
            source=_citation(row["source"]),
            how=row["how"],
            note=row["note"],
        )
        for row in rows("yields.csv")
    }


@cache
def _portions() -> Mapping[str, Mapping[Appetite, float]]:
    return {
        row["kind"]: {appetite: float(row[f"{appetite}_g"]) / 1000 for appetite in Appetite}
        for row in rows("yields_portions.csv")
    }


def _citation(key: str) -> str:
    return str(table("yields_sources.toml")[key]["citation"])
