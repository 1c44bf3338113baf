"""Print quantities for a cook: the cook's own unit first, the other beside it.

Every figure is rounded once, in decimal, before it is split into units, so that 59.6 min is "1 h" and never
"60 min". Factors are exact by definition (inch, pound, US quart) and come from `factors`.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from math import gcd, isfinite

from corebath.units import factors as f
from corebath.units.factors import LengthUnit, MassUnit, TemperatureUnit, VolumeUnit

_MINUS = "\N{MINUS SIGN}"
_LARGEST = 1e12  # beyond it no kitchen quantity, and no exact decimal rounding of a float


@dataclass(frozen=True, slots=True)
class Preference:
    """The units a cook reads and types.

    temperature : "C" or "F"; length : "mm" or "in"; mass : "g" or "lb"; volume : "L" or "qt" (US quart)
    """

    temperature: TemperatureUnit = "C"
    length: LengthUnit = "mm"
    mass: MassUnit = "g"
    volume: VolumeUnit = "L"


METRIC = Preference()
US = Preference("F", "in", "lb", "qt")


def show_temperature(value_C: float, preference: Preference, *, both: bool = True) -> str:
    """A temperature [degC] to 0.1 °C and whole °F: "57.2 °C (135 °F)". Raises ValueError when not finite."""
    _finite(value_C)
    celsius = f"{_trim(value_C, 1)} °C"
    fahrenheit = f"{_trim(f.fahrenheit(value_C), 0)} °F"
    return _ordered(celsius, fahrenheit, preference.temperature == "C", both)


def snap_set_point(value_C: float, preference: Preference) -> float:
    """The nearest temperature [degC] a bath is set to: steps of 0.5 °C, or of 1 °F for a Fahrenheit cook.

    Halves go up. Raises ValueError when not finite.
    """
    _finite(value_C)
    if preference.temperature == "C":
        return float(_rounded(value_C * 2, 0)) / 2
    return f.celsius(float(_rounded(f.fahrenheit(value_C), 0)))


def show_set_point(value_C: float, preference: Preference, *, both: bool = True) -> str:
    """A set point [degC] on its step: "57.5 °C (136 °F)", "135 °F (57.2 °C)".

    The second figure is the first one converted. Raises ValueError when not finite.
    """
    return show_temperature(snap_set_point(value_C, preference), preference, both=both)


def show_temperature_difference(value_K: float, preference: Preference, *, both: bool = True) -> str:
    """A temperature difference [K] to 0.1 of a degree: "1 °C (1.8 °F)". Raises ValueError when not finite."""
    _finite(value_K)
    celsius = f"{_trim(value_K, 1)} °C"
    fahrenheit = f"{_trim(value_K * f.FAHRENHEIT_PER_K, 1)} °F"
    return _ordered(celsius, fahrenheit, preference.temperature == "C", both)


def show_length(value_m: float, preference: Preference, *, both: bool = True) -> str:
    """A length [m], 0 or more: "38 mm (1 1/2 in)"; from 2 m up in metres and feet.

    Millimetres to 1 (below 10 mm to 0.1), inches to 1/16 (below 1/16 in as a decimal). Raises ValueError
    when negative or not finite.
    """
    _not_negative(value_m)
    if value_m >= 2:
        metric, imperial = f"{_figures(value_m)} m", f"{_figures(value_m / f.M_PER_FT)} ft"
    else:
        mm = value_m * 1000
        metric = f"{_trim(mm, 0 if mm >= 9.95 else 1)} mm"
        imperial = _inches(value_m / f.M_PER_IN)
    return _ordered(metric, imperial, preference.length == "mm", both)


def show_mass(value_kg: float, preference: Preference, *, both: bool = True) -> str:
    """A mass [kg], 0 or more, to three figures at most: "1.9 kg (4 lb 3 oz)", "280 g (9.9 oz)".

    Grams to 1 (below 10 g to 0.1), ounces to 0.1 below a pound (below 1 oz to 0.01), whole ounces from a
    pound up, whole pounds from 100 lb. Raises ValueError when negative or not finite.
    """
    _not_negative(value_kg)
    grams = value_kg * 1000
    if _rounded(grams, 0) >= 1000:
        metric = f"{_figures(value_kg)} kg"
    else:
        metric = f"{_trim(grams, 0 if grams >= 9.95 else 1)} g"
    return _ordered(metric, _pounds(value_kg / f.KG_PER_OZ), preference.mass == "g", both)


def show_volume(value_L: float, preference: Preference, *, both: bool = True) -> str:
    """A volume [L], 0 or more, to three figures at most: "5 L (5.28 qt)", "250 mL (8.5 fl oz)".

    Quarts and fluid ounces are US ones. Raises ValueError when negative or not finite.
    """
    _not_negative(value_L)
    ml = value_L * 1000
    metric = f"{_figures(value_L)} L" if _rounded(ml, 0) >= 1000 else f"{_trim(ml, 0 if ml >= 9.95 else 1)} mL"
    fl_oz = value_L / f.L_PER_FL_OZ
    imperial = f"{_figures(value_L / f.L_PER_QT)} qt" if _rounded(fl_oz, 1) >= 32 else f"{_trim(fl_oz, 1)} fl oz"
    return _ordered(metric, imperial, preference.volume == "L", both)


def show_duration(value_s: float) -> str:
    """A duration [s], 0 or more: "40 s", "4 min 30 s", "1 h 25 min", "36 h", "2 days 3 h".

    To 0.1 s below 10 s, 1 s below 10 min, 1 min below 48 h, 1 h above. Raises ValueError when negative or
    not finite.
    """
    _not_negative(value_s)
    if value_s < 9.95:
        return f"{_trim(value_s, 1)} s"
    seconds = int(_rounded(value_s, 0))
    if seconds < 60:
        return f"{seconds} s"
    if seconds < 600:
        return _split(seconds, 60, "min", "s")
    minutes = int(_rounded(value_s / 60, 0))
    if minutes < 60:
        return f"{minutes} min"
    if minutes < 48 * 60:
        return _split(minutes, 60, "h", "min")
    return _split(int(_rounded(value_s / 3600, 0)), 24, "days", "h")


def _split(total: int, per: int, large: str, small: str) -> str:
    head, rest = divmod(total, per)
    return f"{head} {large} {rest} {small}" if rest else f"{head} {large}"


def _inches(inches: float) -> str:
    sixteenths = int(_rounded(inches * 16, 0))
    if sixteenths == 0:
        return f"{_trim(inches, 3)} in"
    whole, part = divmod(sixteenths, 16)
    if part == 0:
        return f"{whole} in"
    common = gcd(part, 16)
    fraction = f"{part // common}/{16 // common}"
    return f"{whole} {fraction} in" if whole else f"{fraction} in"


def _pounds(ounces: float) -> str:
    if ounces < 0.995:
        return f"{_trim(ounces, 2)} oz"
    if _rounded(ounces, 1) < 16:
        return f"{_trim(ounces, 1)} oz"
    if ounces >= 1600:
        return f"{_figures(ounces / 16)} lb"
    pounds, rest = divmod(int(_rounded(ounces, 0)), 16)
    return f"{pounds} lb {rest} oz" if rest else f"{pounds} lb"


def _ordered(metric: str, other: str, metric_first: bool, both: bool) -> str:
    first, second = (metric, other) if metric_first else (other, metric)
    return f"{first} ({second})" if both else first


def _rounded(value: float, decimals: int) -> Decimal:
    """Half up, away from zero, on the decimal figure a reader sees rather than on its binary neighbour."""
    return Decimal(repr(float(f"{value:.12g}"))).quantize(Decimal(1).scaleb(-decimals), ROUND_HALF_UP)


def _trim(value: float, decimals: int) -> str:
    text = f"{_rounded(value, decimals):f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return "0" if text == "-0" else text.replace("-", _MINUS)


def _figures(value: float) -> str:
    """Three figures at most, without an exponent; whole numbers keep every digit's place."""
    return _trim(float(f"{value:.3g}"), 2)


def printable(value: float, *, signed: bool) -> bool:
    """Whether a number can be printed: finite, at most 1e12 in size, and 0 or more unless `signed`."""
    return isfinite(value) and abs(value) <= _LARGEST and (signed or value >= 0)


def _finite(value: float) -> None:
    if not printable(value, signed=True):
        raise ValueError(f"cannot print {value!r}: a finite number up to 1e12 is needed")


def _not_negative(value: float) -> None:
    _finite(value)
    if not printable(value, signed=False):
        raise ValueError(f"cannot print {value!r}: a number of 0 or more is needed")
