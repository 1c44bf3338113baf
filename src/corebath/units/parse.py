"""Parse what a cook types into SI: temperatures to degC, lengths to m, masses to kg, times to s.

Decimal point or comma, fractions, joined units ("4 lb 3 oz"), every sort of space, dash and quotation mark.
Quarts, gallons and fluid ounces are US ones. Nothing is guessed in silence: a text that could mean two
things raises `Ambiguous`, any other that is not understood raises `NotUnderstood`.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Final, NamedTuple

from corebath.units import factors as f
from corebath.units.factors import LengthUnit, MassUnit, TemperatureUnit, VolumeUnit
from corebath.units.scan import Ambiguous, NotUnderstood, decimal, number_at, pairs, plain, quoted

# Without a unit, a figure below the first can only be Celsius in a kitchen, one above the second only
# Fahrenheit, since an open bath does not pass 100 °C. (Common practice, no source.)
_CELSIUS_BELOW: Final = 40.0
_FAHRENHEIT_ABOVE: Final = 100.0
# A bare length below it may well be inches or centimetres of a cook who thinks in those. (Common practice, no source.)
_INCHES_BELOW: Final = 12.0
# A bare mass below it may be kilograms as well as grams. (Common practice, no source.)
_KILOGRAMS_BELOW: Final = 50.0
_HOTTEST_C: Final = 1000.0
_LARGEST: Final = 1e9

_DEGREE: Final = re.compile(r"(?:°|\*|degrees?|deg|grad|degr[ée]s?)?\.?(c|celsius|centigrade|f|fahrenheit)?")
_CLOCK: Final = re.compile(r"([0-9]{1,3}):([0-9]{2})(?::([0-9]{2}))?(?: ?h)?")
_RANGE: Final = re.compile(
    r"\d ?(?:[^\W\d]*|[\"']+) ?\b(?:to|bis|à|hasta)\b ?\d|\d ?(?:[^\W\d]+|[\"']+) ?- ?\d|^\d+ ?- ?\d+(?![\d/]| ?/)"
)
_SIDES: Final = re.compile(r"\d ?(?:mm|cm|in|[\"']+)? ?[x×*] ?\d")
_JOINED: Final = re.compile(r"(\d+) ?(cm|m) ?(\d+)")
_TAIL: Final = re.compile(r"(?<=[\w\"'])\s+(?:thick|wide|long|dick|breit|lang|d'épaisseur|de grosor)\.?\s*$", re.I)
_MONEY: Final = re.compile(r"([^\s\d.,-]*) ?([0-9]+(?:[.,][0-9]+)*|[.,][0-9]+) ?([^\s\d.,-]*)")


def _names(table: Mapping[str, float]) -> dict[str, float]:
    return {name: factor for names, factor in table.items() for name in names.split()}


_LENGTHS: Final = _names(
    {
        "mm millimetre millimetres millimeter millimeters": 0.001,
        "cm centimetre centimetres centimeter centimeters zentimeter": 0.01,
        "m metre metres meter meters mètre mètres": 1.0,
        "in inch inches zoll pouce pouces \" ''": f.M_PER_IN,
        "ft foot feet '": f.M_PER_FT,
    }
)
_MASSES: Final = _names(
    {
        "g gr gram grams gramme grammes gramm": 0.001,
        "kg kilo kilos kilogram kilograms kilogramme kilogrammes kilogramm": 1.0,
        "lb lbs pound pounds": f.KG_PER_LB,
        "oz ounce ounces": f.KG_PER_OZ,
    }
)
_VOLUMES: Final = _names(
    {
        "l litre litres liter liters": 1.0,
        "dl": 0.1,
        "cl": 0.01,
        "ml millilitre millilitres milliliter milliliters": 0.001,
        "gal gallon gallons": f.L_PER_GAL,
        "qt qts quart quarts": f.L_PER_QT,
        "floz": f.L_PER_FL_OZ,
    }
)
_DURATIONS: Final = _names(
    {
        "d day days jour jours tag tage dia dias día días": 86_400.0,
        "h hr hrs hour hours heure heures std stunde stunden hora horas": 3600.0,
        "min mins minute minutes minuten minuto minutos m": 60.0,
        "s sec secs second seconds seconde secondes sek sekunde sekunden": 1.0,
    }
)
_POWERS: Final = _names({"w watt watts": 1.0, "kw kilowatt kilowatts": 1000.0})
_CURRENCY_CODES: Final = (
    "USD EUR GBP AUD CAD NZD CHF SEK NOK DKK ISK PLN CZK HUF RON BGN TRY JPY CNY KRW INR SGD HKD TWD THB MYR "
    "IDR PHP VND ZAR BRL MXN ARS CLP COP PEN ILS AED SAR"
)
_CURRENCIES: Final = {code: code for code in _CURRENCY_CODES.split()} | {
    "$": "$",
    "US$": "USD",
    "A$": "AUD",
    "AU$": "AUD",
    "C$": "CAD",
    "CA$": "CAD",
    "NZ$": "NZD",
    "€": "EUR",
    "£": "GBP",
    "¥": "¥",
}


class Money(NamedTuple):
    """An amount of money; `currency` is an ISO code, or "$" or "¥" as typed, which countries share."""

    amount: float
    currency: str


def parse_temperature(
    text: str, *, prefer: TemperatureUnit | None = None, between: tuple[float, float] | None = None
) -> float:
    """A temperature [degC] from "132F", "57,5 °C", "57".

    prefer : the unit of a bare number, where the cook chose one
    between : what can be meant [degC]. Without `prefer` a bare number is then always Ambiguous, and the message
        names the readings that lie between. Without either, a bare number under 40 is Celsius and one over 100 is
        Fahrenheit; between them it is Ambiguous.

    Raises NotUnderstood, also below absolute zero and above 1000 °C.
    """
    value, unit = _degrees(text, "a temperature", "57 C or 135 F")
    if unit is None and prefer is None and between is not None:
        raise _likely_degree(text, value, between)
    unit = unit or prefer or ("C" if value < _CELSIUS_BELOW else "F" if value > _FAHRENHEIT_ABOVE else None)
    if unit is None:
        raise _which_degree(text, value)
    celsius = value if unit == "C" else f.celsius(value)
    if not f.ABSOLUTE_ZERO_C <= celsius <= _HOTTEST_C:
        raise NotUnderstood(f"{quoted(text)} is no kitchen temperature: type one like 57 C or 135 F")
    return celsius


def parse_temperature_difference(text: str, *, prefer: TemperatureUnit | None = None) -> float:
    """A temperature difference [K], of either sign, from "1 C", "-0,5 °C", "2 F".

    prefer : the unit of a bare number, which is Ambiguous without it (0 apart). Raises NotUnderstood, also
        beyond 1000 K.
    """
    value, unit = _degrees(text, "a temperature difference", "1 C or 2 F")
    unit = unit or prefer or ("C" if value == 0 else None)
    if unit is None:
        raise _which_degree(text, value)
    kelvin = value if unit == "C" else value / f.FAHRENHEIT_PER_K
    if abs(kelvin) > _HOTTEST_C:
        raise NotUnderstood(f"{quoted(text)} is no kitchen temperature difference: type one like 1 C or 2 F")
    return kelvin


def parse_length(text: str, *, prefer: LengthUnit | None = None) -> float:
    """A length [m], 0 or more, from "38 mm", "3,8 cm", "1 1/2 in", "1½\\"", "5' 2\\"", "30 mm thick".

    prefer : the unit of a bare number, which is refused without it. With millimetres, a bare fraction and a bare
        number under 12 are Ambiguous: they are more likely inches or centimetres. Raises NotUnderstood.
    """
    accepted = "mm, cm, m, in or ft, such as 38 mm or 1 1/2 in"
    typed = plain(text, "a length").casefold()
    if _RANGE.search(typed):
        raise NotUnderstood(f"{quoted(text)} is a range: type the largest alone, such as 30 mm")
    if _SIDES.search(typed):
        raise NotUnderstood(
            f"{quoted(text)} holds more than one side: type one here, and the second side and the length in their own "
            "blanks"
        )
    if joined := _JOINED.fullmatch(typed):
        choice = f"{joined[1]}.{joined[3]} {joined[2]}"
        raise Ambiguous(f"{quoted(text)} has two numbers: did you mean {choice}?", (choice,))
    if prefer == "mm" and (value := _bare(typed)) is not None and ("/" in typed or 0 < value < _INCHES_BELOW):
        raise _which_length(text, typed, value)
    return _sum(_TAIL.sub("", text), _LENGTHS, "a length", accepted, prefer)


def parse_mass(text: str, *, prefer: MassUnit | None = None) -> float:
    """A mass [kg], 0 or more, from "280 g", "1,5 kg", "4 lb 3 oz".

    prefer : the unit of a bare number, which is refused without it. A bare number is Ambiguous in US units, and
        under 50 in metric ones: pounds or ounces, grams or kilograms. Raises NotUnderstood.
    """
    value = _bare(plain(text, "a mass").casefold()) if prefer is not None else None
    if value is not None and prefer in ("lb", "oz") and value > 0:
        raise _which_mass(text, value, "oz", "lb")
    if value is not None and prefer in ("g", "kg") and 0 < value < _KILOGRAMS_BELOW:
        raise _which_mass(text, value, "g", "kg")
    return _sum(text, _MASSES, "a mass", "g, kg, oz or lb, such as 280 g or 4 lb 3 oz", prefer)


def parse_volume(text: str, *, prefer: VolumeUnit | None = None) -> float:
    """A volume [L], 0 or more, from "5 L", "500 ml", "4 qt" (US).

    prefer : the unit of a bare number, which is refused without it. Raises NotUnderstood.
    """
    accepted = "mL, L, US fl oz, US qt or US gal, such as 12 L or 4 qt"
    return _sum(text, _VOLUMES, "a volume", accepted, "l" if prefer == "L" else prefer)


def parse_duration(text: str) -> float:
    """A duration [s], 0 or more, from "90 min", "1h30", "1:30" (hours and minutes), "2 h 15 min", "2 days".

    Raises NotUnderstood, also for a bare number.
    """
    what, accepted = "a duration", "s, min, h or days, such as 90 min, 1 h 30 or 1:30"
    typed = plain(text, what)
    clock = _CLOCK.fullmatch(typed.casefold())
    if clock:
        hours, minutes, seconds = int(clock[1]), int(clock[2]), int(clock[3] or 0)
        if minutes > 59 or seconds > 59:
            raise _refusal(text, what, accepted)
        return hours * 3600.0 + minutes * 60.0 + seconds
    return _sum(text, _DURATIONS, what, accepted, None)


def parse_power(text: str) -> float:
    """A power [W], 0 or more, from "1100 W", "1.1 kW". Raises NotUnderstood, also for a bare number."""
    return _sum(text, _POWERS, "a power", "W or kW, such as 1100 W or 1.1 kW", None)


def parse_money(text: str, *, prefer: str | None = None) -> Money:
    """An amount of money, 0 or more, from "$12.50", "12,50 EUR".

    prefer : the currency of a bare number, which is refused without it. Raises NotUnderstood.
    """
    what, accepted = "a price", "an amount with its currency, such as $12.50 or 12,50 EUR"
    typed = plain(text, what)
    match = _MONEY.fullmatch(typed)
    if match is None or (match[1] and match[3]):
        raise _refusal(text, what, accepted, negative=typed.startswith("-"))
    word = (match[1] or match[3]).upper()
    currency = _CURRENCIES.get(word) if word else prefer
    amount = decimal(match[2])
    if currency is None or amount > _LARGEST:
        raise _refusal(text, what, accepted)
    return Money(amount, currency)


def _degrees(text: str, what: str, example: str) -> tuple[float, TemperatureUnit | None]:
    accepted = f"degrees C or F, such as {example}"
    typed = plain(text, what).casefold()
    sign, body = (-1.0, typed[1:].lstrip()) if typed.startswith("-") else (1.0, typed.removeprefix("+"))
    number = number_at(body, 0)
    if number is None:
        raise _refusal(text, what, accepted)
    value, end = number
    unit = _DEGREE.fullmatch(body[end:].replace(" ", "").removesuffix("."))
    if unit is None:
        raise _refusal(text, what, accepted)
    return sign * value, None if unit[1] is None else ("C" if unit[1].startswith("c") else "F")


def _which_degree(text: str, value: float) -> Ambiguous:
    choices = (f"{value:g} C", f"{value:g} F")
    return Ambiguous(f"{quoted(text)} has no unit: {choices[0]} or {choices[1]}?", choices)


def _likely_degree(text: str, value: float, between: tuple[float, float]) -> NotUnderstood:
    """What is asked about a bare number: the readings that lie in a range [degC]."""
    low, high = between
    fits = tuple(unit for unit, read_C in (("C", value), ("F", f.celsius(value))) if low <= read_C <= high)
    if len(fits) == 2:
        return _which_degree(text, value)
    if not fits:
        return NotUnderstood(f"{quoted(text)} has no unit: type one, such as 57 C or 135 F")
    choice = f"{value:g} {fits[0]}"
    return Ambiguous(f"{quoted(text)} has no unit: did you mean {choice}?", (choice,))


def _bare(typed: str) -> float | None:
    """The number of a text that is a number alone."""
    found = number_at(typed, 0)
    return found[0] if found is not None and not typed[found[1] :].strip() else None


def _which_length(text: str, typed: str, value: float) -> Ambiguous:
    inches = f"{typed} in"
    others = (f"{value:g} mm",) if "/" in typed else (f"{value:g} cm", f"{value:g} mm")
    listed = ", ".join((inches, *others[:-1]))
    return Ambiguous(f"{quoted(text)} has no unit: {listed} or {others[-1]}?", (inches, *others))


def _which_mass(text: str, value: float, *units: str) -> Ambiguous:
    choices = tuple(f"{value:g} {unit}" for unit in units)
    return Ambiguous(f"{quoted(text)} has no unit: {' or '.join(choices)}?", choices)


def _sum(text: str, units: Mapping[str, float], what: str, accepted: str, prefer: str | None) -> float:
    typed = plain(text, what).casefold().replace("fl. oz", "floz").replace("fl oz", "floz")
    found = pairs(typed.removeprefix("+").lstrip())
    if not found:
        raise _refusal(text, what, accepted, negative=typed.startswith("-"))
    total, last = 0.0, float("inf")
    for position, (value, word) in enumerate(found):
        factor = units.get(word)
        if not word and len(found) == 1 and prefer is not None:
            factor = units[prefer]
        elif not word and position > 0 and units is _DURATIONS and last in (3600.0, 60.0):
            factor = last / 60  # "1h30": the next smaller unit goes without saying
        if factor is None or factor >= last:
            raise _refusal(text, what, accepted, bare=not word and len(found) == 1)
        total, last = total + value * factor, factor
    if total > _LARGEST:
        raise NotUnderstood(f"{quoted(text)} is too large for {what} in a kitchen")
    return total


def _refusal(text: str, what: str, accepted: str, *, bare: bool = False, negative: bool = False) -> NotUnderstood:
    if negative:
        return NotUnderstood(f"{quoted(text)} is not understood as {what}, which cannot be negative: use {accepted}")
    if bare:
        return NotUnderstood(f"{quoted(text)} has no unit: {what} needs {accepted}")
    return NotUnderstood(f"{quoted(text)} is not understood as {what}: use {accepted}")
