"""Lethality: how far a temperature history has come towards a rule's heat treatment."""

from __future__ import annotations

import itertools
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

# Below this step the antiderivative's difference loses digits and the midpoint is exact enough.
FLAT_K = 1e-5


@dataclass(frozen=True, slots=True)
class LethalityRule:
    """A heat treatment asked of the coldest point, as hold times against temperature.

    key, title : stable key, and what is asked in a few plain words
    authority : the body that wrote it
    target_log10 : reduction the treatment stands for [log10], None where the authority names none
    source : citation
    temps_C : rising temperatures of the rows [degC]; nothing is credited below the first
    dwell_s : hold time that meets the rule at each row, falling, above zero [s]
    instant_C : temperature at which the rule is met at once, None where the authority prints none [degC]

    Between rows the hold time is log-linear in temperature; above the last row its hold time stands, so a
    table is never read past its end. Raises ValueError for rows that do not rise in temperature and fall in
    time, and for a rule with neither a row nor an instant temperature.
    """

    key: str
    title: str
    authority: str
    target_log10: float | None
    source: str
    temps_C: tuple[float, ...]
    dwell_s: tuple[float, ...]
    instant_C: float | None = None

    def __post_init__(self) -> None:
        t, d = self.temps_C, self.dwell_s
        if len(t) != len(d):
            raise ValueError(f"rule {self.key}: every row needs a temperature and a hold time")
        if not t and self.instant_C is None:
            raise ValueError(f"rule {self.key}: needs a row or an instant temperature")
        if not all(np.isfinite((*t, *d))) or any(s <= 0 for s in d):
            raise ValueError(f"rule {self.key}: hold times must be finite and above zero")
        if any(b <= a for a, b in itertools.pairwise(t)):
            raise ValueError(f"rule {self.key}: temperatures must rise from row to row")
        if any(b >= a for a, b in itertools.pairwise(d)):
            raise ValueError(f"rule {self.key}: hold times must fall from row to row")
        if self.instant_C is not None and t and self.instant_C <= t[-1]:
            raise ValueError(f"rule {self.key}: the instant temperature must lie above the last row")

    @property
    def lowest_C(self) -> float:
        """Lowest temperature the rule credits at all [degC]."""
        return self.temps_C[0] if self.temps_C else float(self.instant_C or 0.0)

    def rate_per_s(self, core_C: ArrayLike) -> Floats:
        """Fraction of the whole requirement met per second at a temperature, any shape [1/s].

        0 below the first row, infinite at and above the instant temperature.
        """
        T = np.asarray(core_C, dtype=np.float64)
        rate = _curve(self.temps_C, self.dwell_s).rate(T)
        return rate if self.instant_C is None else np.where(self.instant_C <= T, np.inf, rate)

    def hold_s(self, core_C: ArrayLike) -> Floats:
        """Hold time that meets the rule at a steady temperature, any shape [s]; inf below the first row."""
        with np.errstate(divide="ignore"):
            return np.asarray(1.0 / self.rate_per_s(core_C))

    def achieved(self, time_s: ArrayLike, core_C: ArrayLike) -> Floats:
        """Fraction of the requirement met so far, 1.0 = met [-].

        time_s : shape (n,), never falling [s]; core_C : shape (..., n), linear between samples [degC];
        returns (..., n), exact for that polyline. Reaching `instant_C` lifts the fraction to at least 1.
        Raises ValueError for shapes that do not fit, times that fall and values that are not finite.
        """
        t, T = checked_history(time_s, core_C)
        done = _curve(self.temps_C, self.dwell_s).integral(t, T)
        if self.instant_C is not None:
            instant = np.maximum.accumulate(self.instant_C <= T, axis=-1)
            np.maximum(done, 1.0, out=done, where=instant)
        return done

    def met_at_s(self, time_s: ArrayLike, core_C: ArrayLike) -> float | None:
        """First time one history, shape (n,), has met the rule [s], or None; found within the step."""
        t, T = checked_history(time_s, core_C)
        curve = _curve(self.temps_C, self.dwell_s)
        done = curve.integral(t, T)
        times = []
        if done[-1] >= 1.0:
            i = int(np.argmax(done >= 1.0))
            times.append(curve.time_in_step(t[i - 1 : i + 1], T[i - 1 : i + 1], 1.0 - float(done[i - 1])))
        if self.instant_C is not None and T.max() >= self.instant_C:
            i = int(np.argmax(self.instant_C <= T))
            share = 1.0 if i == 0 else (self.instant_C - T[i - 1]) / (T[i] - T[i - 1])
            times.append(float(t[max(i - 1, 0)] + share * (t[i] - t[max(i - 1, 0)])))
        return min(times, default=None)


def log10_reduction(
    time_s: ArrayLike,
    core_C: ArrayLike,
    *,
    D_ref_s: float,
    T_ref_C: float,
    z_K: float,
    floor_C: float,
    ceiling_C: float,
) -> Floats:
    """Decimal reductions of an organism along a history, cumulative [log10].

    The log-linear law D(T) = D_ref 10^((T_ref - T)/z), integrated exactly for temperatures linear between
    samples. Nothing is credited below `floor_C`; above `ceiling_C` the reduction stays as fast as there,
    since the parameters are not supported past it.

    time_s : shape (n,) [s]; core_C : shape (..., n) [degC]; D_ref_s : time for one reduction at T_ref_C [s];
    z_K : step in temperature that changes D tenfold [K]; returns shape (..., n).
    Raises ValueError for a D or z not above zero and for a floor not below the ceiling.
    """
    if not D_ref_s > 0 or not z_K > 0:
        raise ValueError(f"D and z must be above zero, not {D_ref_s} s and {z_K} K")
    if not floor_C < ceiling_C:
        raise ValueError(f"the lowest credited temperature {floor_C} must lie below the highest, {ceiling_C}")
    t, T = checked_history(time_s, core_C)
    ends = (float(floor_C), float(ceiling_C))
    return _curve(ends, d_values_s(ends, D_ref_s, T_ref_C, z_K)).integral(t, T)


def d_values_s(temps_C: tuple[float, ...], D_ref_s: float, T_ref_C: float, z_K: float) -> tuple[float, ...]:
    """Time for one decimal reduction at each temperature, by the log-linear law [s]."""
    return tuple(float(D_ref_s * 10.0 ** ((T_ref_C - T) / z_K)) for T in temps_C)


@dataclass(frozen=True, slots=True)
class _Curve:
    """Rate over temperature in pieces: rate = exp(a + b T), its integral over T = c + d T + rate e."""

    knots: Floats
    a: Floats
    b: Floats
    c: Floats
    d: Floats
    e: Floats

    def rate(self, T: Floats) -> Floats:
        i = np.searchsorted(self.knots, T, side="right")
        return np.asarray(np.exp(self.a[i] + self.b[i] * T))

    def integral(self, t: Floats, T: Floats) -> Floats:
        """Cumulative integral of the rate over time, temperature linear between samples."""
        out = np.zeros_like(T)
        if self.knots.size == 0 or t.size < 2:
            return out
        i = np.searchsorted(self.knots, T, side="right")
        G = self.c[i] + self.d[i] * T
        G += np.exp(self.a[i] + self.b[i] * T) * self.e[i]
        step = np.diff(T)
        flat = np.abs(step) <= FLAT_K
        mean = np.divide(np.diff(G), step, where=~flat, out=np.zeros_like(step))
        if flat.any():
            mean[flat] = self.rate(0.5 * (T[..., 1:] + T[..., :-1])[flat])
        np.cumsum(mean * np.diff(t), axis=-1, out=out[..., 1:])
        return out

    def time_in_step(self, t: Floats, T: Floats, need: float) -> float:
        """Time within one step at which `need` more has been integrated, to a thousandth of the step [s]."""
        fine = np.linspace(t[0], t[1], 129)
        done = self.integral(fine, np.linspace(T[0], T[1], 129))
        return float(np.interp(need, done, fine))


@lru_cache(maxsize=256)
def _curve(temps_C: tuple[float, ...], dwell_s: tuple[float, ...]) -> _Curve:
    """The pieces of a hold-time table; piece 0 lies below the first row, the last above the last row."""
    T, n = np.array(temps_C), len(temps_C)
    a, b = np.full(n + 1, -np.inf), np.zeros(n + 1)
    c, d, e = np.zeros(n + 1), np.zeros(n + 1), np.zeros(n + 1)
    if n:
        log_rate = -np.log(dwell_s)
        rate = 1.0 / np.array(dwell_s)
        b[1:n] = np.diff(log_rate) / np.diff(T)
        a[1:] = log_rate - b[1:] * T
        e[1:n] = 1.0 / b[1:n]
        area = np.concatenate([[0.0], np.cumsum(np.diff(rate) * e[1:n])])
        c[1:] = area - rate * e[1:]
        d[n] = rate[-1]
        c[n] = area[-1] - rate[-1] * T[-1]
    return _Curve(T, a, b, c, d, e)


def checked_history(time_s: ArrayLike, core_C: ArrayLike) -> tuple[Floats, Floats]:
    """The arrays of a history, (n,) and (..., n), or a ValueError that says what is wrong with them."""
    t, T = np.asarray(time_s, dtype=np.float64), np.asarray(core_C, dtype=np.float64)
    if t.ndim != 1 or t.size == 0 or T.shape[-1:] != t.shape:
        raise ValueError(f"times of shape {t.shape} do not fit temperatures of shape {T.shape}")
    if not (np.isfinite(t).all() and np.isfinite(T).all()):
        raise ValueError("a time or temperature of the history is not a number")
    if t.size > 1 and np.diff(t).min() < 0:
        raise ValueError("the times of a history must never fall")
    return t, T
