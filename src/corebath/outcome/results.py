"""The results a cook can ask for, by the name the trade gives them and the band that name stands for."""

from __future__ import annotations

import difflib
import unicodedata
from dataclasses import dataclass
from functools import cache

from corebath.data_files import read_rows

_HOUR_S = 3600.0


class UnknownResult(ValueError):  # noqa: N818 - reads as the finding it is
    """A wanted result that the texture class does not offer.

    near : keys of the offered results whose names are spelt most alike, best first
    """

    def __init__(self, message: str, near: tuple[str, ...]) -> None:
        super().__init__(message)
        self.near = near


@dataclass(frozen=True, slots=True)
class Result:
    """One wanted result for one texture class. Every band is common practice; no study stands behind it.

    key : stable name, such as "medium-rare"
    words : the name as cooks say it; never to be shown without its temperatures
    texture : texture class of the food, as in the food catalogue
    low_C, high_C : the band of core temperatures the words stand for [degC]
    set_point_C : where in the band a plan starts when the cook names no temperature [degC]
    hold_low_s, hold_high_s : texture window: time in the bath, counted from drop-in, between too early and
        too late for texture [s]. It knows no thickness and says nothing about any food rule.
    source, note : where the figures come from, and what to know about them
    also : other words that mean this result
    """

    key: str
    words: str
    texture: str
    low_C: float
    high_C: float
    set_point_C: float
    hold_low_s: float
    hold_high_s: float
    source: str
    note: str
    also: tuple[str, ...] = ()


@cache
def _by_texture() -> dict[str, tuple[Result, ...]]:
    found: dict[str, tuple[Result, ...]] = {}
    for row in read_rows("corebath.outcome", "results.csv"):
        result = Result(
            key=row["key"],
            words=row["words"],
            texture=row["texture"],
            low_C=float(row["low_C"]),
            high_C=float(row["high_C"]),
            set_point_C=float(row["set_point_C"]),
            hold_low_s=float(row["hold_low_h"]) * _HOUR_S,
            hold_high_s=float(row["hold_high_h"]) * _HOUR_S,
            source=row["source"],
            note=row["note"],
            also=tuple(word for word in row["also"].split("|") if word),
        )
        found[result.texture] = (*found.get(result.texture, ()), result)
    return found


def textures() -> tuple[str, ...]:
    """Texture classes that have results."""
    return tuple(_by_texture())


def results_for(texture: str) -> tuple[Result, ...]:
    """The results a texture class offers, coolest first.

    Raises ValueError for a texture class that is not in the table.
    """
    try:
        return _by_texture()[str(texture)]
    except KeyError:
        raise ValueError(
            f"no results are known for the texture class {texture!r}; accepted: {', '.join(_by_texture())}"
        ) from None


def find_result(texture: str, text: str) -> Result:
    """The result of a texture class that a cook's words name, in English, French, German or Spanish.

    Case, accents and hyphens do not matter.

    Raises UnknownResult when the words fit none, with the nearest names; ValueError for an unknown texture.
    """
    offered = results_for(texture)
    names = {_plain(name): result for result in offered for name in (*result.also, result.words, result.key)}
    others = {word: names[means] for word, means in _other_languages() if means in names}
    names = others | names
    wanted = _plain(text)
    if wanted in names:
        return names[wanted]
    alike = difflib.get_close_matches(wanted, names, n=3, cutoff=0.6)
    near = tuple(dict.fromkeys(names[name].key for name in alike))
    hint = f"; near: {', '.join(near)}" if near else ""
    accepted = ", ".join(result.key for result in offered)
    raise UnknownResult(f"{texture} has no result called {text[:40]!r}{hint}; accepted: {accepted}", near)


@cache
def _other_languages() -> tuple[tuple[str, str], ...]:
    """Words of other languages, each with the English name it stands for."""
    rows = read_rows("corebath.outcome", "result_words.csv")
    return tuple((_plain(row["word"]), _plain(row["means"])) for row in rows)


def _plain(text: str) -> str:
    bare = "".join(c for c in unicodedata.normalize("NFKD", text) if not unicodedata.combining(c))
    return " ".join(bare.casefold().replace("’", "'").replace("-", " ").replace(",", " ").split())
