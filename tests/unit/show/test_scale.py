"""Axes: round figures in the cook's unit, labels apart, the clock right through its changes."""

from __future__ import annotations

from datetime import UTC, datetime
from itertools import pairwise
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from corebath.show.labels import text_width, wrap
from corebath.show.scale import Scale, Tick, clock_ticks, elapsed_ticks, temperature_ticks
from corebath.units import METRIC, US

PARIS = ZoneInfo("Europe/Paris")
SIZE = 12.0


def _gaps(ticks: tuple[Tick, ...], scale: Scale) -> list[float]:
    """Room between neighbouring labels."""
    return [
        (scale(b.value) - text_width(b.label, SIZE) / 2) - (scale(a.value) + text_width(a.label, SIZE) / 2)
        for a, b in pairwise(ticks)
    ]


@given(st.floats(-40, 95), st.floats(1, 60), st.floats(-500, 500), st.floats(1, 500))
def test_a_scale_turns_back(low: float, span: float, start: float, length: float) -> None:
    scale = Scale(low, low + span, start, start + length)
    value = low + 0.3 * span
    assert scale.value(scale(value)) == pytest.approx(value, abs=1e-6)


def test_a_scale_refuses_coinciding_ends() -> None:
    with pytest.raises(ValueError, match="two different values"):
        Scale(1.0, 1.0, 0.0, 10.0)


def test_celsius_ticks_are_round_in_celsius() -> None:
    assert [t.label for t in temperature_ticks(Scale(40, 80, 300, 0), METRIC, SIZE)] == [
        *("40", "45", "50", "55", "60", "65", "70", "75", "80")
    ]


def test_fahrenheit_ticks_are_round_in_fahrenheit() -> None:
    """104 F is 40 C and 176 F is 80 C, exactly by definition."""
    ticks = temperature_ticks(Scale(40, 80, 300, 0), US, SIZE)
    assert [t.label for t in ticks] == ["110", "120", "130", "140", "150", "160", "170"]
    assert ticks[3].value == pytest.approx(60.0)


def test_frost_is_printed_with_a_minus() -> None:
    assert temperature_ticks(Scale(-20, 60, 200, 0), METRIC, SIZE)[0].label == "−20"


@pytest.mark.parametrize("limit", [(0.0, 300.0), (40.0, 700.0)])
@given(duration_s=st.floats(120, 96 * 3600))
def test_elapsed_labels_keep_apart(limit: tuple[float, float], duration_s: float) -> None:
    scale = Scale(0.0, duration_s, *limit)
    ticks = elapsed_ticks(scale, SIZE, 13.0)
    assert ticks[0].label == "0"
    assert all(gap >= SIZE for gap in _gaps(ticks, scale))
    assert all(scale(t.value) + text_width(t.label, SIZE) / 2 <= limit[1] + 13.0 for t in ticks)


@pytest.mark.parametrize(
    ("hours", "labels"),
    [
        (1.0, ["0", "15 min", "30 min", "45 min", "1 h"]),
        (4.0, ["0", "1 h", "2 h", "3 h", "4 h"]),
        (66.0, ["0", "12 h", "24 h", "36 h", "48 h", "60 h"]),
    ],
)
def test_elapsed_steps(hours: float, labels: list[str]) -> None:
    assert [t.label for t in elapsed_ticks(Scale(0.0, hours * 3600, 40, 346), SIZE, 13.0)] == labels


@given(st.floats(600, 96 * 3600), st.integers(0, 10 * 24 * 60))
def test_clock_labels_keep_apart_and_tell_the_time(duration_s: float, minutes: int) -> None:
    start = datetime.fromtimestamp(datetime(2026, 10, 20, tzinfo=UTC).timestamp() + 60 * minutes, PARIS)
    scale = Scale(0.0, duration_s, 40, 346)
    ticks = clock_ticks(scale, start, PARIS, SIZE, 13.0)
    assert all(gap >= SIZE for gap in _gaps(ticks, scale))
    for tick in ticks:
        moment = datetime.fromtimestamp(start.timestamp() + tick.value, PARIS)
        assert tick.label == (f"{moment:%H:%M}" if ":" in tick.label else f"{moment:%a} {moment.day} {moment:%b}")


def test_the_hour_that_comes_twice_is_shown_twice() -> None:
    """Clocks in Paris went back at 03:00 on 25 October 2026 (European summer time, last Sunday of October)."""
    start = datetime(2026, 10, 25, 1, 0, tzinfo=PARIS)
    ticks = clock_ticks(Scale(0.0, 4 * 3600, 0, 600), start, PARIS, SIZE, 20.0)
    hours = [(t.label, t.value / 3600) for t in ticks if t.label.endswith(":00")]
    assert hours == [("01:00", 0.0), ("02:00", 1.0), ("02:00", 2.0), ("03:00", 3.0), ("04:00", 4.0)]


def test_the_hour_that_never_comes_is_left_out() -> None:
    """Clocks in Paris go forward at 02:00 on 29 March 2026 (last Sunday of March)."""
    start = datetime(2026, 3, 29, 1, 0, tzinfo=PARIS)
    ticks = clock_ticks(Scale(0.0, 2 * 3600, 0, 600), start, PARIS, SIZE, 20.0)
    hours = [(t.label, t.value / 3600) for t in ticks if t.label.endswith(":00")]
    assert hours == [("01:00", 0.0), ("03:00", 1.0), ("04:00", 2.0)]


def test_a_figure_keeps_its_unit_on_one_line() -> None:
    lines = wrap("opened meat or fish: 63 °C for 3 min, up to 70 °C at once", 200.0, SIZE)
    assert len(lines) > 1
    assert not any(line.startswith(("°C", "min")) for line in lines)
