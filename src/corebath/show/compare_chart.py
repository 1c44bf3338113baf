"""Two cooks' core curves laid over each other."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from corebath.plan.plan import Plan
from corebath.units import Preference

from .drawing import Drawing, Line, Mark, Point, Text
from .frame import LINE, SIZE, Frame, axes, frame_of, key_text

_BELOW_C, _ABOVE_C = 5.0, 6.0
_SAMPLES = 160
_KINDS = ("core", "surface")


def compare_drawing(cooks: tuple[tuple[str, Plan, float], ...], preference: Preference, *, wide: bool) -> Drawing:
    """The cores of two cooks against time since drop-in.

    cooks : for each its name, its plan and its time in the bath [s]
    """
    longest_s = max(bath_s for _, _, bath_s in cooks)
    plans = [plan for _, plan, _ in cooks]
    low_C = min(float(p.nominal.core_C.min()) for p in plans) - _BELOW_C
    high_C = max(p.set_point_C for p in plans) + _ABOVE_C
    frame = frame_of(wide=wide, top=30, heights=(240, 280), longest_s=longest_s, low_C=low_C, high_C=high_C)
    marks = list(_drawn(cooks, frame, preference))
    y = frame.plot.bottom + 3 * LINE + 8
    for (name, _, _), line in zip(cooks, ("Thick line", "Dashed line"), strict=True):
        words, y = key_text(8, y, f"{line}: {name}.", frame.width - 8)
        marks += words
    names = " and ".join(name for name, _, _ in cooks)
    return Drawing(
        key="compare",
        width=frame.width,
        height=y,
        title="Core temperatures of two cooks against time",
        description=f"The computed cores of {names}, from drop-in until each was pulled.",
        marks=tuple(marks),
    )


def _drawn(cooks: tuple[tuple[str, Plan, float], ...], frame: Frame, preference: Preference) -> Iterator[Mark]:
    yield from axes(frame, preference, "time after drop-in")
    yield Text(4, frame.plot.top - 12, f"core, °{preference.temperature}", "axis", SIZE)
    for (name, plan, bath_s), kind in zip(cooks, _KINDS, strict=True):
        yield Line(tuple(_curve(plan, bath_s, frame)), kind, f"Core of {name}")


def _curve(plan: Plan, bath_s: float, frame: Frame) -> Iterator[Point]:
    history = plan.nominal
    for at in bath_s * np.linspace(0.0, 1.0, _SAMPLES) ** 2:
        # A history ends when the core has long been as hot as its bath, where it then stays.
        yield frame.across(float(at)), frame.up(history.core_at(min(float(at), history.duration_s)))
