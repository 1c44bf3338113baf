"""A slab with a different surrounding on each face, on the modes of the heat engine's axis.

The engine's straight axis runs from a plane that lets no heat through to a surface. Taken as half of a body
it is a symmetric slab; taken as the whole of one it is a slab with a sealed back, exactly. Its shells are
equally wide, so turning the piece over is reading the field backwards. One step of conduction is exact (the
modes, faded); what a face trades with its surroundings is taken in two halves, before and after it (Strang
splitting), which is second order in the step. tests/published show the error.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from corebath.heat.grid import Array, AxisModes, axis_modes
from corebath.heat.material import Material

_SHELL_m, _FEWEST, _MOST = 0.00025, 64, 480
_SEALED_BIOT, _HELD_BIOT = 1e-12, 1e12


def shell_count(thickness_m: float) -> int:
    """Shells over the whole thickness, an even number, a quarter of a millimetre each or less."""
    return int(np.clip(2 * np.ceil(thickness_m / (2 * _SHELL_m)), _FEWEST, _MOST))


@dataclass(frozen=True, slots=True)
class Slab:
    """A piece between two broad faces; fields have shape (n,), the front face is at the last shell.

    thickness_m : from face to face [m];  material : its properties
    air_C, air_h_W_m2K : what the back face, and both faces at rest, are in
    """

    thickness_m: float
    material: Material
    air_C: float
    air_h_W_m2K: float

    def trade(self, field_C: Array, step_s: float, front_C: float, front_m2K_W: float) -> tuple[Array, float]:
        """One step with the front face against `front_C` through a resistance [m2 K/W], the back in air.

        Returns the field and the heat that came in at the front [J/m2].
        """
        field, first = self._ends(field_C, step_s / 2, front_C, front_m2K_W)
        field = _step(_SEALED_BIOT, field.size, self._fourier(step_s)) @ field
        field, second = self._ends(field, step_s / 2, front_C, front_m2K_W)
        return field, first + second

    def hold(self, field_C: Array, step_s: float, face_C: float) -> tuple[Array, float]:
        """One step with the front face held at a temperature, the back in air; returns as `trade`."""
        field = self._back(field_C, step_s / 2)
        before = self.heat_J_m2(field)
        field = face_C + _step(_HELD_BIOT, field.size, self._fourier(step_s)) @ (field - face_C)
        taken = self.heat_J_m2(field) - before
        return self._back(field, step_s / 2), taken

    def face_C(self, field_C: Array, front_C: float, front_m2K_W: float) -> float:
        """The front face itself while it trades heat [degC]."""
        inside = self.thickness_m / field_C.size / 2 / self.material.k_W_mK
        return float((front_C * inside + field_C[-1] * front_m2K_W) / (inside + front_m2K_W))

    def heat_J_m2(self, field_C: Array) -> float:
        """Heat above 0 degC in the whole thickness [J/m2]."""
        return float(self._capacity_J_m2K(1) * field_C.mean())

    def _ends(self, field_C: Array, step_s: float, front_C: float, front_m2K_W: float) -> tuple[Array, float]:
        field = self._back(field_C, step_s)
        into = (front_C - field[-1]) * self._relaxed(field.size, step_s, front_m2K_W)
        field[-1] += into
        return field, float(into * self._capacity_J_m2K(field.size))

    def _back(self, field_C: Array, step_s: float) -> Array:
        field = field_C.copy()
        field[0] += (self.air_C - field[0]) * self._relaxed(field.size, step_s, 1 / self.air_h_W_m2K)
        return field

    def _relaxed(self, count: int, step_s: float, resistance_m2K_W: float) -> float:
        """How far an end shell comes towards its surroundings in a step, alone [-]."""
        whole = resistance_m2K_W + self.thickness_m / count / 2 / self.material.k_W_mK
        return float(-np.expm1(-step_s / (whole * self._capacity_J_m2K(count))))

    def _capacity_J_m2K(self, count: int) -> float:
        per_m3 = self.material.rho_kg_m3 * self.material.cp_J_kgK
        return per_m3 * self.thickness_m / count

    def _fourier(self, step_s: float) -> float:
        return step_s * self.material.alpha_m2_s / self.thickness_m**2


@lru_cache(maxsize=32)
def _step(biot: float, count: int, fourier: float) -> Array:
    """What one step of conduction does to a field over its surroundings, shape (n, n)."""
    modes = _modes(biot, count)
    return np.asarray((modes.from_modes * np.exp(-modes.decay * fourier)) @ modes.to_modes)


@lru_cache(maxsize=16)
def _modes(biot: float, count: int) -> AxisModes:
    return axis_modes(1, biot, count)
