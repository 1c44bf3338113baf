"""Do the bags fit: water rise, room around them, and what crowding does to their time."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from corebath.bath.files import number, table
from corebath.bath.gear import Bath
from corebath.bath.say import quantity
from corebath.bath.standing import Bags, Standing, positions
from corebath.heat.body import Body
from corebath.heat.conduction import cook
from corebath.heat.material import Material
from corebath.heat.stage import Stage
from corebath.safety.finding import Finding, Verdict
from corebath.units import between

_LONGEST_s = 72 * 3600.0


@dataclass(frozen=True, slots=True)
class Fit:
    """How bags stand or lie in a vessel.

    fits : they go in under water and below the rim, pressed together if need be
    flat : they lie flat, on a rack and held down, and do not stand on edge
    too_low : the water is too low for them in every position
    layers : bags pressed into one block, or piled, with water between the blocks; 1 when all hang or lie free [-]
    most_free : the most bags of this size that hang or lie free [-]
    gap_m : room on either side of each block, below and above where they lie flat [m]
    rise_m, level_m : rise by the food, level with it in [m];  fill_to_m : highest level before the food goes in [m]
    top_m : highest food above the floor, None when it is not under water or does not go in [m]
    body : what the heat engine is to compute: one bag, or one block
    statements, findings
    """

    fits: bool
    flat: bool
    too_low: bool
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
    """Put bags into a bath, clear of the heater: on edge and parallel, else flat on a rack, side by side.

    water_C : temperature of the water, which sets its volume, 0 to 100 [degC]; else ValueError

    Geometry only: a bag may stand on either side. They lie flat only where fewer are pressed together so. Blocks
    want 10 mm of water on each side (common practice).
    """
    between("the water's temperature", water_C, 0.0, 100.0, "C")
    vessel, heater = bath.vessel, bath.heater
    rise = bags.food_m3 / vessel.area_m2
    level = bath.volume_m3(water_C) / vessel.area_m2 + rise
    fill_to = min(heater.highest_m, vessel.depth_m - number("fit", "under_rim_m")) - rise
    ways = positions(bath, bags, level)
    best, most_free = max(ways, key=lambda way: way.rank), max(way.most_free for way in ways)
    overflows = level > vessel.depth_m - number("fit", "under_rim_m")
    fits = best.layers > 0 and not overflows
    body = None
    if best.layers > 0 and bags.thickness_m * best.layers <= 0.30:
        body = bags.body(best.layers)
    return Fit(
        fits and body is not None, best.flat, not best.covered, best.layers, most_free, best.gap_m, rise, level,
        fill_to, best.top_m if fits else None, body,
        (*_water_sentences(rise, level, fill_to, overflows), _stand_sentence(bags, ways, best, most_free, level)),
        _findings(bath, bags, ways, best, most_free, level, overflows),
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


def _water_sentences(rise_m: float, level_m: float, fill_to_m: float, overflows: bool) -> Iterator[str]:
    yield f"The food raises the water by {quantity(rise_m, 'm')}, to {quantity(level_m, 'm')}."
    if fill_to_m > 0:
        yield f"Fill to {quantity(fill_to_m, 'm')} at most before it goes in."
    if overflows:
        yield "With the food in, the water comes too near the rim: take some out."


def _stand_sentence(
    bags: Bags, ways: tuple[Standing, ...], best: Standing, most_free: int, level_m: float
) -> str:  # fmt: skip
    if not best.covered:
        return _too_low(ways, level_m)
    if best.layers == 0:
        return _no_room(bags, ways, most_free, level_m)
    if best.layers > 1:
        thick = quantity(bags.thickness_m * best.layers, "m")
        if best.flat:
            return (
                f"{bags.count} bags go in only flat and piled, up to {best.layers} on each other; {most_free} would "
                f"hang or lie free. A pile heats as one piece {thick} thick."
            )
        return (
            f"{bags.count} bags go in only pressed together, up to {best.layers} to a block; {most_free} would hang "
            f"or lie free. A block heats as one piece {thick} thick."
        )
    if best.flat:
        return _lay_flat(bags, ways, best, level_m)
    free = {1: "The bag hangs", 2: "Both bags hang"}.get(bags.count, f"All {bags.count} bags hang")
    beside = "it" if bags.count == 1 else "each"
    return f"{free} free with {quantity(best.gap_m, 'm')} of water on either side of {beside}."


def _no_room(bags: Bags, ways: tuple[Standing, ...], most_free: int, level_m: float) -> str:
    edges = [way for way in ways if not way.flat]
    if any(edge.covered for edge in edges):
        return f"{bags.count} bags do not go in even pressed together; {most_free} would hang or lie free."
    needs = quantity(min(edge.needs_m for edge in edges), "m")
    said = f"Standing on edge asks for {needs} of water, and it is {quantity(level_m, 'm')} deep"
    if most_free == 0:
        return f"{said}; lying flat asks for more room than there is beside the heater. Take a wider or deeper vessel."
    return f"{said}; lying flat, {most_free} of {bags.count} go in side by side. Take a wider or deeper vessel."


def _lay_flat(bags: Bags, ways: tuple[Standing, ...], best: Standing, level_m: float) -> str:
    """Why the bags lie flat and do not stand, and how."""
    edges, gap = [way for way in ways if not way.flat], quantity(best.gap_m, "m")
    if not any(edge.covered for edge in edges):
        needs = quantity(min(edge.needs_m for edge in edges), "m")
        why = f"Standing on edge asks for {needs} of water, and it is {quantity(level_m, 'm')} deep"
    elif any(edge.layers for edge in edges):
        why = "Standing on edge, the bags would be pressed together"
    else:
        why = "Standing on edge, they do not go in" if bags.count > 1 else "Standing on edge, it does not go in"
    all_ = "both" if bags.count == 2 else f"all {bags.count}"
    how = "lay the bag flat" if bags.count == 1 else f"lay {all_} bags flat, side by side"
    return f"{why}: {how}, on a rack and held down, with {gap} of water below and above."


def _stands_under(best: Standing, level: str) -> str:
    needs = quantity(best.needs_m, "m")
    if best.flat:
        return f"Lying flat they ask for {needs} of water, some below and above them included; it is {level} deep."
    return f"Standing on edge they ask for {needs} of water, some below and above them included; it is {level} deep."


def _too_low(ways: tuple[Standing, ...], level_m: float) -> str:
    edge, flat = (min(way.needs_m for way in ways if way.flat is lies) for lies in (False, True))
    return (
        f"The water is too low for the bags: standing on edge they ask for {quantity(edge, 'm')}, lying flat for "
        f"{quantity(flat, 'm')}, with some below and above them; it is {quantity(level_m, 'm')} deep."
    )


def _findings(
    bath: Bath, bags: Bags, ways: tuple[Standing, ...], best: Standing, most_free: int, level_m: float, overflows: bool
) -> tuple[Finding, ...]:  # fmt: skip
    practice = str(table("fit")["source"])
    heater, vessel = bath.heater, bath.vessel
    marks = heater.takes(level_m)
    level = quantity(level_m, "m")
    if not best.covered:
        under = f"{_too_low(ways, level_m)} What stands out of the water is not heated by the bath."
        between_ = "The water is too low for the bags, so none of them has water all round."
    else:
        under = _stands_under(best, level) if best.layers else _stand_sentence(bags, ways, best, most_free, level_m)
        if best.layers == 0:
            under += " What is left out is not heated by the bath."
        between_ = (
            f"Room for {most_free} to hang or lie free with {quantity(number('fit', 'free_gap_m'), 'm')} of water on "
            f"each side; to go in: {bags.count}."
        )
    lying = (
        "The bags lie flat on a rack, held down, side by side." if best.flat else "The bags stand on edge, parallel."
    )
    return (
        Finding(
            "bath-between-marks", "The water stands between the heater's marks",
            Verdict.MET if marks else Verdict.NOT_MET, True,
            f"With the food in, the level is {level}; the marks are "
            f"{quantity(heater.lowest_m, 'm')} and {quantity(heater.highest_m, 'm')}.",
            "the heater's own marks",
        ),
        Finding(
            "bath-below-rim", "The water stays below the rim", Verdict.NOT_MET if overflows else Verdict.MET, True,
            f"The level is {level} in a vessel {quantity(vessel.depth_m, 'm')} deep.", practice,
        ),
        Finding(
            "bath-food-under-water", "All of the food is under water",
            Verdict.MET if best.layers else Verdict.NOT_MET, True, under, practice, ("No bag floats.",),
        ),
        Finding(
            "bath-water-runs-between", "Water runs between the bags",
            Verdict.MET if best.layers == 1 else Verdict.NOT_MET, False, between_, practice, (lying,),
        ),
    )  # fmt: skip
