"""One reading of what the food will be like, with how much is known."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Estimate:
    """One quality of the food.

    name : result, doneness, pigment, juiciness, tenderness, firmness, yolk or white
    value : nominal figure in `unit`, or None when it is not known
    low, high : the band the data allow, or what can still be said when the value is not known ("at most");
        None where nothing bounds it
    unit : "C", "%" or "-"; for the yolk "s" (time in a bath at 63 C it is worth)
    words : what it means for the cook; quantities stand as marks
    known : False when the cook lies outside every model
    basis : one sentence: what stands behind it and how thin that is
    source : citation
    """

    name: str
    value: float | None
    low: float | None
    high: float | None
    unit: str
    words: str
    known: bool
    basis: str
    source: str


def not_known(name: str, unit: str, words: str, basis: str, source: str) -> Estimate:
    """An estimate that says nothing, and why."""
    return Estimate(name, None, None, None, unit, words, False, basis, source)
