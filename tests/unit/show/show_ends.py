"""Answers about the ends of a cook that the tests of this folder show, and what holds for every chart of them."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import UTC, datetime
from functools import cache
from itertools import combinations
from xml.etree import ElementTree
from zoneinfo import ZoneInfo

from corebath.ask.ends import (
    EndQuestion,
    understand_chill,
    understand_keep,
    understand_reheat,
    understand_salt,
    understand_sear,
    understand_story,
)
from corebath.log.gear import Kitchen
from corebath.plan.alone.chill import ChillAnswer, answer_chill
from corebath.plan.alone.keep import KeepAnswer, answer_keep
from corebath.plan.alone.reheat import ReheatAnswer, answer_reheat
from corebath.plan.alone.salt import SaltAnswer, answer_salt
from corebath.plan.alone.sear import SearAnswer, answer_sear
from corebath.plan.story import Story
from corebath.plan.tell import tell
from corebath.show.drawing import Drawing, Line
from corebath.show.labels import Box, box_of
from corebath.show.svg import palette, to_svg
from corebath.show.terminal import to_terminal

KITCHEN = Kitchen(zone=ZoneInfo("Europe/Paris"))
NOW = datetime(2026, 12, 1, 12, 0, tzinfo=UTC)

SALT = {
    "steak": EndQuestion(food="ribeye", thick="30 mm", mass="400 g"),
    "fish": EndQuestion(food="salmon", thick="25 mm", hours="30 min, 2 h", bath="40 min"),
    "brine": EndQuestion(food="pork loin", shape="slab", thick="60 mm", mass="900 g", water="1 L", salt="1.5"),
    "roast": EndQuestion(food="beef chuck", thick="60 mm", wide="90 mm", long="150 mm", faces="broad", bath="30 h"),
    "thawed": EndQuestion(food="ribeye", thick="10 mm", state="frozen", hours="1 day", units="us"),
}
UNKNOWN = EndQuestion(food="chicken breast", thick="38 mm")
SEAR = {
    "steak": EndQuestion(food="ribeye", thick="30 mm", want="medium rare", oil="butter"),
    "thin and wet": EndQuestion(
        food="ribeye", thick="14 mm", want="medium rare", surface="wet", pan="stainless", turn="15 s"
    ),
    "grill": EndQuestion(food="ribeye", thick="40 mm", want="56 C", grill="800 C", rest="0 s"),
    "torch": EndQuestion(food="ribeye", thick="25 mm", want="56 C", torch="100 g, 20 C, 60 s, 6 cm"),
    "cold pan": EndQuestion(food="ribeye", thick="50 mm", want="56 C", hot="120 C", power="0 W", start="10 C"),
}  # fmt: skip
CHILL = {
    "steak": EndQuestion(food="ribeye", thick="30 mm", mass="400 g", start="57 C", water="4 L", ice="2 kg"),
    "roast": EndQuestion(food="beef chuck", thick="90 mm", start="60 C", rules="AU"),
    "counter": EndQuestion(food="ribeye", thick="30 mm", start="60 C", medium="counter"),
    "fridge": EndQuestion(food="chicken breast", thick="38 mm", start="62 C", medium="fridge", at="7 C", layers="2"),
    "cold": EndQuestion(food="ribeye", thick="20 mm", start="15 C"),
    "egg": EndQuestion(food="egg", thick="44 mm", start="64 C", rules="UK"),
}
REHEAT = {
    "steak": EndQuestion(food="ribeye", thick="30 mm", cooked="57 C", pasteurised="yes"),
    "frozen": EndQuestion(food="ribeye", thick="50 mm", cooked="80 C", state="frozen", hold="hot"),
    "risk": EndQuestion(food="chicken breast", thick="38 mm", cooked="62 C", guests="risk", rules="UK"),
    "lower": EndQuestion(food="salmon", thick="25 mm", cooked="50 C", reheat="42 C", rules="AU"),
}
KEEP = {
    "measured": EndQuestion(food="ribeye", fridge="4 C", pasteurised="yes", cooked="57 C", bath="2 h", thick="30 mm"),
    "nothing told": EndQuestion(food="chicken breast"),
    "warm and opened": EndQuestion(food="ribeye", fridge="7 C", pasteurised="yes", opened="yes", rules="UK"),
    "risk": EndQuestion(food="ribeye", fridge="3 C", pasteurised="yes", guests="risk", rules="AU", day="2027-01-03"),
}
STORY = {
    "thick": EndQuestion(food="beef chuck", thick="60 mm", want="57 C", bath="30 h", salted="36 h", hot="250 C"),
    "thin": EndQuestion(food="pork loin", shape="slab", thick="20 mm", want="60 C", bath="75 min", kept="9 days"),
    "not seared": EndQuestion(food="chicken breast", thick="38 mm", want="62 C", bath="2 h", sear="no", rules="UK"),
    "unsalted brick": EndQuestion(
        food="beef chuck", thick="50 mm", wide="80 mm", long="120 mm", want="60 C", bath="12 h", salt="0", rules="AU"
    ),
}


@cache
def salt_of(name: str) -> SaltAnswer:
    """One of the answers, made once."""
    return answer_salt(understand_salt(SALT[name], KITCHEN))


@cache
def sear_of(name: str) -> SearAnswer:
    """One of the answers, made once."""
    return answer_sear(understand_sear(SEAR[name], KITCHEN))


@cache
def chill_of(name: str) -> ChillAnswer:
    """One of the answers, made once."""
    return answer_chill(understand_chill(CHILL[name], KITCHEN))


@cache
def reheat_of(name: str) -> ReheatAnswer:
    """One of the answers, made once."""
    return answer_reheat(understand_reheat(REHEAT[name], KITCHEN))


@cache
def keep_of(name: str) -> KeepAnswer:
    """One of the answers, made once."""
    return answer_keep(understand_keep(KEEP[name], NOW, KITCHEN))


@cache
def story_of(name: str) -> Story:
    """One of the stories, told once."""
    return tell(*understand_story(STORY[name], KITCHEN))


def words_of(drawing: Drawing) -> str:
    """All words of a drawing on one line."""
    return " ".join(t.text for t in drawing.texts).replace("\N{NO-BREAK SPACE}", " ")


def check_drawing(draw: Callable[[bool], Drawing]) -> None:
    """What holds for every chart, narrow and wide: on the page, in a file and in a terminal."""
    for wide in (False, True):
        drawing = draw(wide)
        _check_labels(drawing, wide)
        _check_page(drawing)
        for columns in (110, 140) if wide else (60, 80):
            _check_terminal(drawing, columns)


def _check_labels(drawing: Drawing, wide: bool) -> None:
    sheet = Box(0, 0, drawing.width, drawing.height)
    boxes = [(t.text, box_of(t)) for t in drawing.texts]
    assert [t for t, b in boxes if not sheet.holds(b)] == []
    # Lines of one key stand closer than the full height of their letters, but never share letters' room.
    assert [(a, b) for (a, x), (b, y) in combinations(boxes, 2) if x.grown(-0.8).touches(y)] == []
    shown = 1.0 if wide else (390 - 24) / drawing.width
    assert min(t.size for t in drawing.texts) * shown >= 11
    assert not any("{" in t.text for t in drawing.texts)
    frames = [m for m in drawing.marks if isinstance(m, Line) and m.kind == "frame"]
    plots = [Box(*map(min, zip(*f.points, strict=True)), *map(max, zip(*f.points, strict=True))) for f in frames]
    curves = [m for m in drawing.marks if isinstance(m, Line) and m.kind not in ("tick-mark", "frame")]
    for curve in curves:
        assert any(all(p.grown(0.2).holds(Box(x, y, x, y)) for x, y in curve.points) for p in plots), curve.kind


def _check_page(drawing: Drawing) -> None:
    for standalone in (False, True):
        text = to_svg(drawing, standalone=standalone)
        root = ElementTree.fromstring(text)
        ids = [e.attrib["id"] for e in root.iter() if "id" in e.attrib]
        assert len(ids) == len(set(ids))
        assert set(re.findall(r"url\(#([^)]+)\)", text)) <= set(ids)
        assert root.findtext("{http://www.w3.org/2000/svg}title")
        assert root.findtext("{http://www.w3.org/2000/svg}desc")
        assert "nan" not in text.lower().replace("finan", "")
    css = palette()
    kinds = {m.kind for m in drawing.marks if isinstance(m, Line)}
    assert all(f".{kind} " in css or f".{kind}," in css for kind in kinds), kinds


def _check_terminal(drawing: Drawing, columns: int) -> None:
    text = to_terminal(drawing, columns)
    assert {len(line) for line in text.splitlines()} == {columns}
    assert [t.text for t in drawing.texts if t.text not in text] == []
