"""Plain words about a meal, read as a rating: what is sure, what leaves room, what to ask, what is not understood."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache

from corebath.data_files import read_rows

from .cook import Rating
from .learn_drive import QUALITIES
from .learn_say import rating_words
from .learn_taste import Loose
from .settings import settings

_SPLIT = re.compile(r"[,;.!?/]|\s[-–—]+\s|\b(?:but|yet|though|although|while|however|with)\b")
_WORD = re.compile(r"[^\W\d_]+(?:'[^\W\d_]+)?")
_NAMES = {"tender": "tenderness", "juicy": "juiciness", "done": "colour", "crust": "crust", "salt": "salt"}


@dataclass(frozen=True, slots=True)
class Heard:
    """What was understood.

    rating : what the words say exactly, the note being the words as typed;  loose : what they leave room for
    questions : what to ask to know better;  unknown : words that are kept as a note and say nothing here
    said : what was understood and what was not, one sentence each
    """

    rating: Rating
    loose: tuple[Loose, ...]
    questions: tuple[str, ...]
    unknown: tuple[str, ...]
    said: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Entry:
    quality: str
    low: int
    high: int
    sense: str


@dataclass(frozen=True, slots=True)
class _Claim:
    """One quality as one clause has it. word : as typed;  ask : a question it raises;  edge : of the edges only?"""

    quality: str
    low: int
    high: int
    word: str
    ask: str = ""
    edge: bool = False

    def holds(self, steps: int) -> bool:
        """Whether a rating on the scale lies within it."""
        return self.low <= steps <= self.high


def hear(text: str, last: Rating | None = None, given: Rating | None = None) -> Heard:
    """Read English words on a meal: "a bit chewy", "dry edges", "soft but grey".

    last : the rating of the cook before, for words that compare;  given : what was rated on a scale, which counts
    for its qualities whatever the words say of them. Nothing is guessed: words with two meanings
    become a range and a question, words that are not known stay in the note. Raises ValueError for a text that
    `Rating` does not take as a note.
    """
    claims: list[_Claim] = []
    unknown: list[str] = []
    asked: list[str] = []
    general = False
    for clause in _SPLIT.split(text.casefold().replace("’", "'")):
        words = _WORD.findall(clause)
        found = list(_claims(words, last, unknown))
        if not found and any(_has(words, phrase) for phrase in _list("general")) and not set(words) & _list("negation"):
            general = True
        elif not found and set(words) & (_list("better") | _list("worse")):
            found = list(_compared(words, last))
            if not found:
                asked.append("Better or worse in what: tenderness, juiciness, colour, crust or salt?")
        claims += found
    scaled = [q for q in QUALITIES if given is not None and getattr(given, q) is not None]
    overruled = [q for q in scaled if any(c.quality == q and not c.holds(getattr(given, q)) for c in claims)]
    # A scale says how much, and not where: at the edges it may still be the sear.
    asked += [c.ask for c in claims if c.quality in scaled and c.edge and getattr(given, c.quality) != 0]
    claims = [c for c in claims if c.quality not in scaled]
    exact: dict[str, int] = {}
    loose: list[Loose] = []
    for quality in (q for q in QUALITIES if q not in scaled):
        mine = [c for c in claims if c.quality == quality]
        asked += [c.ask for c in mine if c.ask]
        if not mine:
            if general:
                exact[quality] = 0
            continue
        low, high = max(c.low for c in mine), min(c.high for c in mine)
        if low > high:
            low, high = min(c.low for c in mine), max(c.high for c in mine)
            asked.append(f"You said both {mine[0].word} and {mine[-1].word}: which of them was it, and where?")
        if low == high:
            exact[quality] = low
        else:
            loose.append(Loose(quality, low, high))
    rating = Rating(
        tender=exact.get("tender"), juicy=exact.get("juicy"), done=exact.get("done"), crust=exact.get("crust"),
        salt=exact.get("salt"), note=text,
    )  # fmt: skip
    odd = tuple(dict.fromkeys(unknown))
    return Heard(
        rating, tuple(loose), tuple(dict.fromkeys(asked)), odd, tuple(_said(exact, loose, odd, overruled, scaled))
    )


def _claims(words: list[str], last: Rating | None, unknown: list[str]) -> Iterator[_Claim]:
    """The claims of one clause; what is in no list is added to `unknown`."""
    edges = next((w for w in words if w in _list("edges")), "")
    i, start = 0, 0
    while i < len(words):
        for length in (3, 2, 1):
            phrase = " ".join(words[i : i + length])
            entry = _lexicon().get(phrase)
            if entry is None or i + length > len(words):
                continue
            before, after = words[start:i], words[i + length :]
            if phrase in _list("nouns") and not set(words) & _telling():
                break  # the bare noun says nothing: "burnt crust", "the salt"
            yield _claim(entry, phrase, before, after, edges, last)
            break
        else:
            if words[i] not in _known():
                unknown.append(words[i])
            i += 1
            continue
        i += length
        start = i


def _claim(entry: _Entry, word: str, before: list[str], after: list[str], edges: str, last: Rating | None) -> _Claim:
    low, high, ask, edge = entry.low, entry.high, "", False
    if entry.sense == "compare":
        return _against_last(entry.quality, entry.low > 0, word, last)
    more = entry.sense.endswith("more") or (entry.sense == "fault" and low > 0)
    too, amount = "too" in before, [w for w in before if w in ("more", "less")]
    much = " ".join(before).endswith("much") or "too much" in " ".join(before)
    very = any(w in _list("very") for w in before if not (w == "much" and much))
    little = any(w in _list("little") for w in before)
    negated = any(w in _list("negation") for w in before) and not word.startswith("no ")
    wished = any(w in _list("wish") for w in (*before, *after))
    if amount and not wished and not negated and word not in _list("nouns"):
        return _against_last(entry.quality, more == (amount[-1] == "more"), f"{amount[-1]} {word}", last)
    short = (negated and "enough" in (*before, *after[:1])) or any(w in _list("lack") for w in before)
    short = (short or (word in _list("nouns") and little) or amount == ["more"]) and "less" not in amount
    strong = 2 if very else 1
    praise = entry.sense.startswith("praise")
    if short:
        # "not salty enough", "too little crust", "needs more salt": too little of the word, whatever else it means.
        low = high = -1 if more else 1
    elif "less" in amount:
        low = high = 1 if more else -1
    elif negated and too:
        low = high = 0
    elif negated:
        low, high = ((-1, -1) if more else (1, 1)) if praise else (0, 0)
    elif too:
        low = high = strong if more else -strong
    elif entry.sense == "fault":
        if little:
            low = high = 1 if more else -1
        elif very:
            low = high = 2 if more else -2
    elif entry.sense.startswith("either"):
        low, high = (0, strong) if more else (-strong, 0)
        ask = f"Was it {word} as you like it, or too {word}?"
    if edges and entry.quality in ("juicy", "done", "tender") and (low, high) != (0, 0):
        low, high, edge = min(low, 0), max(high, 0), True
        ask = (
            f"{word.capitalize()} at the {edges} only, or all through? At the {edges} alone it may be the sear: "
            "was the surface wet, or the piece long in the pan?"
        )
    return _Claim(entry.quality, low, high, word, ask, edge)


def _against_last(quality: str, up: bool, word: str, last: Rating | None) -> _Claim:
    """A comparison says that it lies on that side of the last rating, as far as that is known."""
    was = None if last is None else getattr(last, quality)
    ask = f"{word.capitalize()} than last time: is it right now?"
    if was is None:
        return _Claim(quality, -2, 2, word, ask)
    return _Claim(quality, was if up else -2, 2 if up else was, word, ask)


def _compared(words: list[str], last: Rating | None) -> Iterator[_Claim]:
    """ "Better" with nothing else said: what was wrong last time lies between that and just right; "worse" past it."""
    for quality in QUALITIES if last is not None else ():
        was = getattr(last, quality)
        if not was:
            continue
        far = 2 if was > 0 else -2
        better = any(w in _list("better") for w in words)
        low, high = sorted((was, 0) if better else (was, far))
        side = "Better" if better else "Worse"
        yield _Claim(quality, low, high, side.lower(), f"{side} than last time in {_NAMES[quality]}: is it right now?")


def _said(
    exact: dict[str, int], loose: list[Loose], unknown: tuple[str, ...], overruled: list[str], scaled: list[str]
) -> Iterator[str]:  # fmt: skip
    for quality, steps in exact.items():
        yield f"Understood: {_named(quality, steps)}."
    for one in loose:
        low, high = _named(one.quality, one.low), rating_words(one.quality, one.high)
        yield f"Understood: {low}, or anything up to {high}."
    for quality in overruled:
        yield f"For {_NAMES[quality]} the scale counts, and not the words."
    if unknown:
        yield f"Not understood, kept as a note: {', '.join(unknown)}."
    if not exact and not loose and not scaled:
        yield "No rating could be read from these words."


def _named(quality: str, steps: int) -> str:
    """A rating with its quality: "tenderness too firm", "too little crust"."""
    words = rating_words(quality, steps)
    return words if words.endswith(_NAMES[quality]) else f"{_NAMES[quality]} {words}"


def _has(words: list[str], phrase: str) -> bool:
    return f" {phrase} " in f" {' '.join(words)} "


@cache
def _lexicon() -> dict[str, _Entry]:
    return {
        row["phrase"]: _Entry(row["quality"], int(row["low"]), int(row["high"]), row["sense"])
        for row in read_rows("corebath.log", "words.csv")
    }


@cache
def _list(name: str) -> frozenset[str]:
    return frozenset(settings("words")[name])


@cache
def _telling() -> frozenset[str]:
    """Words that make a bare noun say something."""
    return frozenset().union(*map(_list, ("little", "very", "lack", "negation", "praise", "amounts")))


@cache
def _known() -> frozenset[str]:
    named = {word for name, words in settings("words").items() if isinstance(words, list) for word in words}
    return frozenset(word for phrase in (*named, settings("words")["filler"]) for word in phrase.split())
