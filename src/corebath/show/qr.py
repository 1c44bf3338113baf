"""A code to be read with a phone's camera: an address, or the plan itself in plain letters."""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass
from io import BytesIO

import segno

MOST_BYTES = 600
# Version 20 has 97 modules a side, which a phone reads off paper at 0.4 mm a module; level M mends 15 % of stains.
_LARGEST_VERSION = 20
_REPLACED = {"°": "", "−": "-", "–": "-", "“": '"', "”": '"', "’": "'", "…": "...", "²": "2", "×": "x"}


@dataclass(frozen=True, slots=True)
class Code:
    """A QR code. text : what it says;  svg : drawn with its quiet border;  modules : of one side, with it"""

    text: str
    svg: str
    modules: int


def code_of(text: str) -> Code:
    """The code of a text of plain ASCII letters, 1 to 600 of them. Raises ValueError for another text."""
    if not text.isascii() or not 1 <= len(text) <= MOST_BYTES:
        raise ValueError(f"a code takes 1 to {MOST_BYTES} plain letters, got {len(text)}")
    made = segno.make_qr(text, error="m", boost_error=False)
    assert int(made.version) <= _LARGEST_VERSION
    drawn = BytesIO()
    made.save(drawn, kind="svg", xmldecl=False, border=4, omitsize=True)
    return Code(text, drawn.getvalue().decode("utf-8").strip(), int(made.symbol_size(border=4)[0]))


def plain_letters(text: str) -> str:
    """A text in ASCII: "56 °C" becomes "56 C", an accent is dropped, any other letter becomes a question mark."""
    for letter, instead in _REPLACED.items():
        text = text.replace(letter, instead)
    split = unicodedata.normalize("NFKD", text)
    return "".join(c for c in split if not unicodedata.combining(c)).encode("ascii", "replace").decode("ascii")
