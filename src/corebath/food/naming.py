"""Find a food by what a cook calls it."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping
from difflib import SequenceMatcher
from functools import cache
from types import MappingProxyType

from corebath.food.catalogue import Food, catalogue
from corebath.food.files import rows

_LONGEST = 80
_QUOTED = 40
_ALIKE = 0.75
_WRITTEN_OUT = re.compile(r"([aou])e")


class UnknownFood(ValueError):  # noqa: N818 - reads as the finding it is
    """No food goes by that name.

    near : names of up to five foods that come close, best first
    """

    def __init__(self, message: str, near: tuple[str, ...] = ()) -> None:
        super().__init__(message)
        self.near = near


class AmbiguousFood(ValueError):  # noqa: N818 - reads as the finding it is
    """One word that means different foods in different places.

    candidates : the foods, each with the places where the word means it
    """

    def __init__(self, message: str, candidates: tuple[tuple[Food, tuple[str, ...]], ...]) -> None:
        super().__init__(message)
        self.candidates = candidates


def find(text: str, *, place: str | None = None) -> Food:
    """The food a key, a name or a synonym stands for; case, accents, spaces and plural endings do not matter.

    place : country or language code ("UK", "fr"); decides between the meanings of a word where it can

    Raises AmbiguousFood, listing the candidates and their places, when a word means several foods, and
    UnknownFood, with near names or the reason why a food is left out, when it means none.
    """
    shown = _quoted(text)
    if len(text) > _LONGEST:
        raise UnknownFood(f"no food is called '{shown}'; a name has at most {_LONGEST} characters")
    for wanted in _forms(text):
        if wanted in _exact():
            return _exact()[wanted]
        meanings = _synonyms().get(wanted, {})
        here = [food for food, places in meanings.items() if place in places]
        if len(meanings) == 1 or len(here) == 1:
            return catalogue()[(here or list(meanings))[0]]
        if meanings:
            candidates = tuple((catalogue()[key], places) for key, places in meanings.items())
            listed = "; ".join(f"{food.name} in {', '.join(map(place_name, places))}" for food, places in candidates)
            raise AmbiguousFood(f"'{shown}' names different foods: {listed}; say which one", candidates)
        if wanted in _left_out():
            raise UnknownFood(_left_out()[wanted])
    plain, handling = _without_handling(text)
    near = tuple(food.name for food in search(plain, 5))
    hint = f"; near names: {'; '.join(near)}" if near else ""
    if handling and near:
        hint += (
            f". A plain name stands for the whole cut: say as well that it is {handling}, "
            "by --handling or the blank “Handling”"
        )
    raise UnknownFood(f"no food is called '{shown}'{hint}", near)


def search(text: str, limit: int = 10) -> list[Food]:
    """Foods whose key, name or synonyms come close to a text, best first, at most `limit`.

    Names that start with the text come before names that hold it, and those before names spelt alike. An
    empty text, or one over 80 characters, finds nothing.
    """
    wanted = fold(text[: _LONGEST + 1])
    if not wanted or len(text) > _LONGEST:
        return []
    scored = []
    for order, (key, names) in enumerate(_names().items()):
        score = max(_closeness(wanted, name) for name in names)
        if score >= _ALIKE:
            scored.append((-score, order, key))
    return [catalogue()[key] for _, _, key in sorted(scored)[: max(limit, 0)]]


def _without_handling(text: str) -> tuple[str, str]:
    """A name without the words that say it was opened, and the handling they mean; "" where there are none."""
    words, handlings = text.split(), _opened()
    found = [handlings[fold(word)] for word in words if fold(word) in handlings]
    left = " ".join(word for word in words if fold(word) not in handlings)
    return (left, found[0]) if found and left else (text, "")


def fold(text: str) -> str:
    """A name as it is compared: small letters and digits only, without accents, ligatures and spaces.

    An umlaut written out, as in "Haehnchen", is folded like the umlaut.
    """
    plain = text.casefold().replace("œ", "oe").replace("æ", "ae")
    bare = "".join(c for c in unicodedata.normalize("NFKD", plain) if c.isalnum())
    # German "ae" for "ä" and the like; the letters stand for themselves elsewhere, but on both sides alike.
    return _WRITTEN_OUT.sub(r"\1", bare)


def place_name(code: str) -> str:
    """The country that a place of a word stands for, in words."""
    return next((row["name"] for row in rows("places.csv") if row["place"] == code), code)


def _forms(text: str) -> tuple[str, ...]:
    wanted = fold(text)
    return tuple(dict.fromkeys(wanted.removesuffix(plural) for plural in ("", "s", "es", "n")))


def _closeness(wanted: str, name: str) -> float:
    filled = len(wanted) / len(name)
    if len(wanted) >= 2 and name.startswith(wanted):
        return 2.0 + filled
    if len(wanted) >= 5 and wanted in name:
        return 1.0 + filled
    # A slip of the finger seldom hits the first letter; names that share only later ones are other foods.
    if wanted[:1] != name[:1]:
        return 0.0
    matcher = SequenceMatcher(None, wanted, name, autojunk=False)
    if matcher.real_quick_ratio() < _ALIKE or matcher.quick_ratio() < _ALIKE:
        return 0.0
    return matcher.ratio()


def _quoted(text: str) -> str:
    shown = "".join(c if c.isprintable() else "?" for c in text[: _QUOTED + 1])
    return shown if len(shown) <= _QUOTED else shown[: _QUOTED - 1] + "…"


@cache
def _exact() -> Mapping[str, Food]:
    by_name = {fold(food.name): food for food in catalogue().values()}
    return MappingProxyType(by_name | {fold(food.key): food for food in catalogue().values()})


@cache
def _synonyms() -> Mapping[str, Mapping[str, tuple[str, ...]]]:
    """Folded word -> food key -> places."""
    found: dict[str, dict[str, tuple[str, ...]]] = {}
    for food in catalogue().values():
        for word in food.words:
            meanings = found.setdefault(fold(word.text), {})
            places = meanings.get(food.key, ())
            meanings[food.key] = places if word.place in places else (*places, word.place)
    return MappingProxyType(found)


@cache
def _names() -> Mapping[str, tuple[str, ...]]:
    return MappingProxyType(
        {
            food.key: tuple(dict.fromkeys(name for text in _texts(food) for name in (fold(text), *_words(text))))
            for food in catalogue().values()
        }
    )


def _texts(food: Food) -> tuple[str, ...]:
    return (food.key, food.name, *(word.text for word in food.words))


def _words(text: str) -> tuple[str, ...]:
    """The words of a name, folded: who slips in one word of a long name means that food too."""
    return tuple(fold(word) for word in re.findall(r"\w{4,}", text))


@cache
def _opened() -> Mapping[str, str]:
    """Folded word -> handling."""
    return MappingProxyType({fold(row["word"]): row["handling"] for row in rows("opened_words.csv")})


@cache
def _left_out() -> Mapping[str, str]:
    return MappingProxyType({form: row["reason"] for row in rows("unsupported.csv") for form in _forms(row["word"])})
