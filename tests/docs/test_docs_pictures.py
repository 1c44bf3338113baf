"""The pictures of the documentation, and the page that shows most of them, say what is said today."""

from __future__ import annotations

import re
from functools import cache
from xml.etree import ElementTree

import pytest
from tools.pictures import PAGE, PICTURES, pictures, plan
from tools.salting_to_plate import TELLING, told

from corebath.plan.known import KnownPiece
from corebath.plan.story import Way
from corebath.show.drawing import Drawing
from corebath.show.sentences import answer
from corebath.show.svg import to_svg
from corebath.units import METRIC

AGAIN = "run `python -m tools.pictures`"


@cache
def drawn() -> dict[str, Drawing]:
    return dict(pictures())


def words_of(svg: str) -> list[str]:
    """Every text of a picture, in order."""
    named = ("title", "desc", "text")
    return ["".join(e.itertext()) for e in ElementTree.fromstring(svg).iter() if e.tag.rpartition("}")[2] in named]


def test_every_picture_is_drawn_by_the_tool() -> None:
    assert {path.name for path in PICTURES.iterdir()} == set(drawn())


@pytest.mark.parametrize("name", sorted(path.name for path in PICTURES.iterdir()))
def test_a_picture_says_what_is_drawn_today(name: str) -> None:
    assert words_of((PICTURES / name).read_text(encoding="utf-8")) == words_of(
        to_svg(drawn()[name], standalone=True)
    ), AGAIN


@pytest.mark.parametrize(("name", "title", "piece", "way"), TELLING, ids=[t[0] for t in TELLING])
def test_the_stories_stand_on_their_page_as_they_are_told(name: str, title: str, piece: KnownPiece, way: Way) -> None:
    page = PAGE.read_text(encoding="utf-8").splitlines()
    assert [line for line in told(name, title, piece, way) if line not in page] == [], AGAIN


def test_the_answer_quoted_in_the_readme_is_that_of_its_picture() -> None:
    readme = (PAGE.parents[1] / "README.md").read_text(encoding="utf-8")
    quoted = " ".join(re.findall(r"^> (.+)$", readme, re.MULTILINE))
    assert answer(plan(), METRIC) in quoted
