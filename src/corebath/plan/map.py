"""The map: for one piece, what every set point and time in the bath comes to.

Cautious inputs throughout, so the edge of a region is where nineteen pieces in twenty are inside it.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import isfinite

import numpy as np
from numpy.typing import NDArray

from corebath.heat.engine import thawed_cores
from corebath.heat.grid import Array
from corebath.outcome.grids import juiciness_grid, tenderness_grid
from corebath.outcome.results import results_for
from corebath.safety.lethality import LethalityRule
from corebath.safety.rules import binding_lethality, reported_lethality

from .data import defaults
from .piece import Piece
from .plan import Plan

Columns = NDArray[np.intp]
SIDE = 60
_FINE = 240
_FROZEN_ROWS = 9
_PADDING_C = 4.0


@dataclass(frozen=True, slots=True)
class Region:
    """Where one rule is met: `share` of its requirement achieved, shape (m, n), 1 at the edge [-]."""

    rule: str
    title: str
    binding: bool
    share: Array


@dataclass(frozen=True, slots=True)
class Map:
    """Fields over set points (rows, m) and times in the bath (columns, n).

    set_points_C, times_s : axes, shapes (m,) and (n,);  below_bath_K : bath less core, shape (m, n) [K]
    regions : lethality rules;  tenderness, juiciness : indices 0 to 1, NaN where not known [-]
    """

    set_points_C: Array
    times_s: Array
    below_bath_K: Array
    regions: tuple[Region, ...]
    tenderness: Array
    juiciness: Array


def make_map(plan: Plan) -> Map:
    """The map around a plan: its food's usual set points and times, always with the plan's point inside."""
    set_points = np.linspace(*_set_points(plan), SIDE)
    longest = max([plan.bath_s] + [s for s in (plan.window.ready_s, plan.window.latest_s) if isfinite(s)])
    times = np.linspace(0.0, 1.15 * longest, SIDE)
    # Cores move fast at first: integrate on a grid that is finer there than the map itself.
    fine = np.unique(np.concatenate([times, times[-1] * np.linspace(0.0, 1.0, _FINE) ** 3]))
    offset = plan.timing.cautious.bath_C - plan.set_point_C
    core = _cores(plan.timing.cautious, set_points + offset, fine)
    columns = np.searchsorted(fine, times)
    subject, authority = plan.request.subject, plan.request.authority
    rules = [(r, True) for r in binding_lethality(subject, authority)]
    rules += [(r, False) for r in reported_lethality(subject, authority)]
    kind, texture = plan.request.food.kind, plan.request.food.texture
    hours = np.clip(times - plan.timing.come_up.nominal_s, 0.0, None) / 3600
    return Map(
        set_points_C=set_points,
        times_s=times,
        below_bath_K=(set_points[:, None] + offset - core)[:, columns],
        regions=tuple(_region(rule, binding, fine, core, columns) for rule, binding in rules),
        tenderness=tenderness_grid(texture, kind, set_points, hours),
        juiciness=juiciness_grid(texture, kind, set_points, hours),
    )


def _set_points(plan: Plan) -> tuple[float, float]:
    results = results_for(plan.request.food.texture)
    low = min([plan.set_point_C, *(r.low_C for r in results)]) - _PADDING_C
    high = max([plan.set_point_C, *(r.high_C for r in results)]) + _PADDING_C
    limits = defaults()["limits"]
    return max(low, limits["lowest_set_point_C"]), min(high, plan.request.highest_set_point_C)


def _cores(piece: Piece, baths_C: Array, time_s: Array) -> Array:
    """Core temperatures for every bath, shape (m, t) [degC].

    An unfrozen piece is solved once and scaled, the dip of its bath with it. A frozen one is solved in a few
    steady baths and interpolated between them.
    """
    if not piece.is_frozen:
        history = piece.history(float(time_s[-1]))
        core = np.interp(time_s, history.time_s, history.core_C)
        left = (piece.bath_C - core) / (piece.bath_C - piece.start_C)
        return np.asarray(baths_C[:, None] + (piece.start_C - baths_C)[:, None] * left)
    from scipy.interpolate import interp1d  # slow to load, and most maps do without it

    few = np.linspace(baths_C[0], baths_C[-1], _FROZEN_ROWS)
    same = np.ones(_FROZEN_ROWS)
    solved = thawed_cores(
        piece.body, piece.thermal, piece.start_C * same, few, same, same, piece.h_W_m2K * same, time_s
    )
    return np.asarray(interp1d(few, solved, axis=0, kind="quadratic")(baths_C))


def _region(rule: LethalityRule, binding: bool, time_s: Array, core_C: Array, columns: Columns) -> Region:
    return Region(rule.key, rule.title, binding, rule.achieved(time_s, core_C)[:, columns])
