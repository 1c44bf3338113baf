"""A drawing in a terminal: lines and hatches in braille dots, words as they are."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from .drawing import STROKES, Area, Drawing, Handle, Hatch, Line, Point

NARROWEST, WIDEST = 60, 200
# Units of the drawing that one row of letters stands for: a little less than its lines of text are apart.
_ROW = 14.5
_BLANK = 0x2800
# Bit of each dot in a braille letter, by row and column.
_BITS = np.array([[0x01, 0x08], [0x02, 0x10], [0x04, 0x20], [0x40, 0x80]])
_HANDLE = "◉"

Dots = NDArray[np.bool_]


def to_terminal(drawing: Drawing, columns: int) -> str:
    """The drawing as lines of exactly `columns` characters each.

    columns : 60 to 200. A wide drawing wants 110 or more to keep its words in place;
        words that find no room stand below.
    Raises ValueError outside that range.
    """
    if not NARROWEST <= columns <= WIDEST:
        raise ValueError(f"a chart in a terminal takes {NARROWEST} to {WIDEST} columns, not {columns}")
    rows = int(np.ceil(drawing.height / _ROW))
    dots = np.zeros((4 * rows, 2 * columns), dtype=bool)
    per_x, per_y = 2 * columns / drawing.width, 4 / _ROW
    for mark in drawing.marks:
        if isinstance(mark, Area) and mark.hatch is not Hatch.NONE:
            dots |= _filled(mark, dots.shape, per_x, per_y)
    for mark in drawing.marks:
        if isinstance(mark, Line) and mark.kind not in ("grid", "tick-mark"):
            for x, y in _along(mark, per_x, per_y):
                dots[int(np.clip(y, 0, dots.shape[0] - 1)), int(np.clip(x, 0, dots.shape[1] - 1))] = True
    letters = _letters(dots)
    left_over = [line for text in _write(letters, drawing, columns) for line in textwrap.wrap(text, columns)]
    lines = ["".join(row).replace(chr(_BLANK), " ") for row in letters]
    return "\n".join([*lines, *(text.ljust(columns) for text in left_over)])


def _letters(dots: Dots) -> list[list[str]]:
    rows, columns = dots.shape[0] // 4, dots.shape[1] // 2
    cells = dots.reshape(rows, 4, columns, 2).transpose(0, 2, 1, 3)
    return [[chr(_BLANK + int(bits)) for bits in row] for row in (cells * _BITS).sum(axis=(2, 3))]


def _filled(area: Area, shape: tuple[int, ...], per_x: float, per_y: float) -> Dots:
    """Dots of the hatch that lie inside, by counting the edges to the right of each."""
    y, x = np.mgrid[: shape[0], : shape[1]]
    hatch = {
        Hatch.RISING: (x + y) % 6 == 0,
        Hatch.FALLING: (x - y) % 6 == 0,
        Hatch.LEVEL: y % 4 == 0,
        Hatch.DOTS: (x % 3 == 0) & (y % 3 == 0),
    }[area.hatch]
    inside = np.zeros(shape, dtype=bool)
    py, px = y[hatch] / per_y, x[hatch] / per_x
    odd = np.zeros(px.shape, dtype=bool)
    for ring in area.rings:
        for (x0, y0), (x1, y1) in zip(ring, (*ring[1:], ring[0]), strict=True):
            if y0 != y1:
                crossed = (y0 > py) != (y1 > py)
                odd ^= crossed & (px < x0 + (py - y0) * (x1 - x0) / (y1 - y0))
    inside[hatch] = odd
    return inside


def _along(line: Line, per_x: float, per_y: float) -> Iterator[Point]:
    """Dots along a line, its dashes kept."""
    dash = STROKES[line.kind].dash
    ends = np.cumsum(dash) if dash else np.array([1.0])
    run = 0.0
    for (x0, y0), (x1, y1) in zip(line.points[:-1], line.points[1:], strict=True):
        length = float(np.hypot(x1 - x0, y1 - y0))
        steps = max(int(np.ceil(max(abs(x1 - x0) * per_x, abs(y1 - y0) * per_y))), 1)
        for i in range(steps + 1):
            share = i / steps
            place = int(np.searchsorted(ends, (run + share * length) % ends[-1], side="right"))
            if place % 2 == 0:
                yield (x0 + share * (x1 - x0)) * per_x, (y0 + share * (y1 - y0)) * per_y
        run += length


def _write(letters: list[list[str]], drawing: Drawing, columns: int) -> list[str]:
    """Put the words in place; what finds no room is handed back."""
    taken = np.zeros((len(letters), columns), dtype=bool)
    left_over = []
    above: tuple[tuple[float, str], float, int] | None = None  # the text before: its column and kind, place and row
    for mark in drawing.marks:
        if isinstance(mark, Handle):
            _put(letters, taken, _HANDLE, *_cell(drawing, columns, mark.x, mark.y))
    order = ("tick", "axis", "heading", "key", "badge", "label")
    for text in sorted(drawing.texts, key=lambda t: order.index(t.kind)):
        column, row = _cell(drawing, columns, text.x, text.y - 0.35 * text.size)
        column -= {"start": 0, "middle": len(text.text) // 2, "end": len(text.text) - 1}[text.anchor]
        column = min(max(column, 0), max(columns - len(text.text), 0))
        if above is not None and (text.x, text.kind) == above[0] and 0 < text.y - above[1] < 1.5 * _ROW:
            row = above[2] + 1  # lines of one text stay together, however their places round
        near = ((column + dx, row + dy) for dy in (0, 1, -1, 2, -2) for dx in (0, 1, -1, 2, -2))
        put = next((y for x, y in near if _put(letters, taken, text.text, x, y)), None)
        above = None if put is None else ((text.x, text.kind), text.y, put)
        if put is None:
            left_over.append(text.text)
    return left_over


def _cell(drawing: Drawing, columns: int, x: float, y: float) -> tuple[int, int]:
    return min(int(x * columns / drawing.width), columns - 1), int(y / _ROW)


def _put(letters: list[list[str]], taken: NDArray[np.bool_], text: str, column: int, row: int) -> bool:
    """Write a text with a free cell around it; False when there is no room."""
    end = column + len(text)
    if not (0 <= row < len(letters) and column >= 0 and end <= taken.shape[1]):
        return False
    if taken[row, max(column - 1, 0) : end + 1].any():
        return False
    letters[row][column:end] = list(text)
    taken[row, column:end] = True
    return True
