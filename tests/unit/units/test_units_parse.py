"""Parsing what cooks type, and refusing the rest in one sentence."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable

import pint
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from corebath.units import (
    Ambiguous,
    Money,
    NotUnderstood,
    parse_duration,
    parse_length,
    parse_mass,
    parse_money,
    parse_power,
    parse_temperature,
    parse_temperature_difference,
    parse_volume,
)
from corebath.units import factors as f
from corebath.units.factors import MassUnit

Parse = Callable[[str], object]
PARSERS: tuple[Parse, ...] = (
    parse_temperature,
    parse_temperature_difference,
    parse_length,
    parse_mass,
    parse_duration,
    parse_volume,
    parse_power,
    parse_money,
)


@pytest.mark.parametrize(
    ("text", "value_C"),
    [
        ("132F", (132 - 32) / 1.8),
        ("132 °F", (132 - 32) / 1.8),
        ("132*F", (132 - 32) / 1.8),
        ("132 deg. f", (132 - 32) / 1.8),
        ("131 1/2 F", (131.5 - 32) / 1.8),
        ("57.5 C", 57.5),
        ("57,5°C", 57.5),
        ("57 º C", 57.0),
        ("57 degrees Celsius", 57.0),
        ("57\u00a0℃", 57.0),
        ("57\u202f°\u2009C", 57.0),
        ("５７．５ Ｃ", 57.5),
        ("−18 C", -18.0),
        ("-18", -18.0),
        ("4", 4.0),
        ("39.9", 39.9),
        ("140", 60.0),
        ("101", (101 - 32) / 1.8),
    ],
)
def test_temperatures(text: str, value_C: float) -> None:
    assert parse_temperature(text) == pytest.approx(value_C, abs=1e-9)


@pytest.mark.parametrize("text", ["40", "57", "60°", "100", "57,5", "60 degrees"])
def test_a_bare_temperature_that_could_be_either_is_asked_about(text: str) -> None:
    with pytest.raises(Ambiguous, match=r"C or .* F\?") as caught:
        parse_temperature(text)
    assert [choice[-1] for choice in caught.value.choices] == ["C", "F"]
    number = float(text.strip("° degrs").replace(",", "."))
    assert parse_temperature(text, prefer="C") == number
    assert parse_temperature(text, prefer="F") == pytest.approx((number - 32) / 1.8)
    assert [parse_temperature(choice) for choice in caught.value.choices] == [
        parse_temperature(text, prefer="C"),
        parse_temperature(text, prefer="F"),
    ]


def test_a_preference_settles_only_bare_numbers() -> None:
    assert parse_temperature("140", prefer="C") == 140.0
    assert parse_temperature("39", prefer="F") == pytest.approx(7 / 1.8)
    assert parse_temperature("60 C", prefer="F") == 60.0


def test_temperature_differences() -> None:
    assert parse_temperature_difference("-0,5 °C") == -0.5
    assert parse_temperature_difference("1.8 F") == pytest.approx(1.0)
    assert parse_temperature_difference("0") == 0.0
    assert parse_temperature_difference("2", prefer="C") == 2.0
    with pytest.raises(Ambiguous, match=r"1 C or 1 F\?"):
        parse_temperature_difference("1")


@pytest.mark.parametrize(
    ("text", "value_m"),
    [
        ("1 1/2 in", 0.0381),
        ('1½"', 0.0381),
        ("1½”", 0.0381),
        ("1-1/2 inch", 0.0381),
        ("1 ½ inches", 0.0381),
        ("3⁄4 in.", 0.01905),
        ("⅝ in", 0.015875),
        ("38 mm", 0.038),
        ("3.8cm", 0.038),
        ("3,8 CM", 0.038),
        (".5 in", 0.0127),
        ("0,125 in", 0.003175),
        ("5' 2\"", 62 * 0.0254),
        ("1.234,5 mm", 1.2345),
        ("1,234.5 mm", 1.2345),
        ("0 mm", 0.0),
    ],
)
def test_lengths(text: str, value_m: float) -> None:
    assert parse_length(text) == pytest.approx(value_m, abs=1e-12)


@pytest.mark.parametrize(
    ("text", "value_kg"),
    [
        ("4 lb 3 oz", 67 * 0.45359237 / 16),
        ("4lb, 3oz", 67 * 0.45359237 / 16),
        ("4 lbs and 3 oz", 67 * 0.45359237 / 16),
        ("1 1/2 lb", 0.680388555),
        ("280 g", 0.28),
        ("1,5 kg", 1.5),
        ("1 kg 200 g", 1.2),
    ],
)
def test_masses(text: str, value_kg: float) -> None:
    assert parse_mass(text) == pytest.approx(value_kg, abs=1e-12)


@pytest.mark.parametrize(
    ("text", "value_s"),
    [
        ("1h30", 5400),
        ("1 h 30", 5400),
        ("1:30", 5400),
        ("1:30 h", 5400),
        ("0:45", 2700),
        ("1:30:15", 5415),
        ("90 min", 5400),
        ("2 h 15 min", 8100),
        ("2h15m", 8100),
        ("1½ hours", 5400),
        ("1,5 Stunden", 5400),
        ("36h", 129_600),
        ("2 days", 172_800),
        ("2 days 3 h", 183_600),
        ("4 min 30", 270),
        ("40 s", 40),
    ],
)
def test_durations(text: str, value_s: float) -> None:
    assert parse_duration(text) == pytest.approx(value_s)


def test_volumes_powers_and_money() -> None:
    assert parse_volume("5 L") == 5.0
    assert parse_volume("500 ml") == pytest.approx(0.5)
    assert parse_volume("4 qt") == pytest.approx(3.785411784)
    assert parse_volume("8 fl. oz") == pytest.approx(0.2365882365)
    assert parse_power("1.1 kW") == pytest.approx(1100.0)
    assert parse_power("1100W") == 1100.0
    assert parse_money("$12.50") == Money(12.5, "$")
    assert parse_money("12,50 EUR") == Money(12.5, "EUR")
    assert parse_money("€ 3") == Money(3.0, "EUR")
    assert parse_money("1.234,50 €") == Money(1234.5, "EUR")
    assert parse_money("a$5") == Money(5.0, "AUD")
    assert parse_money("12.5", prefer="GBP") == Money(12.5, "GBP")


def test_bare_numbers_need_a_unit_or_a_preference() -> None:
    assert parse_length("38", prefer="mm") == 0.038
    assert parse_length("1 1/2", prefer="in") == pytest.approx(0.0381)
    assert parse_mass("250", prefer="g") == pytest.approx(0.25)
    assert parse_mass("0", prefer="lb") == 0.0
    assert parse_volume("5", prefer="L") == 5.0
    assert parse_volume("5", prefer="qt") == pytest.approx(5 * 0.946352946)
    with pytest.raises(NotUnderstood, match="has no unit: a length needs mm, cm, m, in or ft"):
        parse_length("38")
    with pytest.raises(NotUnderstood, match="has no unit"):
        parse_duration("90")
    with pytest.raises(NotUnderstood, match="currency"):
        parse_money("12.50")


@pytest.mark.parametrize(
    ("parse", "text"),
    [
        (parse_temperature, "57 K"),
        (parse_temperature, "57-60 C"),
        (parse_temperature, "5² C"),
        (parse_temperature, "1e2 C"),
        (parse_temperature, "-274 C"),
        (parse_temperature, "1001 C"),
        (parse_temperature, "1/0 C"),
        (parse_temperature, "1,23,4 C"),
        (parse_length, "-3 mm"),
        (parse_length, "3 x 4 mm"),
        (parse_length, "3 in 2 ft"),
        (parse_length, "3 in 2"),
        (parse_length, "1 in 1 in"),
        (parse_length, "in"),
        (parse_length, "9" * 190 + " m"),
        (parse_mass, "-1 kg"),
        (parse_mass, "2 stone"),
        (parse_duration, "-1 h"),
        (parse_duration, "1:75"),
        (parse_duration, "30 min 1 h"),
        (parse_volume, "4 cups"),
        (parse_power, "1100"),
        (parse_money, "-5 $"),
        (parse_money, "5 foo"),
        (parse_money, "$5 USD"),
        (parse_money, "9" * 60 + " EUR"),
    ],
)
def test_refusals(parse: Parse, text: str) -> None:
    with pytest.raises(NotUnderstood) as caught:
        parse(text)
    assert not isinstance(caught.value, Ambiguous)


@pytest.mark.parametrize(
    ("text", "prefer", "choices"),
    [
        ("12", "lb", ("12 oz", "12 lb")),
        ("1 1/2", "oz", ("1.5 oz", "1.5 lb")),
        ("2", "g", ("2 g", "2 kg")),
        ("1,5", "kg", ("1.5 g", "1.5 kg")),
    ],
)
def test_a_bare_mass_that_could_mean_two_things_is_asked_about(
    text: str, prefer: MassUnit, choices: tuple[str, str]
) -> None:
    with pytest.raises(Ambiguous, match=r"has no unit: .* or .*\?") as caught:
        parse_mass(text, prefer=prefer)
    assert caught.value.choices == choices


def test_a_comma_before_three_figures_is_asked_about() -> None:
    with pytest.raises(Ambiguous, match=r"1100 or 1\.100\?"):
        parse_power("1,100 W")


@pytest.mark.parametrize(
    "text",
    [
        "",
        " ",
        "\x00",
        "nan",
        "inf",
        "-inf",
        "NaN C",
        "x" * 1_000_000,
        "1 " * 500_000,
        "🦄" * 99,
        "\u202e57 C",
        "\ud800",
    ],
)
@pytest.mark.parametrize("parse", PARSERS)
def test_nonsense_is_refused_in_one_short_printable_sentence(parse: Parse, text: str) -> None:
    with pytest.raises(NotUnderstood) as caught:
        parse(text)
    message = str(caught.value)
    assert len(message) < 220
    assert message.isprintable()


@given(text=st.text(max_size=60))
@example(text="１½′ ")
@example(text="1,000")
@example(text="1/2/3")
def test_any_text_parses_to_a_finite_quantity_or_is_refused(text: str) -> None:
    for parse in PARSERS:
        try:
            value = parse(text)
        except NotUnderstood:
            continue
        number = value.amount if isinstance(value, Money) else value
        assert isinstance(number, float)
        assert abs(number) < float("inf")


@given(text=st.text(alphabet="0123456789.,/-+ :½'\"°CFhminstgklboz$€", max_size=30))
def test_texts_that_look_like_quantities_parse_or_are_refused(text: str) -> None:
    test_any_text_parses_to_a_finite_quantity_or_is_refused.hypothesis.inner_test(text)  # type: ignore[attr-defined]


# pint reads its own table of unit definitions: independent of ours.
UREG: pint.UnitRegistry[float] = pint.UnitRegistry()


@pytest.mark.parametrize(
    ("ours", "unit", "si"),
    [
        (f.M_PER_IN, "inch", "m"),
        (f.M_PER_FT, "foot", "m"),
        (f.KG_PER_LB, "pound", "kg"),
        (f.KG_PER_OZ, "ounce", "kg"),
        (f.L_PER_QT, "quart", "L"),
        (f.L_PER_GAL, "gallon", "L"),
        (f.L_PER_FL_OZ, "fluid_ounce", "L"),
        (1 / f.FAHRENHEIT_PER_K, "delta_degree_Fahrenheit", "kelvin"),
    ],
)
def test_factors_agree_with_pint(ours: float, unit: str, si: str) -> None:
    assert ours == pytest.approx(UREG.Quantity(1.0, unit).to(si).magnitude, rel=1e-12)


@given(st.floats(-273.15, 1000))
def test_the_fahrenheit_scale_agrees_with_pint(value_C: float) -> None:
    theirs = UREG.Quantity(value_C, "degC").to("degF").magnitude
    assert f.fahrenheit(value_C) == pytest.approx(theirs, abs=1e-9)
    assert f.celsius(f.fahrenheit(value_C)) == pytest.approx(value_C, abs=1e-9)


def test_units_import_no_numpy() -> None:
    code = "import sys, corebath.units; sys.exit('numpy' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


@pytest.mark.parametrize("text", ["4 1/2", "3½", "1-1/2", "1/2", "4", "1,5", "11.9"])
def test_a_bare_length_that_a_cook_may_mean_in_inches_is_asked_about(text: str) -> None:
    with pytest.raises(Ambiguous, match=r"has no unit: .* in.* or .* mm") as caught:
        parse_length(text, prefer="mm")
    inches, *_, millimetres = caught.value.choices
    assert parse_length(inches) / parse_length(millimetres) == pytest.approx(25.4)
    assert parse_length(text, prefer="in") == pytest.approx(parse_length(inches))


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("20 to 30 mm", "is a range: type the largest alone"),
        ("20-30 mm", "is a range"),
        ("2 cm – 3 cm", "is a range"),
        ('1" to 2"', "is a range"),
        ("3 x 5 cm", "more than one side: type one here"),
        ("3 cm × 5 cm", "more than one side"),
        ("3cm5", r"did you mean 3\.5 cm\?"),
    ],
)
def test_lengths_cooks_type_that_are_no_single_length_say_what_to_type(text: str, said: str) -> None:
    with pytest.raises(NotUnderstood, match=said):
        parse_length(text, prefer="mm")


@pytest.mark.parametrize(
    ("text", "value_m"), [("30 mm thick", 0.03), ("3 cm dick", 0.03), ('1 1/2" thick', 0.0381), ("30 thick", 0.03)]
)
def test_a_length_may_say_that_it_is_a_thickness(text: str, value_m: float) -> None:
    assert parse_length(text, prefer="mm") == pytest.approx(value_m)


@pytest.mark.parametrize(
    ("text", "between", "choices"),
    [
        ("28", (-40.0, 100.0), ("28 C", "28 F")),
        ("38", (-5.0, 20.0), ("38 F",)),
        ("4", (-5.0, 20.0), ("4 C",)),
        ("450", (80.0, 400.0), ("450 F",)),
        ("130", (0.0, 100.0), ("130 F",)),
    ],
)
def test_a_bare_temperature_is_asked_about_by_what_can_be_meant(
    text: str, between: tuple[float, float], choices: tuple[str, ...]
) -> None:
    with pytest.raises(Ambiguous) as caught:
        parse_temperature(text, between=between)
    assert caught.value.choices == choices
    assert all(choice in str(caught.value) for choice in choices)
    assert parse_temperature(text, prefer="F", between=between) == pytest.approx((float(text) - 32) / 1.8)
    with pytest.raises(NotUnderstood, match="has no unit: type one"):
        parse_temperature("5000", between=between)
