"""A figure with its range."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Spread:
    """A nominal figure and the range it is believed to lie in; low <= nominal <= high, all finite or not.

    An upper end of infinity means "possibly never".
    """

    nominal: float
    low: float
    high: float

    def __post_init__(self) -> None:
        if not self.low <= self.nominal <= self.high:
            raise ValueError(f"a spread must rise from low to high, got {self.low}, {self.nominal}, {self.high}")

    @classmethod
    def of(cls, nominal: float, *others: float) -> Spread:
        """The nominal figure with the smallest and largest of all figures given."""
        return cls(nominal, min(nominal, *others), max(nominal, *others))

    def map(self, change: Callable[[float], float]) -> Spread:
        """The spread of a monotonic function of the figure, rising or falling."""
        return Spread.of(change(self.nominal), change(self.low), change(self.high))
