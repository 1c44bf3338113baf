"""Text in another language: a sentence, a paragraph of sentences, or every string of some data."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable
from functools import cache, partial
from typing import Any

from .catalogue import Catalogue, catalogue
from .choice import ENGLISH
from .figures import figures

_DEEPEST = 6
_LONGEST = 4000  # longer text is nobody's sentence
_MOST_SENTENCES = 40
_REMEMBERED = 20_000
# Words that are no unit and no code: those are written alike in every language of ours.
_WORDS = re.compile(r"(?!(?:min|mm|cm|kg|lb|oz|qt|fl|mL|kW|kWh|log)\b)\b[^\W\d_]{2,}")
_CITED = re.compile(r"(.*\S) \[([^\[\]]+)\]")  # a source at the end of a line
_EDGES = re.compile(r"(\s*(?:[-•·–]\s+)?)(.*?)(\s*)", re.DOTALL)
_ENDS = re.compile(r"(?<=[.?!:;])\s+")
# What joins phrases in a row: commas, dashes, brackets, quotes.
_JOINTS = re.compile(r"(,\s+|;\s+|\s+[–—/·×]\s+|\s*[()\[\]“”]\s*|:\s+|\.\s+)")


class Translator:
    """Reads English and says it in one language.

    found : the catalogue;  missing : counts what it lacks, by its English, when given
    """

    def __init__(self, language: str, found: Catalogue, missing: Counter[str] | None = None) -> None:
        self.language = language
        self._found = found
        self._missing = missing
        self._lines: dict[str, str] = {}

    def said(self, text: str) -> str:
        """A text in the language; what the catalogue lacks stays as it is, its figures apart."""
        if len(text) > _LONGEST:
            return text
        return "\n".join(map(self._line, text.split("\n")))

    def whole(self, text: str) -> str | None:
        """The translation of a text whose every sentence the catalogue has, else None."""
        if len(text) > _LONGEST:
            return None
        counted, self._missing = self._missing, None  # a trial: what it lacks is not missed yet
        try:
            return self._whole(text, 0)
        finally:
            self._missing = counted

    def _line(self, line: str) -> str:
        if line not in self._lines:
            match = _EDGES.fullmatch(line)
            assert match is not None
            before, text, after = match.groups()
            if len(self._lines) >= _REMEMBERED:
                self._lines.clear()
            self._lines[line] = f"{before}{self._with_source(text)}{after}" if text else line
        return self._lines[line]

    def cited(self, text: str) -> str:
        """A source: its title is not translated, only words such as "common practice, no source"."""
        return self.whole(text) or text

    def _with_source(self, text: str) -> str:
        match = _CITED.fullmatch(text)
        return self._said(text, 0) if match is None else f"{self._said(match[1], 0)} [{self.cited(match[2])}]"

    def _said(self, text: str, depth: int) -> str:
        """The best there is for a text: as a whole, by its phrases, or only its figures."""
        if not _WORDS.search(text):
            return figures(text, self.language)
        whole = self._whole(text, depth)
        if whole is not None:
            return whole
        parts = _JOINTS.split(text)
        if len(parts) > 1 and depth < _DEEPEST:
            return "".join(p if i % 2 or not p else self._said(p, depth + 1) for i, p in enumerate(parts))
        if self._missing is not None:
            self._missing[text] += 1
        return figures(text, self.language)

    def _whole(self, text: str, depth: int) -> str | None:
        """A text the catalogue has: one sentence, or as few sentences as make it up. None when it lacks a part."""
        ends = [m.span() for m in _ENDS.finditer(text)]
        if not ends or len(ends) > _MOST_SENTENCES:
            return self._one(text, depth)
        # A place must not swallow the next sentence, so the sentences are tried first.
        apart = self._apart(text, ends, depth)
        return apart if apart is not None else self._one(text, depth)

    def _apart(self, text: str, ends: list[tuple[int, int]], depth: int) -> str | None:
        starts, stops = [0, *(end for _, end in ends)], [*(start for start, _ in ends), len(text)]
        out, at = [], 0
        while at < len(starts):
            for to in range(at, len(stops)):
                said = None if to - at == len(stops) - 1 else self._one(text[starts[at] : stops[to]], depth)
                if said is not None:
                    out.append(said)
                    at = to + 1
                    break
            else:
                return None
        return " ".join(out)

    def _one(self, text: str, depth: int) -> str | None:
        """One sentence or phrase, its first letter as it is written."""
        if not _WORDS.search(text):
            return figures(text, self.language)
        for form, restore in _forms(text):
            exact = self._found.exact(form)
            if exact is not None:
                return restore(exact)
            if depth >= _DEEPEST:
                continue
            fitting = list(self._found.matching(form))
            best = next((f for f in fitting if all(self._has(v, depth + 1) for v in f[1].values())), None)
            for entry, places in [best] if best is not None else fitting[:1]:
                return restore(entry.filled({n: self._said(value, depth + 1) for n, value in places.items()}))
        return None

    def _has(self, text: str, depth: int) -> bool:
        """Whether nothing of a text would stay English."""
        return not _WORDS.search(text) or self._whole(text, depth) is not None


@cache
def translator(language: str) -> Translator:
    """The one translator of a language. Raises KeyError for a language that has no catalogue."""
    return Translator(language, catalogue(language))


def translated(text: str, language: str) -> str:
    """A text in another language; English comes back unchanged. Raises KeyError for a language without a catalogue."""
    return text if language == ENGLISH else translator(language).said(text)


def every(data: Any, language: str) -> Any:
    """Data with every string translated; keys stay. Lists, tuples and dictionaries are gone through."""
    if language == ENGLISH:
        return data
    if isinstance(data, str):
        return translated(data, language)
    if isinstance(data, dict):
        return {key: every(value, language) for key, value in data.items()}
    if isinstance(data, (list, tuple)):
        return type(data)(every(value, language) for value in data)
    return data


def _forms(text: str) -> list[tuple[str, Callable[[str], str]]]:
    """Ways a text may stand in the catalogue, with what makes the translation like the text again."""
    forms: list[tuple[str, Callable[[str], str]]] = [(text, lambda said: said)]
    first = text[:1]
    other = first.lower() if first.isupper() else first.upper()
    if other != first:
        forms.append((other + text[1:], _capital if first.isupper() else _small))
    if text.endswith("."):
        return [*forms, *((form[:-1], partial(_stopped, restore)) for form, restore in forms)]
    return [*forms, *((f"{form}.", partial(_unstopped, restore)) for form, restore in forms)]


def _stopped(restore: Callable[[str], str], said: str) -> str:
    return restore(said) + "."


def _unstopped(restore: Callable[[str], str], said: str) -> str:
    return restore(said).removesuffix(".")


def _capital(said: str) -> str:
    return said[:1].upper() + said[1:]


def _small(said: str) -> str:
    return said[:1].lower() + said[1:] if said[1:2].islower() else said
