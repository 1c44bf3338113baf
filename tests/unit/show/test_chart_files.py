"""Charts as files."""

from __future__ import annotations

from pathlib import Path
from xml.etree import ElementTree

import pytest
from tests.unit.show.show_plans import map_of, plan_of

from corebath.show.files import write_chart
from corebath.show.sheet import sheet_drawing
from corebath.show.svg import to_svg
from corebath.units import METRIC


@pytest.fixture(scope="module")
def svg() -> str:
    return to_svg(sheet_drawing(plan_of("frozen"), map_of("frozen"), METRIC), standalone=True)


def test_svg_is_written_as_drawn(svg: str, tmp_path: Path) -> None:
    path = tmp_path / "plan.svg"
    write_chart(svg, path)
    root = ElementTree.fromstring(path.read_text(encoding="utf-8"))
    assert root.find("{http://www.w3.org/2000/svg}style") is not None


@pytest.mark.parametrize(("name", "magic"), [("plan.png", b"\x89PNG\r\n\x1a\n"), ("plan.PDF", b"%PDF-")])
def test_files_begin_with_the_mark_of_their_form(name: str, magic: bytes, svg: str, tmp_path: Path) -> None:
    """PNG: ISO/IEC 15948, 5.2; PDF: ISO 32000-1, 7.5.2."""
    path = tmp_path / name
    write_chart(svg, path)
    assert path.read_bytes().startswith(magic)


def test_png_is_twice_as_fine_as_the_drawing(svg: str, tmp_path: Path) -> None:
    """Width and height stand in bytes 16 to 24 of a PNG (ISO/IEC 15948, 11.2.2)."""
    path = tmp_path / "plan.png"
    write_chart(svg, path)
    width = int.from_bytes(path.read_bytes()[16:20], "big")
    assert width == pytest.approx(2 * float(ElementTree.fromstring(svg).attrib["width"]), abs=2)


def test_pdf_carries_the_title(svg: str, tmp_path: Path) -> None:
    path = tmp_path / "plan.pdf"
    write_chart(svg, path)
    assert b"Plan: pork loin, cylinder, 90 mm across" in path.read_bytes()


@pytest.mark.parametrize("name", ["plan.jpg", "plan"])
def test_other_suffixes_are_refused(name: str, svg: str, tmp_path: Path) -> None:
    with pytest.raises(ValueError, match=r"end the file name in \.svg, \.png, \.pdf"):
        write_chart(svg, tmp_path / name)
    assert not (tmp_path / name).exists()
