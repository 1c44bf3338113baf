"""Labels of the map and of the core chart hide no other line while there is room that is free."""

from __future__ import annotations

import numpy as np
import pytest
from tests.unit.show.show_plans import NAMES, map_of, plan_of

from corebath.show.core_chart import core_drawing
from corebath.show.drawing import Drawing, Line, Text
from corebath.show.labels import Box, Layout, box_of
from corebath.show.map_chart import map_drawing
from corebath.units import METRIC

SIZES = pytest.mark.parametrize("wide", [False, True], ids=["phone", "wide"])
# In these the curves leave no free room: on a narrow chart of a frozen piece the core fills the plot from corner to
# corner, and their maps are all edges. There the words stand where they hide least.
CROWDED = ("frozen", "too late")
EVERY = pytest.mark.parametrize("name", [name for name in NAMES if name not in CROWDED])


def _hidden(drawing: Drawing, label: Text, *kinds: str) -> list[Line]:
    """Lines of some kinds that run under a label."""
    box = box_of(label)
    found = []
    for line in drawing.marks:
        if isinstance(line, Line) and line.kind in kinds:
            xy = np.asarray(line.points)
            at = np.linspace(0, len(xy) - 1, 20 * len(xy))
            x, y = (np.interp(at, np.arange(len(xy)), side) for side in xy.T)
            if np.any((box.left < x) & (x < box.right) & (box.top < y) & (y < box.bottom)):
                found.append(line)
    return found


@EVERY
@SIZES
def test_the_growth_limit_is_named_clear_of_the_core(name: str, wide: bool) -> None:
    drawing = core_drawing(plan_of(name), METRIC, wide=wide)
    labels = [t for t in drawing.texts if t.kind == "label" and ("held below" in t.text or "may grow" in t.text)]
    assert labels
    assert [t.text for t in labels if _hidden(drawing, t, "core", "cautious")] == []


@EVERY
def test_a_contour_is_named_on_itself_and_hides_no_other_line(name: str) -> None:
    drawing = map_drawing(plan_of(name), map_of(name), METRIC, wide=True)
    for label in drawing.texts:
        kind = label.text.split()[0]
        if label.kind == "label" and kind in ("tenderness", "juiciness"):
            under = _hidden(drawing, label, "tenderness", "juiciness", "hot-through", "edge", "reported")
            assert {line.kind for line in under} <= {kind}, label.text


@pytest.mark.parametrize("name", ["steak", "chicken"])
def test_the_words_of_the_point_hide_no_curve(name: str) -> None:
    drawing = map_drawing(plan_of(name), map_of(name), METRIC, wide=True)
    place = next(t for t in drawing.texts if t.kind == "label" and " h " in t.text and "°C" in t.text)
    assert _hidden(drawing, place, "tenderness", "juiciness", "hot-through", "edge", "reported") == []


def test_a_label_stands_where_it_hides_least_and_may_stand_on_its_own_line() -> None:
    layout = Layout(Box(0, 0, 300, 100))
    layout.reserve_line([(float(x), 20.0) for x in range(0, 300, 4)], of="own")
    layout.reserve_line([(float(x), 60.0) for x in range(0, 60, 4)], of="other")
    spots = [(Text(10, 60, "name", "label", 12),), (Text(10, 20, "name", "label", 12),)]
    assert layout.place(spots, over="own") == spots[1]
    crowded = Layout(Box(0, 0, 300, 100))
    crowded.reserve_line([(float(x), y) for x in range(0, 300, 4) for y in (18.0, 22.0)])
    crowded.reserve_line([(float(x), 60.0) for x in range(0, 20, 4)])
    assert crowded.place(reversed(spots)) == spots[0]
