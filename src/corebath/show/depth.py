"""Depth below a face as a level axis, in the cook's own lengths, and plain figures as an upright one."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from math import floor

from corebath.units import Preference
from corebath.units.factors import M_PER_IN

from .drawing import Line, Mark, Text, box
from .frame import LINE, SIZE, Frame
from .labels import text_width
from .scale import Scale, Tick

_MM = tuple(Fraction(n, 2) for n in (1, 2, 4, 10, 20, 40, 100))
_INCHES = tuple(Fraction(n, 16) for n in (1, 2, 4, 8, 16, 32))
_FIGURES = (0.05, 0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0)
_TICK = 4.0


def depth_ticks(scale: Scale, preference: Preference, size: float) -> tuple[Tick, ...]:
    """Round depths from 0 on, in millimetres or in fractions of an inch; `Tick.value` is in metres."""
    metric = preference.length == "mm"
    unit_m, say = (0.001, _plain) if metric else (M_PER_IN, _fraction)
    for step in _MM if metric else _INCHES:
        count = floor(scale.high / unit_m / step + 1e-9)
        ticks = tuple(Tick(float(i * step) * unit_m, say(i * step)) for i in range(count + 1))
        widest = max(text_width(t.label, size) for t in ticks)
        if abs(scale(float(step) * unit_m) - scale(0.0)) >= widest + size:
            return ticks
    return (Tick(0.0, "0"),)


def figure_ticks(scale: Scale, size: float) -> tuple[Tick, ...]:
    """Round figures on an upright axis from 0 on."""
    per_one = abs(scale(1.0) - scale(0.0))
    step = next((s for s in _FIGURES if s * per_one >= 2.2 * size), _FIGURES[-1])
    count = floor(scale.high / step + 1e-9)
    return tuple(Tick(i * step, f"{i * step:g}") for i in range(count + 1))


def depth_axes(frame: Frame, preference: Preference, across: str, up: tuple[Tick, ...]) -> Iterator[Mark]:
    """Frame, grid and ticks over depth. across : what the depth is counted from;  up : ticks of the upright axis"""
    plot = frame.plot
    for tick in up:
        y = frame.up(tick.value)
        yield Line(((plot.left, y), (plot.right, y)), "grid")
        yield Text(plot.left - 6, y + 0.35 * SIZE, tick.label, "tick", SIZE, "end")
    for tick in depth_ticks(frame.across, preference, SIZE):
        x = frame.across(tick.value)
        yield Line(((x, plot.bottom), (x, plot.bottom + _TICK)), "tick-mark")
        yield Text(x, plot.bottom + LINE + 4, tick.label, "tick", SIZE, "middle")
    yield Line((*box(plot.left, plot.top, plot.right, plot.bottom), (plot.left, plot.top)), "frame")
    yield Text(plot.left, plot.bottom + 2 * LINE + 5, f"{across}, {preference.length}", "axis", SIZE)


def _plain(value: Fraction) -> str:
    return f"{float(value):g}"


def _fraction(value: Fraction) -> str:
    whole, part = divmod(value, 1)
    if part == 0:
        return str(whole)
    return f"{whole} {part}" if whole else str(part)
