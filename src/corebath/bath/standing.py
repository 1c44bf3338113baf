"""Where bags may stand or lie in a vessel: on either edge, or flat, with water all round or pressed together."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import ceil, floor, sqrt

from corebath.bath.files import number
from corebath.bath.gear import Bath
from corebath.heat.body import Body, Shape
from corebath.units import between

_ROUND_OFF = 1e-9


@dataclass(frozen=True, slots=True)
class Bags:
    """Identical flat bags that stand on edge or lie flat in the water.

    thickness_m : 5 to 300 mm;  width_m, length_m : of the food in the bag, 20 mm to 1 m [m]
    count : 1 to 200;  food_kg : in each bag, above 0 [kg];  food_kg_m3 : density of the food [kg/m3]

    Raises ValueError outside those ranges.
    """

    thickness_m: float
    width_m: float
    length_m: float
    count: int
    food_kg: float
    food_kg_m3: float = 1050.0

    def __post_init__(self) -> None:
        between("the thickness of a bag", self.thickness_m, 0.005, 0.30, "m")
        between("the width of a bag", self.width_m, 0.02, 1.0, "m")
        between("the length of a bag", self.length_m, 0.02, 1.0, "m")
        between("the number of bags", self.count, 1, 200, "bags")
        between("the food in a bag", self.food_kg, 1e-6, 50.0, "kg")
        between("the density of the food", self.food_kg_m3, 700.0, 1500.0, "kg/m3")

    @property
    def food_m3(self) -> float:
        """Volume of all the food [m3]."""
        return self.count * self.food_kg / self.food_kg_m3

    def body(self, layers: int = 1) -> Body:
        """One bag, or so many pressed together, as a brick. Raises ValueError above 300 mm."""
        sides = sorted((self.thickness_m * layers, self.width_m, self.length_m))
        return Body(Shape.BRICK, sides[0], sides[1], sides[2])


@dataclass(frozen=True, slots=True)
class Standing:
    """Bags in one position.

    flat : they lie on a rack, held down, with water below and above; else they stand on an edge
    layers : bags pressed into one block, or piled on each other, 0 when they do not go in [-]
    most_free : the most that stand or lie with water all round, 0 where the water is too low [-]
    gap_m : water on either side of each block, below and above a flat one [m]
    needs_m : water they ask for, some below and above them;  covered : it is there [m]
    high_m, top_m : of one bag as it stands or lies, and of the highest food above the floor [m]
    """

    flat: bool
    layers: int
    most_free: int
    gap_m: float
    needs_m: float
    covered: bool
    high_m: float
    top_m: float

    @property
    def rank(self) -> tuple[bool, bool, int, bool, float, float]:
        """The better position ranks higher; a flat one only where it leaves fewer bags pressed together."""
        return self.layers > 0, self.covered, -self.layers, not self.flat, self.gap_m, -self.top_m


def positions(bath: Bath, bags: Bags, level_m: float) -> tuple[Standing, ...]:
    """Bags on each of their two edges, and flat. level_m : of the water with the food in [m]"""
    return (_on_edge(bath, bags, level_m, False), _on_edge(bath, bags, level_m, True), _flat(bath, bags, level_m))


def _on_edge(bath: Bath, bags: Bags, level_m: float, turned: bool) -> Standing:
    along, upright = (bags.length_m, bags.width_m) if turned else (bags.width_m, bags.length_m)
    top, needs = _heights(upright)
    covered, spans = needs <= level_m + _ROUND_OFF, _rows(bath, along)
    if not covered or spans is None:
        return Standing(False, 0, 0, 0.0, needs, covered, upright, top)
    gap, t = number("fit", "free_gap_m"), bags.thickness_m
    rows, span = spans
    most_free = rows * max(floor((span - gap) / (t + gap) + _ROUND_OFF), 0)
    per_row = ceil(bags.count / rows)
    for layers in range(1, per_row + 1):
        blocks = ceil(per_row / layers)
        if per_row * t + (blocks + 1) * gap <= span + _ROUND_OFF:
            beside = (span - per_row * t) / (blocks + 1)
            return Standing(False, layers, most_free, beside, needs, covered, upright, top)
    return Standing(False, 0, most_free, 0.0, needs, covered, upright, top)


def _flat(bath: Bath, bags: Bags, level_m: float) -> Standing:
    """One level of bags, or of piles, on a rack."""
    most = max(_side_by_side(bath, bags.width_m, bags.length_m), _side_by_side(bath, bags.length_m, bags.width_m))
    layers = ceil(bags.count / most) if most else 0
    high = bags.thickness_m * max(layers, 1)
    top, needs = _heights(high)
    if needs > level_m + _ROUND_OFF:
        alone = _heights(bags.thickness_m)[1]
        under = alone <= level_m + _ROUND_OFF
        return Standing(True, 0, most if under else 0, 0.0, alone, under, bags.thickness_m, top)
    below = number("fit", "water_under_food_m")
    return Standing(True, layers, most, min(below, level_m - top), needs, True, bags.thickness_m, top)


def _heights(high_m: float) -> tuple[float, float]:
    """Top of food so high, and the water it asks for [m]."""
    top = high_m + number("fit", "water_under_food_m")
    return top, top + number("fit", "water_over_food_m")


def _side_by_side(bath: Bath, along_m: float, across_m: float) -> int:
    """How many outlines go in side by side as a grid, with water between and at the walls.

    along_m : their side across the line from the heater;  across_m : their side on that line [m]
    """
    gap = number("fit", "free_gap_m")
    most = 0
    for abreast, span in _spans(bath, along_m, gap):
        most = max(most, abreast * max(floor((span - gap) / (across_m + gap) + _ROUND_OFF), 0))
    return most


def _spans(bath: Bath, along_m: float, gap: float) -> Iterator[tuple[int, float]]:
    vessel, taken = bath.vessel, bath.heater.room_m
    if vessel.width_m is None:
        abreast = 1
        while (chord := abreast * (along_m + gap) + gap) < vessel.length_m:
            yield abreast, _stretch_in_round(vessel.length_m / 2, chord, taken)
            abreast += 1
        return
    # The heater stands at one short side: it takes from the length, whichever way the bags lie.
    length = vessel.length_m - taken
    for line, across in ((length, vessel.width_m), (vessel.width_m, length)):
        yield max(floor((line - gap) / (along_m + gap) + _ROUND_OFF), 0), max(across, 0.0)


def _stretch_in_round(radius_m: float, chord_m: float, taken_m: float) -> float:
    """The stretch of a round vessel across which blocks of a chord may stand, clear of the heater [m]."""
    half = sqrt(radius_m**2 - (chord_m / 2) ** 2)
    return half + min(half, radius_m - taken_m)


def _rows(bath: Bath, along_m: float) -> tuple[int, float] | None:
    """Rows of bags side by side, and the stretch across which each row may stack them; None for no room."""
    vessel, taken = bath.vessel, bath.heater.room_m
    if vessel.width_m is None:
        if along_m >= vessel.length_m:
            return None
        span = _stretch_in_round(vessel.length_m / 2, along_m, taken)
        return (1, span) if span > 0 else None
    options = []
    for line, across in ((vessel.length_m, vessel.width_m), (vessel.width_m, vessel.length_m)):
        # The heater stands at one short side: it takes from the length, whichever way the bags stand.
        if line == vessel.length_m:
            line -= taken
        else:
            across -= taken
        rows = floor(line / along_m + _ROUND_OFF)
        if rows > 0 and across > 0:
            options.append((rows, across))
    return max(options, key=lambda o: o[0] * o[1], default=None)
