"""What the store takes: lengths of texts, sizes of photos, temperatures that can be."""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass, fields
from functools import cache

from corebath.units import mark

from .settings import settings


@dataclass(frozen=True, slots=True)
class Limits:
    """The figures of data/limits.toml, named as there."""

    name_characters: int
    question_characters: int
    note_characters: int
    source_characters: int
    caption_characters: int
    photo_bytes: int
    photos_a_cook: int
    readings_a_payload: int
    payload_bytes: int
    topic_characters: int
    earliest_year: int
    ahead_s: int
    lowest_reading_C: float
    highest_reading_C: float
    lowest_bath_C: float
    highest_bath_C: float


@cache
def limits() -> Limits:
    """The limits of the store."""
    data = settings("limits")
    return Limits(**{field.name: data[field.name] for field in fields(Limits)})


def check_text(text: str, longest: int, what: str, *, shortest: int = 0) -> None:
    """Raise ValueError unless a text has so many characters, all of which every database can keep."""
    if not shortest <= len(text.strip()) <= len(text) <= longest:
        raise ValueError(f"{what} must have {shortest} to {longest} characters")
    if not text.isprintable() and any(unicodedata.category(c) in ("Cc", "Cs") and c not in "\n\r\t" for c in text):
        raise ValueError(f"{what} holds a character that cannot be kept")


def check_readings(*values_C: float) -> None:
    """Raise ValueError unless temperatures are such as a thermometer in a kitchen reads [degC]."""
    low, high = limits().lowest_reading_C, limits().highest_reading_C
    if not all(low <= value <= high for value in values_C):
        raise ValueError(f"a reading must lie between {mark(low, 'C')} and {mark(high, 'C')}")


def check_bath(value_C: float) -> None:
    """Raise ValueError unless a temperature is one that the water of a bath can have [degC]."""
    low, high = limits().lowest_bath_C, limits().highest_bath_C
    if not low <= value_C <= high:
        raise ValueError(
            f"a reading of the bath must lie between {mark(low, 'C')} and {mark(high, 'C')}, as water does"
        )
