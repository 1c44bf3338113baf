"""Do the bags fit: water rise, room around them, and what crowding does to their time."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, floor, sqrt

from corebath.bath.files import between, number, table
from corebath.bath.gear import Bath
from corebath.bath.say import quantity
from corebath.heat.body import Body, Shape
from corebath.heat.conduction import cook
from corebath.heat.material import Material
from corebath.heat.stage import Stage
from corebath.safety.finding import Finding, Verdict

_LONGEST_s = 72 * 3600.0


@dataclass(frozen=True, slots=True)
class Bags:
    """Identical flat bags that stand on edge in the water.

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
class Fit:
    """How bags stand in a vessel.

    fits : they go in under water and below the rim, pressed together if need be
    layers : bags pressed into one block so that water still runs between blocks; 1 when all hang free [-]
    most_free : the most bags of this size that hang free [-]
    gap_m : room on either side of each block [m]
    rise_m, level_m : rise by the food, level with it in [m];  fill_to_m : highest level before the food goes in [m]
    top_m : highest food above the floor, None when it is not under water or does not go in [m]
    body : what the heat engine is to compute: one bag, or one block
    statements, findings
    """

    fits: bool
    layers: int
    most_free: int
    gap_m: float
    rise_m: float
    level_m: float
    fill_to_m: float
    top_m: float | None
    body: Body | None
    statements: tuple[str, ...]
    findings: tuple[Finding, ...]


def fit(bath: Bath, bags: Bags, water_C: float) -> Fit:
    """Stand bags on edge in a bath, parallel, clear of the heater.

    water_C : temperature of the water, which sets its volume, 0 to 100 [degC]; else ValueError

    Geometry only: a bag may stand on either side; blocks want 10 mm of water on each side (common practice).
    """
    between("the water's temperature", water_C, 0.0, 100.0, "C")
    vessel, heater = bath.vessel, bath.heater
    rise = bags.food_m3 / vessel.area_m2
    level = bath.volume_m3(water_C) / vessel.area_m2 + rise
    fill_to = min(heater.highest_m, vessel.depth_m - number("fit", "under_rim_m")) - rise
    best = max((_standing(bath, bags, level, turned) for turned in (False, True)), key=lambda s: s.rank)
    overflows = level > vessel.depth_m - number("fit", "under_rim_m")
    fits = best.layers > 0 and not overflows
    body = None
    if best.layers > 0 and bags.thickness_m * best.layers <= 0.30:
        body = bags.body(best.layers)
    return Fit(
        fits and body is not None, best.layers, best.most_free, best.gap_m, rise, level, fill_to,
        best.top_m if fits else None, body,
        _sentences(bags, best, rise, level, fill_to, overflows),
        _findings(bath, bags, best, level, overflows),
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class Crowding:
    """What pressing bags together does to their time.

    alone_s, together_s : until the core is within 0.5 K of the bath, one bag and the block [s]
    statement : one sentence
    """

    alone_s: float
    together_s: float
    statement: str


def crowding(bags: Bags, layers: int, material: Material, start_C: float, bath_C: float, h_W_m2K: float) -> Crowding:
    """Compare one bag with a block of several, in a steady bath.

    layers : 2 or more;  material : unfrozen food;  start_C below bath_C [degC];  h_W_m2K : see `Stage`

    Raises ValueError outside the ranges, for a block above 300 mm, or when the block needs more than 72 h.
    """
    if layers < 2:
        raise ValueError(f"a block has two or more bags, got {layers}")
    within = number("control", "recovered_within_K")
    if start_C >= bath_C - within:
        raise ValueError(
            f"the food at {quantity(start_C, 'C')} must be colder than the bath at {quantity(bath_C, 'C')}"
        )
    alone, together = (
        _come_up_s(bags.body(n), material, start_C, bath_C, bath_C - within, h_W_m2K) for n in (1, layers)
    )
    return Crowding(
        alone,
        together,
        f"{layers} bags pressed together heat as one block {quantity(bags.thickness_m * layers, 'm')} thick: its core "
        f"comes within {quantity(within, 'K')} of the bath in {quantity(together, 's')}, against "
        f"{quantity(alone, 's')} for a bag that hangs free.",
    )


def _come_up_s(body: Body, material: Material, start_C: float, bath_C: float, to_C: float, h: float) -> float:
    history = cook(body, material, start_C, [Stage.constant("bath", _LONGEST_s, bath_C, h)]).history
    reached = history.first_core_above(to_C)
    if reached is None:
        raise ValueError("this block does not come up within 72 h")
    return reached


@dataclass(frozen=True, slots=True)
class _Standing:
    layers: int
    most_free: int
    gap_m: float
    covered: bool
    top_m: float

    @property
    def rank(self) -> tuple[bool, bool, int, float, float]:
        return self.layers > 0, self.covered, -self.layers, self.gap_m, -self.top_m


def _standing(bath: Bath, bags: Bags, level_m: float, turned: bool) -> _Standing:
    """Bags with one side upright; layers 0 when they do not go in."""
    along, upright = (bags.length_m, bags.width_m) if turned else (bags.width_m, bags.length_m)
    top = upright + number("fit", "water_under_food_m")
    covered = top + number("fit", "water_over_food_m") <= level_m
    spans = _rows(bath, along)
    if not covered or not spans:
        return _Standing(0, 0, 0.0, covered, top)
    gap, t = number("fit", "free_gap_m"), bags.thickness_m
    rows, span = spans
    most_free = rows * max(floor((span - gap) / (t + gap) + 1e-9), 0)
    per_row = ceil(bags.count / rows)
    for layers in range(1, per_row + 1):
        blocks = ceil(per_row / layers)
        if per_row * t + (blocks + 1) * gap <= span + 1e-9:
            return _Standing(layers, most_free, (span - per_row * t) / (blocks + 1), covered, top)
    return _Standing(0, most_free, 0.0, covered, top)


def _rows(bath: Bath, along_m: float) -> tuple[int, float] | None:
    """Rows of bags side by side, and the stretch across which each row may stack them; None for no room."""
    vessel, taken = bath.vessel, bath.heater.room_m
    if vessel.width_m is None:
        radius = vessel.length_m / 2
        if along_m >= vessel.length_m:
            return None
        half = sqrt(radius**2 - (along_m / 2) ** 2)
        span = half + min(half, radius - taken)
        return (1, span) if span > 0 else None
    options = []
    for line, across in ((vessel.length_m, vessel.width_m), (vessel.width_m, vessel.length_m)):
        # The heater stands at one short side: it takes from the length, whichever way the bags stand.
        if line == vessel.length_m:
            line -= taken
        else:
            across -= taken
        rows = floor(line / along_m + 1e-9)
        if rows > 0 and across > 0:
            options.append((rows, across))
    return max(options, key=lambda o: o[0] * o[1], default=None)


def _sentences(
    bags: Bags, best: _Standing, rise_m: float, level_m: float, fill_to_m: float, overflows: bool
) -> tuple[str, ...]:
    said = [f"The food raises the water by {quantity(rise_m, 'm')}, to {quantity(level_m, 'm')}."]
    if fill_to_m > 0:
        said.append(f"Fill to {quantity(fill_to_m, 'm')} at most before it goes in.")
    if overflows:
        said.append("With the food in, the water comes too near the rim: take some out.")
    if not best.covered:
        said.append("The bags stand higher than the water: lay them lower, or use a deeper vessel.")
    elif best.layers == 0:
        said.append(f"{bags.count} bags do not go in even pressed together; {best.most_free} hang free.")
    elif best.layers == 1:
        free = {1: "The bag hangs", 2: "Both bags hang"}.get(bags.count, f"All {bags.count} bags hang")
        beside = "it" if bags.count == 1 else "each"
        said.append(f"{free} free with {quantity(best.gap_m, 'm')} of water on either side of {beside}.")
    else:
        said.append(
            f"{bags.count} bags go in only pressed together, up to {best.layers} to a block; "
            f"{best.most_free} would hang free. A block heats as one piece "
            f"{quantity(bags.thickness_m * best.layers, 'm')} thick."
        )
    return tuple(said)


def _findings(bath: Bath, bags: Bags, best: _Standing, level_m: float, overflows: bool) -> tuple[Finding, ...]:
    practice = str(table("fit")["source"])
    heater, vessel = bath.heater, bath.vessel
    marks = heater.takes(level_m)
    return (
        Finding(
            "bath-between-marks", "The water stands between the heater's marks",
            Verdict.MET if marks else Verdict.NOT_MET, True,
            f"With the food in, the level is {quantity(level_m, 'm')}; the marks are "
            f"{quantity(heater.lowest_m, 'm')} and {quantity(heater.highest_m, 'm')}.",
            "the heater's own marks",
        ),
        Finding(
            "bath-below-rim", "The water stays below the rim", Verdict.NOT_MET if overflows else Verdict.MET, True,
            f"The level is {quantity(level_m, 'm')} in a vessel {quantity(vessel.depth_m, 'm')} deep.", practice,
        ),
        Finding(
            "bath-food-under-water", "All of the food is under water",
            Verdict.MET if best.covered else Verdict.NOT_MET, True,
            f"The bags stand {quantity(min(bags.width_m, bags.length_m), 'm')} high or more in "
            f"{quantity(level_m, 'm')} of water"
            + ("." if best.covered else ", and the part above water is not heated by the bath."),
            practice, ("No bag floats.",),
        ),
        Finding(
            "bath-water-runs-between", "Water runs between the bags",
            Verdict.MET if best.layers == 1 else Verdict.NOT_MET, False,
            f"Room for {best.most_free} to hang free with {quantity(number('fit', 'free_gap_m'), 'm')} of water on "
            f"each side; to go in: {bags.count}.",
            practice, ("The bags stand on edge and parallel.",),
        ),
    )  # fmt: skip
