"""How long: come-up and lethality of a piece, with their spread.

An unfrozen piece is sampled: several hundred pieces with inputs drawn from their stated spreads, all solved
together. A frozen piece is too dear for that, so the logarithm of each time is linearised in the inputs from
paired solves. Either way the worst 1 in 20 is reported as the cautious time, and the most likely set of
inputs that leads to it becomes the cautious piece, whose history every finding is read from.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cache, lru_cache
from statistics import NormalDist

import numpy as np

from corebath.heat.body import Body
from corebath.heat.grid import Array
from corebath.heat.material import Material
from corebath.safety.lethality import LethalityRule

from .data import defaults, spreads
from .piece import INPUTS, Inputs, Piece, shares_left, slowest_s

_ROWS = 200


@dataclass(frozen=True, slots=True)
class Span:
    """One time with its spread [s]: early 5 %, nominal inputs, and cautious 95 %; infinite when never."""

    early_s: float
    nominal_s: float
    cautious_s: float


@dataclass(frozen=True, slots=True)
class Timing:
    """The times of a piece at one set point.

    come_up : core within half a degree of the bath
    lethality : for each rule key, the time its requirement is met at the core
    told : likewise for rules that govern nothing
    cautious : the piece with the most likely inputs that make the governing time cautious
    """

    come_up: Span
    lethality: dict[str, Span]
    cautious: Piece
    told: dict[str, Span] = field(default_factory=dict)

    @property
    def governing_s(self) -> float:
        """The later of come-up and all lethality, cautious [s]; infinite when a rule is never met."""
        return max([self.come_up.cautious_s, *(s.cautious_s for s in self.lethality.values())])


def time_piece(piece: Piece, rules: Sequence[LethalityRule], told: Sequence[LethalityRule] = ()) -> Timing:
    """Come-up and lethality of a piece with their spread. Rules may be none; those told do not govern."""
    z = _paired() if piece.is_frozen else _drawn()
    inputs = Inputs(piece, z)
    if piece.is_frozen:
        time_s = _times_s(2.5 * piece.slowest_s())
        core = inputs.cores_C(piece, time_s)
    else:
        time_s, left = _drawn_left(piece.body, piece.thermal.warm, piece.h_W_m2K)
        core = inputs.cores_from(left)
    within = defaults()["come_up"]["within_K"]
    times = {"": _crossing(time_s, core - inputs.bath_C[:, None], -within)}
    for rule in rules:
        times[rule.key] = _met(rule, time_s, core)
    spans = {key: _span(z, t, linear=piece.is_frozen) for key, t in times.items()}
    governing = max(spans, key=lambda key: spans[key].cautious_s)
    direction = _direction(z, times[governing])
    return Timing(
        come_up=spans.pop(""),
        lethality=spans,
        cautious=piece.deviated(_normal_quantile(spreads()["sampling"]["cautious_share"]) * direction),
        told={rule.key: _span(z, _met(rule, time_s, core), linear=piece.is_frozen) for rule in told},
    )


@lru_cache(maxsize=8)
def _drawn_left(body: Body, material: Material, h_W_m2K: float) -> tuple[Array, Array]:
    """Times and shares left of the drawn pieces. Kept, since one solution serves every start and bath."""
    time_s = _times_s(1.3 * slowest_s(body, material, h_W_m2K))
    return time_s, shares_left(body, material, h_W_m2K, _drawn(), time_s)


def _times_s(scale_s: float) -> Array:
    return np.asarray(10 * scale_s * np.linspace(0.0, 1.0, _ROWS + 1) ** 2)


@cache
def _drawn() -> Array:
    """Standard normal inputs, the nominal piece first; the same draw for every plan, so plans compare."""
    rng = np.random.default_rng(20260)
    half = rng.standard_normal((spreads()["sampling"]["pieces"] // 2, len(INPUTS)))
    return np.concatenate([np.zeros((1, len(INPUTS))), half, -half])


@cache
def _paired() -> Array:
    """The nominal piece and each input one standard deviation either way."""
    eye = np.eye(len(INPUTS))
    return np.concatenate([np.zeros((1, len(INPUTS))), eye, -eye])


def _span(z: Array, times: Array, *, linear: bool) -> Span:
    shares = spreads()["sampling"]
    nominal = float(times[0])
    if linear:
        if not np.all(np.isfinite(times)):
            return Span(np.inf, nominal, np.inf)
        width = float(np.linalg.norm(_slopes(z, times)))
        low, high = (nominal * np.exp(width * _normal_quantile(shares[k])) for k in ("early_share", "cautious_share"))
        return Span(float(low), nominal, float(high))
    ordered = np.sort(times[1:])
    low, high = (_share_of(ordered, shares[k]) for k in ("early_share", "cautious_share"))
    return Span(low, nominal, high)


def _share_of(ordered: Array, share: float) -> float:
    """Order statistic at a share, upper neighbour: never interpolates into an infinite time."""
    return float(ordered[min(int(np.ceil(share * ordered.size)), ordered.size) - 1])


def _slopes(z: Array, times: Array) -> Array:
    """Change of log time per standard deviation of each input, by least squares, shape (5,)."""
    usable = np.isfinite(times) & (times > 0)
    if usable.sum() <= z.shape[1] + 1:
        return np.zeros(z.shape[1])
    columns = np.column_stack([np.ones(int(usable.sum())), z[usable]])
    return np.asarray(np.linalg.lstsq(columns, np.log(times[usable]), rcond=None)[0][1:])


def _direction(z: Array, times: Array) -> Array:
    """Unit vector of inputs along which the time grows fastest: the first-order design point's direction."""
    slopes = _slopes(z, times)
    length = float(np.linalg.norm(slopes))
    if length == 0:
        # Too few samples ever get there: a colder bath is what keeps them away.
        return np.asarray(-np.eye(len(INPUTS))[INPUTS.index("set_point")])
    return np.asarray(slopes / length)


def _crossing(time_s: Array, values: Array, level: float) -> Array:
    """First time each row of `values` (s, t) reaches `level`, linear between samples; infinite if never."""
    above = values >= level
    last = np.argmax(above, axis=1)
    found = above.any(axis=1)
    i = np.clip(last, 1, None)
    rows = np.arange(values.shape[0])
    y0, y1 = values[rows, i - 1], values[rows, i]
    share = np.clip((level - y0) / np.where(y1 == y0, 1.0, y1 - y0), 0.0, 1.0)
    return np.where(found, time_s[i - 1] + (time_s[i] - time_s[i - 1]) * share, np.inf)


def _met(rule: LethalityRule, time_s: Array, core_C: Array) -> Array:
    """Time each core (s, t) meets a rule; past the last sample the core stays as it is; infinite if never."""
    # Nothing is earned before the first core is warm enough.
    warm = core_C.max(axis=0) >= rule.lowest_C
    first = max(int(np.argmax(warm)) - 1, 0) if warm.any() else time_s.size - 2
    time_s, core_C = time_s[first:], core_C[:, first:]
    done = rule.achieved(time_s, core_C)
    times = _crossing(time_s, done, 1.0)
    missing = 1.0 - done[:, -1]
    with np.errstate(divide="ignore"):
        later = time_s[-1] + missing * rule.hold_s(core_C[:, -1])
    return np.where(np.isfinite(times), times, later)


def _normal_quantile(share: float) -> float:
    return NormalDist().inv_cdf(share)
