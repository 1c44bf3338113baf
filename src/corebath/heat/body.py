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


# Order of the axis that `thickness_m` measures, where it is radial.
_ORDER = {Shape.CYLINDER: 2, Shape.SHORT_CYLINDER: 2, Shape.BALL: 3}


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
    width_m : the middle side of a brick, the longer one of a bar [m]
    length_m : the longest side of a brick, or the length of a short cylinder, a disc if below its diameter [m]

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
        return self.shape in _ORDER

    @property
    def axes(self) -> tuple[Axis, ...]:
        """The axes, shortest first: the first one's face is the nearest to the core."""
        first = Axis(_ORDER.get(self.shape, 1), self.thickness_m / 2)
        others = [Axis(1, size / 2) for size in (self.width_m, self.length_m) if size is not None]
        return tuple(sorted((first, *others), key=lambda axis: axis.half_m))

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
        """The same body with every size multiplied by `factor` [-].

        Raises ValueError when a size so scaled is outside its range.
        """
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
