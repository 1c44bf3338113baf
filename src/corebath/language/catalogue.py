"""A catalogue: English sentences with places for what varies, and how each reads in another language."""

from __future__ import annotations

import re
from collections import Counter, defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from importlib import resources

_PLACE = re.compile(r"\{(\d+)\}")
_WORD = re.compile(r"[^\W\d_]+(?:'[^\W\d_]+)?")


@dataclass(frozen=True, slots=True)
class Entry:
    """One sentence. pattern : matches it, a group for each place;  places : numbers of the groups in order

    translation : with the same places, in any order;  weight : letters that must stand as they are
    first : the place that the sentence begins with, -1 when it begins with a word of its own
    """

    pattern: re.Pattern[str]
    places: tuple[int, ...]
    translation: str
    weight: int
    first: int

    def filled(self, found: dict[int, str]) -> str:
        """The translation with what stands in each place."""
        return _PLACE.sub(lambda m: found.get(int(m[1]), ""), self.translation)


class Catalogue:
    """Every sentence of one language, found whatever the case of its first letter and with its full stop or without.

    pairs : English and translation; places are written {0}, {1} ...; an empty translation is none
    """

    def __init__(self, pairs: Iterable[tuple[str, str]]) -> None:
        self._exact: dict[str, str] = {}
        self._filed: dict[str, list[Entry]] = defaultdict(list)
        with_places: list[tuple[str, str]] = []
        for english, translation in pairs:
            if not translation:
                continue
            if _PLACE.search(english):
                with_places.append((english, translation))
            else:
                # The same words with another first letter may mean something else: each keeps its own.
                self._exact[english] = translation
                self._exact.setdefault(plain(english), translation)
        common = Counter(word for english, _ in with_places for word in set(_words(english)))
        # Each sentence is filed under its rarest word, so that few are tried for a text.
        for english, translation in with_places:
            key = min(_words(english), key=lambda w: (common[w], -len(w)), default="")
            if key:
                self._filed[key].append(_entry(english, translation))

    def __len__(self) -> int:
        return len(self._exact) + sum(len(entries) for entries in self._filed.values())

    def exact(self, text: str) -> str | None:
        """The translation of a sentence without places, its first letter and its end as in the text."""
        found = self._exact.get(text)
        if found is None:
            found = self._exact.get(plain(text))
        return None if found is None else alike(found, text)

    def matching(self, text: str) -> Iterable[tuple[Entry, dict[int, str]]]:
        """Sentences with places that a text may be, with what stands in the places; the most literal first."""
        keys = dict.fromkeys(_WORD.findall(text.lower()))
        tried = sorted((e for key in keys for e in self._filed.get(key, ())), key=lambda e: -e.weight)
        for entry in tried:
            match = entry.pattern.fullmatch(text)
            if match is not None:
                yield entry, dict(zip(entry.places, match.groups(), strict=True))


def plain(text: str) -> str:
    """A text as it is filed: a small first letter, no full stop."""
    return (text[:1].lower() + text[1:]).removesuffix(".")


def alike(said: str, text: str) -> str:
    """A translation with the first letter and the end of the text it stands for."""
    said = said.removesuffix(".") + "." if text.endswith(".") else said.removesuffix(".")
    if text[:1].isupper():
        return said[:1].upper() + said[1:]
    return said


def _words(english: str) -> list[str]:
    return _WORD.findall(_PLACE.sub(" ", english).lower())


def _entry(english: str, translation: str) -> Entry:
    parts = _PLACE.split(english.removesuffix("."))
    first = parts[0]
    start = f"(?i:{re.escape(first[:1])}){re.escape(first[1:])}" if first else ""
    pattern, places = [start], []
    for number, literal in zip(parts[1::2], parts[2::2], strict=True):
        if int(number) in places:
            pattern.append(f"(?:.*?){re.escape(literal)}")
            continue
        places.append(int(number))
        pattern.append(f"(.*?){re.escape(literal)}")
    weight = sum(len(part) for part in parts[::2])
    begins = -1 if first else places[0]
    return Entry(re.compile("".join(pattern) + r"\.?", re.DOTALL), tuple(places), translation, weight, begins)


@cache
def catalogue(language: str) -> Catalogue:
    """The catalogue of one language. Raises KeyError for a language that has none."""
    from babel.messages.pofile import read_po  # slow to load, and not needed for English

    file = resources.files("corebath.language") / "catalogues" / f"{language}.po"
    if not file.is_file():
        raise KeyError(language)
    with file.open("rb") as stream:
        messages = read_po(stream, locale=language)
    return Catalogue((str(m.id), str(m.string)) for m in messages if m.id and not m.fuzzy)
