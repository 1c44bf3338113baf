"""Two cooks' curves laid over each other."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from tests.unit.show.show_ends import check_drawing, words_of
from tests.unit.show.show_plans import NAMES, plan_of

from corebath.show.compare_chart import compare_drawing
from corebath.show.drawing import Drawing, Line
from corebath.units import METRIC, US, Preference

PAIRS = pytest.mark.parametrize(("first", "second"), list(pairwise(NAMES)))


def _drawn(first: str, second: str, preference: Preference, *, wide: bool) -> Drawing:
    cooks = tuple((f"{name} of Fri 12 Mar", plan_of(name), plan_of(name).bath_s) for name in (first, second))
    return compare_drawing(cooks, preference, wide=wide)


def _curves(drawing: Drawing) -> list[Line]:
    return [m for m in drawing.marks if isinstance(m, Line) and m.name.startswith("Core of")]


@PAIRS
@pytest.mark.parametrize("preference", [METRIC, US], ids=["metric", "US"])
def test_it_is_sound_at_every_size(first: str, second: str, preference: Preference) -> None:
    check_drawing(lambda wide: _drawn(first, second, preference, wide=wide))


@PAIRS
def test_each_cook_has_its_line_and_its_words(first: str, second: str) -> None:
    drawing = _drawn(first, second, METRIC, wide=False)
    one, two = _curves(drawing)
    assert one.kind != two.kind
    words = words_of(drawing)
    assert f"Thick line: {first} of Fri 12 Mar." in words
    assert f"Dashed line: {second} of Fri 12 Mar." in words
    assert first in drawing.description
    assert second in drawing.description


def test_each_curve_ends_when_its_cook_was_pulled_and_where_its_core_was() -> None:
    """The longer one reaches the right edge; a point of a curve stands where the plan's own history has it."""
    steak, chicken = plan_of("steak"), plan_of("chicken")
    drawing = compare_drawing((("a", steak, 2700.0), ("b", chicken, 7200.0)), METRIC, wide=True)
    short, long = (m.points for m in _curves(drawing))
    left, right = short[0][0], long[-1][0]
    assert short[-1][0] == pytest.approx(left + (right - left) * 2700 / 7200)
    # Two readings of the axis give its scale: both pieces start at the fridge and end near their baths.
    per_K = (long[-1][1] - long[0][1]) / (chicken.nominal.core_at(7200.0) - chicken.nominal.core_at(0.0))
    for x, y in short[::20]:
        at_s = 7200.0 * (x - left) / (right - left)
        expected = long[0][1] + per_K * (steak.nominal.core_at(at_s) - chicken.nominal.core_at(0.0))
        assert y == pytest.approx(expected, abs=0.2)


def test_a_bath_far_longer_than_the_way_up_is_drawn_to_its_end() -> None:
    steak = plan_of("steak")
    drawing = compare_drawing((("a", steak, 100 * 3600.0), ("b", steak, 3600.0)), METRIC, wide=True)
    xs = np.array([x for x, _ in _curves(drawing)[0].points])
    assert xs[-1] == pytest.approx(drawing.width - 14)
    assert np.all(np.diff(xs) > 0)
