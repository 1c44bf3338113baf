"""Many bodies at once: the core of a piece at one even temperature dropped into one steady bath.

The map and the spread need the core of hundreds of slightly different pieces. Started from an even
temperature, a body's unsteady solution is the product of its axes' solutions, and one such solution serves
every bath temperature. The modes of an axis depend on the Biot number alone, smoothly, so they are solved
at a few Biot numbers and interpolated between them.
"""

from __future__ import annotations

import numpy as np

from .body import Body
from .conduction import SHELLS
from .grid import Array, axis_modes

# Chebyshev nodes in log Bi: so many, and more for a wider spread, keep the interpolation error below 1e-6.
_NODES, _NODES_PER_E_FOLD = 7, 3.0
_MODES = 12  # modes beyond these are gone by the time the core moves at all
_CORE_STILL_Fo = 0.012  # before this the core of a half-axis has moved by less than 1e-7 of the step
_GONE = 40.0  # a mode that has decayed by exp(-40) is below the rounding of what is left


def core_remaining(body: Body, scale: Array, alpha_m2_s: Array, h_over_k_per_m: Array, time_s: Array) -> Array:
    """Share of the first difference to the bath that is left at the core.

    body : the nominal piece;  scale : factor on every size, shape (s,) [-]
    alpha_m2_s : diffusivity, shape (s,) [m2/s]
    h_over_k_per_m : surface coefficient over conductivity, shape (s,) [1/m]
    time_s : times since drop-in, shape (t,) or (s, t), >= 0 [s]

    Returns (T_core - T_bath) / (T_start - T_bath), shape (s, t), from 1 down to 0 [-]. Same model and
    grid as `heat.conduction.cook`, to within 1e-6.
    """
    left = np.ones((scale.size, np.shape(time_s)[-1]))
    for axis in body.axes:
        half = axis.half_m * scale
        biot = h_over_k_per_m * half
        decay, weight = _modes_between(axis.order, biot, SHELLS[len(body.axes)])
        fourier = np.atleast_2d(time_s) * (alpha_m2_s / half**2)[:, None]
        earliest = fourier.min(axis=0)
        series = np.zeros_like(left)
        for m in range(decay.shape[1]):
            # The quick modes are gone by most of the times: they are summed as far as the last that sees them.
            seen = np.flatnonzero(decay[:, m].min() * earliest < _GONE)
            upto = slice(0, int(seen[-1]) + 1 if seen.size else 0)
            series[:, upto] += weight[:, m, None] * np.exp(-decay[:, m, None] * fourier[:, upto])
        left *= np.where(fourier < _CORE_STILL_Fo, 1.0, series)
    return left


def _modes_between(order: int, biot: Array, count: int) -> tuple[Array, Array]:
    """Decay and core weight of the slowest modes at each Biot number, shapes (s, m)."""
    low, high = float(np.log(biot.min())), float(np.log(biot.max()))
    if high - low < 1e-9:
        modes = axis_modes(order, float(biot[0]), count)
        shape = (biot.size, 1)
        return np.tile(modes.decay[:_MODES], shape), np.tile((modes.core * modes.ones)[:_MODES], shape)
    count_of_nodes = int(np.ceil(_NODES + _NODES_PER_E_FOLD * (high - low)))
    cosine = np.cos(np.pi * (np.arange(count_of_nodes) + 0.5) / count_of_nodes)
    nodes = (low + high) / 2 + (high - low) / 2 * cosine
    solved = [axis_modes(order, float(np.exp(x)), count) for x in nodes]
    table = np.stack([np.stack([m.decay[:_MODES], (m.core * m.ones)[:_MODES]]) for m in solved])
    both = _between(nodes, table.reshape(count_of_nodes, -1), np.log(biot)).reshape(-1, *table.shape[1:])
    return both[:, 0], both[:, 1]


def _between(nodes: Array, table: Array, x: Array) -> Array:
    """The polynomial through a table (n, m) at Chebyshev nodes of the first kind, at x (s,); shape (s, m).

    Barycentric form (Berrut and Trefethen, SIAM Review 46, 2004), which stays exact next to a node.
    """
    n = nodes.size
    weight = (-1.0) ** np.arange(n) * np.sin(np.pi * (np.arange(n) + 0.5) / n)
    apart = x[:, None] - nodes
    hit = apart == 0
    share = weight / np.where(hit, 1.0, apart)
    share = np.where(hit.any(axis=1)[:, None], hit, share)
    return np.asarray(share @ table / share.sum(axis=1)[:, None])
