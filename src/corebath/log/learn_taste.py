"""This cook's taste, and how far the outcome models are off, learned from rated cooks.

For every quality the latent rating of a cook is

    u = (m - m0) / step - taste - bias + slope_K (T - T0) + slope_decade log10(t / t0),    in rating steps,

where m is what the outcome model says, m0, T0 and t0 stand for the middle of common practice for the wanted
result, and u = 0 is just right. `taste` is one figure for all foods of a pool (meat of the land, fish, plants,
eggs); `bias` and the two slopes belong to one food class and say where the outcome model is off. All start at
0 with the published spread of the models, so one food's ratings move the others a little: partial pooling.
Taste and bias of a single class cannot be told apart; only their sum matters for the next cook.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from math import isfinite, log10

import numpy as np
from numpy.typing import NDArray

from corebath.outcome.results import Result, results_for

from .cook import Rating
from .learn_drive import QUALITIES, Measure, Settings, drive, figures, measure, usual
from .learn_laplace import Answers, laplace

Floats = NDArray[np.float64]
_LOCAL = 3  # parameters of a class: bias, slope per kelvin, slope per decade of hours


@dataclass(frozen=True, slots=True)
class Loose:
    """A rating told in words that leave room: somewhere from `low` to `high`, both -2 to 2.

    Raises ValueError outside that, or when low is above high.
    """

    quality: str
    low: int
    high: int

    def __post_init__(self) -> None:
        if self.quality not in QUALITIES or not -2 <= self.low <= self.high <= 2:
            raise ValueError(f"a loose rating is of {', '.join(QUALITIES)}, from -2 to 2, the lower first")


@dataclass(frozen=True, slots=True)
class CookedOutcome:
    """One cook as learning needs it.

    name, cooked_at : what the cook calls it and its date, with a zone
    food : name of the food;  texture, kind : its class, as in the catalogue
    settings : how it was cooked;  thickness_m : of the piece [m]
    rating : exact answers;  loose : answers that leave room, for qualities the rating leaves out
    result : what was wanted, None when only a temperature was
    questions : what the words of the rating leave open
    timed : whether its time in the bath was told; where not, its hours are the plan's, and nothing is learned from it
    """

    name: str
    cooked_at: datetime
    food: str
    texture: str
    kind: str
    settings: Settings
    thickness_m: float
    rating: Rating
    loose: tuple[Loose, ...] = ()
    result: Result | None = None
    questions: tuple[str, ...] = ()
    timed: bool = True

    def told(self, quality: str) -> tuple[int, int] | None:
        """The range a quality was rated in, both ends included; None when nothing was told."""
        exact = getattr(self.rating, quality)
        if exact is not None:
            return exact, exact
        return next(((x.low, x.high) for x in self.loose if x.quality == quality), None)


@dataclass(frozen=True, slots=True)
class Foreseen:
    """Latent ratings at n settings, in steps from just right.

    mean, sd : shape (n,);  beyond : where the outcome model stands at the edge of what was measured
    moved, moved_sd : the difference to the first of the settings, and how well that is known, shape (n,)
    offset, rows : u = offset + rows . theta, shapes (n,) and (n, k)
    """

    mean: Floats
    sd: Floats
    beyond: NDArray[np.bool_]
    moved: Floats
    moved_sd: Floats
    offset: Floats
    rows: Floats


@dataclass(frozen=True, slots=True)
class Learned:
    """One quality of one food class.

    theta, covariance : taste, then bias and slopes of the class asked for, then those of others
    anchor : the middle of common practice;  measure : scale and prior
    count, elsewhere : answers of this class, and of other classes of its pool, that counted
    """

    quality: str
    texture: str
    kind: str
    anchor: Settings
    theta: Floats
    covariance: Floats
    measure: Measure
    count: int
    elsewhere: int

    @property
    def taste(self) -> tuple[float, float]:
        """Where this cook's taste lies against common practice [steps], and its standard deviation."""
        return float(self.theta[0]), float(self.covariance[0, 0] ** 0.5)

    @property
    def bias(self) -> tuple[float, float]:
        """How much more of the quality than the model says it takes in this class [steps], and its deviation."""
        return float(self.theta[1]), float(self.covariance[1, 1] ** 0.5)

    def foresee(self, settings: Sequence[Settings]) -> Foreseen:
        """What it would be rated at some settings; NaN where no model says anything."""
        offset, local, beyond = _features(self.quality, self.texture, self.kind, self.anchor, self.measure, settings)
        rows = np.zeros((len(settings), self.theta.size))
        rows[:, 0], rows[:, 1 : 1 + _LOCAL] = -1.0, local
        mean = offset + rows @ self.theta
        return Foreseen(
            mean=mean,
            sd=self._sd(rows),
            beyond=beyond,
            moved=mean - mean[0],
            moved_sd=self._sd(rows - rows[0]),
            offset=offset,
            rows=rows,
        )

    def draws(self, seen: Foreseen) -> Floats:
        """Samples of what was foreseen, shape (d, n); the same parameters are drawn each time."""
        figure = figures()["advice"]
        z = np.random.default_rng(figure["seed"]).standard_normal((figure["draws"], self.theta.size))
        sampled = self.theta + z @ np.linalg.cholesky(self.covariance).T
        return np.asarray(seen.offset + sampled @ seen.rows.T)

    def _sd(self, rows: Floats) -> Floats:
        return np.asarray(np.sqrt(np.maximum(np.einsum("ij,jk,ik->i", rows, self.covariance, rows), 0.0)))


def learn(cooks: Sequence[CookedOutcome], texture: str, kind: str, result: Result) -> dict[str, Learned]:
    """What rated cooks teach about one food class and one wanted result; the order of the cooks is nothing.

    Returns one entry for every quality an outcome model covers, at its prior when nothing was told of it.
    Cooks of foods outside the pool of `kind` teach nothing. Raises ValueError for an unknown texture or kind.
    """
    pool = pool_of(kind)
    alike = [c for c in cooks if pool_of(c.kind) == pool]
    found: dict[str, Learned] = {}
    for quality in QUALITIES:
        scale = measure(quality, texture, kind)
        anchor = usual(texture, result)
        if scale is None or np.isnan(drive(quality, texture, kind, [anchor])[0][0]):
            continue
        found[quality] = _learn(quality, alike, texture, kind, result, scale)
    return found


def pool_of(kind: str) -> str:
    """The pool of foods a kind shares its taste with. Raises ValueError for a word that is no kind."""
    for name, kinds in figures()["pools"].items():
        if name != "source" and str(kind) in kinds:
            return str(name)
    raise ValueError(f"{kind!r} is no kind of food")


def wish_of(cook: CookedOutcome, asked: Result | None = None) -> Result:
    """The result a cook was after: as told, or by its temperature.

    asked : the result asked for now; a temperature in its band or close by counts as meant for it
    """
    if cook.result is not None:
        return cook.result
    near_K, set_point_C = figures()["advice"]["near_K"], cook.settings.set_point_C
    if (
        asked is not None
        and asked.texture == cook.texture
        and (asked.low_C - near_K <= set_point_C <= asked.high_C + near_K)
    ):
        return asked
    return nearest_result(cook.texture, set_point_C)


def nearest_result(texture: str, set_point_C: float) -> Result:
    """The result of a class whose usual set point lies nearest; the cooler of two."""
    return min(results_for(texture), key=lambda r: abs(r.set_point_C - set_point_C))


def _learn(
    quality: str, cooks: list[CookedOutcome], texture: str, kind: str, result: Result, scale: Measure
) -> Learned:
    groups: dict[tuple[str, str], Measure] = {(texture, kind): scale}
    used: list[tuple[CookedOutcome, Measure]] = []
    for cook in cooks:
        its = measure(quality, cook.texture, cook.kind)
        if its is not None and cook.told(quality) is not None:
            groups.setdefault((cook.texture, cook.kind), its)
            used.append((cook, its))
    place = {group: 1 + _LOCAL * i for i, group in enumerate(sorted(groups, key=lambda g: (g != (texture, kind), g)))}
    size = 1 + _LOCAL * len(groups)
    prior = np.empty(size)
    prior[0] = scale.taste
    for group, its in groups.items():
        at = place[group]
        # A slope of which nothing is known to be wrong keeps its value: a spread too small to move.
        prior[at : at + _LOCAL] = np.maximum((its.bias, its.per_K, its.per_decade), 1e-6)
    rows, cuts, count = [], [], 0
    anchor = usual(texture, result)
    inner = figures()["scale"]["cuts"]
    for cook, its in used:
        base = usual(cook.texture, wish_of(cook, result))
        offset, local, beyond = _features(quality, cook.texture, cook.kind, base, its, [cook.settings])
        told = cook.told(quality)
        if told is None or not isfinite(offset[0]):
            continue
        row = np.zeros(size)
        at = place[cook.texture, cook.kind]
        row[0], row[at : at + _LOCAL] = -1.0, local[0]
        sd = its.noise if not beyond[0] else float(np.hypot(its.noise, its.beyond))
        rows.append(row)
        cuts.append((
            offset[0],
            -np.inf if told[0] == -2 else inner[told[0] + 1],
            np.inf if told[1] == 2 else inner[told[1] + 2],
            sd,
        ))  # fmt: skip
        count += (cook.texture, cook.kind) == (texture, kind)
    column = np.array(cuts).reshape(-1, 4).T
    answers = Answers(np.array(rows).reshape(-1, size), column[0], column[1], column[2], column[3])
    theta, covariance = laplace(answers, prior)
    return Learned(quality, texture, kind, anchor, theta, covariance, scale, count, len(rows) - count)


def _features(
    quality: str, texture: str, kind: str, anchor: Settings, scale: Measure, settings: Sequence[Settings]
) -> tuple[Floats, Floats, NDArray[np.bool_]]:
    """Offset (n,) and the columns of bias and slopes (n, 3), in rating steps; the last says where beyond."""
    value, beyond = drive(quality, texture, kind, [*settings, anchor])
    offset = (value[:-1] - value[-1]) / scale.step
    local = np.array([
        [-1.0, s.set_point_C - anchor.set_point_C, log10(s.hours / anchor.hours)] for s in settings
    ])  # fmt: skip
    return offset, local.reshape(-1, _LOCAL), beyond[:-1]
