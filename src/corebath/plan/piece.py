"""The piece as physics: a body, what it is made of, where it starts and how well the bath touches it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from corebath.food.catalogue import Food
from corebath.food.composition import Composition
from corebath.food.freezing import freezing_table
from corebath.food.properties import conductivity_W_mK, density_kg_m3, specific_heat_J_kgK
from corebath.heat.batch import core_remaining
from corebath.heat.body import Body
from corebath.heat.engine import Thermal, simulate, thawed_cores
from corebath.heat.grid import Array
from corebath.heat.history import History
from corebath.heat.material import Material
from corebath.heat.stage import Stage

from .data import spreads
from .request import Request

# Food starts to freeze somewhat below this, so above it the exact solution serves.
ICE_BELOW_C = 0.0
INPUTS = ("thickness", "diffusivity", "surface", "start", "set_point")


@dataclass(frozen=True, slots=True)
class Piece:
    """One piece in one bath, with nominal inputs.

    body, thermal : geometry and properties;  start_C : even temperature at drop-in [degC]
    bath_C : bath temperature [degC];  h_W_m2K : surface coefficient of the bag in the bath [W/(m2 K)]
    dip_K : times from drop-in and the fall of the bath below `bath_C` then, or None for a steady bath [s], [K]
    wait : what the piece goes through in the vessel before that, or None; its times are negative
    """

    body: Body
    thermal: Thermal
    start_C: float
    bath_C: float
    h_W_m2K: float
    dip_K: tuple[Array, Array] | None = None
    wait: Stage | None = None

    @property
    def is_frozen(self) -> bool:
        """True when the piece may hold ice at the start."""
        return self.start_C <= ICE_BELOW_C

    def deviated(self, z: Array) -> Piece:
        """The piece with every input moved by `z` standard deviations, shape (5,), in the order of `INPUTS`."""
        inputs = Inputs(self, z[None])
        return Piece(
            self.body.scaled(float(inputs.scale[0])),
            self.thermal.with_diffusivity_scaled(float(inputs.factor[0])),
            float(inputs.start_C[0]),
            float(inputs.bath_C[0]),
            float(inputs.h_W_m2K[0]),
            self.dip_K,
            self.wait,
        )

    def history(self, duration_s: float) -> History:
        """The piece in its bath for a time, and in the ice water before it [s]."""
        if self.dip_K is None:
            stage = Stage.constant("bath", duration_s, self.bath_C, self.h_W_m2K)
        else:
            times, fall = self.dip_K
            early = times < duration_s
            knots = np.append(times[early], duration_s)
            stage = Stage.trace("bath", knots, self.bath_C - np.interp(knots, times, fall), self.h_W_m2K)
        if self.wait is None:
            return simulate(self.body, self.thermal, self.start_C, [stage]).history
        whole = simulate(self.body, self.thermal, self.start_C, [self.wait, stage]).history
        return replace(whole, time_s=whole.time_s - self.wait.duration_s)

    def slowest_s(self) -> float:
        """Time constant of the unfrozen piece with a perfectly held surface: an upper scale of its times [s]."""
        return slowest_s(self.body, self.thermal.warm, self.h_W_m2K)


def slowest_s(body: Body, material: Material, h_W_m2K: float) -> float:
    """`Piece.slowest_s` of a body with that material and surface coefficient [s]."""
    inverse = sum((np.pi / 2 / a.half_m) ** 2 * {1: 1.0, 2: 2.34, 3: 4.0}[a.order] for a in body.axes)
    film = min(a.half_m for a in body.axes) * material.k_W_mK / h_W_m2K
    return float((1 / inverse + film) / material.alpha_m2_s)


class Inputs:
    """Sampled inputs of a piece: `z` in standard deviations, shape (s, 5); every other attribute has shape (s,)."""

    def __init__(self, piece: Piece, z: Array) -> None:
        self.z = z
        data = spreads()
        self.scale, self.factor, of_h = _factors(z)
        self.h_W_m2K = piece.h_W_m2K * of_h
        self.start_C = piece.start_C + data["start"]["absolute_K"] * z[:, 3]
        if piece.is_frozen:
            self.start_C = np.minimum(self.start_C, ICE_BELOW_C)
        else:
            self.start_C = np.maximum(self.start_C, ICE_BELOW_C)
        self.bath_C = piece.bath_C + data["set_point"]["absolute_K"] * z[:, 4]

    def cores_C(self, piece: Piece, time_s: Array) -> Array:
        """Core temperatures of every sampled piece, shape (s, t) [degC]."""
        if piece.is_frozen:
            return thawed_cores(
                piece.body,
                piece.thermal,
                self.start_C,
                self.bath_C,
                self.scale,
                self.factor,
                self.h_W_m2K,
                time_s,
            )
        return self.cores_from(shares_left(piece.body, piece.thermal.warm, piece.h_W_m2K, self.z, time_s))

    def cores_from(self, left: Array) -> Array:
        """Core temperatures of unfrozen pieces, shape (s, t), by the share of the difference left there [degC]."""
        return np.asarray(self.bath_C[:, None] + (self.start_C - self.bath_C)[:, None] * left)


def shares_left(body: Body, material: Material, h_W_m2K: float, z: Array, time_s: Array) -> Array:
    """Share of the difference to the bath that is left at the cores of sampled unfrozen pieces, shape (s, t) [-]."""
    scale, factor, of_h = _factors(z)
    h_over_k_per_m = h_W_m2K * of_h / (material.k_W_mK * factor)
    return core_remaining(body, scale, material.alpha_m2_s * factor, h_over_k_per_m, time_s)


def _factors(z: Array) -> tuple[Array, Array, Array]:
    """Factors on size, conductivity and surface coefficient, shape (s,) each [-]."""
    names = ("thickness", "diffusivity", "surface")
    scale, factor, of_h = (np.exp(spreads()[name]["relative"] * z[:, i]) for i, name in enumerate(names))
    return scale, factor, of_h


def piece_of(request: Request, set_point_C: float) -> Piece:
    """The piece of a request in a bath set to `set_point_C`, whose thermometer reads too high by its offset [degC]."""
    return plain_piece(request.lying_together, request.food, request.from_C, set_point_C - request.probe_offset_K)


def plain_piece(body: Body, food: Food, start_C: float, bath_C: float) -> Piece:
    """A piece of a food with nominal inputs in a steady bath [degC]."""
    mean_C = max((start_C + bath_C) / 2, 1.0)
    thermal = thermal_of(food.composition, food.initial_freezing_C, round(mean_C))
    return Piece(body, thermal, start_C, bath_C, float(spreads()["surface"]["h_W_m2K"]))


@lru_cache(maxsize=256)
def thermal_of(comp: Composition, initial_freezing_C: float, mean_C: int) -> Thermal:
    """Properties of a food: constant ones taken at `mean_C` [degC], and the table through the freezing range."""
    material = Material(
        conductivity_W_mK(comp, float(mean_C)),
        density_kg_m3(comp, float(mean_C)),
        specific_heat_J_kgK(comp, float(mean_C)),
    )
    return Thermal(material, freezing_table(comp, initial_freezing_C))
