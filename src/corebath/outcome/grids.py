"""Qualities over a whole map of set points and hours; NaN where they are not known."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from corebath.outcome.juiciness import juiciness_index
from corebath.outcome.tenderness import is_tough, shear_spread, tenderness_index

Floats = NDArray[np.float64]


def juiciness_grid(texture: str, kind: str, set_points_C: ArrayLike, hours_at: ArrayLike) -> Floats:
    """Juiciness index [-], 1 raw to 0 dry, shape (m, n), NaN where not known.

    texture, kind : as in the catalogue (the texture makes no difference to this model yet)
    set_points_C : core temperatures held, shape (m,) [degC]; hours_at : hours at them, warm-up not counted,
        shape (n,) [h]. Range and errors as `cook_loss_pct`.
    """
    del texture
    return juiciness_index(*_crossed(set_points_C, hours_at), kind)


def tenderness_grid(texture: str, kind: str, set_points_C: ArrayLike, hours_at: ArrayLike) -> Floats:
    """Tenderness index [-], 0 tough to 1 very tender or done, shape (m, n), NaN where not known.

    Arguments as `juiciness_grid`, range as `tenderness_index`; all NaN for a kind without a model.
    """
    index = tenderness_index(texture, *_crossed(set_points_C, hours_at))
    if is_tough(texture) or shear_spread(texture, kind) is not None:
        return index
    return np.full(index.shape, np.nan)


def _crossed(set_points_C: ArrayLike, hours_at: ArrayLike) -> tuple[Floats, Floats]:
    return np.asarray(set_points_C, dtype=np.float64)[:, None], np.asarray(hours_at, dtype=np.float64)[None, :]
