"""The sheet: a plan's answer, its map and its core curve on one page."""

from __future__ import annotations

from corebath.plan.map import Map
from corebath.plan.plan import Plan
from corebath.units import Preference

from .core_chart import core_drawing
from .drawing import Drawing, Mark, Text, moved
from .labels import wrap
from .map_chart import map_drawing
from .sentences import answer
from .words import chart_subject

_SIZE, _LINE, _MARGIN, _GAP = 15.0, 20.0, 16.0, 14.0


def sheet_drawing(plan: Plan, map: Map, preference: Preference) -> Drawing:
    """The map over the core curve, headed by the answer in one sentence."""
    said = answer(plan, preference)
    charts = (map_drawing(plan, map, preference, wide=True), core_drawing(plan, preference, wide=True))
    width = charts[0].width + 2 * _MARGIN
    y = _MARGIN + _SIZE
    marks: list[Mark] = []
    for line in wrap(said, charts[0].width - 8, _SIZE):
        marks.append(Text(_MARGIN + 4, y, line, "heading", _SIZE))
        y += _LINE
    for chart in charts:
        marks += moved(chart.marks, _MARGIN, y)
        y += chart.height + _GAP
    return Drawing(
        key="sheet",
        width=width,
        height=y,
        title=f"Plan: {chart_subject(plan, preference)}",
        description=" ".join([said, *(chart.description for chart in charts)]),
        marks=tuple(marks),
    )
