"""Water, its vapour and moist air, as far as an open bath needs them.

Functions take a float or an array and return the same. Temperatures of water from 0 to 100 degC; ranges are
checked where a cook's figure enters (see `gear`), not here, because these are called in inner loops.
"""

from __future__ import annotations

from functools import cache, lru_cache
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from corebath.bath.files import number, table

Array = NDArray[np.float64]
Num = TypeVar("Num", float, Array)

ZERO_C_K = 273.15
LOWEST_C, HIGHEST_C = 0.0, 100.0


@cache
def _terms(name: str) -> tuple[tuple[float, float], ...]:
    return tuple((float(t[0]), float(t[1]) / float(t[2] if len(t) > 2 else 1)) for t in table("saturation")[name])


def _series(name: str, T_C: Num) -> tuple[Num, Num]:
    """Sum of the terms and its derivative with tau = 1 - T/Tc."""
    tau = 1 - (T_C + ZERO_C_K) / number("saturation", "critical_K")
    total = 0.0 * tau
    slope = 0.0 * tau
    for factor, power in _terms(name):
        total = total + factor * tau**power
        slope = slope + factor * power * tau ** (power - 1)
    return total, slope


def saturation_Pa(T_C: Num) -> Num:
    """Vapour pressure of water [Pa], 0 to 100 degC. Source: IAPWS SR1-86(1992)."""
    total, _ = _series("pressure", T_C)
    inverse = number("saturation", "critical_K") / (T_C + ZERO_C_K)
    return _same(T_C, number("saturation", "critical_Pa") * np.exp(inverse * total))


def saturation_slope_Pa_K(T_C: Num) -> Num:
    """Change of the vapour pressure with temperature [Pa/K]; the derivative of `saturation_Pa`."""
    p = saturation_Pa(T_C)
    total, slope = _series("pressure", T_C)
    T = T_C + ZERO_C_K
    return -p / T * (number("saturation", "critical_K") / T * total + slope)


def liquid_density_kg_m3(T_C: Num) -> Num:
    """Density of liquid water [kg/m3], 0 to 100 degC: the saturated liquid, 0.005 % below 1 atm."""
    tau = 1 - (T_C + ZERO_C_K) / number("saturation", "critical_K")
    total = 1.0 + 0.0 * tau
    for factor, power in _terms("liquid"):
        total = total + factor * tau**power
    return number("saturation", "critical_kg_m3") * total


def vapour_density_kg_m3(T_C: Num) -> Num:
    """Density of saturated vapour [kg/m3], 0 to 100 degC. Source: IAPWS SR1-86(1992)."""
    total, _ = _series("vapour", T_C)
    return _same(T_C, number("saturation", "critical_kg_m3") * np.exp(total))


def latent_heat_J_kg(T_C: Num) -> Num:
    """Heat of evaporation [J/kg], from the slope of the vapour pressure (Clausius and Clapeyron)."""
    expansion = 1 / vapour_density_kg_m3(T_C) - 1 / liquid_density_kg_m3(T_C)
    return (T_C + ZERO_C_K) * saturation_slope_Pa_K(T_C) * expansion


def liquid_cp_J_kgK(T_C: Num) -> Num:
    """Specific heat of liquid water [J/(kg K)], 0 to 100 degC, linear between rows 10 K apart."""
    data = table("liquid_cp")
    return _same(T_C, np.interp(T_C, data["T_C"], data["cp_J_kgK"]))


@lru_cache(maxsize=64)
def boiling_point_C(pressure_Pa: float) -> float:
    """Temperature at which water boils [degC] under an outer pressure.

    Raises ValueError when that temperature is outside 60 to 103 degC.
    """
    low_C, high_C = 60.0, 103.0
    if not float(saturation_Pa(low_C)) <= pressure_Pa <= float(saturation_Pa(high_C)):
        raise ValueError(f"a boiling point is held for 20 to 112 kPa, got {pressure_Pa / 1000:g} kPa")
    # The vapour pressure rises and bends upwards, so Newton's steps from the hot end never overshoot.
    T_C, step_K = high_C, 1.0
    while step_K > 1e-7:
        step_K = float((saturation_Pa(T_C) - pressure_Pa) / saturation_slope_Pa_K(T_C))
        T_C -= step_K
    return T_C


def moist_air_density_kg_m3(T_C: Num, vapour_Pa: Num, pressure_Pa: float) -> Num:
    """Density of moist air [kg/m3], ideal gases."""
    T = T_C + ZERO_C_K
    dry = (pressure_Pa - vapour_Pa) / (number("air", "R_dry_J_kgK") * T)
    return dry + vapour_Pa / (number("air", "R_vapour_J_kgK") * T)


def humidity_ratio(vapour_Pa: Num, pressure_Pa: float) -> Num:
    """Vapour per dry air [kg/kg], ideal gases."""
    return number("air", "R_dry_J_kgK") / number("air", "R_vapour_J_kgK") * vapour_Pa / (pressure_Pa - vapour_Pa)


def air_viscosity_Pa_s(T_C: Num) -> Num:
    """Dynamic viscosity of dry air [Pa s], Sutherland's formula."""
    return _sutherland(T_C, number("air", "viscosity_273_Pa_s"), number("air", "viscosity_sutherland_K"))


def air_conductivity_W_mK(T_C: Num) -> Num:
    """Conductivity of dry air [W/(m K)], Sutherland's formula."""
    return _sutherland(T_C, number("air", "conductivity_273_W_mK"), number("air", "conductivity_sutherland_K"))


def air_kinematic_viscosity_m2_s(T_C: Num, pressure_Pa: float) -> Num:
    """Kinematic viscosity of dry air [m2/s]."""
    return air_viscosity_Pa_s(T_C) * (number("air", "R_dry_J_kgK") * (T_C + ZERO_C_K)) / pressure_Pa


def air_prandtl(T_C: Num) -> Num:
    """Prandtl number of dry air [-]."""
    return air_viscosity_Pa_s(T_C) * number("air", "cp_J_kgK") / air_conductivity_W_mK(T_C)


def vapour_diffusivity_m2_s(T_C: Num, pressure_Pa: float) -> Num:
    """Diffusivity of vapour in air [m2/s], Marrero and Mason 1972."""
    at_1_atm = number("air", "diffusion_coefficient") * (T_C + ZERO_C_K) ** number("air", "diffusion_exponent")
    return _same(T_C, at_1_atm * (number("atmosphere", "sea_level_Pa") / pressure_Pa))


def _sutherland(T_C: Num, at_273: float, constant_K: float) -> Num:
    ratio = (T_C + ZERO_C_K) / ZERO_C_K
    return _same(T_C, at_273 * ratio**1.5 * (ZERO_C_K + constant_K) / (T_C + ZERO_C_K + constant_K))


def _same(asked: Num, answer: object) -> Num:
    """The answer as a float when a float was asked, else as an array."""
    if isinstance(asked, np.ndarray):
        return np.asarray(answer, dtype=np.float64)
    return float(np.asarray(answer, dtype=np.float64))
