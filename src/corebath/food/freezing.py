"""Frozen and thawing food from its composition: ice, conductivity, density, enthalpy, -40 to 100 degC.

Below the initial freezing point t_f part of the water is ice, more of it the colder it gets. Enthalpy follows
from that curve by a path through 0 degC: solids, liquid water and ice each carry their own sensible heat and
ice lacks the latent heat of melting, so cp above t_f and the latent heat below it are one consistent curve.

Model choice (Fricke & Becker 2001, ranking): Chen's ice fraction comes first but needs a molar mass of the
solids that is not held; with the molar mass taken from t_f itself it becomes Miles's formula. Tchigeov's
comes next and is the default. Beside measured frozen chicken its ice gives a conductivity within 4 %, Miles's
11 to 16 % too low; its enthalpy from -40 to 0 degC lies 3 % above tabulated totals, Miles's within 1 %. Unfrozen
water below 0 degC keeps the k and rho polynomials of warm water, as the ASHRAE chapter does.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import overload

import numpy as np
from numpy.typing import NDArray

from corebath.food.components import heat_from_0C
from corebath.food.composition import Composition
from corebath.food.files import table
from corebath.food.mixing import ConductivityModel
from corebath.food.properties import HIGHEST_C, density_kg_m3, like, mixture_k, mixture_rho, parts_of

Array = NDArray[np.float64]

LOWEST_C = -40.0
LOWEST_FREEZING_C = -10.0
HIGHEST_FREEZING_C = -0.01
TABLE_DENSITY_AT_C = 5.0


class IceModel(StrEnum):
    """How much of the water is ice."""

    TCHIGEOV = "tchigeov"
    MILES = "miles"


@dataclass(frozen=True, slots=True)
class FreezingTable:
    """Enthalpy and conductivity of one food against temperature; every array has shape (n,).

    temperature_C : strictly rising from -40 to 100, close-set just below the initial freezing point [degC]
    enthalpy_J_m3 : strictly rising from 0 at -40 degC, per volume of the unfrozen food at 5 degC: one
        constant density, so that a piece keeps its volume while it thaws (ice swells it by about 6 %) [J/m3]
    conductivity_W_mK : conductivity [W/(m K)]
    initial_freezing_C : the temperature at which the first ice forms [degC]
    density_kg_m3 : the constant density behind `enthalpy_J_m3` [kg/m3]
    """

    temperature_C: Array
    enthalpy_J_m3: Array
    conductivity_W_mK: Array
    initial_freezing_C: float
    density_kg_m3: float


@overload
def ice_fraction(comp: Composition, t_f_C: float, T_C: float, model: IceModel = IceModel.TCHIGEOV) -> float: ...
@overload
def ice_fraction(comp: Composition, t_f_C: float, T_C: Array, model: IceModel = IceModel.TCHIGEOV) -> Array: ...
def ice_fraction(
    comp: Composition, t_f_C: float, T_C: float | Array, model: IceModel = IceModel.TCHIGEOV
) -> float | Array:
    """Kilograms of ice per kilogram of food [-], 0 at and above the initial freezing point.

    t_f_C : initial freezing point, -10 to -0.01 [degC]
    T_C : temperature, scalar or any shape, -40 to 100 [degC]; the answer has its shape
    model : TCHIGEOV (Tchigeov 1979) or MILES (Miles 1974 with the bound water of Schwartzberg 1976, which
        is also Chen 1985 with the molar mass that t_f implies)

    Raises ValueError outside those ranges.
    """
    T = _checked(t_f_C, T_C)
    return like(T_C, _ice(comp, t_f_C, T, model))


@overload
def frozen_conductivity_W_mK(
    comp: Composition, t_f_C: float, T_C: float, model: ConductivityModel = ConductivityModel.LEVY
) -> float: ...
@overload
def frozen_conductivity_W_mK(
    comp: Composition, t_f_C: float, T_C: Array, model: ConductivityModel = ConductivityModel.LEVY
) -> Array: ...
def frozen_conductivity_W_mK(
    comp: Composition, t_f_C: float, T_C: float | Array, model: ConductivityModel = ConductivityModel.LEVY
) -> float | Array:
    """Conductivity with ice as a component of its own [W/(m K)]; equals the unfrozen one from 0 degC up.

    Arguments, ranges and errors as `ice_fraction`; model as `corebath.food.properties.conductivity_W_mK`.
    """
    T = _checked(t_f_C, T_C)
    return like(T_C, mixture_k(_frozen_parts(comp, t_f_C, T), T, model))


@overload
def frozen_density_kg_m3(comp: Composition, t_f_C: float, T_C: float) -> float: ...
@overload
def frozen_density_kg_m3(comp: Composition, t_f_C: float, T_C: Array) -> Array: ...
def frozen_density_kg_m3(comp: Composition, t_f_C: float, T_C: float | Array) -> float | Array:
    """Density with ice as a component of its own [kg/m3]. Arguments, ranges, errors as `ice_fraction`."""
    T = _checked(t_f_C, T_C)
    return like(T_C, mixture_rho(_frozen_parts(comp, t_f_C, T), T))


@overload
def enthalpy_J_kg(comp: Composition, t_f_C: float, T_C: float, model: IceModel = IceModel.TCHIGEOV) -> float: ...
@overload
def enthalpy_J_kg(comp: Composition, t_f_C: float, T_C: Array, model: IceModel = IceModel.TCHIGEOV) -> Array: ...
def enthalpy_J_kg(
    comp: Composition, t_f_C: float, T_C: float | Array, model: IceModel = IceModel.TCHIGEOV
) -> float | Array:
    """Enthalpy of a food [J/kg], 0 at -40 degC, strictly rising with temperature.

    Arguments, ranges and errors as `ice_fraction`. Above the freezing point its slope is the specific heat
    of `corebath.food.properties`; below, sensible heat plus the latent heat of the ice that melts.
    """
    T = _checked(t_f_C, T_C)
    start = _enthalpy_from_0C(comp, t_f_C, np.asarray(LOWEST_C), model)
    return like(T_C, _enthalpy_from_0C(comp, t_f_C, T, model) - start)


def freezing_table(comp: Composition, t_f_C: float) -> FreezingTable:
    """Tabulate a food from -40 to 100 degC for a solver that interpolates linearly.

    t_f_C : initial freezing point, -10 to -0.01 [degC]. Raises ValueError outside.
    """
    _checked(t_f_C, LOWEST_C)
    below = t_f_C - (t_f_C - LOWEST_C) * np.linspace(1.0, 0.0, 121) ** 3
    between = np.linspace(t_f_C, 0.0, 4)[1:]
    above = np.linspace(0.0, HIGHEST_C, 101)[1:]
    T = np.concatenate([below, between, above])
    T[0] = LOWEST_C
    rho = density_kg_m3(comp, TABLE_DENSITY_AT_C)
    return FreezingTable(
        temperature_C=T,
        enthalpy_J_m3=rho * enthalpy_J_kg(comp, t_f_C, T),
        conductivity_W_mK=frozen_conductivity_W_mK(comp, t_f_C, T),
        initial_freezing_C=t_f_C,
        density_kg_m3=rho,
    )


def _ice(comp: Composition, t_f_C: float, T: Array, model: IceModel) -> Array:
    frozen = t_f_C > T
    below = np.where(frozen, t_f_C - T, 1.0)  # 1.0 stands in where there is no ice
    constants = table("constants.toml")
    if model is IceModel.TCHIGEOV:
        factor, offset = constants["tchigeov"]["factor"], constants["tchigeov"]["offset"]
        ice = factor * comp.water / (1 + offset / np.log1p(below))
    else:
        bound = constants["bound_water"]["per_protein"] * comp.protein
        ice = max(comp.water - bound, 0.0) * below / (below - t_f_C)
    return np.asarray(np.where(frozen, ice, 0.0))


def _frozen_parts(comp: Composition, t_f_C: float, T: Array) -> dict[str, Array]:
    """Mass fractions by component, water and ice first: Levy's model joins those two before the solids."""
    parts = parts_of(comp)
    ice = _ice(comp, t_f_C, T, IceModel.TCHIGEOV)
    return {"water": parts.pop("water") - ice, "ice": ice} | parts


def _enthalpy_from_0C(comp: Composition, t_f_C: float, T: Array, model: IceModel) -> Array:
    """Enthalpy with liquid water and solids at 0 degC as zero [J/kg]."""
    latent = table("constants.toml")["latent_heat_of_ice"]["value_kJ_kg"] * 1000.0
    water = np.where(T < 0, heat_from_0C("water_subzero", T), heat_from_0C("water", T))
    ice = _ice(comp, t_f_C, T, model)
    total = (comp.water - ice) * water + ice * (heat_from_0C("ice", T) - latent)
    for name, x in comp.solids.items():
        total = total + x * heat_from_0C(name, T)
    return np.asarray(total)


def _checked(t_f_C: float, T_C: float | Array) -> Array:
    if not LOWEST_FREEZING_C <= t_f_C <= HIGHEST_FREEZING_C:
        raise ValueError(
            f"the initial freezing point must lie from {LOWEST_FREEZING_C:g} to {HIGHEST_FREEZING_C:g} degC, "
            f"got {t_f_C:g} degC"
        )
    T = np.asarray(T_C, dtype=np.float64)
    outside = T[~((T >= LOWEST_C) & (T <= HIGHEST_C))]
    if outside.size:
        raise ValueError(
            f"frozen and thawing food is held from {LOWEST_C:g} to {HIGHEST_C:g} degC, got {outside[0]:g} degC"
        )
    return T
