"""The bath as a chart: its level over the hold between the heater's marks, and its temperature when it is disturbed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from math import isfinite
from zoneinfo import ZoneInfo

import numpy as np

from corebath.bath.heater import Heater
from corebath.bath.level import Night, Schedule
from corebath.bath.load import Dip
from corebath.bath.outage import Outage
from corebath.plan.alone.bath import BathAnswer
from corebath.plan.plan import Plan
from corebath.plan.water import asleep, usual_night
from corebath.units import Preference, render, show_length, show_temperature
from corebath.units.factors import M_PER_IN

from .drawing import Anchor, Area, Drawing, Hatch, Line, Mark, Point, Text, box
from .frame import LINE, SIZE, Frame, axes, clock_axis, frame_of, key_text
from .labels import Layout
from .scale import Scale, Tick, day_label, elapsed_ticks

_TOP, _GAP, _RIGHT_ROOM = 44.0, 3 * LINE + 22, 13.0
_LEVEL_HEIGHTS, _WARM_HEIGHTS = (150.0, 160.0), (150.0, 160.0)
_SHORTEST_s, _SAMPLES = 3600.0, 120
_ABOVE_K, _BELOW_K = 1.5, 1.0
_SHOWN_DIP_K = 0.3
_LONG_s = 6 * 3600.0
_SHADED = "Line: as computed. Shaded: where it may be, by the range of the losses. A rise of the level is a top-up."
_MM, _INCHES = (10, 20, 50, 100, 200, 500), (1, 2, 5, 10, 20)


@dataclass(frozen=True, slots=True)
class BathFigure:
    """What the chart shows.

    starts, zone : when the hold begins;  hold_s : how long it lasts [s];  set_point_C [degC]
    heater, depth_m : its marks, and the rim [m];  nights : when nobody pours, from and to [s]
    top_m : highest food above the floor, or None [m];  dip : None when it is not known
    """

    starts: datetime
    zone: ZoneInfo
    hold_s: float
    set_point_C: float
    heater: Heater
    depth_m: float
    night: Night
    schedule: Schedule
    nights: tuple[tuple[float, float], ...]
    top_m: float | None
    dip: Dip | None
    outage: Outage

    @property
    def dips(self) -> bool:
        """Whether the food cools the bath enough to show."""
        return self.dip is not None and self.dip.lowest_C.low < self.set_point_C - _SHOWN_DIP_K

    @property
    def is_eventful(self) -> bool:
        """Whether the figure tells more than a sentence would: a long cook, a top-up, or a bath that falls."""
        return self.hold_s >= _LONG_s or bool(self.schedule.top_ups) or not self.schedule.possible or self.dips


def figure_of_answer(answer: BathAnswer) -> BathFigure:
    """The chart of a bath by itself."""
    request, food = answer.request, answer.food
    return BathFigure(
        starts=request.starts,
        zone=request.zone,
        hold_s=request.hold_s,
        set_point_C=request.set_point_C,
        heater=request.equipment.heater,
        depth_m=request.equipment.vessel.depth_m,
        night=answer.night,
        schedule=answer.schedule,
        nights=tuple(asleep(request.starts, request.hold_s, request.zone, *request.night)),
        top_m=None if food is None or food.fit is None else food.fit.top_m,
        dip=None if food is None else food.dip,
        outage=answer.outage,
    )


def figure_of_plan(plan: Plan) -> BathFigure | None:
    """The chart of a plan's bath; None when nothing is known of it."""
    water, equipment = plan.water, plan.request.equipment
    if water is None or equipment is None:
        return None
    return BathFigure(
        starts=plan.drop_in,
        zone=plan.request.zone,
        hold_s=plan.bath_s,
        set_point_C=plan.set_point_C,
        heater=equipment.heater,
        depth_m=equipment.vessel.depth_m,
        night=water.night,
        schedule=water.schedule,
        nights=tuple(asleep(plan.drop_in, plan.bath_s, plan.request.zone, *usual_night())),
        top_m=None if water.fit is None else water.fit.top_m,
        dip=water.dip,
        outage=water.outage,
    )


def bath_drawing(figure: BathFigure, preference: Preference, *, wide: bool, told: bool = True) -> Drawing:
    """Level above, temperature below, with a key.

    wide : 720 units across, otherwise 360 for a phone;  told : with its sentences below, for a page without them
    """
    chart = _Chart(figure, preference, wide=wide)
    marks = [*chart.level(), *chart.warmth()]
    key, height = chart.key(told=told)
    return Drawing(
        key="bath",
        width=chart.level_frame.width,
        height=height,
        title=f"Level and temperature of the bath at {show_temperature(figure.set_point_C, preference, both=False)}",
        description=" ".join(chart.lines()),
        marks=(*marks, *key),
    )


class _Chart:
    """One chart being drawn."""

    def __init__(self, figure: BathFigure, preference: Preference, *, wide: bool) -> None:
        self.figure, self.preference = figure, preference
        width_frame = frame_of(
            wide=wide, top=_TOP, heights=_LEVEL_HEIGHTS, longest_s=figure.hold_s, low_C=0.0, high_C=figure.depth_m
        )
        self.level_frame = width_frame
        self.level_layout = Layout(width_frame.plot.grown(-2))
        low_C, high_C = self._coldest_C() - _BELOW_K, figure.set_point_C + _ABOVE_K
        self.short_s = self._short_s()
        self.warm_frame = frame_of(
            wide=wide, top=width_frame.plot.bottom + _GAP, heights=_WARM_HEIGHTS, longest_s=self.short_s,
            low_C=low_C, high_C=high_C,
        )  # fmt: skip
        self.warm_layout = Layout(self.warm_frame.plot.grown(-2))

    def level(self) -> Iterator[Mark]:
        """The level over the hold, back to front."""
        f, figure, plot = self.level_frame, self.figure, self.level_frame.plot
        for begins, ends in figure.nights:
            left, right = f.across(begins), f.across(ends)
            yield Area((box(left, plot.top, right, plot.bottom),), "asleep", Hatch.NONE, "Night")
            yield from self.level_layout.place(
                (Text((left + right) / 2, plot.bottom - 8, "night", "label", SIZE, "middle"),) for _ in range(1)
            )
        yield from _level_axes(f, self.preference)
        yield from clock_axis(f, figure.starts, figure.zone)
        yield Text(plot.right, plot.top - 28, f"clock time, {day_label(figure.starts.astimezone(figure.zone))}", "axis",
                   SIZE, "end")  # fmt: skip
        yield Text(4, plot.top - 28, f"level, {self.preference.length}", "axis", SIZE)
        fall = figure.night.fall_m_h
        high, low, likely = (self._levels(m_h) for m_h in (fall.low, fall.high, fall.nominal))
        yield Area(((*high, *reversed(low)),), "met", Hatch.DOTS, "Where the level may be, by the range of the losses")
        yield Line(likely, "edge", "Level of the water")
        self.level_layout.reserve_line(likely)
        for level_m, words in self._marks():
            y = f.up(level_m)
            yield Line(((plot.left, y), (plot.right, y)), "moment")
            spots: tuple[tuple[float, Anchor], ...] = ((plot.right - 5, "end"), (plot.left + 5, "start"))
            yield from self.level_layout.place(
                (Text(x, y + dy, words, "label", SIZE, anchor),) for dy in (-5.0, 14.0) for x, anchor in spots
            )

    def warmth(self) -> Iterator[Mark]:
        """The temperature after the food goes in, and after the power goes, back to front."""
        f, figure, plot = self.warm_frame, self.figure, self.warm_frame.plot
        yield from axes(f, self.preference, "time after the food goes in, or the power goes")
        yield Text(4, plot.top - 12, f"bath, °{self.preference.temperature}", "axis", SIZE)
        level = f.up(figure.set_point_C)
        yield Line(((plot.left, level), (plot.right, level)), "set-point")
        for watched_C, _ in figure.outage.crossed_s:
            if watched_C < f.up.low:
                continue
            y = f.up(watched_C)
            yield Line(((plot.left, y), (plot.right, y)), "growth-limit")
            words = show_temperature(watched_C, self.preference, both=False)
            yield from self.warm_layout.place(
                (Text(plot.right - 5, y + dy, words, "label", SIZE, "end"),) for dy in (14.0, -5.0)
            )
        dark, cold = figure.outage.trace, figure.outage.cold
        fast, slow = self._curve(dark.time_s, dark.water_C), self._curve(cold.time_s, cold.water_C)
        yield Area(((*fast, *reversed(slow)),), "spread", Hatch.DOTS, "Range of a bath without power")
        yield Line(fast, "cautious", "Bath without power")
        self.warm_layout.reserve_line(fast)
        curves = [(fast, "without power")]
        if figure.dips and figure.dip is not None:
            likely, deep = (self._curve(t.time_s, t.water_C) for t in (figure.dip.trace, figure.dip.slow))
            yield Area(((*likely, *reversed(deep)),), "met", Hatch.RISING, "Range after the food went in")
            yield Line(likely, "edge", "Bath after the food went in")
            self.warm_layout.reserve_line(likely)
            curves.append((likely, "food goes in"))
        for points, words in curves:
            yield from self.warm_layout.place(
                (Text(x, y + dy, words, "label", SIZE, anchor),)
                for x, y in points[len(points) // 3 :: 7]
                for dy in (-7.0, 17.0)
                for anchor in ("start", "end")
            )

    def key(self, *, told: bool) -> tuple[tuple[Mark, ...], float]:
        """The key, and the height of the whole drawing."""
        y, right = self.warm_frame.plot.bottom + 3 * LINE + 12, self.warm_frame.width - 8
        marks: list[Mark] = []
        for line in (_SHADED, *(self.lines() if told else ())):
            words, y = key_text(8.0, y, line, right)
            marks += words
        return tuple(marks), y

    def lines(self) -> Iterator[str]:
        """The chart in sentences."""
        figure = self.figure
        said = [*figure.night.statements[:1], *figure.night.statements[-1:]]
        if not figure.schedule.possible:
            said += figure.schedule.statements
        elif figure.schedule.top_ups:
            count = len(figure.schedule.top_ups)
            said.append(f"It takes {count} top-ups." if count > 1 else "It takes one top-up.")
        if figure.dip is not None:
            said.append(figure.dip.statements[0])
        said += figure.outage.statements
        yield from (render(line, self.preference, both=False) for line in said)

    def _levels(self, fall_m_h: float) -> tuple[Point, ...]:
        """The level with its top-ups, each of which fills to where it started."""
        f, start_m = self.level_frame, self.figure.night.start_m
        points = [(0.0, start_m)]
        for pour in self.figure.schedule.top_ups:
            before = max(start_m - fall_m_h * (pour.at_s - points[-1][0]) / 3600, 0.0)
            points += [(pour.at_s, before), (pour.at_s, start_m)]
        last = points[-1]
        points.append((self.figure.hold_s, max(last[1] - fall_m_h * (self.figure.hold_s - last[0]) / 3600, 0.0)))
        return tuple((f.across(t), f.up(min(level, self.figure.depth_m))) for t, level in points)

    def _marks(self) -> Iterator[tuple[float, str]]:
        heater, top_m = self.figure.heater, self.figure.top_m
        for level_m, words in (
            (heater.highest_m, "highest mark"),
            (heater.lowest_m, "lowest mark"),
            (top_m, "food up to"),
        ):
            if level_m is not None and level_m <= self.figure.depth_m:
                yield level_m, f"{words} {show_length(level_m, self.preference, both=False)}"

    def _curve(self, time_s: Sequence[float] | np.ndarray, water_C: np.ndarray) -> tuple[Point, ...]:
        # What is held at the end of its course goes on so; a bath without power is known no further than it was asked.
        held = abs(float(water_C[-1]) - self.figure.set_point_C) < _BELOW_K / 2
        last_s = self.short_s if held else min(self.short_s, float(time_s[-1]))
        times = np.linspace(0.0, 1.0, _SAMPLES) ** 1.5 * last_s
        f = self.warm_frame
        values = np.interp(times, time_s, water_C)
        return tuple((f.across(float(t)), f.up(float(v))) for t, v in zip(times, values, strict=True))

    def _short_s(self) -> float:
        lasts = float(self.figure.outage.trace.time_s[-1])
        figure = self.figure
        back = figure.dip.recovery_s.nominal if figure.dips and figure.dip is not None else 0.0
        return max(_SHORTEST_s, lasts, 1.2 * back if isfinite(back) else 0.0)

    def _coldest_C(self) -> float:
        figure = self.figure
        coldest = [float(figure.outage.cold.water_C.min())]
        if figure.dip is not None:
            coldest.append(figure.dip.lowest_C.low)
        return min(coldest)


def _level_ticks(up: Scale, preference: Preference) -> Iterator[Tick]:
    """Round levels from the floor on, in whole millimetres or inches."""
    unit_m, steps = (0.001, _MM) if preference.length == "mm" else (M_PER_IN, _INCHES)
    step = next((s for s in steps if abs(up(s * unit_m) - up(0.0)) >= 2.2 * SIZE), steps[-1])
    for i in range(int(up.high / unit_m / step + 1e-9) + 1):
        yield Tick(i * step * unit_m, f"{i * step:g}")


def _level_axes(frame: Frame, preference: Preference) -> Iterator[Mark]:
    """Frame, grid and ticks of the level, with the elapsed time below."""
    plot = frame.plot
    for tick in _level_ticks(frame.up, preference):
        y = frame.up(tick.value)
        yield Line(((plot.left, y), (plot.right, y)), "grid")
        yield Text(plot.left - 6, y + 0.35 * SIZE, tick.label, "tick", SIZE, "end")
    for tick in elapsed_ticks(frame.across, SIZE, _RIGHT_ROOM):
        x = frame.across(tick.value)
        yield Line(((x, plot.bottom), (x, plot.bottom + 4)), "tick-mark")
        yield Text(x, plot.bottom + LINE + 4, tick.label, "tick", SIZE, "middle")
    yield Line((*box(plot.left, plot.top, plot.right, plot.bottom), (plot.left, plot.top)), "frame")
    yield Text(plot.left, plot.bottom + 2 * LINE + 5, "time at the set point", "axis", SIZE)
