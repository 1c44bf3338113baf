"""Pages set by typst from a template of this room and data as JSON; letters come with the program."""

from __future__ import annotations

import json
import re
from typing import Any

import typst

from corebath.data_files import read_text

from .together import together

PAPERS = {"a4": "a4", "letter": "us-letter", "a5": "a5"}
_PPI = 200.0
_UNPRINTABLE = re.compile(r"the text `\"(.*?)\"` could not be displayed")


def pdf_of(template: str, data: dict[str, Any]) -> bytes:
    """A tagged PDF (PDF/UA-1) of a template such as "card.typ".

    Raises ValueError for letters that cannot be printed, and for a text that is too long for its page or label.
    """
    made = _set(template, data, "pdf")
    assert isinstance(made, bytes)
    return made


def pngs_of(template: str, data: dict[str, Any]) -> list[bytes]:
    """Pictures of the pages, to look at."""
    made = _set(template, data, "png")
    return made if isinstance(made, list) else [made]


def paper_of(name: str) -> str:
    """What the typesetter calls a paper. Raises ValueError that lists the names."""
    if name.lower() not in PAPERS:
        raise ValueError(f"no paper is called {name[:20]!r}: take one of {', '.join(PAPERS)}")
    return PAPERS[name.lower()]


def _set(template: str, data: dict[str, Any], form: str) -> bytes | list[bytes]:
    source = read_text("corebath.show", template).encode("utf-8")
    inputs = {"data": together(json.dumps(data, ensure_ascii=False))}
    try:
        if form == "pdf":
            return typst.compile(
                source, format="pdf", ignore_system_fonts=True, sys_inputs=inputs, pdf_standards="ua-1"
            )
        return typst.compile(source, format="png", ppi=_PPI, ignore_system_fonts=True, sys_inputs=inputs)
    except typst.TypstError as error:
        unprintable = _UNPRINTABLE.search(str(error))
        if unprintable:
            raise ValueError(
                f"{unprintable[1][:40]!r} cannot be printed with the letters at hand: leave it out"
            ) from error
        if "too long" in str(error):
            raise ValueError("this is too long for its page: take a larger paper, or a shorter name") from error
        raise
