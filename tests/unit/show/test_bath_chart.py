"""The bath's chart: nothing runs out of its frame, no words lie on each other, in both units and both cuts."""

from __future__ import annotations

from datetime import datetime
from functools import cache
from xml.etree import ElementTree
from zoneinfo import ZoneInfo

import pytest
from tests.unit.show.show_plans import plan_of

from corebath.ask.bath import BathQuestion, understand_bath
from corebath.log.gear import Kitchen
from corebath.plan.alone.bath import BathAnswer, answer_bath
from corebath.show.bath_chart import BathFigure, bath_drawing, figure_of_answer, figure_of_plan
from corebath.show.drawing import Area, Line
from corebath.show.labels import box_of
from corebath.show.svg import to_svg
from corebath.show.terminal import to_terminal
from corebath.units import METRIC, US, Preference

ZONE = ZoneInfo("Europe/Paris")
NOW = datetime(2027, 10, 29, 17, 0, tzinfo=ZONE)
TOTE = {"vessel": "40 x 30 x 20 cm", "litres": "18 L", "heater": "1.2 kW, 8 cm to 18 cm", "set": "57 C"}
KITCHENS = {
    "night": TOTE | {"bath": "36 h", "food": "beef short rib", "thick": "40 mm", "mass": "500 g"},
    "frozen": TOTE | {"food": "beef short rib", "thick": "40 mm", "mass": "1 kg", "pieces": "5", "state": "frozen"},
    "short": TOTE | {"bath": "20 min", "cover": "gasketed"},
    "deep": {"vessel": "60 x 40 x 90 cm", "heater": "2 kW, 10 cm to 80 cm", "set": "85 C", "bath": "5 days"},
    "shallow": {"vessel": "20 cm x 6 cm", "heater": "300 W, 2 cm to 5 cm", "set": "45 C", "off": "60 h"},
}


@cache
def answer_of(kitchen: str) -> BathAnswer:
    return answer_bath(understand_bath(BathQuestion.of(KITCHENS[kitchen]), NOW, Kitchen(zone=ZONE)))


def figure_of(name: str) -> BathFigure:
    if name in KITCHENS:
        return figure_of_answer(answer_of(name))
    figure = figure_of_plan(plan_of(name))
    assert figure is not None
    return figure


EVERY = pytest.mark.parametrize("name", [*KITCHENS, "in a pot", "in ice", "in too small a pot"])
CUTS = pytest.mark.parametrize("wide", [False, True], ids=["phone", "wide"])
UNITS = pytest.mark.parametrize("preference", [METRIC, US], ids=["metric", "us"])


@EVERY
@CUTS
@UNITS
def test_words_stand_inside_and_apart(name: str, wide: bool, preference: Preference) -> None:
    drawing = bath_drawing(figure_of(name), preference, wide=wide)
    boxes = [(t, box_of(t)) for t in drawing.texts]
    for text, room in boxes:
        assert room.left >= -1, text.text
        assert room.right <= drawing.width + 1, text.text
        assert room.top >= 0, text.text
        assert room.bottom <= drawing.height + 1, text.text
    for i, (one, room) in enumerate(boxes):
        for other, taken in boxes[i + 1 :]:
            assert not room.touches(taken), (one.text, other.text)


@EVERY
@CUTS
def test_curves_stay_in_their_frames(name: str, wide: bool) -> None:
    drawing = bath_drawing(figure_of(name), METRIC, wide=wide)
    frames = [m for m in drawing.marks if isinstance(m, Line) and m.kind == "frame"]
    assert len(frames) == 2
    tops, bottoms = ([f(y for _, y in m.points) for m in frames] for f in (min, max))
    left, right = min(x for x, _ in frames[0].points), max(x for x, _ in frames[0].points)
    for mark in drawing.marks:
        rings = mark.rings if isinstance(mark, Area) else (mark.points,) if isinstance(mark, Line) else ()
        if isinstance(mark, Line) and mark.kind in ("tick-mark", "frame"):
            continue
        for x, y in (point for ring in rings for point in ring):
            assert left - 0.1 <= x <= right + 0.1
            assert any(top - 0.1 <= y <= bottom + 0.1 for top, bottom in zip(tops, bottoms, strict=True)), mark


@EVERY
def test_it_can_be_drawn_everywhere_and_says_what_it_shows(name: str) -> None:
    drawing = bath_drawing(figure_of(name), METRIC, wide=True)
    ElementTree.fromstring(to_svg(drawing, standalone=True))
    assert len(to_terminal(drawing, 120).splitlines()[0]) == 120
    assert "Without power" in drawing.description
    assert "{" not in drawing.description


def test_a_plan_without_gear_has_no_bath_to_draw() -> None:
    assert figure_of_plan(plan_of("steak")) is None
