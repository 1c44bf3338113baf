"""How much heat food draws from a bath whose temperature moves: the heat engine seen from the water's side.

Unfrozen food: the modes of `heat.grid`, read only for the mean temperature. A step's heat is linear in the
bath's new temperature, so bath and food are solved together, exactly and without a limit on the step.
Frozen food marches with the enthalpy solver under the bath of the step before until no ice is left.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import reduce
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from corebath.bath.say import quantity
from corebath.heat.body import Body
from corebath.heat.conduction import SHELLS
from corebath.heat.grid import AxisModes, axis_modes
from corebath.heat.material import Material
from corebath.heat.phase_change import SHELLS_FROZEN, Freezes, Thaw
from corebath.units import between

Array = NDArray[np.float64]
_BIN = 0.04  # modes whose rates agree within 4 % move as one
_CLEAR_BY_K = 0.1  # this far above its initial freezing point a food is free of ice


@dataclass(frozen=True, slots=True)
class Load:
    """Identical pieces that go into the bath together.

    body : geometry of one piece, as it lies: pieces that touch are one thicker body (see `fit`)
    warm : properties above freezing;  frozen : needed when start_C is below 0 degC
    start_C : even temperature, -40 to 100 [degC]
    count : number of pieces, above 0 [-]
    h_W_m2K : surface coefficient in the bath, bag included, 0.5 to 20000 [W/(m2 K)]
    volume_m3 : of one piece; None takes the body's own [m3]

    Raises ValueError outside those ranges, for frozen pieces without frozen properties, or for a body without
    end when no volume is given.
    """

    body: Body
    warm: Material
    start_C: float
    count: float
    h_W_m2K: float
    frozen: Freezes | None = None
    volume_m3: float | None = None

    def __post_init__(self) -> None:
        between("the start temperature of the food", self.start_C, -40.0, 100.0, "C")
        between("the surface coefficient", self.h_W_m2K, 0.5, 20_000.0, "W/m2K")
        if not self.count > 0:
            raise ValueError(f"a load needs at least part of a piece, got {self.count:g}")
        if self.start_C < 0 and self.frozen is None:
            raise ValueError(f"food at {quantity(self.start_C, 'C')} needs properties for frozen food")
        if self.volume_m3 is None and self.body.volume_m3 is None:
            raise ValueError(f"a {self.body.shape.value} has no end: give the volume of a piece")

    @property
    def is_frozen(self) -> bool:
        """True when the pieces may hold ice at the start."""
        return self.frozen is not None and self.start_C <= self.frozen.initial_freezing_C + _CLEAR_BY_K

    @property
    def total_m3(self) -> float:
        """Volume of all pieces [m3]."""
        each = self.volume_m3 if self.volume_m3 is not None else self.body.volume_m3
        assert each is not None
        return each * self.count

    @property
    def mass_kg(self) -> float:
        """Mass of all pieces [kg]."""
        return self.total_m3 * self.warm.rho_kg_m3

    @property
    def capacity_J_K(self) -> float:
        """Heat all pieces hold per kelvin, unfrozen [J/K]."""
        return self.mass_kg * self.warm.cp_J_kgK


class Uptake(Protocol):
    """Food as the bath feels it."""

    def draw(self, bath_C: float, step_s: float) -> tuple[float, float]:
        """Heat drawn in a step is `first + second * new bath temperature` [J], [J/K]."""
        ...

    def advance(self, bath_C: float, new_C: float, step_s: float) -> float:
        """Take the step that `draw` looked at; returns the heat drawn [J]."""
        ...


def uptake_of(load: Load, bath_C: float) -> Uptake:
    """The load at its start, in a bath of so many degC."""
    if load.is_frozen:
        assert load.frozen is not None
        return _Thawing(load, load.frozen)
    shells = (SHELLS[len(load.body.axes)],) * len(load.body.axes)
    return _Warming(load, np.full(shells, load.start_C), bath_C, even=True)


class _Warming:
    """Unfrozen food: binned modes of its mean temperature."""

    def __init__(self, load: Load, field_C: Array, bath_C: float, *, even: bool = False) -> None:
        axes = load.body.axes
        modes = [axis_modes(a.order, load.h_W_m2K * a.half_m / load.warm.k_W_mK, field_C.shape[0]) for a in axes]
        rates = [m.decay * (load.warm.alpha_m2_s / a.half_m**2) for m, a in zip(modes, axes, strict=True)]
        rate = reduce(np.add.outer, rates).ravel()
        mean = reduce(np.multiply.outer, [m.mean for m in modes]).ravel()
        ones = reduce(np.multiply.outer, [m.ones for m in modes])
        drive = mean * ones.ravel()
        apart = ones * (load.start_C - bath_C) if even else _amplitudes(field_C - bath_C, modes)
        state = mean * apart.ravel()
        place = np.floor(np.log(rate / rate.min()) / _BIN).astype(np.intp)
        _, place = np.unique(place, return_inverse=True)
        self.drive = np.bincount(place, drive)
        self.rate = np.bincount(place, drive) / np.bincount(place, drive / rate)
        self.state = np.bincount(place, state)
        self.capacity_J_K = load.capacity_J_K

    def draw(self, bath_C: float, step_s: float) -> tuple[float, float]:
        gone = -np.expm1(-self.rate * step_s)
        follows = 1.0 - float(self.drive / self.rate @ gone) / step_s
        second = self.capacity_J_K * follows
        return -self.capacity_J_K * float(self.state @ gone) - second * bath_C, second

    def advance(self, bath_C: float, new_C: float, step_s: float) -> float:
        gone = -np.expm1(-self.rate * step_s)
        slope = (new_C - bath_C) / step_s
        before = float(self.state.sum())
        self.state = self.state * (1 - gone) - self.drive / self.rate * gone * slope
        return self.capacity_J_K * (new_C - bath_C + float(self.state.sum()) - before)


class _Thawing:
    """Frozen food under the bath of the step before; hands over to `_Warming` when the ice is gone."""

    def __init__(self, load: Load, frozen: Freezes) -> None:
        axes, one = len(load.body.axes), np.ones(1)
        field = np.full((1, *(SHELLS_FROZEN[axes],) * axes), load.start_C)
        self.load = load
        self.clear_C = frozen.initial_freezing_C + _CLEAR_BY_K
        self.thaw = Thaw(load.body, frozen, field, one, one, one * load.h_W_m2K)
        self.warm: _Warming | None = None
        self.pending_J = 0.0

    def draw(self, bath_C: float, step_s: float) -> tuple[float, float]:
        if self.warm is not None:
            return self.warm.draw(bath_C, step_s)
        before, left = self._heat_J(), step_s
        while left > 1e-9:
            left -= self.thaw.march(np.array([bath_C]), left)
        self.pending_J = self._heat_J() - before
        return self.pending_J, 0.0

    def advance(self, bath_C: float, new_C: float, step_s: float) -> float:
        if self.warm is not None:
            return self.warm.advance(bath_C, new_C, step_s)
        field = self.thaw.temperature_C()[0]
        if field.min() >= self.clear_C:
            self.warm = _Warming(self.load, field, new_C)
        return self.pending_J

    def _heat_J(self) -> float:
        mean = self.thaw.enthalpy
        for line in reversed(self.thaw.axes):
            mean = mean @ line.share
        return float(mean[0]) * self.load.total_m3


def _amplitudes(field: Array, modes: list[AxisModes]) -> Array:
    for axis, m in enumerate(modes):
        field = np.moveaxis(np.tensordot(m.to_modes, field, axes=(1, axis)), 0, axis)
    return field
