"""Other languages: whole sentences of the edges are looked up in a catalogue, with whatever varies left in its place.

The core writes English. What a reader sees is translated once, as it leaves: `translated` for a line, `html` for a
page, `every` for the strings of a card; a chart says its words while it is drawn, by `spoken`. Catalogues are gettext
files in `catalogues/`; see docs/decisions/0012.
"""

from __future__ import annotations

from .choice import ENGLISH, LANGUAGES, asked_for, from_environment, reader, reading
from .page import html
from .text import Said, every, spoken, translated

__all__ = [
    "ENGLISH",
    "LANGUAGES",
    "Said",
    "asked_for",
    "every",
    "from_environment",
    "html",
    "reader",
    "reading",
    "spoken",
    "translated",
]
