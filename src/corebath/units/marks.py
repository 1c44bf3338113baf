"""Marks: quantities inside the text of the core, printed by the edges in the cook's own units."""

from __future__ import annotations

import re
from typing import Final, Literal

from corebath.units import show
from corebath.units.show import Preference

MarkUnit = Literal["C", "K", "s", "m", "kg", "L"]

_UNITS: Final[tuple[MarkUnit, ...]] = ("C", "K", "s", "m", "kg", "L")
_MARK: Final = re.compile(r"\{(-?[0-9]+(?:\.[0-9]+)?(?:e[+-]?[0-9]+)?)\|(C|K|s|m|kg|L)\}")


def mark(value: float, unit: MarkUnit) -> str:
    """A quantity as a mark, with every digit it needs: `mark(60.0, "C")` gives "{60|C}".

    unit : C (temperature), K (temperature difference), s, m, kg or L. Raises ValueError for another unit, a
    value that is not finite or above 1e12, or a negative s, m, kg or L: `render` could not print those.
    """
    if unit not in _UNITS:
        raise ValueError(f"no mark has the unit {unit!r}; the units are {', '.join(_UNITS)}")
    if not show.printable(value, signed=unit in ("C", "K")):
        raise ValueError(f"{value!r} cannot be marked in {unit}")
    return f"{{{repr(float(value)).removesuffix('.0')}|{unit}}}"


def render(text: str, preference: Preference, *, both: bool = True) -> str:
    """The text with its marks printed in the cook's units; anything that is not a mark stays as it is.

    both : print the other unit beside the cook's own, in brackets (durations have one form only).
    """

    def shown(match: re.Match[str]) -> str:
        value = float(match[1])
        unit = match[2]
        if not show.printable(value, signed=unit in ("C", "K")):
            return match[0]
        match unit:
            case "C":
                return show.show_temperature(value, preference, both=both)
            case "K":
                return show.show_temperature_difference(value, preference, both=both)
            case "s":
                return show.show_duration(value)
            case "m":
                return show.show_length(value, preference, both=both)
            case "kg":
                return show.show_mass(value, preference, both=both)
            case _:
                return show.show_volume(value, preference, both=both)

    return _MARK.sub(shown, text)


def between(what: str, value: float, low: float, high: float, unit: str) -> None:
    """Raise ValueError, with marks where the unit has one, unless a value is a number from `low` to `high`.

    what : as the sentence begins
    """
    if not low <= value <= high:
        raise ValueError(
            f"{what} must lie between {_said(low, unit)} and {_said(high, unit)}, got {_said(value, unit)}"
        )


def _said(value: float, unit: str) -> str:
    """A figure as a mark where the cook's units have one for it, else as it is."""
    for known in _UNITS:
        if unit == known:
            try:
                return mark(value, known)
            except ValueError:
                break
    return f"{value:g} {unit}"
