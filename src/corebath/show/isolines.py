"""Isolines of a map's fields, in positions of the drawing."""

from __future__ import annotations

from itertools import pairwise
from typing import cast

import numpy as np
from contourpy import FillType, LineType, contour_generator
from numpy.typing import NDArray

from corebath.safety.lethality import LethalityRule

from .drawing import Point
from .scale import Scale

Field = NDArray[np.float64]

# Shares are followed in log10, in which they run evenly; further than a factor of 100 or 2 K
# off the edge nothing matters.
_FAR = 2.0
# A rule that is met at once leaves shares of exactly 1: the edge lies a hair below, so that these are inside.
_HAIR = 1e-9


def lines(field: Field, level: float, across: Scale, up: Scale) -> list[tuple[Point, ...]]:
    """Lines along which a field, shape (m, n), has a value; broken where it is NaN. Longest first."""
    if not np.isfinite(field).any():
        return []
    generator = contour_generator(*_grid(field, across, up), np.ma.masked_invalid(field), line_type=LineType.Separate)
    drawn = cast("list[Field]", generator.lines(level))
    found = [tuple((float(x), float(y)) for x, y in line) for line in drawn]
    return sorted((line for line in found if len(line) > 1), key=len, reverse=True)


def edge(height: Field, across: Scale, up: Scale) -> list[tuple[Point, ...]]:
    """The lines along which a rule is just met. height : from `height_of`."""
    return lines(height, -_HAIR, across, up)


def inside(height: Field, across: Scale, up: Scale) -> tuple[tuple[Point, ...], ...]:
    """The rings around where a rule is met, holes after their outer ring. height : from `height_of`."""
    generator = contour_generator(*_grid(height, across, up), height, fill_type=FillType.OuterOffset)
    points, offsets = cast("tuple[list[Field], list[NDArray[np.uint32]]]", generator.filled(-_HAIR, _FAR + 1))
    return tuple(
        tuple((float(x), float(y)) for x, y in part[a:b])
        for part, cuts in zip(points, offsets, strict=True)
        for a, b in pairwise(cuts)
    )


def height_of(share: Field, core_C: Field, rule: LethalityRule) -> Field:
    """A field, shape (m, n), that runs evenly through 0 where a rule is just met, 0 or more where it is.

    share : of the requirement achieved on a core that only warms [-];  core_C : that core [degC]. Where a rule
    jumps from nothing to met between two columns, at the lowest temperature it credits or at the one that meets
    it at once, the temperature places the edge between them.
    """
    with np.errstate(divide="ignore"):
        even = np.clip(np.log10(share), -_FAR, _FAR)
    above = np.clip(core_C - rule.lowest_C, -_FAR, _FAR)
    by_time = np.where(share > 0, np.minimum(even, np.maximum(above, 0.0)), np.minimum(above, -2 * _HAIR))
    if rule.instant_C is None:
        return np.asarray(by_time)
    return np.maximum(by_time, np.clip(core_C - rule.instant_C, -_FAR, _FAR))


def _grid(field: Field, across: Scale, up: Scale) -> tuple[Field, Field]:
    """Positions of the columns and rows of an evenly spaced field that fills the plot."""
    rows, columns = field.shape
    return np.linspace(across.start, across.end, columns), np.linspace(up.start, up.end, rows)
