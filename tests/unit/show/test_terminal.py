"""Charts in a terminal: even lines, every word kept, dots where lines are."""

from __future__ import annotations

import pytest
from tests.unit.show.show_plans import NAMES, map_of, plan_of

from corebath.show.core_chart import core_drawing
from corebath.show.drawing import Area, Drawing, Hatch, Line, Text, box
from corebath.show.frame import LINE, SIZE
from corebath.show.map_chart import map_drawing
from corebath.show.terminal import to_terminal
from corebath.units import METRIC


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("columns", [60, 80, 100, 120])
def test_lines_are_even_and_no_word_is_lost(name: str, columns: int) -> None:
    plan = plan_of(name)
    for drawing in (
        map_drawing(plan, map_of(name), METRIC, wide=columns >= 110),
        core_drawing(plan, METRIC, wide=columns >= 110),
    ):
        text = to_terminal(drawing, columns)
        assert {len(line) for line in text.splitlines()} == {columns}
        missing = [t.text for t in drawing.texts if t.text not in text]
        assert missing == []


@pytest.mark.parametrize("columns", [59, 201])
def test_other_widths_are_refused(columns: int) -> None:
    with pytest.raises(ValueError, match="60 to 200 columns"):
        to_terminal(_drawing(), columns)


def _drawing(*marks: Line | Area | Text) -> Drawing:
    return Drawing("test", 360.0, 290.0, "title", "description", marks)


def test_a_level_line_fills_its_row_only() -> None:
    lines = to_terminal(_drawing(Line(((0.0, 145.0), (360.0, 145.0)), "core")), 60).splitlines()
    drawn = [i for i, line in enumerate(lines) if line.strip()]
    assert drawn == [10]
    assert " " not in lines[10]


def test_a_dashed_line_has_gaps() -> None:
    lines = to_terminal(_drawing(Line(((0.0, 145.0), (360.0, 145.0)), "tenderness")), 100).splitlines()
    assert 20 < len(lines[10].replace(" ", "")) < 100


def test_hatches_differ_and_keep_inside() -> None:
    seen = set()
    for hatch in (Hatch.RISING, Hatch.FALLING, Hatch.LEVEL, Hatch.DOTS):
        lines = to_terminal(_drawing(Area((box(90, 0, 180, 290),), "met", hatch)), 60).splitlines()
        assert all(line[:15].strip() == "" and line[30:].strip() == "" for line in lines)
        assert any(line[15:30].strip() for line in lines)
        seen.add("\n".join(lines))
    assert len(seen) == 4


def test_a_hole_stays_blank() -> None:
    rings = (box(0, 0, 360, 290), box(90, 72.5, 270, 217.5))
    lines = to_terminal(_drawing(Area(rings, "met", Hatch.LEVEL)), 60).splitlines()
    assert lines[10][16:44].strip() == ""
    assert lines[10][:14].strip()


def test_words_without_room_stand_below() -> None:
    crowd = [Text(0.0, 100.0, f"the same place again {i}", "label", 12.0) for i in range(30)]
    text = to_terminal(_drawing(*crowd), 60)
    assert all(t.text in text for t in crowd)
    assert len(text.splitlines()) > 20


@pytest.mark.parametrize("columns", [60, 80, 100])
@pytest.mark.parametrize("y", range(0, 60, 7))
def test_lines_of_one_text_stay_together(columns: int, y: int) -> None:
    words = ("the first line", "the second line", "the third line")
    drawing = _drawing(*(Text(4.0, 20.0 + y + i * LINE, said, "key", SIZE) for i, said in enumerate(words)))
    lines = [line.strip() for line in to_terminal(drawing, columns).splitlines()]
    assert lines.index(words[2]) - lines.index(words[0]) == 2
