"""Whys as plain text."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Iterator

from corebath.plan.why.why import Why
from corebath.units import Preference, render

from .plain import sections
from .why_words import PARTS, by_part, from_words
from .words import capital


def why_text(whys: Iterable[Why], preference: Preference) -> str:
    """Every number under the part of the answer it stands in, with its key in brackets."""
    parts = by_part(whys)
    return sections((f"Why: {PARTS[part]}", _lines(each, preference)) for part, each in parts.items())


def _lines(whys: Iterable[Why], preference: Preference) -> Iterator[str]:
    for why in whys:
        yield "\n  ".join(line for line in _of(why, preference) if line)


def _of(why: Why, preference: Preference) -> Iterator[str]:
    def say(text: str) -> str:
        return render(text, preference, both=False)

    yield f"{capital(say(why.of))}: {say(why.value)} [{why.key}]"
    yield say(why.model)
    yield why.formula
    if why.inputs:
        given = (f"{say(i.name)}: {say(i.value)} ({f'see {i.see}' if i.see else from_words(i)})" for i in why.inputs)
        yield f"From: {'; '.join(given)}."
    yield f"Spread: {say(why.spread)}"
    yield f"Source: {why.source}"


def chosen(whys: Iterable[Why], key: str) -> tuple[Why, ...]:
    """The whys of a key, of keys that begin with it, or of a part.

    Raises ValueError, naming what is near, where none fits.
    """
    every = tuple(whys)
    found = tuple(why for why in every if why.key == key)
    found = found or tuple(why for why in every if why.part == key or why.key.startswith(f"{key}-"))
    if not found:
        near = difflib.get_close_matches(key[:40], [why.key for why in every], n=3, cutoff=0.5)
        hint = f"near are {', '.join(near)}; " if near else ""
        parts = tuple(dict.fromkeys(why.part for why in every))
        can = "a whole part you can ask for" if len(parts) == 1 else "whole parts you can ask for"
        raise ValueError(f"there is no number called {key[:40]!r} in this answer; {hint}{can}: {', '.join(parts)}")
    return found
