"""Which language: what a browser or a terminal asks for, among those there are."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar

ENGLISH = "en"
_reader: ContextVar[str] = ContextVar("reader", default=ENGLISH)
LANGUAGES = {ENGLISH: "English", "fr": "Français", "de": "Deutsch", "es": "Español"}


def asked_for(accepts: str) -> str:
    """The first of our languages in a list such as "fr-CH, fr;q=0.9, en;q=0.8" (RFC 9110, 12.5.4); else English."""
    wanted: list[tuple[float, int, str]] = []
    for place, part in enumerate(accepts.split(",")[:20]):
        tag, _, quality = part.partition(";")
        name = tag.strip().lower().split("-")[0]
        if name in LANGUAGES:
            wanted.append((-_quality(quality), place, name))
    best = min(wanted, default=None)
    return ENGLISH if best is None or best[0] == 0 else best[2]


def from_environment(environment: Mapping[str, str]) -> str:
    """The language of a terminal, by the variables that gettext reads, in its order; English when none is ours."""
    for name in ("LANGUAGE", "LC_ALL", "LC_MESSAGES", "LANG"):
        value = environment.get(name, "")
        for tag in value.split(":"):
            language = tag.lower().split(".")[0].split("_")[0]
            if language in LANGUAGES:
                return language
        if value:
            return ENGLISH
    return ENGLISH


@contextmanager
def reading(language: str) -> Iterator[None]:
    """Inside, charts are drawn for a reader of a language: their lines are broken after they are translated."""
    before = _reader.set(language)
    try:
        yield
    finally:
        _reader.reset(before)


def reader() -> str:
    """The language of the reader, English outside `reading`."""
    return _reader.get()


def _quality(text: str) -> float:
    name, _, value = text.strip().partition("=")
    if name.strip() != "q":
        return 1.0
    try:
        return min(max(float(value), 0.0), 1.0)
    except ValueError:
        return 0.0
