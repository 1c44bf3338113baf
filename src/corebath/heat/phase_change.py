"""Freezing and thawing: the enthalpy formulation on the same bodies and stages.

Each shell carries volumetric enthalpy H; temperature and the conductivity integral follow from H by the
food's table, so the latent heat needs no tracking of a front. Time runs by a stabilised explicit scheme
(Runge-Kutta-Legendre, second order: Meyer, Balsara and Aslam, J. Comput. Phys. 257, 2014, 594-626), whose
step grows with the square of its number of inner evaluations.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Protocol

import numpy as np

from .body import Axis, Body
from .grid import Array, cells

SHELLS_FROZEN = {1: 40, 2: 28, 3: 16}
_LOOKUP = 6000  # entries of the table resampled evenly in enthalpy
_FIRST_INNER, _MOST_INNER = (
    5,
    17,
)  # inner evaluations of a step: few while the first shells wake up, then more


class Freezes(Protocol):
    """What this solver wants to know of a food; `food.freezing.FreezingTable` fits.

    temperature_C, enthalpy_J_m3, conductivity_W_mK : strictly rising in the first two, shape (n,)
    """

    @property
    def temperature_C(self) -> Array: ...
    @property
    def enthalpy_J_m3(self) -> Array: ...
    @property
    def conductivity_W_mK(self) -> Array: ...


class Lookup:
    """A food's table resampled evenly in enthalpy, so that a look-up is one multiplication."""

    def __init__(self, table: Freezes) -> None:
        enthalpy, temperature = table.enthalpy_J_m3, table.temperature_C
        self.first = float(enthalpy[0])
        even = np.linspace(self.first, float(enthalpy[-1]), _LOOKUP)
        self.per_entry = 1.0 / float(even[1] - even[0])
        self.temperature = np.interp(even, enthalpy, temperature)
        steps = np.diff(temperature) * (table.conductivity_W_mK[1:] + table.conductivity_W_mK[:-1]) / 2
        integral = np.concatenate([[0.0], np.cumsum(steps)])
        self.potential = np.interp(even, enthalpy, integral)
        self.conductivity = np.gradient(self.potential, self.temperature)
        self.diffusivity = np.gradient(self.potential, even)
        self.table = table

    def place(self, enthalpy: Array) -> tuple[NDArrayInt, Array]:
        """Index and remainder of each shell's enthalpy in the even table; raises when it leaves the table."""
        exact = (enthalpy - self.first) * self.per_entry
        index = exact.astype(np.intp)
        if index.min() < 0 or index.max() > _LOOKUP - 2:
            raise ValueError(
                f"a temperature left the range {self.table.temperature_C[0]:g} to "
                f"{self.table.temperature_C[-1]:g} C that the food's properties are known for"
            )
        return index, exact - index

    def read(self, column: Array, place: tuple[NDArrayInt, Array]) -> Array:
        """A column of the table at the places found."""
        index, rest = place
        low = column[index]
        return low + (column[index + 1] - low) * rest

    def enthalpy(self, temperature_C: Array) -> Array:
        """Enthalpy of a temperature [J/m3]."""
        return np.interp(temperature_C, self.table.temperature_C, self.table.enthalpy_J_m3)


NDArrayInt = np.ndarray[tuple[int, ...], np.dtype[np.intp]]


class Thaw:
    """A batch of like bodies marching through a changing ambient; arrays lead with the batch, (b, ...).

    body : the nominal piece;  table : the food's properties
    field_C : shell temperatures, shape (b,) + (shells,) * axes [degC]
    scale, conductivity_factor : factors on size and conductivity, shape (b,) [-]
    h_W_m2K : surface coefficient, shape (b,) [W/(m2 K)]

    Raises ValueError when a temperature leaves the range of the table.
    """

    def __init__(
        self,
        body: Body,
        table: Freezes,
        field_C: Array,
        scale: Array,
        conductivity_factor: Array,
        h_W_m2K: Array,
    ) -> None:
        low, high = float(table.temperature_C[0]), float(table.temperature_C[-1])
        if field_C.min() < low or field_C.max() > high:
            raise ValueError(f"food temperatures must lie between {low:g} and {high:g} C")
        self.lookup = Lookup(table)
        self.enthalpy = self.lookup.enthalpy(field_C)
        wide = (-1,) + (1,) * (field_C.ndim - 2)
        self.factor = conductivity_factor.reshape(wide)
        self.film = 1 / h_W_m2K.reshape(wide)
        self.axes = [_Line(axis, field_C.shape[1], scale.reshape(wide)) for axis in body.axes]
        self._fastest = sum(1 / float(line.width.min()) ** 2 for line in self.axes)
        self._steps = 0

    def march(self, ambient_C: Array, longest_s: float) -> float:
        """One step under a steady ambient, shape (b,); returns its length [s], at most `longest_s`."""
        lookup = self.lookup
        top = lookup.read(lookup.diffusivity, lookup.place(self.enthalpy)) * self.factor[..., None]
        explicit = 0.9 / (2 * float(top.max()) * self._fastest)
        inner = min(_FIRST_INNER + self._steps // 3, _MOST_INNER)
        step = explicit * (inner**2 + inner - 2) / 4
        if step > longest_s:
            step = longest_s
            inner = max(3, int(np.ceil((np.sqrt(9 + 16 * step / explicit) - 1) / 2)))
        around = ambient_C.reshape(self.factor.shape)
        self.enthalpy = _legendre_step(self.enthalpy, step, inner, lambda u: self._inflow(u, around))
        self._steps += 1
        return step

    def temperature_C(self) -> Array:
        """Shell temperatures now, shape (b, ...) [degC]."""
        return self.lookup.read(self.lookup.temperature, self.lookup.place(self.enthalpy))

    def core_mean_surface_C(self, ambient_C: Array) -> tuple[Array, Array, Array]:
        """Core, mean and mid-face surface temperatures, shape (b,) each [degC]."""
        field = self.temperature_C()
        core, mean, face = field, field, field
        for line in reversed(self.axes[1:]):
            core = (9 * core[..., 0] - core[..., 1]) / 8
            face = face[..., 0]
            mean = mean @ line.share
        core = (9 * core[..., 0] - core[..., 1]) / 8
        first = self.axes[0]
        skin = first.inner_film(self._conductivity(face[..., -1], self.factor.ravel()), first.width.ravel())
        film = self.film.ravel()
        surface = (ambient_C / film + face[..., -1] / skin) / (1 / film + 1 / skin)
        return core, mean @ first.share, surface

    def _conductivity(self, temperature_C: Array, factor: Array) -> Array:
        table = self.lookup.table
        return np.interp(temperature_C, table.temperature_C, table.conductivity_W_mK) * factor

    def _inflow(self, enthalpy: Array, around: Array) -> Array:
        """Rate of change of the enthalpy of every shell [W/m3]."""
        lookup = self.lookup
        place = lookup.place(enthalpy)
        potential = lookup.read(lookup.potential, place)
        out = np.zeros_like(enthalpy)
        for number, line in enumerate(self.axes, start=1):
            last = (slice(None),) * number + (-1,)
            skin_place = (place[0][last], place[1][last])
            temperature = lookup.read(lookup.temperature, skin_place)
            resistance = self.film + line.inner_film(
                lookup.read(lookup.conductivity, skin_place) * self.factor, line.width
            )
            rate = np.moveaxis(out, number, -1)
            flow = np.diff(np.moveaxis(potential, number, -1), axis=-1) * (
                line.conductance * self.factor[..., None]
            )
            rate[..., :-1] += flow * line.per_volume[..., :-1]
            rate[..., 1:] -= flow * line.per_volume[..., 1:]
            rate[..., -1] += (around - temperature) / resistance * line.per_volume[..., -1]
        return out


class _Line:
    """One axis cut into shells, for a batch of sizes; `scale` has shape (b, 1, ...)."""

    def __init__(self, axis: Axis, count: int, scale: Array) -> None:
        shells = cells(axis.order, count)
        half = axis.half_m * scale
        self.width = half / count
        self.conductance = shells.inner_area / self.width[..., None]
        self.per_volume = 1 / (half[..., None] * shells.volume)
        self.share = shells.volume / shells.volume.sum()

    @staticmethod
    def inner_film(conductivity_W_mK: Array, width_m: Array) -> Array:
        """Resistance from the last shell's centre to the surface [m2 K/W]."""
        return width_m / (2 * conductivity_W_mK)


@lru_cache(maxsize=64)
def _coefficients(inner: int) -> tuple[tuple[float, float, float, float], ...]:
    b = [1 / 3, 1 / 3, 1 / 3] + [(j * j + j - 2) / (2 * j * (j + 1)) for j in range(3, inner + 1)]
    w = 4 / (inner * inner + inner - 2)
    rows = [(b[1] * w, 0.0, 0.0, 0.0)]
    for j in range(2, inner + 1):
        mu = (2 * j - 1) / j * b[j] / b[j - 1]
        nu = -(j - 1) / j * b[j] / b[j - 2]
        rows.append((mu, nu, mu * w, -(1 - b[j - 1]) * mu * w))
    return tuple(rows)


def _legendre_step(u: Array, step: float, inner: int, rate: RateOf) -> Array:
    """One Runge-Kutta-Legendre step of second order with `inner` evaluations."""
    rows = _coefficients(inner)
    first_rate = step * rate(u)
    before, now = u, u + rows[0][0] * first_rate
    for mu, nu, mu_rate, gamma in rows[1:]:
        after = mu * now + nu * before + (1 - mu - nu) * u + mu_rate * (step * rate(now)) + gamma * first_rate
        before, now = now, after
    return now


class RateOf(Protocol):
    """Rate of change of a field."""

    def __call__(self, u: Array, /) -> Array: ...
