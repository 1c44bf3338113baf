"""The chart of the whole story: every stretch numbered, every finding lettered at its moment."""

from __future__ import annotations

import pytest
from tests.unit.show.show_ends import STORY, check_drawing, story_of, words_of

from corebath.show.drawing import Line, Pill, Text
from corebath.show.story_chart import story_drawing
from corebath.units import METRIC, US, Preference, render

EVERY = pytest.mark.parametrize("name", STORY)


@EVERY
@pytest.mark.parametrize("preference", [METRIC, US], ids=["metric", "US"])
def test_it_is_sound_at_every_size(name: str, preference: Preference) -> None:
    check_drawing(lambda wide: story_drawing(story_of(name), preference, wide=wide))


@EVERY
@pytest.mark.parametrize("wide", [False, True], ids=["phone", "wide"])
def test_every_finding_is_lettered_twice_and_told(name: str, wide: bool) -> None:
    story = story_of(name)
    drawing = story_drawing(story, METRIC, wide=wide)
    badges = [m.text for m in drawing.marks if isinstance(m, Text) and m.kind == "badge" and m.text.isalpha()]
    assert len(badges) == 2 * len(story.told)
    assert len(set(badges)) == len(story.told)
    words = words_of(drawing)
    for told in story.told:
        assert render(told.finding.title, METRIC, both=False) in words


@EVERY
def test_letters_stand_in_the_order_of_their_moments(name: str) -> None:
    story = story_of(name)
    assert [t.at_s for t in story.told] == sorted(t.at_s for t in story.told)
    drawing = story_drawing(story, METRIC, wide=True)
    rings = [m.x for m in drawing.marks if isinstance(m, Pill) and m.kind == "dot"]
    assert rings == sorted(rings)


@EVERY
def test_every_stretch_is_numbered_and_named(name: str) -> None:
    story = story_of(name)
    words = words_of(story_drawing(story, METRIC, wide=False)).lower()
    for leg in story.legs:
        assert leg.name in words
    breaks = [m for m in story_drawing(story, METRIC, wide=True).marks if isinstance(m, Line) and m.kind == "break"]
    assert len(breaks) == len(story.legs) - 1
