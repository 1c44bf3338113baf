"""What a food is made of, as mass fractions."""

from __future__ import annotations

from dataclasses import dataclass
from math import isfinite


@dataclass(frozen=True, slots=True)
class Composition:
    """Mass fractions of a food [kg/kg]; each from 0 to 1, together 1.

    carbohydrate : without fibre (nutrient tables print the sum of the two)

    Raises ValueError when a fraction is outside 0 to 1 or the sum is off by more than 1e-9.
    """

    water: float
    protein: float
    fat: float
    carbohydrate: float = 0.0
    fibre: float = 0.0
    ash: float = 0.0

    def __post_init__(self) -> None:
        for name, value in self.solids.items() | {("water", self.water)}:
            if not (isfinite(value) and 0 <= value <= 1):
                raise ValueError(f"the mass fraction of {name} must lie between 0 and 1, got {value!r}")
        total = self.water + sum(self.solids.values())
        if abs(total - 1) > 1e-9:
            raise ValueError(f"mass fractions must add up to 1, got {total:.6g}")

    @property
    def solids(self) -> dict[str, float]:
        """Everything but water, by component name [kg/kg]."""
        return {
            "protein": self.protein,
            "fat": self.fat,
            "carbohydrate": self.carbohydrate,
            "fibre": self.fibre,
            "ash": self.ash,
        }

    @classmethod
    def normalised(
        cls,
        *,
        water_g: float,
        protein_g: float,
        fat_g: float,
        total_carbohydrate_g: float = 0.0,
        fibre_g: float = 0.0,
        ash_g: float = 0.0,
    ) -> Composition:
        """From a nutrient table's grams per 100 g, scaled so that they add up to 1.

        total_carbohydrate_g : fibre included, as nutrient tables print it.

        Printed sums stray because each figure is a mean over other samples. Raises ValueError when the sum
        is outside 95 to 105 g, when fibre exceeds the carbohydrate that holds it, or when a figure is
        negative or not a number.
        """
        figures = (water_g, protein_g, fat_g, total_carbohydrate_g, fibre_g, ash_g)
        if not all(isfinite(figure) and figure >= 0 for figure in figures):
            raise ValueError(f"grams per 100 g must be 0 or more, got {figures}")
        if fibre_g > total_carbohydrate_g:
            raise ValueError(f"fibre ({fibre_g:g} g) is part of the carbohydrate ({total_carbohydrate_g:g} g)")
        total = water_g + protein_g + fat_g + total_carbohydrate_g + ash_g
        if not 95 <= total <= 105:
            raise ValueError(f"grams per 100 g must add up to between 95 and 105, got {total:.4g}")
        return cls(
            water=water_g / total,
            protein=protein_g / total,
            fat=fat_g / total,
            carbohydrate=(total_carbohydrate_g - fibre_g) / total,
            fibre=fibre_g / total,
            ash=ash_g / total,
        )
