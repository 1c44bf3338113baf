"""Thermal properties of the pure components of food (Choi & Okos 1986), read from data/components.csv.

Each property is c0 + c1 T + c2 T^2 with T in degC, fitted from -40 to 150 degC (water 0 to 150, ice -40 to
0). The heats are sensible: melting fat and unfolding protein add small peaks that the model leaves out.
"""

from __future__ import annotations

from functools import cache
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from corebath.food.files import rows

Property = Literal["k", "rho", "cp"]
Array = NDArray[np.float64]

_TO_SI = {"W/(m K)": 1.0, "kg/m3": 1.0, "kJ/(kg K)": 1000.0}


@cache
def _coefficients() -> dict[tuple[str, str], tuple[float, float, float]]:
    return {
        (row["property"], row["component"]): tuple(  # type: ignore[misc]
            float(row[name]) * _TO_SI[row["unit"]] for name in ("c0", "c1", "c2")
        )
        for row in rows("components.csv")
    }


def component(prop: Property, name: str, T_C: Array) -> Array:
    """k [W/(m K)], rho [kg/m3] or cp [J/(kg K)] of one component at temperatures T_C [degC], same shape.

    name : water, water_subzero (cp only), ice, protein, fat, carbohydrate, fibre or ash. The caller keeps
    to the fitted range; unfrozen water below 0 degC takes the polynomials for k and rho on from 0, as the
    ASHRAE chapter does, and `water_subzero` for cp.
    """
    c0, c1, c2 = _coefficients()[prop, name]
    return c0 + T_C * (c1 + T_C * c2)


def heat_from_0C(name: str, T_C: Array) -> Array:
    """Integral of a component's cp from 0 degC to T_C [J/kg], negative below 0."""
    c0, c1, c2 = _coefficients()["cp", name]
    return T_C * (c0 + T_C * (c1 / 2 + T_C * c2 / 3))
