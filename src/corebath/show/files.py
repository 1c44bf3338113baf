"""Charts as files: SVG as drawn, PNG and PDF set by typst on a page of the chart's own size."""

from __future__ import annotations

from pathlib import Path
from typing import Literal
from xml.etree import ElementTree

SUFFIXES = (".svg", ".png", ".pdf")
# A unit of the drawing is a screen pixel, 3/4 of a point; twice the pixels of a plain screen keep small text crisp.
_POINTS_PER_UNIT = 0.75
_PPI = 192.0
_PAGE = """\
#set document(title: sys.inputs.title)
#set page(width: float(sys.inputs.width) * 1pt, height: float(sys.inputs.height) * 1pt, margin: 0pt)
#image(bytes(sys.inputs.chart), format: "svg", width: 100%, alt: sys.inputs.description)
"""
_SVG = "{http://www.w3.org/2000/svg}"


def write_chart(svg: str, path: Path) -> None:
    """Write a standalone SVG to a file, its form chosen by the suffix: .svg, .png or .pdf.

    Raises ValueError for another suffix, OSError when the file cannot be written.
    """
    suffix = path.suffix.lower()
    if suffix not in SUFFIXES:
        named = f"the suffix {path.suffix!r}" if path.suffix else "no suffix"
        raise ValueError(f"a chart cannot be written with {named}: end the file name in {', '.join(SUFFIXES)}")
    if suffix == ".svg":
        path.write_text(svg, encoding="utf-8")
    else:
        path.write_bytes(_typeset(svg, "png" if suffix == ".png" else "pdf"))


def _typeset(svg: str, form: Literal["png", "pdf"]) -> bytes:
    import typst  # slow to load, and most charts are only shown

    root = ElementTree.fromstring(svg)
    _, _, width, height = (float(part) for part in root.attrib["viewBox"].split())
    made = typst.compile(
        _PAGE.encode("utf-8"),
        format=form,
        ppi=_PPI,
        ignore_system_fonts=True,
        sys_inputs={
            "chart": svg,
            "title": root.findtext(f"{_SVG}title", ""),
            "description": root.findtext(f"{_SVG}desc", ""),
            "width": str(width * _POINTS_PER_UNIT),
            "height": str(height * _POINTS_PER_UNIT),
        },
    )
    assert isinstance(made, bytes)
    return made
