"""What core readings say of the piece: thickness, diffusivity, contact with the bath, and so when it is ready.

The plan's spreads are the prior, normal in each standardised input; a reading is the core by the heat engine plus
the probe's bias plus noise. Gauss-Newton finds the most probable inputs and the curvature there gives their spread
(Laplace; Gelman and others, Bayesian Data Analysis, ch. 4, method from memory). Times and temperatures that follow
are linearised along the axes of that spread, times in their logarithm.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import exp, isfinite
from statistics import NormalDist
from typing import Any

import numpy as np

from corebath.heat.engine import simulate
from corebath.heat.grid import Array
from corebath.heat.history import first_crossing
from corebath.heat.stage import Stage
from corebath.plan.data import defaults, spreads
from corebath.plan.piece import INPUTS, Inputs, Piece
from corebath.safety.lethality import LethalityRule
from corebath.units import mark

from .settings import settings

_ROUNDS, _STILL = 20, 1e-3
_STEP = 0.05  # standard deviations: small against the prior, large against the rounding of a solve
_FARTHEST = 4.0  # standard deviations; beyond them the readings belong to something else
_ROWS = 200
_LONGEST_s = 30 * 86_400.0


@dataclass(frozen=True, slots=True)
class Interval:
    """A figure with the interval that should hold it nine times in ten; `high` may be infinite."""

    low: float
    middle: float
    high: float


@dataclass(frozen=True, slots=True)
class Course:
    """The core over time and the interval that should hold it nine times in ten at each moment; shape (n,) each.

    time_s : from drop-in, rising [s];  low_C, middle_C, high_C : [degC]
    """

    time_s: Array
    low_C: Array
    middle_C: Array
    high_C: Array


@dataclass(frozen=True, slots=True)
class Estimate:
    """A piece as its core readings show it.

    piece : with the most probable inputs
    thickness_factor, diffusivity_factor : on what was measured or taken from the table [-]
    h_W_m2K : contact with the bath [W/(m2 K)];  start_C : at drop-in [degC];  probe_bias_K : read too high [K]
    core_now_C : the core at the moment asked for [degC];  course : the core over time, and on past that moment
    hot_s : core within half a degree of the bath [s];  rules_s : each rule met at the core [s], all from drop-in
    ready_s : the latest of them; hours for tenderness are not among them [s]
    misfit : scatter about the fit over what the readings should show, about 1 when all is well [-]
    readings : how many were used, after averaging
    z, covariance : most probable inputs in prior standard deviations, shape (6,), and their spread, shape (6, 6);
        in the order of `plan.piece.INPUTS`, then the probe's bias
    """

    piece: Piece
    thickness_factor: Interval
    diffusivity_factor: Interval
    h_W_m2K: Interval
    start_C: Interval
    probe_bias_K: Interval
    core_now_C: Interval
    course: Course
    hot_s: Interval
    rules_s: dict[str, Interval]
    ready_s: Interval
    misfit: float
    readings: int
    z: Array
    covariance: Array

    @property
    def doubtful(self) -> bool:
        """True when the readings do not fit such a piece, so that nothing should be concluded from them."""
        return bool(self.misfit > _settings()["misfit"]["doubtful"])


def estimate(
    piece: Piece,
    time_s: Sequence[float] | Array,
    core_C: Sequence[float] | Array,
    *,
    now_s: float,
    bath: Stage | None = None,
    rules: Sequence[LethalityRule] = (),
) -> Estimate:
    """Update a piece by readings of its core.

    piece : as planned;  time_s, core_C : readings, seconds from drop-in, shape (n,), n >= 0 [s], [degC]
    now_s : moment for which the core is wanted, 0 or more [s]
    bath : the bath as measured from drop-in on; after its end the bath stands at `piece.bath_C`; None when it does so
        throughout
    rules : heat treatments whose times are wanted

    With no readings the answer is the plan's own spread. Raises ValueError for arrays that do not match, values that
    are not finite, times before drop-in or beyond 30 days.
    """
    times, cores = _averaged(*_checked(time_s, core_C, now_s))
    if bath is None and (piece.dip_K is not None or piece.wait is not None):
        bath = _as_planned(piece)
    model = _Model(piece, bath)
    z, jacobian, left = _most_probable(model, times, cores)
    noise = float(_settings()["probe"]["noise_sd_K"])
    covariance = np.asarray(np.linalg.inv(jacobian.T @ jacobian / noise**2 + np.eye(z.size)), dtype=np.float64)
    misfit = float(np.sqrt(np.mean((left / noise) ** 2))) if left.size else 0.0
    if misfit > _settings()["misfit"]["doubtful"]:
        covariance = covariance * misfit**2
    ahead = _Ahead(model, z, covariance, now_s, rules)
    return Estimate(
        piece=piece.deviated(z[:-1]),
        thickness_factor=_factor(z, covariance, "thickness"),
        diffusivity_factor=_factor(z, covariance, "diffusivity"),
        h_W_m2K=_scaled(_factor(z, covariance, "surface"), piece.h_W_m2K),
        start_C=_shifted(z, covariance, INPUTS.index("start"), spreads()["start"]["absolute_K"], piece.start_C),
        probe_bias_K=_shifted(z, covariance, len(INPUTS), _settings()["probe"]["bias_sd_K"], 0.0),
        core_now_C=ahead.core_now_C(),
        course=ahead.course(),
        hot_s=ahead.hot_s(),
        rules_s={rule.key: ahead.met_s(rule) for rule in rules},
        ready_s=ahead.ready_s(),
        misfit=misfit,
        readings=int(times.size),
        z=z,
        covariance=covariance,
    )


class _Model:
    """Cores of deviated pieces in the bath as measured and as it will go on."""

    def __init__(self, piece: Piece, bath: Stage | None) -> None:
        self.piece, self.bath = piece, bath

    def cores_C(self, z: Array, time_s: Array) -> Array:
        """Cores of every row of inputs, shape (s, 5), at rising times, shape (t,); returns (s, t) [degC]."""
        if time_s.size == 0:
            return np.zeros((z.shape[0], 0))
        if self.bath is None:
            return Inputs(self.piece, z).cores_C(self.piece, time_s)
        return np.stack([self._in_measured(self.piece.deviated(row), time_s) for row in z])

    def bath_C(self, z: Array) -> Array:
        """Where the bath of every row will stand in the end, shape (s,) [degC]."""
        return np.asarray(Inputs(self.piece, z).bath_C)

    def _in_measured(self, piece: Piece, time_s: Array) -> Array:
        assert self.bath is not None
        off_K = piece.bath_C - self.piece.bath_C
        last = max(float(time_s[-1]), 1.0)
        knots, around = self.bath.times_s, self.bath.ambient_C
        if knots[-1] < last:
            held = knots[-1] + np.array([1.0, max(2.0, last - knots[-1])])
            knots, around = np.append(knots, held), np.append(around, [self.piece.bath_C] * 2)
        stage = Stage.trace("bath", knots, around + off_K, piece.h_W_m2K)
        before = [] if piece.wait is None else [piece.wait]
        history = simulate(piece.body, piece.thermal, piece.start_C, [*before, stage]).history
        return np.interp(time_s, history.time_s - sum(s.duration_s for s in before), history.core_C)


def _most_probable(model: _Model, times: Array, cores: Array) -> tuple[Array, Array, Array]:
    """Inputs with the highest posterior density, shape (6,), the readings' Jacobian, (n, 6), and residuals, (n,)."""
    data = _settings()["probe"]
    noise, bias_sd = float(data["noise_sd_K"]), float(data["bias_sd_K"])
    count = len(INPUTS)
    z = np.zeros(count + 1)
    step = np.concatenate([np.zeros((1, count)), _STEP * np.eye(count), -_STEP * np.eye(count)])

    def look(at: Array) -> tuple[Array, Array, float]:
        found = model.cores_C(at[:-1] + step, times)
        slopes = (found[1 : count + 1] - found[count + 1 :]) / (2 * _STEP)
        left = cores - found[0] - bias_sd * at[-1]
        columns = np.column_stack([slopes.T, np.full(times.size, bias_sd)])
        return columns, left, float(left @ left / noise**2 + at @ at)

    jacobian, left, cost = look(z)
    if times.size == 0:
        return z, jacobian, left
    damping = 0.0
    for _ in range(_ROUNDS):
        curvature = jacobian.T @ jacobian / noise**2 + (1 + damping) * np.eye(z.size)
        move = np.linalg.solve(curvature, jacobian.T @ left / noise**2 - z)
        tried = np.clip(z + move, -_FARTHEST, _FARTHEST)
        new_jacobian, new_left, new_cost = look(tried)
        if new_cost > cost:
            damping = max(10 * damping, 1.0)
            continue
        moved = float(np.abs(tried - z).max())
        z, jacobian, left, cost, damping = tried, new_jacobian, new_left, new_cost, damping / 10
        if moved < _STILL:
            break
    return z, jacobian, left


class _Ahead:
    """What follows from a posterior: the core now, and the times to come."""

    def __init__(
        self, model: _Model, z: Array, covariance: Array, now_s: float, rules: Sequence[LethalityRule]
    ) -> None:
        values, axes = np.linalg.eigh(covariance)
        along = (axes * np.sqrt(np.maximum(values, 0.0))).T
        self.rows = np.concatenate([z[None], z + along, z - along])[:, :-1].clip(-_FARTHEST, _FARTHEST)
        slowest = model.piece.deviated(z[:-1]).slowest_s()
        horizon = 13 * slowest * (2.0 if model.piece.is_frozen else 1.0)
        if model.bath is not None:
            horizon += model.bath.duration_s
        grid = max(horizon, 1.2 * now_s) * np.linspace(0.0, 1.0, _ROWS + 1) ** 2
        self.time_s = np.union1d(grid, [now_s])
        self.core = model.cores_C(self.rows, self.time_s)
        self.bath_C = model.bath_C(self.rows)
        self.now = int(np.searchsorted(self.time_s, now_s))
        self.rules = rules

    def core_now_C(self) -> Interval:
        now = self.core[:, self.now]
        width = _quantile() * float(np.linalg.norm(self._halves(now)))
        return Interval(float(now[0]) - width, float(now[0]), float(now[0]) + width)

    def course(self) -> Course:
        width = _quantile() * np.linalg.norm(self._halves(self.core), axis=0)
        return Course(self.time_s, self.core[0] - width, self.core[0], self.core[0] + width)

    def hot_s(self) -> Interval:
        return self._times(self._hot)

    def met_s(self, rule: LethalityRule) -> Interval:
        return self._times(lambda i: self._met(rule, i))

    def ready_s(self) -> Interval:
        return self._times(lambda i: max([self._hot(i), *(self._met(r, i) for r in self.rules)]))

    def _hot(self, i: int) -> float:
        within = defaults()["come_up"]["within_K"]
        return _or_never(first_crossing(self.time_s, self.core[i] - self.bath_C[i], -within))

    def _met(self, rule: LethalityRule, i: int) -> float:
        met = rule.met_at_s(self.time_s, self.core[i])
        if met is not None:
            return met
        missing = 1.0 - float(rule.achieved(self.time_s, self.core[i])[-1])
        return float(self.time_s[-1]) + missing * float(rule.hold_s(self.core[i, -1]))

    def _times(self, of: Callable[[int], float]) -> Interval:
        times = np.array([of(i) for i in range(self.rows.shape[0])])
        middle = float(times[0])
        if not isfinite(middle) or middle <= 0:
            return Interval(middle, middle, middle)
        if not np.all(np.isfinite(times)) or times.min() <= 0:
            finite = times[np.isfinite(times) & (times > 0)]
            return Interval(float(finite.min()), middle, float(times.max()))
        width = _quantile() * float(np.linalg.norm(self._halves(np.log(times))))
        return Interval(middle * exp(-width), middle, middle * exp(width))

    @staticmethod
    def _halves(values: Array) -> Array:
        """Half the change along each axis of the spread."""
        half = (values.shape[0] - 1) // 2
        return (values[1 : half + 1] - values[half + 1 :]) / 2


def _checked(times: Sequence[float] | Array, cores: Sequence[float] | Array, now_s: float) -> tuple[Array, Array]:
    t, y = np.asarray(times, dtype=np.float64), np.asarray(cores, dtype=np.float64)
    if t.ndim != 1 or t.shape != y.shape:
        raise ValueError(f"core readings need a time each: {t.size} times do not fit {y.size} temperatures")
    if not (np.all(np.isfinite(t)) and np.all(np.isfinite(y)) and isfinite(now_s)):
        raise ValueError("a core reading's time or temperature is not a number")
    if min([now_s, *t[:1], *([float(t.min())] if t.size else [])]) < 0:
        raise ValueError("core readings count from drop-in: their times must be 0 or more")
    if max([now_s, *([float(t.max())] if t.size else [])]) > _LONGEST_s:
        raise ValueError(f"core readings may reach {mark(_LONGEST_s, 's')} from drop-in at most")
    order = np.argsort(t, kind="stable")
    return t[order], y[order]


def _averaged(times: Array, cores: Array) -> tuple[Array, Array]:
    """At most so many readings, neighbours averaged."""
    most = int(_settings()["readings"]["most"])
    if times.size <= most:
        return times, cores
    parts = np.array_split(np.arange(times.size), most)
    return np.array([times[p].mean() for p in parts]), np.array([cores[p].mean() for p in parts])


def _as_planned(piece: Piece) -> Stage:
    """The planned bath, with its dip where it has one, as a stage."""
    times, fall = piece.dip_K if piece.dip_K is not None else (np.array([0.0, 1.0]), np.zeros(2))
    return Stage.trace("bath", times, piece.bath_C - fall, piece.h_W_m2K)


def _factor(z: Array, covariance: Array, name: str) -> Interval:
    i, sd = INPUTS.index(name), float(spreads()[name]["relative"])
    width = _quantile() * float(np.sqrt(covariance[i, i]))
    return Interval(*(exp(sd * (float(z[i]) + w)) for w in (-width, 0.0, width)))


def _scaled(interval: Interval, by: float) -> Interval:
    return Interval(interval.low * by, interval.middle * by, interval.high * by)


def _shifted(z: Array, covariance: Array, i: int, sd: float, base: float) -> Interval:
    width = _quantile() * float(np.sqrt(covariance[i, i]))
    return Interval(*(base + sd * (float(z[i]) + w) for w in (-width, 0.0, width)))


def _quantile() -> float:
    return NormalDist().inv_cdf((1 + float(_settings()["interval"]["share"])) / 2)


def _settings() -> dict[str, Any]:
    return settings("estimate")


def _or_never(time_s: float | None) -> float:
    return np.inf if time_s is None else time_s
