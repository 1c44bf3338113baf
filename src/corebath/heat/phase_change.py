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
from .grid import Array, Indices, axis_modes, cells

# Shells on each half-axis by number of axes; what they cost in accuracy is measured in tests/published.
SHELLS_FROZEN = {1: 24, 2: 16, 3: 12}
_LOOKUP = 6000  # entries of the table resampled evenly in enthalpy
_MOST_INNER = 250  # inner evaluations of one step
_FIRST_STEP_s = 0.1
_STEP_ERROR_K = 3.0  # allowed in any shell in one step, as sensible heat of thawed food


class Freezes(Protocol):
    """What this solver wants to know of a food; `food.freezing.FreezingTable` fits.

    temperature_C, enthalpy_J_m3, conductivity_W_mK : strictly rising in the first two, shape (n,)
    initial_freezing_C : at and above this there is no ice [degC]
    """

    @property
    def temperature_C(self) -> Array: ...
    @property
    def enthalpy_J_m3(self) -> Array: ...
    @property
    def conductivity_W_mK(self) -> Array: ...
    @property
    def initial_freezing_C(self) -> float: ...


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

    def place(self, enthalpy: Array) -> tuple[Indices, Array]:
        """Index and remainder of each shell's enthalpy in the even table."""
        exact = enthalpy - self.first
        exact *= self.per_entry
        index = exact.astype(np.intp)
        exact -= index
        return index, exact

    def read(self, column: Array, place: tuple[Indices, Array]) -> Array:
        """A column of the table at the places found."""
        index, rest = place
        low = column.take(index, mode="clip")
        high = column.take(index + 1, mode="clip")
        high -= low
        high *= rest
        high += low
        return high

    def refuse_outside(self, enthalpy: Array) -> None:
        """Raise ValueError when an enthalpy lies outside the table or is not a number."""
        last = self.first + (_LOOKUP - 1) / self.per_entry
        rounding = 0.5 / self.per_entry  # food that settles at either end may pass it by a hair
        if not (enthalpy.min() >= self.first - rounding and enthalpy.max() <= last + rounding):
            raise ValueError(
                f"a temperature left the range {self.table.temperature_C[0]:g} to "
                f"{self.table.temperature_C[-1]:g} C that the food's properties are known for"
            )

    def enthalpy(self, temperature_C: Array) -> Array:
        """Enthalpy of a temperature [J/m3]."""
        return np.interp(temperature_C, self.table.temperature_C, self.table.enthalpy_J_m3)


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
        if not (field_C.min() >= low and field_C.max() <= high):
            raise ValueError(f"food temperatures must lie between {low:g} and {high:g} C")
        self.lookup = Lookup(table)
        self.enthalpy = self.lookup.enthalpy(field_C)
        self.factor = conductivity_factor
        self.film = 1 / h_W_m2K
        self.axes = [
            _Line(axis, number, field_C.shape[1:], scale, conductivity_factor)
            for number, axis in enumerate(body.axes, start=1)
        ]
        self._fastest_per_m2 = sum(line.fastest_per_m2 for line in self.axes)
        self._wanted_s = _FIRST_STEP_s
        capacity = (table.enthalpy_J_m3[-1] - table.enthalpy_J_m3[-2]) / (high - float(table.temperature_C[-2]))
        self._tolerance_J_m3 = _STEP_ERROR_K * float(capacity)

    def march(self, ambient_C: Array, longest_s: float) -> float:
        """One step under a steady ambient, shape (b,); returns its length [s], at most `longest_s`.

        The step is as long as an estimate of its error allows: the sudden moves when a front reaches the
        core, or a piece meets the bath, get short ones.
        """
        top = self.lookup.read(self.lookup.diffusivity, self.lookup.place(self.enthalpy))
        fastest = float((top * self._wide(self.factor)).max()) * self._fastest_per_m2
        explicit = 0.9 * 2 / fastest
        most = explicit * (_MOST_INNER**2 + _MOST_INNER - 2) / 4

        def rate(u: Array) -> Array:
            return self._inflow(u, ambient_C)

        before = rate(self.enthalpy)
        while True:
            step = min(self._wanted_s, most, longest_s)
            inner = max(3, int(np.ceil((np.sqrt(9 + 16 * step / explicit) - 1) / 2)))
            after = _legendre_step(self.enthalpy, before, step, inner, rate)
            # Both ends' values and rates agree on a cubic only as far as the step was accurate; third order.
            off = 0.8 * (self.enthalpy - after) + 0.4 * step * (before + rate(after))
            error = float(np.abs(off).max()) / self._tolerance_J_m3
            change = min(2.0, max(0.2, 0.8 / max(error, 1e-6) ** (1 / 3)))
            if error <= 1 or step <= explicit:
                self.lookup.refuse_outside(after)
                self.enthalpy = after
                if change < 1 or step >= self._wanted_s:
                    self._wanted_s = step * change
                return step
            self._wanted_s = step * min(change, 0.8)

    def temperature_C(self) -> Array:
        """Shell temperatures now, shape (b, ...) [degC]."""
        return self.lookup.read(self.lookup.temperature, self.lookup.place(self.enthalpy))

    def core_mean_surface_C(self, ambient_C: Array) -> tuple[Array, Array, Array]:
        """Core, mean and mid-face surface temperatures, shape (b,) each [degC]."""
        field = self.temperature_C()
        core, mean = field, field
        for line in reversed(self.axes[1:]):
            core = self._centre(core)
            mean = mean @ line.share
        first = self.axes[0]
        face = core[..., -1]
        table = self.lookup.table
        conductivity = np.interp(face, table.temperature_C, table.conductivity_W_mK) * self.factor
        skin = first.half_width_m / conductivity
        surface = (ambient_C / self.film + face / skin) / (1 / self.film + 1 / skin)
        return self._centre(core), mean @ first.share, surface

    def _centre(self, field: Array) -> Array:
        """Temperature at the start of the last axis: even symmetry through its first two shells.

        A front between those two, or between them and the centre, leaves no parabola to follow: the centre
        then stays on its shell's side of the freezing point.
        """
        nearest, next_ = field[..., 0], field[..., 1]
        limit = self.lookup.table.initial_freezing_C
        thawed = nearest >= limit
        centre = nearest + (nearest - next_) / 8
        kept = np.where(thawed, np.maximum(centre, limit), np.minimum(centre, limit))
        return np.where(thawed == (next_ >= limit), kept, nearest)

    def _wide(self, per_body: Array) -> Array:
        return per_body.reshape((-1,) + (1,) * len(self.axes))

    def _inflow(self, enthalpy: Array, ambient_C: Array) -> Array:
        """Rate of change of the enthalpy of every shell [W/m3]."""
        lookup = self.lookup
        index, rest = lookup.place(enthalpy)
        potential = lookup.read(lookup.potential, (index, rest))
        out = np.zeros_like(enthalpy)
        outside = ambient_C.reshape((-1,) + (1,) * (len(self.axes) - 1))
        film = self.film.reshape(outside.shape)
        for line in self.axes:
            flow = potential[line.outer] - potential[line.inner]
            if line.is_even:
                flow *= line.inner_gain
                out[line.inner] += flow
                out[line.outer] -= flow
            else:
                out[line.inner] += flow * line.inner_gain
                out[line.outer] -= flow * line.outer_gain
            last = (index[line.last], rest[line.last])
            resistance = film + line.skin_m / lookup.read(lookup.conductivity, last)
            out[line.last] += (outside - lookup.read(lookup.temperature, last)) / resistance * line.last_per_volume
        return out


class _Line:
    """One axis of a batch cut into shells: geometry, and slices that pick its shells out of a field.

    number : which axis of the field it is;  shells : shape of one body's field
    scale, factor : on size and conductivity, shape (b,)
    """

    def __init__(self, axis: Axis, number: int, shells: tuple[int, ...], scale: Array, factor: Array) -> None:
        count = shells[0]
        unit = cells(axis.order, count)
        half = axis.half_m * scale

        def along(values: Array) -> Array:
            """Shape (b, m) spread so that m lies along this axis of a field."""
            shape = [1] * len(shells)
            shape[number - 1] = -1
            return values.reshape(values.shape[0], *shape)

        def across(values: Array) -> Array:
            """Shape (b,) spread over the other axes of a field."""
            return values.reshape((-1,) + (1,) * (len(shells) - 1))

        self.inner = _pick(number, slice(None, -1))
        self.outer = _pick(number, slice(1, None))
        self.last = _pick(number, -1)
        self.half_width_m = half / count / 2
        conductance = unit.inner_area / (half / count * (1 / factor))[:, None]
        per_volume = 1 / (half[:, None] * unit.volume)
        # What a step of the potential brings the shell inside of it, and takes from the one outside.
        self.inner_gain = along(conductance * per_volume[:, :-1])
        self.outer_gain = along(conductance * per_volume[:, 1:])
        self.is_even = axis.order == 1  # shells alike, and so their gains
        self.last_per_volume = across(per_volume[:, -1])
        # Divided by the conductivity of the table, this is the resistance of the last half shell.
        self.skin_m = across(self.half_width_m / factor)
        self.share = unit.volume / unit.volume.sum()
        # The inmost shell of a ball is stiffer than a straight one, so ask the operator for its fastest
        # decay; a Biot number beyond any real one stands in for every surface.
        stiffest = float(axis_modes(axis.order, 1e9, count).decay[-1])
        self.fastest_per_m2 = stiffest / float(half.min()) ** 2


def _pick(number: int, what: slice | int) -> tuple[slice | int, ...]:
    """An index that takes `what` on axis `number` and all before it."""
    return (*(slice(None),) * number, what)


@lru_cache(maxsize=512)
def _coefficients(inner: int) -> tuple[tuple[float, float, float, float], ...]:
    b = [1 / 3, 1 / 3, 1 / 3] + [(j * j + j - 2) / (2 * j * (j + 1)) for j in range(3, inner + 1)]
    w = 4 / (inner * inner + inner - 2)
    rows = [(b[1] * w, 0.0, 0.0, 0.0)]
    for j in range(2, inner + 1):
        mu = (2 * j - 1) / j * b[j] / b[j - 1]
        nu = -(j - 1) / j * b[j] / b[j - 2]
        rows.append((mu, nu, mu * w, -(1 - b[j - 1]) * mu * w))
    return tuple(rows)


def _legendre_step(u: Array, first: Array, step: float, inner: int, rate: RateOf) -> Array:
    """One Runge-Kutta-Legendre step of second order with `inner` evaluations; `first` is rate(u)."""
    rows = _coefficients(inner)
    first_rate = step * first
    before, now = u.copy(), u + rows[0][0] * first_rate
    part = np.empty_like(u)
    for mu, nu, mu_rate, gamma in rows[1:]:
        # In place, since the arrays are small and many: mu now + nu before + (1 - mu - nu) u + the two rates.
        after = rate(now)
        after *= mu_rate * step
        before *= nu
        after += before
        for factor, field in ((mu, now), (1 - mu - nu, u), (gamma, first_rate)):
            after += np.multiply(field, factor, out=part)
        before, now = now, after
    return now


class RateOf(Protocol):
    """Rate of change of a field."""

    def __call__(self, u: Array, /) -> Array: ...
