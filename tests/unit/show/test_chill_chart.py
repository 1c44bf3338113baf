"""Charts of chilling and reheating: limits as steps where the rules put them, times where the runs have them."""

from __future__ import annotations

from dataclasses import replace

import pytest
from tests.unit.show.show_ends import CHILL, KITCHEN, REHEAT, check_drawing, chill_of, reheat_of, words_of

from corebath.ask.ends import EndQuestion, understand_reheat
from corebath.plan.alone.reheat import answer_reheat
from corebath.safety.cooling import cooling_times
from corebath.show.chill_chart import chill_drawing, reheat_drawing
from corebath.show.drawing import Line, Pill
from corebath.units import METRIC, US, Preference

UNITS = pytest.mark.parametrize("preference", [METRIC, US], ids=["metric", "US"])


@pytest.mark.parametrize("name", CHILL)
@UNITS
def test_chills_are_sound_at_every_size(name: str, preference: Preference) -> None:
    check_drawing(lambda wide: chill_drawing(chill_of(name), preference, wide=wide))


@pytest.mark.parametrize("name", REHEAT)
@UNITS
def test_reheats_are_sound_at_every_size(name: str, preference: Preference) -> None:
    check_drawing(lambda wide: reheat_drawing(reheat_of(name), preference, wide=wide))


@pytest.mark.parametrize("name", CHILL)
def test_every_rule_that_is_entered_has_its_steps_and_words(name: str) -> None:
    answer = chill_of(name)
    drawing = chill_drawing(answer, METRIC, wide=True)
    entered = [x for x in answer.limits if cooling_times(answer.chill.runs.cautious, x.stages)]
    steps = [m for m in drawing.marks if isinstance(m, Line) and m.kind in ("limit", "told-limit")]
    assert len(steps) == len(entered)
    for limit in entered:
        assert limit.authority in words_of(drawing)
    assert [m.kind == "limit" for m in steps] == [x.binding for x in entered]


def test_the_first_step_falls_after_its_hours() -> None:
    """Two hours from 57 degC on, FDA Food Code 2022, 3-501.14."""
    answer = chill_of("steak")
    drawing = chill_drawing(answer, METRIC, wide=True)
    step = next(m for m in drawing.marks if isinstance(m, Line) and m.kind == "limit")
    rings = [m for m in drawing.marks if isinstance(m, Pill) and m.kind == "dot"]
    reach = answer.chill.runs.reach(21.0)
    assert reach.nominal_s is not None
    assert reach.cautious_s is not None
    per_s = (rings[1].x - rings[0].x) / (reach.cautious_s - reach.nominal_s)
    (x0, y0), (x1, y1), (x2, y2) = step.points[:3]
    assert y0 == y1
    assert x1 == x2
    assert y2 > y1
    assert (x1 - x0) / per_s == pytest.approx(7200, rel=1e-6)


def test_a_curve_that_breaks_a_rule_passes_over_its_corner() -> None:
    drawing = chill_drawing(chill_of("roast"), METRIC, wide=True)
    step = next(m for m in drawing.marks if isinstance(m, Line) and m.kind == "limit")
    slow = next(m for m in drawing.marks if isinstance(m, Line) and m.kind == "cautious")
    corner_x, corner_y = step.points[2]
    height = next(y for x, y in slow.points if x >= corner_x)
    assert height < corner_y  # y runs downwards: hotter than allowed


def test_the_serving_core_is_named() -> None:
    assert "50 °C to serve after" in words_of(reheat_drawing(reheat_of("steak"), METRIC, wide=True))
    assert "74 °C for hot holding after" in words_of(reheat_drawing(reheat_of("frozen"), METRIC, wide=True))


def test_the_line_of_the_bath_lies_where_its_water_is() -> None:
    high = replace(KITCHEN, probe_offset_K=2.0)
    off = answer_reheat(understand_reheat(EndQuestion(food="ribeye", thick="30 mm", cooked="57 C", serve="50 C"), high))
    assert "bath 55 °C" in words_of(reheat_drawing(off, METRIC, wide=True))
