"""Conductivity of a mixture from its phases: three models, from bound to bound.

A phase is a pair (volume fraction, conductivity). Parallel and perpendicular layers are the upper and lower
bounds for any structure (Wiener). Levy's model is Maxwell-Eucken made symmetric in its two phases (Levy
1981); Fricke & Becker (2001) rank it best for foods. More than two phases are joined two at a time.
"""

from __future__ import annotations

from collections.abc import Sequence
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Phase = tuple[Array, Array]


class ConductivityModel(StrEnum):
    """How the phases lie to the flow of heat."""

    LEVY = "levy"
    PARALLEL = "parallel"
    PERPENDICULAR = "perpendicular"


def conductivity(phases: Sequence[Phase], model: ConductivityModel) -> Array:
    """Conductivity of a mixture [W/(m K)].

    phases : volume fractions [-] and conductivities [W/(m K)] of equal shape; the fractions sum to 1.
        Levy's model joins them in this order, so the continuous ones come first.
    """
    match model:
        case ConductivityModel.PARALLEL:
            return np.asarray(sum(v * k for v, k in phases))
        case ConductivityModel.PERPENDICULAR:
            return np.asarray(1 / sum(v / k for v, k in phases))
        case ConductivityModel.LEVY:
            joined_v, joined_k = phases[0]
            for v, k in phases[1:]:
                joined_k = levy(joined_k, k, _share(joined_v, v))
                joined_v = joined_v + v
            return joined_k


def levy(k1: Array, k2: Array, share1: Array) -> Array:
    """Levy's conductivity of two phases [W/(m K)], phase 1 filling `share1` of the volume [-].

    Swapping the phases changes nothing. The root is taken in the form that stays exact as k1 nears k2.
    """
    ratio = k1 / k2
    sigma = (ratio - 1) ** 2 / ((ratio + 1) ** 2 + ratio / 2)
    b = 2 - sigma + 2 * share1 * sigma
    f1 = 4 * share1 / (b + np.sqrt(b**2 - 8 * share1 * sigma))
    return np.asarray(k2 * (2 + ratio + 2 * (ratio - 1) * f1) / (2 + ratio - (ratio - 1) * f1))


def _share(v1: Array, v2: Array) -> Array:
    total = v1 + v2
    return np.asarray(np.where(total > 0, v1 / np.where(total > 0, total, 1.0), 0.5))
