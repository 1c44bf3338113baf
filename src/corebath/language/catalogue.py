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
    """

    pattern: re.Pattern[str]
    places: tuple[int, ...]
    translation: str
    weight: int

    def filled(self, found: dict[int, str]) -> str:
        """The translation with what stands in each place."""
        return _PLACE.sub(lambda m: found.get(int(m[1]), ""), self.translation)


class Catalogue:
    """Every sentence of one language.

    pairs : English and translation; places are written {0}, {1} ...; an empty translation is none
    """

    def __init__(self, pairs: Iterable[tuple[str, str]]) -> None:
        self._exact: dict[str, str] = {}
        with_places: list[tuple[str, str]] = []
        for english, translation in pairs:
            if not translation:
                continue
            if _PLACE.search(english):
                with_places.append((english, translation))
            else:
                self._exact[english] = translation
        common = Counter(word for english, _ in with_places for word in set(_WORD.findall(_PLACE.sub(" ", english))))
        # Each sentence is filed under its rarest word, so that few are tried for a text.
        self._filed: dict[str, list[Entry]] = defaultdict(list)
        for english, translation in with_places:
            words = _WORD.findall(_PLACE.sub(" ", english))
            key = min(words, key=lambda w: (common[w], -len(w)), default="")
            self._filed[key].append(_entry(english, translation))

    def __len__(self) -> int:
        return len(self._exact) + sum(len(entries) for entries in self._filed.values())

    def exact(self, text: str) -> str | None:
        """The translation of a sentence without places."""
        return self._exact.get(text)

    def matching(self, text: str) -> Iterable[tuple[Entry, dict[int, str]]]:
        """Sentences with places that a text may be, with what stands in the places; the most literal first."""
        keys = ["", *dict.fromkeys(_WORD.findall(text))]
        tried = sorted((e for key in keys for e in self._filed.get(key, ())), key=lambda e: -e.weight)
        for entry in tried:
            match = entry.pattern.fullmatch(text)
            if match is not None:
                yield entry, dict(zip(entry.places, match.groups(), strict=True))


def _entry(english: str, translation: str) -> Entry:
    parts = _PLACE.split(english)
    pattern, places = [re.escape(parts[0])], []
    for number, literal in zip(parts[1::2], parts[2::2], strict=True):
        if int(number) in places:
            pattern.append(f"(?:.*?){re.escape(literal)}")
            continue
        places.append(int(number))
        pattern.append(f"(.*?){re.escape(literal)}")
    weight = sum(len(part) for part in parts[::2])
    return Entry(re.compile("".join(pattern), re.DOTALL), tuple(places), translation, weight)


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
