"""A drawing as SVG: no inline style and no script, so a page with a strict policy can hold it."""

from __future__ import annotations

from functools import cache
from html import escape

from corebath.data_files import read_text
from corebath.language import spoken

from .drawing import STROKES, Area, Drawing, Handle, Hatch, Line, Mark, Pill, Point, Text

_TILE = 8
_HATCHES = {
    Hatch.RISING: f"M-2 2L2 -2M-2 {_TILE + 2}L{_TILE + 2} -2M{_TILE - 2} {_TILE + 2}L{_TILE + 2} {_TILE - 2}",
    Hatch.FALLING: f"M{_TILE - 2} -2L{_TILE + 2} 2M-2 -2L{_TILE + 2} {_TILE + 2}M-2 {_TILE - 2}L2 {_TILE + 2}",
    Hatch.LEVEL: f"M0 {_TILE / 2:g}H{_TILE}",
    Hatch.DOTS: f"M{_TILE / 2 - 0.6:g} {_TILE / 2:g}h1.2",
}
_HIT = 22  # radius of the handle that a finger meets, for a target of 44


@cache
def palette() -> str:
    """Our own light palette for print, as a stylesheet."""
    return read_text("corebath.show", "palette.css")


def to_svg(drawing: Drawing, *, standalone: bool) -> str:
    """The drawing as an SVG element.

    standalone : for a file: with size, palette and ground, and a still point. Otherwise for a page, which brings the
        colours; there the point is a slider and the figures a script needs stand as data attributes.
    """
    key = drawing.key
    head = [
        'xmlns="http://www.w3.org/2000/svg"',
        f'viewBox="0 0 {_n(drawing.width)} {_n(drawing.height)}"',
        f'class="chart chart-{key}"',
        f'role="{"img" if standalone else "group"}"',
        f'aria-labelledby="{key}-title {key}-desc"',
    ]
    if standalone:
        head.append(f'width="{_n(drawing.width)}" height="{_n(drawing.height)}"')
    else:
        head += [f"data-{name}={_quoted(value)}" for name, value in drawing.data.items()]
    parts = [
        f"<svg {' '.join(head)}>",
        f'<title id="{key}-title">{_content(spoken(drawing.title))}</title>',
        f'<desc id="{key}-desc">{_content(spoken(drawing.description))}</desc>',
    ]
    if standalone:
        parts.append(f"<style>{_content(palette())}</style>")
        parts.append(f'<rect class="ground" width="{_n(drawing.width)}" height="{_n(drawing.height)}"/>')
    parts += _defs(drawing)
    parts += [_mark(mark, key, standalone) for mark in drawing.marks]
    parts.append("</svg>")
    return "\n".join(parts)


def _defs(drawing: Drawing) -> list[str]:
    used = sorted({(m.hatch, m.kind) for m in drawing.marks if isinstance(m, Area) and m.hatch is not Hatch.NONE})
    if not used:
        return []
    patterns = [
        f'<pattern id="{drawing.key}-{kind}-{hatch}" width="{_TILE}" height="{_TILE}" patternUnits="userSpaceOnUse">'
        f'<path class="hatch {kind}" d="{_HATCHES[hatch]}" fill="none" stroke="currentColor" '
        f'stroke-width="{"1.2" if hatch is Hatch.DOTS else "0.7"}"/></pattern>'
        for hatch, kind in used
    ]
    return ["<defs>", *patterns, "</defs>"]


def _mark(mark: Mark, key: str, standalone: bool) -> str:
    match mark:
        case Line():
            return f"<path {_lined(mark.kind)}{_named(mark.name)} d={_quoted(_path(mark.points))}/>"
        case Area():
            d = _quoted("".join(_path(ring) + "Z" for ring in mark.rings))
            ground = (
                f'<path class="area {mark.kind}"{_named(mark.name)} fill="currentColor" fill-opacity="0.1" '
                f'fill-rule="evenodd" d={d}/>'
            )
            if mark.hatch is Hatch.NONE:
                return ground
            fill = f"url(#{key}-{mark.kind}-{mark.hatch})"
            return f'{ground}<path class="hatched" fill="{fill}" fill-rule="evenodd" d={d}/>'
        case Text():
            hidden = ' aria-hidden="true"' if mark.kind in ("tick", "badge") else ""
            return (
                f'<text class="{mark.kind}" x="{_n(mark.x)}" y="{_n(mark.y)}" font-size="{_n(mark.size)}" '
                f'text-anchor="{mark.anchor}" fill="currentColor"{hidden}>{_content(mark.text)}</text>'
            )
        case Pill():
            x, y, round_ = mark.x - mark.width / 2, mark.y - mark.height / 2, mark.height / 2
            return (
                f'<rect {_lined(mark.kind)} x="{_n(x)}" y="{_n(y)}" width="{_n(mark.width)}" '
                f'height="{_n(mark.height)}" rx="{_n(round_)}"/>'
            )
        case Handle():
            return _handle(mark, key, standalone)


def _handle(mark: Handle, key: str, standalone: bool) -> str:
    shape = '<circle class="ring" r="7" fill="none" stroke="currentColor" stroke-width="2"/><circle class="dot" r="3"/>'
    place = f'transform="translate({_n(mark.x)} {_n(mark.y)})"'
    if standalone:
        return f'<g class="point" {place}>{shape}</g>'
    return (
        f'<g id="{key}-point" class="point" role="slider" tabindex="0" aria-label={_quoted(spoken(mark.name))} '
        f'aria-valuemin="{_n(mark.low)}" aria-valuemax="{_n(mark.high)}" aria-valuenow="{_n(mark.now)}" '
        f"aria-valuetext={_quoted(spoken(mark.value_text))} {place}>"
        f'<circle class="reach" r="{_HIT}" fill="currentColor" fill-opacity="0"/>{shape}</g>'
    )


def _content(text: str) -> str:
    """Text as the content of an element."""
    return escape(text, quote=False)


def _quoted(text: str) -> str:
    """Text as the value of an attribute, in its quotation marks."""
    broken = escape(text).replace("\n", "&#10;")
    return f'"{broken}"'


def _lined(kind: str) -> str:
    stroke = STROKES[kind]
    dash = f' stroke-dasharray="{" ".join(_n(d) for d in stroke.dash)}"' if stroke.dash else ""
    return f'class="line {kind}" fill="none" stroke="currentColor" stroke-width="{_n(stroke.width)}"{dash}'


def _named(name: str) -> str:
    return f' role="img" aria-label={_quoted(spoken(name))}' if name else ""


def _path(points: tuple[Point, ...]) -> str:
    (x, y), *rest = points
    return f"M{_n(x)} {_n(y)}" + "".join(f"L{_n(a)} {_n(b)}" for a, b in rest)


def _n(value: float) -> str:
    return f"{value:.1f}".removesuffix(".0")
