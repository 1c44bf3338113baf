"""Labels: how much room text takes, how it breaks, and where it can stand without touching other text."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from corebath.language import Said, spoken

from .drawing import Text

# Average width of a glyph of a text face, in font sizes; wide faces reach about this on mixed text (measured on
# several faces by eye, no source).
GLYPH = 0.56
_ASCENT, _DESCENT = 0.80, 0.25
_NBSP = "\N{NO-BREAK SPACE}"
_FIGURE = re.compile(r"(?<=\d) (?=(?:°C|°F|days|h|min|s|mm|m|in|ft|g|kg|lb|oz|L|qt|%)\b|°|%)")


def text_width(text: str, size: float) -> float:
    """Estimated width of a line of text, in the unit of `size`."""
    return GLYPH * size * len(text)


def wrap(text: str, width: float, size: float) -> tuple[str, ...]:
    """The text, as the reader's language says it, in lines of at most `width`.

    A word that is longer stands alone, a figure keeps its unit.
    """
    lines: list[str] = []
    for word in _FIGURE.sub(_NBSP, spoken(text)).split(" "):
        if lines and text_width(f"{lines[-1]} {word}", size) <= width:
            lines[-1] += f" {word}"
        else:
            lines.append(word)
    return tuple(map(Said, lines))


@dataclass(frozen=True, slots=True)
class Box:
    """An upright rectangle, y downwards."""

    left: float
    top: float
    right: float
    bottom: float

    def touches(self, other: Box) -> bool:
        """True when the two share more than an edge."""
        return (
            self.left < other.right and other.left < self.right and self.top < other.bottom and other.top < self.bottom
        )

    def holds(self, other: Box) -> bool:
        """True when the other lies inside."""
        return (
            self.left <= other.left
            and other.right <= self.right
            and self.top <= other.top
            and other.bottom <= self.bottom
        )

    def grown(self, by: float) -> Box:
        """The rectangle with `by` more on every side."""
        return Box(self.left - by, self.top - by, self.right + by, self.bottom + by)


def box_of(text: Text) -> Box:
    """The room a text takes."""
    width = text_width(text.text, text.size)
    left = text.x - {"start": 0.0, "middle": 0.5, "end": 1.0}[text.anchor] * width
    return Box(left, text.y - _ASCENT * text.size, left + width, text.y + _DESCENT * text.size)


class Layout:
    """Room still free inside bounds."""

    def __init__(self, bounds: Box) -> None:
        self._bounds = bounds
        self._taken: list[Box] = []
        self._owners: list[str] = []
        self._lines = np.empty((5, 0))  # the edges of boxes along lines, and the numbers of their owners

    def reserve(self, taken: Box) -> None:
        """Keep labels off a rectangle."""
        self._taken.append(taken)

    def reserve_line(self, points: Iterable[tuple[float, float]], half: float = 1.5, *, of: str = "") -> None:
        """Keep labels off a line where they can, given by points no further apart than a label is high.

        of : what the line is of, for labels that may stand on it
        """
        if of not in self._owners:
            self._owners.append(of)
        xy = np.array(list(points), dtype=float).reshape(-1, 2).T
        owner = np.full((1, xy.shape[1]), self._owners.index(of))
        self._lines = np.hstack([self._lines, np.vstack([xy - half, xy + half, owner])])

    def fits(self, wanted: Box) -> bool:
        """True when a rectangle lies inside the bounds and touches nothing."""
        return self._bounds.holds(wanted) and not any(wanted.touches(t) for t in self._taken)

    def crossed(self, wanted: Box, *, over: str | None = None) -> int:
        """How many points of reserved lines a rectangle hides. over : a line that it may stand on"""
        x0, y0, x1, y1, owner = self._lines
        touched = (wanted.left < x1) & (x0 < wanted.right) & (wanted.top < y1) & (y0 < wanted.bottom)
        if over in self._owners:
            touched &= owner != self._owners.index(over)
        return int(np.count_nonzero(touched))

    def place(self, candidates: Iterable[tuple[Text, ...]], *, over: str | None = None) -> tuple[Text, ...]:
        """The candidate that fits and hides least of the reserved lines, the first of equals; empty when none fits.

        over : a line that it may stand on
        """
        best: tuple[int, tuple[Text, ...], list[Box]] | None = None
        for candidate in candidates:
            boxes = [box_of(line) for line in candidate]
            if not all(self.fits(box) for box in boxes):
                continue
            hidden = sum(self.crossed(box, over=over) for box in boxes)
            if best is None or hidden < best[0]:
                best = (hidden, candidate, boxes)
            if hidden == 0:
                break
        if best is None:
            return ()
        for box in best[2]:
            self.reserve(box.grown(2.0))
        return best[1]
