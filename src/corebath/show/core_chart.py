"""The core curve as a chart: core temperature against time, nominal and cautious, with the plan's moments."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import isfinite

import numpy as np

from corebath.heat.history import History
from corebath.plan.clock import after
from corebath.plan.plan import Plan
from corebath.units import Preference, mark, render, show_duration, show_temperature

from .drawing import Anchor, Area, Drawing, Hatch, Line, Mark, Point, Text
from .frame import LINE, SIZE, Frame, axes, badge, clock_axis, frame_of, key_text
from .labels import Box, Layout, wrap
from .letters import rule_letters, rules_by_key
from .scale import Scale, day_label
from .words import chart_subject

_BELOW_C, _ABOVE_C = 5.0, 9.0
_PAST_END = 1.04
_SAMPLES = 240


def core_drawing(plan: Plan, preference: Preference, *, wide: bool) -> Drawing:
    """The core curve of a plan as a drawing with a key below.

    wide : 720 units across, otherwise 360 for a phone. Elapsed time runs below, the cook's clock along the top.
    """
    limit_C = _growth_limit_C(plan)
    longest_s = _longest_s(plan)
    nominal, cautious = plan.nominal.until(longest_s), plan.cautious.until(longest_s)
    low_C = min(float(nominal.core_C.min()), float(cautious.core_C.min())) - _BELOW_C
    high_C = max(plan.set_point_C, float(nominal.ambient_C.max()), limit_C) + _ABOVE_C
    frame = frame_of(wide=wide, top=44, heights=(250, 290), longest_s=nominal.duration_s, low_C=low_C, high_C=high_C)
    chart = _Chart(plan, preference, frame, nominal, cautious, limit_C)
    marks = tuple(chart.drawn())
    key, height = chart.key(frame.plot.bottom + 3 * LINE + 12)
    return Drawing(
        key="core",
        width=frame.width,
        height=height,
        title=f"Core temperature against time: {chart_subject(plan, preference)}",
        description=chart.described(),
        marks=(*marks, *key),
    )


@dataclass(frozen=True, slots=True)
class _Moment:
    """Something at an elapsed time [s]. letter : of its rule, "" when `label` stands at the line itself."""

    at_s: float
    letter: str
    label: str
    said: str


class _Chart:
    """One core curve being drawn."""

    def __init__(
        self, plan: Plan, preference: Preference, frame: Frame, nominal: History, cautious: History, limit_C: float
    ) -> None:
        self.plan, self.preference, self.frame = plan, preference, frame
        self.nominal, self.cautious, self.limit_C = nominal, cautious, limit_C
        self.layout = Layout(frame.plot.grown(-2))
        self.moments = sorted(_moments(plan, preference), key=lambda m: m.at_s)

    def drawn(self) -> Iterator[Mark]:
        """Every mark of the plot, back to front."""
        f, plan, plot = self.frame, self.plan, self.frame.plot
        since = "drop-in" if plan.request.ice is None else "the heater starts"
        yield from axes(f, self.preference, f"time after {since}")
        yield from clock_axis(f, plan.drop_in, plan.request.zone)
        yield Text(plot.right, plot.top - 28, f"clock time, {day_label(plan.drop_in)}", "axis", SIZE, "end")
        yield Text(4, plot.top - 28, f"core, °{self.preference.temperature}", "axis", SIZE)
        slow, fast = self._curve(self.cautious), self._curve(self.nominal)
        yield Area(((*fast, *reversed(slow)),), "spread", Hatch.DOTS, "Between a piece as measured and a slow one")
        limit = f.up(self.limit_C)
        yield Line(((plot.left, limit), (plot.right, limit)), "growth-limit")
        shown = self.nominal.time_s >= 0  # a wait in ice water lies before
        bath = tuple(zip(*self._placed(self.nominal.time_s[shown], self.nominal.ambient_C[shown]), strict=True))
        yield Line(bath, "ambient", "Bath temperature")
        if float(np.ptp(self.nominal.ambient_C)) > 0.1:
            level = f.up(plan.set_point_C)
            yield Line(((plot.left, level), (plot.right, level)), "set-point")
        yield Line(slow, "cautious", "Core of a slow piece, 19 of 20 are ahead of it")
        yield Line(fast, "core", "Core of a piece as measured")
        # The curves nearly lie on the bath's line at the end; its words may stand there.
        self.layout.reserve_line((x, y) for x, y in (*fast, *slow) if y > f.up(plan.set_point_C) + SIZE)
        yield from self._named_moments()
        yield from self._named_levels()

    def key(self, y: float) -> tuple[tuple[Mark, ...], float]:
        """The key from a baseline down, and the height of the whole drawing."""
        marks: list[Mark] = []
        right = self.frame.width - 8

        def say(text: str, x: float = 8.0) -> None:
            nonlocal y
            words, y = key_text(x, y, text, right)
            marks.extend(words)

        say("Thick curve: a piece as measured. Thin curve: a slow piece; 19 of 20 are ahead of it.")
        for moment in self.moments:
            if moment.letter:
                y += 2
                marks += badge(16, y - 4, moment.letter, "badge")
            say(f"{self._when(moment.at_s)}: {moment.said}", 30)
        return tuple(marks), y

    def described(self) -> str:
        """The chart in a few sentences."""
        moments = "; ".join(f"{self._when(m.at_s)}: {m.said}" for m in self.moments)
        return (
            f"The core starts at {self._C(self.plan.request.from_C)} and nears the bath at "
            f"{show_temperature(self.plan.set_point_C, self.preference, both=False)}. {moments}."
        )

    def _named_moments(self) -> Iterator[Mark]:
        plot = self.frame.plot
        for moment in self.moments:
            heights = np.arange(plot.top, plot.bottom, 0.5 * SIZE).tolist()
            self.layout.reserve_line((self.frame.across(moment.at_s), y) for y in heights)
        for moment in self.moments:
            x = self.frame.across(moment.at_s)
            if x > plot.right + 0.5:
                continue
            yield Line(((x, plot.bottom), (x, plot.top)), "moment")
            if moment.letter:
                yield from self._badge(x, moment.letter)
                continue
            spots: tuple[tuple[float, Anchor], ...] = ((x - 5, "end"), (x + 5, "start"))
            rows = (plot.bottom - 8 - 17 * row for row in range(8))
            yield from self.layout.place(
                (Text(at, y, moment.label, "label", SIZE, anchor),) for y in rows for at, anchor in spots
            )

    def _badge(self, x: float, letter: str) -> Iterator[Mark]:
        for row in range(9):
            y = self.frame.plot.bottom - 14 - 20 * row
            room = Box(x - 9, y - 9, x + 9, y + 9)
            if self.layout.fits(room):
                self.layout.reserve(room)
                yield from badge(x, y, letter, "badge")
                return

    def _named_levels(self) -> Iterator[Mark]:
        """Words on the bath's line and on the line below which bacteria may grow."""
        plot = self.frame.plot
        bath = f"bath {show_temperature(self.plan.set_point_C, self.preference, both=False)}"
        limit = f"{self._C(self.limit_C)}: held below this, bacteria may grow"
        for level_C, text, above in (
            (self.plan.set_point_C, bath, True),
            (self.limit_C, limit, self.limit_C > self.plan.set_point_C),
        ):
            y = self.frame.up(level_C)
            before = min((self.frame.across(m.at_s) for m in self.moments), default=plot.right)
            spots: tuple[tuple[float, Anchor], ...] = (
                (plot.right - 5, "end"), (min(before, plot.right) - 6, "end"), (plot.left + 5, "start"),
            )  # fmt: skip
            lines = wrap(text, (plot.right - plot.left) * 0.55, SIZE)
            over = -6.0 - LINE * (len(lines) - 1)
            heights = (over, 14.0) if above else (*np.arange(14.0, 160.0, 17.0).tolist(), over)
            yield from self.layout.place(
                tuple(Text(x, y + dy + i * LINE, line, "label", SIZE, anchor) for i, line in enumerate(lines))
                for dy in heights
                for x, anchor in spots
            )

    def _curve(self, history: History) -> tuple[Point, ...]:
        """The core along a history, thinned to what a screen can show."""
        time_s = np.linspace(0.0, 1.0, _SAMPLES) ** 1.5 * history.duration_s
        x, y = self._placed(time_s, np.interp(time_s, history.time_s, history.core_C))
        return tuple(zip(x, y, strict=True))

    def _placed(self, time_s: np.ndarray, value_C: np.ndarray) -> tuple[list[float], list[float]]:
        return _at(self.frame.across, time_s), _at(self.frame.up, value_C)

    def _when(self, at_s: float) -> str:
        zone = self.plan.request.zone
        moment, start = after(self.plan.drop_in, at_s, zone), self.plan.drop_in.astimezone(zone)
        clock = f"{moment:%H:%M}" if moment.date() == start.date() else f"{day_label(moment)} {moment:%H:%M}"
        return f"{clock}, after {show_duration(60.0 * round(at_s / 60.0))}"

    def _C(self, value_C: float) -> str:
        return show_temperature(value_C, self.preference, both=False)


def _moments(plan: Plan, preference: Preference) -> Iterator[_Moment]:
    """Core hot through, every binding rule met, and the pull; those that never come are left out."""
    letters, rules = rule_letters(plan), rules_by_key(plan)
    come_up = plan.timing.come_up
    if isfinite(come_up.cautious_s):
        nominal = mark(60.0 * round(come_up.nominal_s / 60.0), "s")
        said = f"core hot through; a piece as measured already after {render(nominal, preference)}"
        yield _Moment(come_up.cautious_s, "", "core hot through", said)
    for finding in plan.findings:
        if finding.binding and finding.met_at_s:
            title = render(finding.title, preference, both=False)
            yield _Moment(
                finding.met_at_s, letters[finding.rule], "", f"met: {title} ({rules[finding.rule].authority})"
            )
    yield _Moment(plan.bath_s, "", "pull", "pull the bag")


def _longest_s(plan: Plan) -> float:
    """How far the chart reaches: past the pull and the core's coming up, not over the whole spare window [s]."""
    ends = [plan.bath_s] + [s for s in (plan.window.ready_s, plan.timing.come_up.cautious_s) if isfinite(s)]
    return min(_PAST_END * max(ends), plan.nominal.duration_s, plan.cautious.duration_s)


def _growth_limit_C(plan: Plan) -> float:
    """The temperature the outage rule counts from [degC]."""
    return next(float(r.figures["high_C"]) for r in rules_by_key(plan).values() if r.check == "outage")


def _at(scale: Scale, values: np.ndarray) -> list[float]:
    return [float(v) for v in scale.start + (values - scale.low) * (scale.end - scale.start) / (scale.high - scale.low)]
