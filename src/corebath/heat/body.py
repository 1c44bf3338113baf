"""Bodies: the geometry of a piece as a tensor product of one-dimensional axes.

A slab has one axis, a bar two, a brick three; a cylinder and a ball have one radial axis; a short
cylinder has a radial axis and a straight one. Every axis is cut at its plane, line or point of
symmetry, so only the half from the core to the surface is ever computed.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from math import isfinite, pi

SMALLEST_m = 0.002
LARGEST_m = 0.30


class Shape(StrEnum):
    """The six bodies corebath computes."""

    SLAB = "slab"
    CYLINDER = "cylinder"
    BALL = "ball"
    BAR = "bar"
    SHORT_CYLINDER = "short-cylinder"
    BRICK = "brick"


@dataclass(frozen=True, slots=True)
class Axis:
    """One axis of a body, from its centre (r = 0) to its surface (r = half_m).

    order : 1 straight (slab), 2 radial in two dimensions (cylinder), 3 radial in three (ball) [-]
    half_m : half thickness or radius [m]
    """

    order: int
    half_m: float


@dataclass(frozen=True, slots=True)
class Body:
    """A piece's geometry.

    shape : one of `Shape`
    thickness_m : the shortest side, or the diameter of a round body [m]
    width_m : the middle side of a bar or brick [m]
    length_m : the longest side of a brick, or the length of a short cylinder [m]

    A size that the shape does not use must be None. Raises ValueError for a missing or unused size, or
    one outside 2 mm to 300 mm (the thickness) or 2 mm to 1 m (the others).
    """

    shape: Shape
    thickness_m: float
    width_m: float | None = None
    length_m: float | None = None

    def __post_init__(self) -> None:
        wants_width = self.shape in (Shape.BAR, Shape.BRICK)
        wants_length = self.shape in (Shape.BRICK, Shape.SHORT_CYLINDER)
        _check("thickness" if not self.is_round else "diameter", self.thickness_m, LARGEST_m)
        for name, value, wanted in (
            ("width", self.width_m, wants_width),
            ("length", self.length_m, wants_length),
        ):
            if wanted and value is None:
                raise ValueError(f"a {self.shape.value} needs a {name} as well")
            if not wanted and value is not None:
                raise ValueError(f"a {self.shape.value} takes no {name}")
            if value is not None:
                _check(name, value, 1.0)

    @property
    def is_round(self) -> bool:
        """True when `thickness_m` is a diameter."""
        return self.shape in (Shape.CYLINDER, Shape.BALL, Shape.SHORT_CYLINDER)

    @property
    def axes(self) -> tuple[Axis, ...]:
        """The axes, shortest first (the radial one first for a short cylinder)."""
        half = self.thickness_m / 2
        match self.shape:
            case Shape.SLAB:
                return (Axis(1, half),)
            case Shape.CYLINDER:
                return (Axis(2, half),)
            case Shape.BALL:
                return (Axis(3, half),)
            case Shape.SHORT_CYLINDER:
                assert self.length_m is not None
                return (Axis(2, half), Axis(1, self.length_m / 2))
            case Shape.BAR:
                assert self.width_m is not None
                return (Axis(1, half), Axis(1, self.width_m / 2))
            case Shape.BRICK:
                assert self.width_m is not None
                assert self.length_m is not None
                return (Axis(1, half), Axis(1, self.width_m / 2), Axis(1, self.length_m / 2))

    @property
    def volume_m3(self) -> float | None:
        """Volume [m3], or None for a body without end (slab, cylinder, bar)."""
        d, w, length = self.thickness_m, self.width_m, self.length_m
        match self.shape:
            case Shape.BALL:
                return pi * d**3 / 6
            case Shape.SHORT_CYLINDER:
                assert length is not None
                return pi * d**2 / 4 * length
            case Shape.BRICK:
                assert w is not None
                assert length is not None
                return d * w * length
            case _:
                return None

    def stacked(self, layers: int) -> Body:
        """The body of several like pieces against each other through the thickness.

        Round pieces flatten each other and have no simple common body: they raise ValueError, as do sizes
        outside the range of the class.
        """
        if self.is_round:
            raise ValueError("round pieces lying against each other are not known as one body; keep them apart")
        sides = [s for s in (self.width_m, self.length_m) if s is not None]
        return Body(self.shape, self.thickness_m * layers, *sides)

    def scaled(self, factor: float) -> Body:
        """The same body with every size multiplied by `factor` [-]. Raises ValueError as the class does."""
        return Body(
            self.shape,
            self.thickness_m * factor,
            None if self.width_m is None else self.width_m * factor,
            None if self.length_m is None else self.length_m * factor,
        )


def _check(name: str, value: float, largest_m: float) -> None:
    if not isfinite(value) or not SMALLEST_m <= value <= largest_m:
        raise ValueError(
            f"the {name} must lie between {SMALLEST_m * 1000:g} mm and {largest_m * 1000:g} mm, "
            f"got {value * 1000:.6g} mm"
        )
