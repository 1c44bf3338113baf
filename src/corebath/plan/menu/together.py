"""Food that shares a bath: the bath is marched with everything that goes into it, and every piece timed again."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise
from math import ceil

import numpy as np

from corebath.bath.balance import march
from corebath.bath.files import number
from corebath.bath.gear import Bath
from corebath.bath.uptake import Load, Uptake, uptake_of
from corebath.heat.grid import Array
from corebath.plan.choose import Dip, choice_at, in_dipping_bath
from corebath.plan.equipment import Equipment
from corebath.plan.piece import piece_of
from corebath.plan.water import load_of

from .laid_out import LaidOut
from .problem import Schedule
from .served import Made, stays

_KNOTS = 120
_SMALL_K = 0.3


class _All:
    """Several loads as the bath feels them: the sum of their draws."""

    def __init__(self) -> None:
        self.parts: list[Uptake] = []

    def draw(self, bath_C: float, step_s: float) -> tuple[float, float]:
        """Heat drawn in a step, first part and the part for each kelvin of the new bath [J], [J/K]."""
        drawn = [part.draw(bath_C, step_s) for part in self.parts]
        return sum(first for first, _ in drawn), sum(second for _, second in drawn)

    def advance(self, bath_C: float, new_C: float, step_s: float) -> float:
        """Take the step; the heat drawn [J]."""
        return sum(part.advance(bath_C, new_C, step_s) for part in self.parts)


def shortages(
    laid: LaidOut, schedule: Schedule, made: Sequence[Made], equipment: Sequence[Equipment]
) -> dict[int, int]:
    """Minutes that dishes lack when all food of their bath is reckoned together, by dish; none when all are ready."""
    by_item = {m.placed.item: m for m in made}
    short: dict[int, int] = {}
    for run in schedule.runs:
        inside = [s for s in stays(schedule, run.bath) if run.start <= s[1] and s[2] <= run.end]
        if len(inside) < 2 or not any(a[2] > b[1] for a, b in pairwise(inside)):
            continue
        falls = _falls(laid, inside, laid.points_C[run.point], equipment[run.bath])
        for item, drop, pull in inside:
            dish = by_item[item]
            if (dish.placed.bath, dish.placed.drop_in) != (run.bath, drop) or falls is None:
                continue
            nominal, cautious = (_from(fall, drop, pull) for fall in falls)
            if float(cautious[1].max()) < _SMALL_K:
                continue
            request = dish.plan.request
            alone = choice_at(request, dish.plan.set_point_C, dish.plan.result)
            ready_s = in_dipping_bath(request, alone, nominal, cautious).window.ready_s
            lacks_s = ready_s - dish.plan.bath_s
            # A stay fixed by the cook may be short of the window by itself; the bath must not be what makes it so.
            if lacks_s > 60.0 and alone.window.ready_s - dish.plan.bath_s <= 60.0:
                short[item] = ceil(min(lacks_s, 86400.0) / 60.0)
    return short


def _falls(
    laid: LaidOut, inside: list[tuple[int, int, int]], set_point_C: float, equipment: Equipment
) -> tuple[Dip, Dip] | None:
    """Fall of the bath below its set point over a run, nominal and cautious; minutes of the menu in seconds."""
    loads = []
    for item, drop, _ in inside:
        request = laid.wants[item].request
        load = load_of(request, piece_of(request, set_point_C))
        if load is not None:
            loads.append((drop, load))
    if not loads:
        return None
    bath = equipment.filled(sum(load.total_m3 for _, load in loads), set_point_C)
    return _march(bath, set_point_C, loads, cautious=False), _march(bath, set_point_C, loads, cautious=True)


def _march(bath: Bath, set_point_C: float, loads: list[tuple[int, Load]], *, cautious: bool) -> Dip:
    everything, water_C = _All(), set_point_C
    times: list[Array] = []
    falls: list[Array] = []
    moments = [drop for drop, _ in loads]
    for i, (drop, load) in enumerate(loads):
        film = 1 + number("film", "share") if cautious else 1.0
        everything.parts.append(uptake_of(replace(load, h_W_m2K=load.h_W_m2K * film), water_C))
        until = moments[i + 1] if i + 1 < len(moments) else drop + 12 * 60
        if until <= drop:
            continue
        course = march(
            bath, water_C, 60.0 * (until - drop), set_point_C=set_point_C, end="high" if cautious else "nominal",
            food=everything,
        )  # fmt: skip
        times.append(60.0 * drop + course.time_s)
        falls.append(np.maximum(set_point_C - course.water_C, 0.0))
        water_C = float(course.water_C[-1])
    return np.concatenate(times), np.concatenate(falls)


def _from(fall: Dip, drop: int, pull: int) -> Dip:
    """A dish's own part of a run, from its drop-in on, at a few knots."""
    knots = 60.0 * (pull - drop) * np.linspace(0.0, 1.0, _KNOTS)
    return knots, np.interp(60.0 * drop + knots, fall[0], fall[1])
