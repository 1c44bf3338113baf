"""How times grow with the size of the question: the exponent of the line through them on paper of logarithms.

1 means twice the work for twice the size. Every size is timed as the best of a few runs.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import partial

import numpy as np

from benchmarks.judge import file_of, judge
from benchmarks.plan import asked
from benchmarks.same_bath import BATH_C, BEEF, START_C, H_W_m2K, Row, best
from corebath.heat.batch import core_remaining
from corebath.heat.body import Body, Shape
from corebath.heat.conduction import cook
from corebath.heat.stage import Stage
from corebath.plan.request import State
from corebath.plan.sweep import Sweep, make_times

SLAB, BRICK = Body(Shape.SLAB, 0.025), Body(Shape.BRICK, 0.05, 0.08, 0.12)
BATH = [Stage.constant("bath", 6 * 3600.0, BATH_C, H_W_m2K)]


def rows() -> Iterator[Row]:
    """The largest size of each kind, with the exponent."""
    yield _grown("shells on a slab's half-axis", (32, 64, 128, 256), partial(_history, SLAB))
    yield _grown("shells on each half-axis of a brick", (12, 24, 34, 48), partial(_history, BRICK))
    yield _grown("samples of a slab", (250, 500, 1000, 2000, 4000), partial(_samples, SLAB))
    yield _grown("samples of a brick", (250, 500, 1000, 2000), partial(_samples, BRICK))
    yield _grown("knots of a slab's trace", (270, 540, 1080, 2160, 4320), _trace)
    yield _grown("readings read and judged", (12_500, 25_000, 50_000, 100_000), _readings, repeats=1)
    yield _grown("cells of a table of times", (10, 20, 40, 80), _cells, repeats=1)


def _grown(what: str, sizes: Sequence[int], prepare: Callable[[int], Callable[[], object]], repeats: int = 3) -> Row:
    """The time of the largest size, and the exponent over all of them. prepare : makes the run of a size"""
    spent = [best(prepare(size), repeats) for size in sizes]
    exponent = float(np.polyfit(np.log(sizes), np.log(spent), 1)[0])
    return f"{sizes[-1]:,} {what}", spent[-1], f"grows with the power {exponent:.2f}, from {sizes[0]:,}"


def _history(body: Body, shells: int) -> Callable[[], object]:
    field = np.full((shells,) * len(body.axes), START_C)
    return partial(cook, body, BEEF, field, BATH)


def _samples(body: Body, count: int) -> Callable[[], object]:
    z = np.random.default_rng(1).standard_normal((3, count))
    spread = (1 + 0.05 * z[0], BEEF.alpha_m2_s * (1 + 0.05 * z[1]), 300 * np.exp(0.3 * z[2]))
    return partial(core_remaining, body, *spread, np.linspace(0.0, 6 * 3600.0, 61))


def _trace(knots: int) -> Callable[[], object]:
    clock = np.linspace(0.0, 6 * 3600.0, knots)
    trace = Stage.trace("log", clock, BATH_C + 0.3 * np.sin(clock / 300), H_W_m2K)
    return partial(cook, SLAB, BEEF, START_C, [trace])


def _readings(count: int) -> Callable[[], object]:
    text = file_of(count)
    return partial(judge, text, Body(Shape.SLAB, 0.045))


def _cells(count: int) -> Callable[[], object]:
    like = asked(SLAB, State.FRIDGE)
    sizes = tuple(0.02 + 0.005 * i for i in range(count // 10))

    # Every run other sizes, so that nothing kept from the last one helps.
    shifts = iter(np.arange(1e-6, 1e-3, 1e-6))

    def run() -> object:
        shift_m = float(next(shifts))
        return make_times(Sweep(like, tuple(m + shift_m for m in sizes), tuple(55.0 + i for i in range(10))))

    return run
