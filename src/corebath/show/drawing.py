"""The drawing: lines, areas, text and one handle in plain units, from which screen, print and terminal are made.

A drawing holds no colour. `kind` names what a mark stands for; how it is dashed, hatched and how thick it is stands
here, so that a reader without colour loses nothing, and a stylesheet only adds colour to the kinds.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from enum import StrEnum
from types import MappingProxyType
from typing import Literal

import numpy as np

from corebath.language import spoken

Point = tuple[float, float]
Anchor = Literal["start", "middle", "end"]


class Hatch(StrEnum):
    """How an area is filled."""

    NONE = "none"
    RISING = "rising"
    FALLING = "falling"
    LEVEL = "level"
    DOTS = "dots"


@dataclass(frozen=True, slots=True)
class Stroke:
    """How a kind of line is drawn: width and dashes (drawn, left out, ...) in units of the drawing."""

    width: float
    dash: tuple[float, ...] = ()


STROKES: Mapping[str, Stroke] = MappingProxyType(
    {
        "frame": Stroke(1.0),
        "tick-mark": Stroke(1.0),
        "grid": Stroke(0.5),
        "edge": Stroke(1.8),
        "reported": Stroke(1.1, (1.5, 3.0)),
        "hot-through": Stroke(2.6),
        "tenderness": Stroke(1.1, (7.0, 4.0)),
        "juiciness": Stroke(1.1, (3.0, 3.0)),
        "band-edge": Stroke(1.0, (10.0, 3.0, 2.0, 3.0)),
        "core": Stroke(2.4),
        "cautious": Stroke(1.2),
        "ambient": Stroke(1.2, (8.0, 3.0)),
        "set-point": Stroke(1.0, (2.0, 3.0)),
        "growth-limit": Stroke(1.2, (4.0, 3.0)),
        "moment": Stroke(1.0, (2.0, 2.0)),
        "salt": Stroke(1.8),
        "level": Stroke(1.2, (8.0, 3.0)),
        "half": Stroke(1.0, (4.0, 3.0)),
        "peak": Stroke(2.4),
        "hot-face": Stroke(1.2, (8.0, 3.0)),
        "surface": Stroke(1.4, (5.0, 2.0)),
        "limit": Stroke(1.8),
        "told-limit": Stroke(1.1, (1.5, 3.0)),
        "break": Stroke(1.0),
        "dot": Stroke(1.6),
        "badge": Stroke(1.0),
        "reported-badge": Stroke(0.8),
    }
)


@dataclass(frozen=True, slots=True)
class Line:
    """An open line through points.

    kind : a key of `STROKES`;  name : what it is, for those who do not see it; "" when text nearby says it
    """

    points: tuple[Point, ...]
    kind: str
    name: str = ""


@dataclass(frozen=True, slots=True)
class Area:
    """A filled area; rings inside rings are holes."""

    rings: tuple[tuple[Point, ...], ...]
    kind: str
    hatch: Hatch = Hatch.NONE
    name: str = ""


@dataclass(frozen=True, slots=True)
class Text:
    """One line of text; (x, y) is its baseline at `anchor`, `size` its font size.

    kind : tick, axis, label, key, badge or heading;  text : kept as the reader's language says it
    """

    x: float
    y: float
    text: str
    kind: str
    size: float
    anchor: Anchor = "start"

    def __post_init__(self) -> None:
        object.__setattr__(self, "text", spoken(self.text))


@dataclass(frozen=True, slots=True)
class Pill:
    """A rounded box around (x, y) with an outline, the ground of a badge."""

    x: float
    y: float
    width: float
    height: float
    kind: str


@dataclass(frozen=True, slots=True)
class Handle:
    """The one point that can be moved. `now` of `low` to `high` is its position across, for assistive devices."""

    x: float
    y: float
    name: str
    value_text: str
    low: float
    high: float
    now: float


Mark = Line | Area | Text | Pill | Handle


@dataclass(frozen=True, slots=True)
class Drawing:
    """A chart in its own units, y downwards.

    key : short name, unique on a page ("map", "core");  title, description : for those who do not see it
    data : figures a script needs, by name without the "data-"
    """

    key: str
    width: float
    height: float
    title: str
    description: str
    marks: tuple[Mark, ...]
    data: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))

    @property
    def texts(self) -> tuple[Text, ...]:
        """All text, in the order drawn."""
        return tuple(m for m in self.marks if isinstance(m, Text))


def box(left: float, top: float, right: float, bottom: float) -> tuple[Point, ...]:
    """The corners of an upright rectangle."""
    return ((left, top), (right, top), (right, bottom), (left, bottom))


def dense(points: Sequence[Point], apart: float = 4.0) -> Iterator[Point]:
    """Points along a line, no further apart than that."""
    xy = np.asarray(points)
    run = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(xy, axis=0).T))])
    for at in np.arange(0.0, float(run[-1]), apart):
        yield float(np.interp(at, run, xy[:, 0])), float(np.interp(at, run, xy[:, 1]))


def moved(marks: Iterable[Mark], dx: float, dy: float) -> tuple[Mark, ...]:
    """The same marks elsewhere."""

    def shift(points: tuple[Point, ...]) -> tuple[Point, ...]:
        return tuple((x + dx, y + dy) for x, y in points)

    out: list[Mark] = []
    for mark in marks:
        if isinstance(mark, Line):
            out.append(replace(mark, points=shift(mark.points)))
        elif isinstance(mark, Area):
            out.append(replace(mark, rings=tuple(shift(r) for r in mark.rings)))
        else:
            out.append(replace(mark, x=mark.x + dx, y=mark.y + dy))
    return tuple(out)
