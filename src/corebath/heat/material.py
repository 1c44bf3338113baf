"""What a body is made of, as the solvers see it."""

from __future__ import annotations

from dataclasses import dataclass
from math import isfinite


@dataclass(frozen=True, slots=True)
class Material:
    """Constant thermal properties of an unfrozen food.

    k_W_mK : conductivity [W/(m K)], above 0
    rho_kg_m3 : density [kg/m3], above 0
    cp_J_kgK : specific heat [J/(kg K)], above 0

    Raises ValueError for a value that is not positive and finite.
    """

    k_W_mK: float
    rho_kg_m3: float
    cp_J_kgK: float

    def __post_init__(self) -> None:
        for name in ("k_W_mK", "rho_kg_m3", "cp_J_kgK"):
            value = getattr(self, name)
            if not (isfinite(value) and value > 0):
                raise ValueError(f"{name} must be positive, got {value!r}")

    @property
    def alpha_m2_s(self) -> float:
        """Thermal diffusivity [m2/s]."""
        return self.k_W_mK / (self.rho_kg_m3 * self.cp_J_kgK)

    def with_diffusivity_scaled(self, factor: float) -> Material:
        """The same heat capacity with conductivity, so diffusivity, multiplied by `factor` [-]."""
        return Material(self.k_W_mK * factor, self.rho_kg_m3, self.cp_J_kgK)
