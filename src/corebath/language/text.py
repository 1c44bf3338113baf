"""Text in another language: a sentence, a paragraph of sentences, or every string of some data."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import dataclass
from functools import cache
from typing import Any

from .catalogue import Catalogue, alike, catalogue
from .choice import ENGLISH, reader
from .figures import figures

_DEEPEST = 4
_LONGEST = 4000  # longer text is nobody's sentence
_MOST_SENTENCES, _MOST_JOINED = 40, 4
_REMEMBERED = 20_000
# Words that are no unit and no code: those are written alike in every language of ours.
_WORDS = re.compile(r"(?!(?:min|mm|cm|kg|lb|oz|qt|fl|mL|kW|kWh|log)\b)\b[^\W\d_]{2,}")
_CITED = re.compile(r"(.*\S) \[([^\[\]]+)\]")  # a source at the end of a line
_EDGES = re.compile(r"(\s*(?:[-•·–]\s+)?)(.*?)(\s*)", re.DOTALL)
_ENDS_INSIDE = re.compile(r"[a-z\d)][.?!]\s+[A-Z]")
_VERDICT = re.compile(r"(?:Met|Not met|Not known): ", re.IGNORECASE)
_ENDS = re.compile(r"(?<=[.?!:;])(?<![\s(][A-Z]\.)(?<!^[A-Z]\.)\s+")  # "C. perfringens" is no end
_ENDS_WITHIN = re.compile(r"[.?!]\s")
# What joins phrases in a row: commas, dashes, brackets, quotes.
_JOINTS = re.compile(r"(,\s+|;\s+|\s+[–—/·×]\s+|\s*[()\[\]“”]\s*|:\s+|\.\s+)")


@dataclass(frozen=True, slots=True)
class _Said:
    """A text said as well as the catalogue allows.

    left : letters left in English;  text : the translation;  missing : what the catalogue lacks, by its English
    """

    left: int
    text: str
    missing: tuple[str, ...] = ()


class Translator:
    """Reads English and says it in one language, so that as few letters as possible stay English.

    found : the catalogue;  missing : counts what it lacks, by its English, when given
    """

    def __init__(self, language: str, found: Catalogue, missing: Counter[str] | None = None) -> None:
        self.language = language
        self._found = found
        self._missing = missing
        self._lines: dict[str, _Said] = {}
        self._known: dict[str, _Said] = {}

    def said(self, text: str) -> str:
        """A text in the language; what the catalogue lacks stays as it is, its figures apart."""
        return "\n".join(map(self._line, text.split("\n")))

    def whole(self, text: str) -> str | None:
        """The translation of a text of which the catalogue has every word, else None."""
        if len(text) > _LONGEST:
            return None
        best = self._best(text, 0)
        return best.text if best.left == 0 else None

    def cited(self, text: str) -> str:
        """A source: its title is not translated, only words such as "common practice, no source"."""
        return self.whole(text) or text

    def _line(self, line: str) -> str:
        if line not in self._lines:
            if len(self._lines) >= _REMEMBERED:
                self._lines.clear()
            self._lines[line] = self._with_edges(line)
        best = self._lines[line]
        if self._missing is not None:
            self._missing.update(best.missing)
        return best.text

    def _with_edges(self, line: str) -> _Said:
        match = _EDGES.fullmatch(line)
        assert match is not None
        before, text, after = match.groups()
        if not text or len(text) > _LONGEST:
            return _Said(0, line)
        source = _CITED.fullmatch(text)
        best = self._best(text if source is None else source[1], 0)
        cited = "" if source is None else f" [{self.cited(source[2])}]"
        return _Said(best.left, f"{before}{best.text}{cited}{after}", best.missing)

    def _best(self, text: str, depth: int) -> _Said:
        """The way to say a text that leaves the fewest letters in English; of two as good, the larger pieces."""
        if not _WORDS.search(text):
            return _Said(0, figures(text, self.language))
        if text in self._known:
            return self._known[text]
        best = _Said(sum(map(len, _WORDS.findall(text))), figures(text, self.language), (text,))
        # Sentences come first: a place of one must not swallow the next. A text without the end of one is whole.
        ways = (self._by_sentences, self._one, self._by_phrases)
        for way in ways if _ENDS_WITHIN.search(text) else (self._one, self._by_sentences, self._by_phrases):
            said = way(text, depth)
            if said is not None and said.left < best.left:
                best = said
            if best.left == 0:
                break
        if depth < _DEEPEST:  # deeper down less was tried
            if len(self._known) >= _REMEMBERED:
                self._known.clear()
            self._known[text] = best
        return best

    def _one(self, text: str, depth: int) -> _Said | None:
        """One sentence or phrase of the catalogue."""
        exact = self._found.exact(text)
        if exact is not None:
            return _Said(0, exact)
        best: _Said | None = None
        if depth >= _DEEPEST:
            return best
        for entry, places in self._found.matching(text):
            if any(_ENDS_INSIDE.search(value) for value in places.values()):
                continue  # a place that swallowed the end of a sentence
            if _VERDICT.match(places.get(entry.first, "")):
                continue  # a place that swallowed the verdict before a rule: the rule is said by itself
            parts = {n: self._best(value, depth + 1) for n, value in places.items()}
            left = sum(part.left for part in parts.values())
            if best is None or left < best.left:
                said = alike(entry.filled({n: p.text for n, p in parts.items()}), text)
                best = _Said(left, said, tuple(m for part in parts.values() for m in part.missing))
            if best.left == 0:
                break
        return best

    def _by_sentences(self, text: str, depth: int) -> _Said | None:
        """A paragraph cut at the ends of sentences, some of which may belong together."""
        ends = [m.span() for m in _ENDS.finditer(text)]
        if not ends or len(ends) > _MOST_SENTENCES or depth >= _DEEPEST:
            return None
        starts, stops = [0, *(end for _, end in ends)], [*(start for start, _ in ends), len(text)]
        best: list[_Said] = [_Said(0, "")]
        for to in range(len(stops)):
            ways = []
            for at in range(max(0, to - _MOST_JOINED + 1), to + 1):
                if to - at == len(stops) - 1:
                    continue
                piece = text[starts[at] : stops[to]]
                one = self._one(piece, depth + 1) if to > at else self._best(piece, depth + 1)
                if one is not None:
                    before = best[at]
                    said = f"{before.text} {one.text}".lstrip()
                    ways.append(_Said(before.left + one.left, said, before.missing + one.missing))
            best.append(min(ways, key=lambda way: way.left))
        return best[-1]

    def _by_phrases(self, text: str, depth: int) -> _Said | None:
        """A text cut at its commas, colons, brackets and dashes."""
        parts = _JOINTS.split(text)
        if len(parts) == 1 or depth >= _DEEPEST:
            return None
        said = [_Said(0, p) if i % 2 or not p else self._best(p, depth + 1) for i, p in enumerate(parts)]
        return _Said(
            sum(p.left for p in said), "".join(p.text for p in said), tuple(m for p in said for m in p.missing)
        )


@cache
def translator(language: str) -> Translator:
    """The one translator of a language. Raises KeyError for a language that has no catalogue."""
    return Translator(language, catalogue(language))


def translated(text: str, language: str) -> str:
    """A text in another language; English comes back unchanged. Raises KeyError for a language without a catalogue."""
    return text if language == ENGLISH else translator(language).said(text)


class Said(str):
    """A text that is in the language of the reader already, so that it is not looked up again."""

    __slots__ = ()


def spoken(text: str) -> str:
    """A text in the language of the reader, said once; see `reading`."""
    return text if isinstance(text, Said) else Said(translated(text, reader()))


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
