"""The chart poster as a printed page: PDF on a paper size, PNG and SVG as one long picture, all set by typst."""

from __future__ import annotations

import json
from dataclasses import asdict
from pathlib import Path
from typing import Any, Literal

import typst

from corebath.data_files import read_text

from .poster import Poster

Form = Literal["pdf", "png", "svg"]
FORMS: tuple[Form, ...] = ("pdf", "png", "svg")
# Width and height of a page on its long side [mm]: ISO 216, and US letter of 11 by 8.5 inches.
PAPERS = {"a4": (297.0, 210.0), "a3": (420.0, 297.0), "letter": (279.4, 215.9)}
_PPI = 192.0


def write_poster(poster: Poster, path: Path, form: Form, paper: str) -> None:
    """Write a poster to a file. paper : a key of `PAPERS`.  Raises OSError when it cannot be written."""
    path.write_bytes(typeset(poster, form, paper))


def typeset(poster: Poster, form: Form, paper: str) -> bytes:
    """A poster as a document of pages, or as one picture as long as it needs to be. paper : a key of `PAPERS`"""
    width, height = PAPERS[paper]
    made = typst.compile(
        read_text("corebath.show", "poster.typ").encode("utf-8"),
        format=form,
        ppi=_PPI,
        pdf_standards="ua-1" if form == "pdf" else [],
        ignore_system_fonts=True,
        sys_inputs={
            "poster": json.dumps(_data(poster), ensure_ascii=False),
            "form": form,
            "width": str(width),
            "height": str(height),
        },
    )
    assert isinstance(made, bytes)
    return made


def _data(poster: Poster) -> dict[str, Any]:
    data = asdict(poster)
    data["bands"] = [{"words": words, "columns": columns} for words, columns in poster.bands]
    data["notes"] = [{"head": head, "lines": lines} for head, lines in poster.notes]
    return data
