"""Printing: which unit first, how many digits, and carries on both sides."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from corebath.units import (
    METRIC,
    US,
    Preference,
    mark,
    parse_duration,
    parse_length,
    parse_mass,
    parse_temperature,
    parse_temperature_difference,
    parse_volume,
    render,
    show_duration,
    show_length,
    show_mass,
    show_set_point,
    show_temperature,
    show_temperature_difference,
    show_volume,
    snap_set_point,
)

OZ_kg = 0.028349523125
PREFERENCES = (METRIC, US)


@pytest.mark.parametrize(
    ("value_C", "metric", "us"),
    [
        (57.0, "57 °C (135 °F)", "135 °F (57 °C)"),
        (60.0, "60 °C (140 °F)", "140 °F (60 °C)"),
        (-18.0, "−18 °C (0 °F)", "0 °F (−18 °C)"),
        (56.95, "57 °C (135 °F)", "135 °F (57 °C)"),
        (56.949, "56.9 °C (135 °F)", "135 °F (56.9 °C)"),
        (-0.04, "0 °C (32 °F)", "32 °F (0 °C)"),
        (99.99, "100 °C (212 °F)", "212 °F (100 °C)"),
    ],
)
def test_temperatures(value_C: float, metric: str, us: str) -> None:
    assert show_temperature(value_C, METRIC) == metric
    assert show_temperature(value_C, US) == us
    assert show_temperature(value_C, METRIC, both=False) == metric.partition(" (")[0]


@pytest.mark.parametrize(
    ("value_C", "metric", "us"),
    [
        (57.2, "57 °C (135 °F)", "135 °F (57.2 °C)"),
        (57.25, "57.5 °C (136 °F)", "135 °F (57.2 °C)"),
        (57.24, "57 °C (135 °F)", "135 °F (57.2 °C)"),
        (59.74, "59.5 °C (139 °F)", "140 °F (60 °C)"),
        (59.75, "60 °C (140 °F)", "140 °F (60 °C)"),
    ],
)
def test_set_points_stand_on_their_steps(value_C: float, metric: str, us: str) -> None:
    assert show_set_point(value_C, METRIC) == metric
    assert show_set_point(value_C, US) == us


@given(st.floats(0, 100))
def test_snapping_a_set_point_moves_it_by_half_a_step_at_most_and_only_once(value_C: float) -> None:
    for preference, step in ((METRIC, 0.5), (US, 1 / 1.8)):
        snapped = snap_set_point(value_C, preference)
        assert abs(snapped - value_C) <= step / 2 + 1e-9
        assert snap_set_point(snapped, preference) == pytest.approx(snapped, abs=1e-12)


def test_differences_convert_without_the_32() -> None:
    assert show_temperature_difference(1.0, METRIC) == "1 °C (1.8 °F)"
    assert show_temperature_difference(-0.5, US) == "−0.9 °F (−0.5 °C)"
    assert show_temperature_difference(0.0, US) == "0 °F (0 °C)"


@pytest.mark.parametrize(
    ("value_m", "text"),
    [
        (0.0381, "1 1/2 in"),
        (0.0254, "1 in"),
        (0.0254 * 15.49 / 16, "15/16 in"),
        (0.0254 * 15.51 / 16, "1 in"),
        (0.0254 * 31.97 / 16, "2 in"),
        (0.0254 / 16, "1/16 in"),
        (0.0254 / 40, "0.025 in"),
        (0.0, "0 in"),
        (3.048, "10 ft"),
    ],
)
def test_inches_are_fractions(value_m: float, text: str) -> None:
    assert show_length(value_m, US, both=False) == text


@pytest.mark.parametrize(
    ("value_m", "text"),
    [
        (0.038, "38 mm"),
        (0.0384, "38 mm"),
        (0.0385, "39 mm"),
        (0.0099, "9.9 mm"),
        (0.00996, "10 mm"),
        (0.00994, "9.9 mm"),
        (1.9996, "2000 mm"),
        (2.0, "2 m"),
        (1609.0, "1610 m"),
    ],
)
def test_millimetres(value_m: float, text: str) -> None:
    assert show_length(value_m, METRIC, both=False) == text


@pytest.mark.parametrize(
    ("value_kg", "metric", "us"),
    [
        (0.907185, "907 g", "2 lb"),
        (1.8994, "1.9 kg", "4 lb 3 oz"),
        (15.97 * OZ_kg, "453 g", "1 lb"),
        (15.94 * OZ_kg, "452 g", "15.9 oz"),
        (31.6 * OZ_kg, "896 g", "2 lb"),
        (31.4 * OZ_kg, "890 g", "1 lb 15 oz"),
        (0.9996, "1 kg", "2 lb 3 oz"),
        (0.9994, "999 g", "2 lb 3 oz"),
        (0.0042, "4.2 g", "0.15 oz"),
        (0.00996, "10 g", "0.35 oz"),
        (150.0, "150 kg", "331 lb"),
        (0.0, "0 g", "0 oz"),
    ],
)
def test_masses(value_kg: float, metric: str, us: str) -> None:
    assert show_mass(value_kg, METRIC, both=False) == metric
    assert show_mass(value_kg, US, both=False) == us
    assert show_mass(value_kg, US) == f"{us} ({metric})"


@pytest.mark.parametrize(
    ("value_L", "metric", "us"),
    [
        (5.0, "5 L", "5.28 qt"),
        (12.0, "12 L", "12.7 qt"),
        (0.25, "250 mL", "8.5 fl oz"),
        (0.9996, "1 L", "1.06 qt"),
        (0.946352, "946 mL", "1 qt"),
        (0.945, "945 mL", "1 qt"),
        (0.944, "944 mL", "31.9 fl oz"),
    ],
)
def test_volumes(value_L: float, metric: str, us: str) -> None:
    assert show_volume(value_L, METRIC, both=False) == metric
    assert show_volume(value_L, US, both=False) == us


@pytest.mark.parametrize(
    ("value_s", "text"),
    [
        (0, "0 s"),
        (0.4, "0.4 s"),
        (9.96, "10 s"),
        (40, "40 s"),
        (59.4, "59 s"),
        (59.6, "1 min"),
        (270, "4 min 30 s"),
        (599.4, "9 min 59 s"),
        (599.6, "10 min"),
        (59.4 * 60, "59 min"),
        (59.6 * 60, "1 h"),
        (85 * 60, "1 h 25 min"),
        (119.6 * 60, "2 h"),
        (36 * 3600, "36 h"),
        (47 * 3600 + 59.4 * 60, "47 h 59 min"),
        (47 * 3600 + 59.6 * 60, "2 days"),
        (51 * 3600, "2 days 3 h"),
        (71.6 * 3600, "3 days"),
    ],
)
def test_durations(value_s: float, text: str) -> None:
    assert show_duration(value_s) == text


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf, 1e13])
def test_what_is_no_number_is_not_printed(value: float) -> None:
    for show in (show_temperature, show_set_point, show_temperature_difference, show_length, show_mass):
        with pytest.raises(ValueError, match="cannot print"):
            show(value, METRIC)
    with pytest.raises(ValueError, match="cannot print"):
        show_duration(value)


def test_negative_sizes_are_not_printed() -> None:
    for show in (show_length, show_mass, show_volume):
        with pytest.raises(ValueError, match="0 or more"):
            show(-0.1, US)
    with pytest.raises(ValueError, match="0 or more"):
        show_duration(-1.0)


# --- round trips: what is printed can be typed, and means the same within the printed step ---

Show = Callable[..., str]
Parse = Callable[[str], float]


@pytest.mark.parametrize("preference", PREFERENCES)
@given(value_C=st.floats(-60, 300))
def test_a_printed_temperature_can_be_typed(preference: Preference, value_C: float) -> None:
    resolution_K = 0.0501 if preference.temperature == "C" else 0.278  # 0.1 °C, 1 °F
    assert abs(parse_temperature(show_temperature(value_C, preference, both=False)) - value_C) <= resolution_K
    assert (
        abs(parse_temperature_difference(show_temperature_difference(value_C, preference, both=False)) - value_C)
        <= 0.0501
    )


@pytest.mark.parametrize("preference", PREFERENCES)
@given(value_m=st.floats(0, 5000))
def test_a_printed_length_can_be_typed(preference: Preference, value_m: float) -> None:
    step = 0.0254 / 16 if value_m < 2 else 0.01 * value_m
    assert abs(parse_length(show_length(value_m, preference, both=False)) - value_m) <= step / 2 + 1e-12


@pytest.mark.parametrize("preference", PREFERENCES)
@given(value_kg=st.floats(0, 200))
def test_a_printed_mass_can_be_typed(preference: Preference, value_kg: float) -> None:
    step = max(OZ_kg if value_kg > 0.45 else OZ_kg / 10, 0.01 * value_kg)
    assert abs(parse_mass(show_mass(value_kg, preference, both=False)) - value_kg) <= step / 2 + 1e-12


@pytest.mark.parametrize("preference", PREFERENCES)
@given(value_L=st.floats(0, 500))
def test_a_printed_volume_can_be_typed(preference: Preference, value_L: float) -> None:
    step = max(0.003, 0.01 * value_L)
    assert abs(parse_volume(show_volume(value_L, preference, both=False)) - value_L) <= step / 2 + 1e-12


@given(value_s=st.floats(0, 40 * 86_400))
def test_a_printed_duration_can_be_typed(value_s: float) -> None:
    step = 0.1 if value_s < 9 else 1.0 if value_s < 599 else 60.0 if value_s < 48 * 3600 - 60 else 3600.0
    assert abs(parse_duration(show_duration(value_s)) - value_s) <= step / 2 + 1e-6


# --- marks ---


def test_marks_hold_every_digit_and_no_spare_one() -> None:
    assert mark(60.0, "C") == "{60|C}"
    assert mark(57.5, "C") == "{57.5|C}"
    assert mark(0.1 + 0.2, "m") == "{0.30000000000000004|m}"
    assert mark(-18, "C") == "{-18|C}"


@pytest.mark.parametrize(("value", "unit"), [(math.nan, "C"), (math.inf, "s"), (-1.0, "s"), (1.0, "F")])
def test_a_mark_that_could_not_be_printed_is_refused(value: float, unit: str) -> None:
    with pytest.raises(ValueError, match="mark"):
        mark(value, unit)  # type: ignore[arg-type]


def test_render_prints_marks_in_the_cook_s_units() -> None:
    text = f"Hold {mark(60.0, 'C')} for {mark(720, 's')}, {mark(0.5, 'K')} off, {mark(0.0381, 'm')} thick."
    assert render(text, METRIC) == "Hold 60 °C (140 °F) for 12 min, 0.5 °C (0.9 °F) off, 38 mm (1 1/2 in) thick."
    assert render(text, US, both=False) == "Hold 140 °F for 12 min, 0.9 °F off, 1 1/2 in thick."
    assert render(f"{mark(1.9, 'kg')} in {mark(12, 'L')}", METRIC, both=False) == "1.9 kg in 12 L"
    assert render("{60.0|C}", METRIC, both=False) == "60 °C"


@pytest.mark.parametrize("text", ["", "{60|F}", "{|C}", "{60 C}", "{-1|s}", "{1e400|C}", "{{", "a {b} c"])
def test_render_leaves_what_is_no_mark(text: str) -> None:
    assert render(text, METRIC) == text


@given(st.floats(-1e9, 1e9), st.sampled_from(["C", "K"]))
def test_every_mark_is_rendered(value: float, unit: str) -> None:
    assert "{" not in render(mark(value, unit), US)  # type: ignore[arg-type]
