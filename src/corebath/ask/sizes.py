"""Vessels and heaters as cooks describe them: by their inner sizes, their power and their marks."""

from __future__ import annotations

import re

from corebath.bath.heater import Heater
from corebath.bath.vessel import Vessel, Wall
from corebath.units import NotUnderstood, Preference, parse_length, parse_power

_SIDES = re.compile(r"\s*(?:x|×|\*|by)\s*", re.IGNORECASE)


def parse_vessel(sizes: str, wall: str, prefer: Preference) -> Vessel:
    """A vessel from its inner sizes: "24 cm x 14 cm" is round, diameter by depth; "40 x 30 x 20 cm" has three sides.

    wall : key of the wall's material.  Raises NotUnderstood.
    """
    parts = [part for part in _SIDES.split(sizes.strip()) if part]
    if len(parts) not in (2, 3):
        raise NotUnderstood(
            f"{sizes[:40]!r} is not a vessel's size: type diameter x depth, such as 24 cm x 14 cm, "
            "or length x width x depth, such as 40 x 30 x 20 cm"
        )
    unit = re.search(r"[a-zA-Z\"']+\s*$", parts[-1])
    lengths = [
        parse_length(part + (unit[0] if unit and part[-1].isdigit() else ""), prefer=prefer.length) for part in parts
    ]
    try:
        material = Wall.named(wall)
        if len(lengths) == 2:
            return Vessel(lengths[0], None, lengths[1], material)
        return Vessel(lengths[0], lengths[1], lengths[2], material)
    except ValueError as error:
        raise NotUnderstood(str(error)) from None


def parse_share(what: str, text: str) -> float:
    """A share from a percentage, 0 to 1 [-]: "50 %", "7,5".

    what : what it is, as in "a humidity".  Raises NotUnderstood.
    """
    match = re.fullmatch(r"([0-9]{1,3}(?:[.,][0-9]{1,6})?)\s*%?", text.strip())
    if match is None or float(match[1].replace(",", ".")) > 100:
        raise NotUnderstood(f"{text[:40]!r} is not {what}: type a percentage such as 50 %")
    return float(match[1].replace(",", ".")) / 100


def parse_heater(power: str, marks: str, prefer: Preference) -> Heater:
    """A heater from its power and its two marks above the floor: "1.1 kW" and "9 cm, 12 cm". Raises NotUnderstood."""
    parts = [p for p in re.split(r"\s*(?:;|,\s|\bto\b|\band\b|–)\s*", marks.strip()) if p]
    if len(parts) != 2:
        raise NotUnderstood(f"{marks[:40]!r} is not two marks: type lowest and highest, such as 9 cm to 12 cm")
    unit = re.search(r"[a-zA-Z\"']+\s*$", parts[-1])
    low, high = (parse_length(p + (unit[0] if unit and p[-1].isdigit() else ""), prefer=prefer.length) for p in parts)
    try:
        return Heater(parse_power(power), low, high)
    except NotUnderstood:
        raise
    except ValueError as error:
        raise NotUnderstood(str(error)) from None
