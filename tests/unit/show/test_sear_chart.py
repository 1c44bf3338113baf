"""The chart of a sear: the grey band as deep as computed, the core result, both sides named."""

from __future__ import annotations

import re

import pytest
from tests.unit.show.show_ends import SEAR, check_drawing, sear_of, words_of

from corebath.show.drawing import Area, Drawing, Line
from corebath.show.sear_chart import sear_drawing
from corebath.units import METRIC, US, Preference

EVERY = pytest.mark.parametrize("name", SEAR)
UNITS = pytest.mark.parametrize("preference", [METRIC, US], ids=["metric", "US"])


def drawn(name: str, preference: Preference = METRIC, *, wide: bool = True) -> Drawing:
    return sear_drawing(sear_of(name), preference, wide=wide)


@EVERY
@UNITS
def test_it_is_sound_at_every_size(name: str, preference: Preference) -> None:
    check_drawing(lambda wide: drawn(name, preference, wide=wide))


@EVERY
def test_the_grey_band_is_shaded_as_deep_as_computed(name: str) -> None:
    answer, drawing = sear_of(name), drawn(name)
    frame = next(m for m in drawing.marks if isinstance(m, Line) and m.kind == "frame")
    wide = max(x for x, _ in frame.points) - min(x for x, _ in frame.points)
    per_m = wide / answer.setup.thickness_m
    shaded = [m for m in drawing.marks if isinstance(m, Area) and m.kind == "grey"]
    widths = [max(x for x, _ in a.rings[0]) - min(x for x, _ in a.rings[0]) for a in shaded]
    if answer.sear.nominal.through:
        assert widths == [pytest.approx(wide)]
    else:
        bands = [b for b in answer.sear.nominal.band_m if b > 0]
        assert widths == [pytest.approx(b * per_m) for b in bands]


@EVERY
def test_levels_sides_and_curves_are_named(name: str) -> None:
    words = words_of(drawn(name))
    assert "core result 56 °C" in words
    assert "grey above 61 °C" in words
    assert "heated face" in words
    if name == "thin and wet":
        assert "turned" in words
        assert "grey all through" in words
    else:
        assert "side one" in words
        assert "side two" in words
    assert bool(re.search(r"\brest\b", words)) is (name != "grill")


def test_a_flame_far_above_the_chart_is_said_and_not_drawn() -> None:
    drawing = drawn("torch")
    assert "The torch itself is far hotter" in words_of(drawing)
    hot = [m for m in drawing.marks if isinstance(m, Line) and m.kind == "hot-face"]
    assert len(hot) == 1  # the air of the rest
