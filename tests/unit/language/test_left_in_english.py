"""How much of what readers see stays English in another language."""

from __future__ import annotations

import re
from collections import Counter
from functools import cache

import pytest
from tests.unit.language import corpus

from corebath.language import LANGUAGES
from corebath.language.catalogue import catalogue
from corebath.language.choice import ENGLISH
from corebath.language.page import page
from corebath.language.text import Translator

_TAG = re.compile(r"<[^>]*>")


@cache
def seen() -> tuple[str, ...]:
    """Two plans with everything on them, and every screen."""
    return tuple(corpus.pages(corpus.QUESTIONS[:2]))


@pytest.mark.parametrize("language", [o for o in LANGUAGES if o != ENGLISH])
def test_little_of_the_screens_stays_english(language: str) -> None:
    # What is left are titles of sources, codes of agencies, names of the demo's things and what a cook typed.
    missing: Counter[str] = Counter()
    speaker = Translator(language, catalogue(language), missing)
    for text in seen():
        page(text, speaker)
    letters = sum(len(re.findall(r"[A-Za-z]", _TAG.sub(" ", text))) for text in seen())
    left = sum(times * len(re.findall(r"[A-Za-z]", text)) for text, times in missing.items())
    assert left / letters < 0.045, missing.most_common(40)
