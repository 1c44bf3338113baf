"""The lanes of a menu: sound at every size, every bar told, nothing over anything, hours right when clocks change."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from itertools import combinations, pairwise
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.unit.show.show_ends import check_drawing, words_of
from tests.unit.show.show_menus import MENU, WORKING, menu_of

from corebath.plan.menu.answer import Lane, MenuPlan, Span
from corebath.show.drawing import Area, Drawing, Hatch, Text
from corebath.show.lanes_axis import clock_marks, strips
from corebath.show.lanes_chart import lane_rows, lanes_drawing
from corebath.units import METRIC, US, Preference

BARS = {"heat", "hold", "change", "reheat", "chill", "sear", "work"}
EVERY = pytest.mark.parametrize("name", WORKING)
WIDE = pytest.mark.parametrize("wide", [False, True], ids=["phone", "wide"])


def bars_of(drawing: Drawing) -> list[Area]:
    return [m for m in drawing.marks if isinstance(m, Area) and m.kind in BARS and m.name]


@EVERY
@pytest.mark.parametrize("preference", [METRIC, US], ids=["metric", "US"])
def test_it_is_sound_at_every_size(name: str, preference: Preference) -> None:
    check_drawing(lambda wide: lanes_drawing(menu_of(name), preference, wide=wide))


@EVERY
@WIDE
def test_every_bar_is_drawn_and_told(name: str, wide: bool) -> None:
    plan = menu_of(name)
    drawing = lanes_drawing(plan, METRIC, wide=wide)
    names = {bar.name for bar in bars_of(drawing)}
    words = words_of(drawing)
    for lane in plan.lanes:
        assert lane.name in words
        assert lane.name.casefold() in drawing.description.casefold()
    shown = [span for lane in plan.lanes for span in lane.spans if span.kind != "asleep"]
    assert len(lane_rows(plan)) == len(shown)
    for span in shown:
        label = span.label.replace("{", "").split("|")[0]
        assert any(n.startswith(label.split(" ")[0]) for n in names), label


@EVERY
@WIDE
def test_no_bar_lies_over_another_and_none_vanishes(name: str, wide: bool) -> None:
    drawing = lanes_drawing(menu_of(name), METRIC, wide=wide)
    boxes = [
        (min(x for x, _ in b.rings[0]), min(y for _, y in b.rings[0]), max(x for x, _ in b.rings[0]),
         max(y for _, y in b.rings[0]))
        for b in bars_of(drawing)
    ]  # fmt: skip
    assert all(right - left >= 3.0 - 1e-6 for left, _, right, _ in boxes)
    for a, b in combinations(boxes, 2):
        apart = a[2] <= b[0] + 1e-6 or b[2] <= a[0] + 1e-6 or a[3] <= b[1] + 1e-6 or b[3] <= a[1] + 1e-6
        assert apart, (a, b)


@pytest.mark.parametrize("name", ["dinner", "ahead"])
@WIDE
def test_a_held_bar_says_that_it_is_held(name: str, wide: bool) -> None:
    drawing = lanes_drawing(menu_of(name), METRIC, wide=wide)
    held = [bar for bar in bars_of(drawing) if bar.kind == "hold"]
    texts = [m.text for m in drawing.marks if isinstance(m, Text)]
    assert held
    assert sum("held" in text for text in texts) >= len(held)
    assert all(", held: " in bar.name for bar in held)


def test_set_points_stand_on_the_bars_of_a_bath() -> None:
    words = words_of(lanes_drawing(menu_of("dinner"), METRIC, wide=True))
    assert "85 °C" in words
    assert "56 °C" in words
    assert "185 °F" in words_of(lanes_drawing(menu_of("dinner"), US, wide=True))


def test_sleep_is_shaded_through_all_lanes() -> None:
    drawing = lanes_drawing(menu_of("long"), METRIC, wide=True)
    nights = [m for m in drawing.marks if isinstance(m, Area) and m.kind == "asleep"]
    assert nights
    assert all(m.hatch is Hatch.NONE for m in nights)
    awake = lanes_drawing(replace(menu_of("long"), menu=replace(MENU, asleep=None)), METRIC, wide=True)
    assert not any(isinstance(m, Area) and m.kind == "asleep" for m in awake.marks)


def test_days_are_named() -> None:
    words = words_of(lanes_drawing(menu_of("ahead"), METRIC, wide=False))
    assert "Fri 12 Mar" in words
    assert "Sat 13 Mar" in words


def test_a_menu_without_an_answer_has_no_lanes() -> None:
    with pytest.raises(ValueError, match="no lanes to draw"):
        lanes_drawing(menu_of("impossible"), METRIC, wide=True)


@given(st.lists(st.integers(0, 60 * 60), min_size=1, max_size=30), st.sampled_from([320.0, 600.0]))
@settings(max_examples=80)
def test_strips_hold_all_time_once_in_order(minutes: list[int], width: float) -> None:
    events = [60.0 * m for m in minutes]
    made = strips(events, 8.0, 8.0 + width)
    parts = [s for strip in made for s in strip.stretches]
    assert all(a.end_s == pytest.approx(b.start_s) for a, b in pairwise(parts))
    assert parts[0].start_s < min(events)
    assert parts[-1].end_s > max(events)
    for strip in made:
        assert strip.stretches[0].left == pytest.approx(8.0)
        assert all(a.right == pytest.approx(b.left) for a, b in pairwise(strip.stretches))
        assert all(8.0 - 1e-6 <= s.left < s.right <= 8.0 + width + 1e-6 for s in strip.stretches)
    rates = [(s.right - s.left) / (s.end_s - s.start_s) for s in parts if not s.folded and s.end_s - s.start_s > 60]
    assert max(rates) == pytest.approx(min(rates), rel=0.02)
    assert min(rates) * 300 >= 3.0  # five minutes can be seen
    folded = [s for s in parts if s.folded]
    assert not any(s.start_s < e < s.end_s for s in folded for e in events)


def test_the_clock_is_right_while_it_is_put_back() -> None:
    # Europe/Paris, 31 October 2027: 03:00 CEST becomes 02:00 CET at 01:00 UTC (European Union, Directive 2000/84/EC).
    zone = ZoneInfo("Europe/Paris")
    start = datetime(2027, 10, 31, 0, 0, tzinfo=zone)
    (strip,) = strips([0.0, 3600.0, 7200.0, 10_800.0, 14_400.0], 0.0, 1000.0)
    marks = [m for m in clock_marks(strip, start, zone, 40.0) if m.at.minute == 0]
    assert [f"{m.at:%H:%M}" for m in marks] == ["00:00", "01:00", "02:00", "02:00", "03:00"]
    gaps = [b.x - a.x for a, b in pairwise(marks)]
    assert gaps == pytest.approx([gaps[0]] * len(gaps))


def test_the_clock_is_right_after_folded_hours_in_which_it_was_put_back() -> None:
    zone = ZoneInfo("Europe/Paris")
    start = datetime(2027, 10, 30, 20, 0, tzinfo=zone)
    table = datetime(2027, 10, 31, 19, 0, tzinfo=zone)
    at_s = table.timestamp() - start.timestamp()
    made = strips([0.0, at_s], 0.0, 600.0)
    (last,) = [strip for strip in made if strip.end_s > at_s]
    (mark,) = [m for m in clock_marks(last, start, zone, 40.0) if f"{m.at:%H:%M}" == "19:00"]
    assert mark.x == pytest.approx(last.x(at_s))


def test_a_bar_across_the_change_is_as_long_as_it_lasts() -> None:
    zone = ZoneInfo("Europe/Paris")
    start = datetime(2027, 10, 31, 1, 30, tzinfo=zone)
    end = (start.astimezone(UTC) + timedelta(hours=2)).astimezone(zone)
    spans = (Span(start, end, "across", "hold"), Span(end, (end + timedelta(hours=2)), "after", "hold"))
    plan: MenuPlan = replace(menu_of("dinner"), lanes=(Lane("pot", "bath", spans),))
    first, second = bars_of(lanes_drawing(plan, METRIC, wide=True))
    widths = [max(x for x, _ in b.rings[0]) - min(x for x, _ in b.rings[0]) for b in (first, second)]
    assert widths[0] == pytest.approx(widths[1], rel=0.01)
