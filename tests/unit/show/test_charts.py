"""Both charts: every label readable and apart, every region named, the point inside, blank data drawn as blank."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import combinations
from xml.etree import ElementTree

import numpy as np
import pytest
from tests.unit.show.show_plans import NAMES, map_of, plan_of

from corebath.plan.map import Region
from corebath.safety.lethality import LethalityRule
from corebath.show.core_chart import core_drawing
from corebath.show.drawing import Area, Drawing, Handle, Line, Point
from corebath.show.isolines import edge, height_of, inside
from corebath.show.labels import Box, box_of
from corebath.show.letters import rule_letters
from corebath.show.map_chart import map_drawing
from corebath.show.scale import Scale
from corebath.show.sheet import sheet_drawing
from corebath.show.svg import palette, to_svg
from corebath.units import METRIC, US, Preference, render

SVG = "{http://www.w3.org/2000/svg}"
SIZES = pytest.mark.parametrize("wide", [False, True], ids=["phone", "wide"])
EVERY = pytest.mark.parametrize("name", NAMES)
UNITS = pytest.mark.parametrize("preference", [METRIC, US], ids=["C", "F"])


def _charts(name: str, preference: Preference, wide: bool) -> tuple[Drawing, Drawing]:
    plan = plan_of(name)
    return map_drawing(plan, map_of(name), preference, wide=wide), core_drawing(plan, preference, wide=wide)


def _words(drawing: Drawing) -> str:
    return " ".join(t.text for t in drawing.texts).replace("\N{NO-BREAK SPACE}", " ")


@EVERY
@UNITS
@SIZES
def test_labels_keep_apart_and_inside(name: str, preference: Preference, wide: bool) -> None:
    for drawing in _charts(name, preference, wide):
        sheet = Box(0, 0, drawing.width, drawing.height)
        boxes = [(t.text, box_of(t)) for t in drawing.texts]
        assert all(sheet.holds(b) for _, b in boxes), [t for t, b in boxes if not sheet.holds(b)]
        # Lines of one key stand closer than the full height of their letters, but never share letters' room.
        touching = [(a, b) for (a, x), (b, y) in combinations(boxes, 2) if x.grown(-0.8).touches(y)]
        assert touching == []


@EVERY
@SIZES
def test_text_is_large_enough_on_a_phone(name: str, wide: bool) -> None:
    """11 px at the least on a page 390 px wide with 12 px at either side."""
    for drawing in _charts(name, METRIC, wide):
        shown = 1.0 if wide else (390 - 24) / drawing.width
        assert min(t.size for t in drawing.texts) * shown >= 11


@EVERY
@SIZES
def test_the_point_lies_inside_the_plot_where_the_figures_say(name: str, wide: bool) -> None:
    plan = plan_of(name)
    drawing = _charts(name, METRIC, wide)[0]
    handle = next(m for m in drawing.marks if isinstance(m, Handle))
    d = {key: float(value) for key, value in drawing.data.items()}
    assert d["x0"] <= handle.x <= d["x1"]
    assert d["y1"] <= handle.y <= d["y0"]
    share = (handle.x - d["x0"]) / (d["x1"] - d["x0"])
    assert d["t0"] + share * (d["t1"] - d["t0"]) == pytest.approx(plan.bath_s, rel=1e-5)
    share = (handle.y - d["y0"]) / (d["y1"] - d["y0"])
    assert d["c0"] + share * (d["c1"] - d["c0"]) == pytest.approx(plan.set_point_C, rel=1e-5)


@EVERY
@UNITS
@SIZES
def test_every_region_is_named_in_words(name: str, preference: Preference, wide: bool) -> None:
    words = _words(_charts(name, preference, wide)[0])
    letters = rule_letters(plan_of(name))
    for region in map_of(name).regions:
        assert f"{letters[region.rule]} {render(region.title, preference, both=False)}" in words


@EVERY
def test_every_binding_region_that_is_met_somewhere_has_its_own_hatch(name: str) -> None:
    regions = [r for r in map_of(name).regions if r.binding and np.any(r.share >= 1)]
    areas = [m for m in _charts(name, METRIC, True)[0].marks if isinstance(m, Area) and m.name.startswith("Met: ")]
    assert len(areas) == len(regions)
    assert len({a.hatch for a in areas}) == len(areas)


@EVERY
def test_what_is_not_known_is_said_and_left_blank(name: str) -> None:
    blank = np.full_like(map_of(name).tenderness, np.nan)
    drawing = map_drawing(plan_of(name), replace(map_of(name), tenderness=blank, juiciness=blank), METRIC, wide=False)
    assert "Tenderness and juiciness are not known here." in _words(drawing)
    assert not any(isinstance(m, Line) and m.kind in ("tenderness", "juiciness") for m in drawing.marks)


def test_a_map_without_regions_draws() -> None:
    drawing = map_drawing(plan_of("carrot"), replace(map_of("carrot"), regions=()), METRIC, wide=True)
    assert "No heat rule binds" in _words(drawing)


def test_edges_that_coincide_are_drawn_once_and_all_named() -> None:
    base = map_of("steak")
    region = next(r for r in base.regions if not r.binding)
    twins = tuple(Region(r.rule, r.title, False, region.share) for r in base.regions)
    drawing = map_drawing(plan_of("steak"), replace(base, regions=twins), METRIC, wide=True)
    assert "A B C D E" in _words(drawing)
    assert "too close to draw apart" in _words(drawing)


@EVERY
@SIZES
def test_the_core_chart_names_its_levels_and_moments(name: str, wide: bool) -> None:
    words = _words(_charts(name, METRIC, wide)[1])
    assert "54.4 °C: held below this, bacteria may grow" in words
    assert re.search(r"bath \d", words)
    assert "pull the bag" in words


@EVERY
@SIZES
def test_curves_stay_in_the_plot(name: str, wide: bool) -> None:
    for drawing in _charts(name, METRIC, wide):
        frame = next(m for m in drawing.marks if isinstance(m, Line) and m.kind == "frame")
        x, y = zip(*frame.points, strict=True)
        plot = Box(min(x), min(y), max(x), max(y)).grown(0.1)
        curves = [m for m in drawing.marks if isinstance(m, Line) and m.kind not in ("tick-mark", "frame")]
        assert all(plot.holds(Box(px, py, px, py)) for m in curves for px, py in m.points)


@EVERY
@SIZES
def test_the_page_form_is_sound(name: str, wide: bool) -> None:
    for drawing in _charts(name, METRIC, wide):
        text = to_svg(drawing, standalone=False)
        root = ElementTree.fromstring(text)
        assert root.attrib["viewBox"] == f"0 0 {drawing.width:g} {drawing.height:.1f}".removesuffix(".0")
        assert "width" not in root.attrib
        elements = list(root.iter())
        assert not any("style" in e.attrib or e.tag in (f"{SVG}style", f"{SVG}script") for e in elements)
        assert not any(key.startswith("on") for e in elements for key in e.attrib)
        ids = [e.attrib["id"] for e in elements if "id" in e.attrib]
        assert len(ids) == len(set(ids))
        assert set(root.attrib["aria-labelledby"].split()) <= set(ids)
        wanted = set(re.findall(r"url\(#([^)]+)\)", text))
        assert wanted <= set(ids)
        assert root.findtext(f"{SVG}title")
        assert root.findtext(f"{SVG}desc")


def test_the_point_is_a_slider_on_a_page_and_still_in_a_file() -> None:
    drawing = _charts("chicken", METRIC, False)[0]
    point = ElementTree.fromstring(to_svg(drawing, standalone=False)).find(f".//*[@id='{drawing.key}-point']")
    assert point is not None
    assert point.attrib["role"] == "slider"
    assert point.attrib["tabindex"] == "0"
    low, now, high = (float(point.attrib[f"aria-value{k}"]) for k in ("min", "now", "max"))
    assert low <= now <= high
    assert point.attrib["aria-valuetext"].startswith("62 °C, 2 h")
    still = to_svg(drawing, standalone=True)
    assert "slider" not in still
    assert "tabindex" not in still
    assert "data-x0" not in still


@EVERY
def test_the_sheet_holds_both_charts_and_the_answer(name: str) -> None:
    drawing = sheet_drawing(plan_of(name), map_of(name), METRIC)
    words = _words(drawing)
    assert "time in the bath, from drop-in" in words
    assert f"time after {'drop-in' if plan_of(name).request.ice is None else 'the heater starts'}" in words
    ElementTree.fromstring(to_svg(drawing, standalone=True))
    assert max(box_of(t).bottom for t in drawing.texts) <= drawing.height


def _area(rings: tuple[tuple[Point, ...], ...]) -> float:
    """Area within rings, holes turned the other way round (shoelace formula)."""
    total = 0.0
    for ring in rings:
        x, y = np.asarray(ring).T
        total += 0.5 * float(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y))
    return abs(total)


@EVERY
def test_filled_areas_are_as_large_as_the_cells_that_meet_the_rule(name: str) -> None:
    across, up = Scale(0, 1, 0, 590), Scale(0, 1, 590, 0)
    for region in map_of(name).regions:
        rule = LethalityRule(region.rule, region.title, "", None, "", (1.0,), (1.0,))
        core = np.full(region.share.shape, 90.0)
        rings = inside(height_of(region.share, core, rule), across, up)
        # Half a column on either side of a slanted edge is what a grid of 60 can tell.
        met = np.trapezoid(np.trapezoid((region.share >= 1).astype(float), dx=1 / 59), dx=1 / 59)
        assert _area(rings) / 590**2 == pytest.approx(float(met), abs=1 / 60)


def test_a_rule_met_at_once_has_its_edge_where_the_core_gets_there() -> None:
    """Core rising evenly over both axes: the edge of "70 C at once" is the straight line core = 70 C."""
    core = np.linspace(50, 70, 40)[:, None] + np.linspace(0, 20, 40)[None, :]
    rule = LethalityRule("x", "at once", "", None, "", (), (), instant_C=70.0)
    share = np.where(core >= 70.0, 1.0, 0.0)
    (line,) = edge(height_of(share, core, rule), Scale(0, 20, 0, 100), Scale(50, 70, 100, 0))
    assert all(50 + (100 - y) / 5 + x / 5 == pytest.approx(70.0, abs=1e-3) for x, y in line)


def _luminance(colour: str) -> float:
    """Relative luminance by WCAG 2.2."""
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    r, g, b = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts)
    return 0.2126 * r + 0.7152 * g + 0.0722 * b


def _contrast(a: str, b: str) -> float:
    low, high = sorted((_luminance(a), _luminance(b)))
    return (high + 0.05) / (low + 0.05)


def test_the_palette_keeps_contrast() -> None:
    """WCAG 2.2: 4.5 to 1 for text (1.4.3), 3 to 1 for what carries meaning (1.4.11); the grid carries none."""
    assert _contrast("#000000", "#ffffff") == pytest.approx(21.0)
    css = palette()
    ground = re.search(r"\.ground \{ fill: (#\w+)", css)
    assert ground is not None
    texts = re.findall(r"\.chart (?:text|\.tick, \.chart \.axis) \{ fill: (#\w+)", css)
    assert len(texts) == 2
    assert all(_contrast(c, ground[1]) >= 4.5 for c in texts)
    lines = re.findall(r"\.line\.([\w-]+) \{ stroke: (#\w+)", css)
    assert len(lines) >= 10
    assert all(_contrast(colour, ground[1]) >= 3 for _, colour in lines)


def test_every_kind_of_line_has_a_colour() -> None:
    css = palette()
    kinds = {m.kind for n in NAMES for d in _charts(n, METRIC, True) for m in d.marks if isinstance(m, Line)}
    assert all(f".{kind} " in css or f".{kind}," in css for kind in kinds), kinds
