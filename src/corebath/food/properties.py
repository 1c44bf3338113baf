"""Thermal properties of an unfrozen food from its composition, 0 to 100 degC.

Density and specific heat mix by mass (no pores); conductivity by volume, in Levy's model unless another is
asked for. Below 0 degC use `corebath.food.freezing`. The models hold for the food as composed: water lost
in the bag, melting fat and unfolding protein are not in them.
"""

from __future__ import annotations

from typing import overload

import numpy as np
from numpy.typing import NDArray

from corebath.food.components import component
from corebath.food.composition import Composition
from corebath.food.mixing import ConductivityModel, conductivity

Array = NDArray[np.float64]

LOWEST_C = 0.0
HIGHEST_C = 100.0


@overload
def conductivity_W_mK(comp: Composition, T_C: float, model: ConductivityModel = ConductivityModel.LEVY) -> float: ...
@overload
def conductivity_W_mK(comp: Composition, T_C: Array, model: ConductivityModel = ConductivityModel.LEVY) -> Array: ...
def conductivity_W_mK(
    comp: Composition, T_C: float | Array, model: ConductivityModel = ConductivityModel.LEVY
) -> float | Array:
    """Thermal conductivity of an unfrozen food [W/(m K)].

    T_C : temperature, scalar or any shape, 0 to 100 [degC]; the answer has its shape
    model : mixing model (Levy 1981 by default, ranked best for foods by Fricke & Becker 2001)

    Raises ValueError outside that range. Components: Choi & Okos 1986.
    """
    T = _unfrozen(T_C)
    return like(T_C, mixture_k(parts_of(comp), T, model))


@overload
def density_kg_m3(comp: Composition, T_C: float) -> float: ...
@overload
def density_kg_m3(comp: Composition, T_C: Array) -> Array: ...
def density_kg_m3(comp: Composition, T_C: float | Array) -> float | Array:
    """Density of an unfrozen food without pores [kg/m3].

    T_C : temperature, scalar or any shape, 0 to 100 [degC]; the answer has its shape

    Raises ValueError outside that range. Components: Choi & Okos 1986.
    """
    return like(T_C, mixture_rho(parts_of(comp), _unfrozen(T_C)))


@overload
def specific_heat_J_kgK(comp: Composition, T_C: float) -> float: ...
@overload
def specific_heat_J_kgK(comp: Composition, T_C: Array) -> Array: ...
def specific_heat_J_kgK(comp: Composition, T_C: float | Array) -> float | Array:
    """Specific heat of an unfrozen food [J/(kg K)].

    T_C : temperature, scalar or any shape, 0 to 100 [degC]; the answer has its shape

    Raises ValueError outside that range. Components: Choi & Okos 1986.
    """
    return like(T_C, mixture_cp(parts_of(comp), _unfrozen(T_C)))


@overload
def diffusivity_m2_s(comp: Composition, T_C: float, model: ConductivityModel = ConductivityModel.LEVY) -> float: ...
@overload
def diffusivity_m2_s(comp: Composition, T_C: Array, model: ConductivityModel = ConductivityModel.LEVY) -> Array: ...
def diffusivity_m2_s(
    comp: Composition, T_C: float | Array, model: ConductivityModel = ConductivityModel.LEVY
) -> float | Array:
    """Thermal diffusivity of an unfrozen food, k / (rho cp) [m2/s].

    T_C : temperature, scalar or any shape, 0 to 100 [degC]; the answer has its shape

    Raises ValueError outside that range. Components: Choi & Okos 1986; mixing of k as `conductivity_W_mK`.
    """
    T, parts = _unfrozen(T_C), parts_of(comp)
    return like(T_C, mixture_k(parts, T, model) / (mixture_rho(parts, T) * mixture_cp(parts, T)))


def mixture_rho(parts: dict[str, Array], T_C: Array) -> Array:
    """Density of a mixture [kg/m3]; `parts` are mass fractions by component, scalar or of T's shape."""
    return np.asarray(1 / sum(x / component("rho", name, T_C) for name, x in parts.items()))


def mixture_cp(parts: dict[str, Array], T_C: Array) -> Array:
    """Sensible specific heat of a mixture [J/(kg K)]; unfrozen water below 0 degC has its own polynomial."""
    total = np.zeros_like(T_C)
    for name, x in parts.items():
        cp = component("cp", name, T_C)
        if name == "water":
            cp = np.where(T_C < 0, component("cp", "water_subzero", T_C), cp)
        total = total + x * cp
    return total


def mixture_k(parts: dict[str, Array], T_C: Array, model: ConductivityModel) -> Array:
    """Conductivity of a mixture [W/(m K)]; Levy's model joins the parts in the order given."""
    rho = mixture_rho(parts, T_C)
    phases = [
        (np.asarray(x * rho / component("rho", name, T_C)), component("k", name, T_C)) for name, x in parts.items()
    ]
    return conductivity(phases, model)


def parts_of(comp: Composition) -> dict[str, Array]:
    """Mass fractions by component, in the order in which Levy's model joins them: water, then solids."""
    return {name: np.asarray(x) for name, x in ({"water": comp.water} | comp.solids).items()}


def _unfrozen(T_C: float | Array) -> Array:
    T = np.asarray(T_C, dtype=np.float64)
    outside = T[~((T >= LOWEST_C) & (T <= HIGHEST_C))]
    if outside.size:
        raise ValueError(
            f"properties of unfrozen food are held from {LOWEST_C:g} to {HIGHEST_C:g} degC, got {outside[0]:g} degC"
        )
    return T


def like(asked: float | Array, answer: Array) -> float | Array:
    """The answer as a float when a float was asked, else as an array."""
    return answer if isinstance(asked, np.ndarray) else float(answer)
