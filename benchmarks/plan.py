"""Timings of a plan, its map, and the command line from a cold start.

Budgets are guides for two cores. A plan holds 500 sampled pieces; a frozen one eleven solves.
"""

from __future__ import annotations

import os
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import datetime, timedelta
from functools import partial
from itertools import count
from pathlib import Path
from zoneinfo import ZoneInfo

from corebath.food.naming import find
from corebath.heat.body import Body, Shape
from corebath.plan.make import make_plan
from corebath.plan.map import make_map
from corebath.plan.request import Request, State

from .same_bath import Row, best

ZONE = ZoneInfo("Europe/Paris")
NOW = datetime(2027, 5, 3, 8, 0, tzinfo=ZONE)
SLAB = Body(Shape.SLAB, 0.030)
BRICK = Body(Shape.BRICK, 0.080, 0.120, 0.200)
STEAK = ("plan", "ribeye", "--thick", "30 mm", "--want", "medium rare", "--eat", "tomorrow 19:30")


def asked(body: Body, state: State = State.FRIDGE, hours: float = 48.0) -> Request:
    """Pork loin at 60 C for a table so many hours ahead."""
    return Request(
        food=find("pork loin"),
        body=body,
        table_time=NOW + timedelta(hours=hours),
        now=NOW,
        zone=ZONE,
        set_point_C=60.0,
        state=state,
    )


def _another(request: Request, sizes: Iterator[float]) -> None:
    make_plan(replace(request, body=request.body.scaled(next(sizes))))


def rows() -> Iterator[Row]:
    """Name, seconds and note of every timing."""
    for state, repeats in ((State.FRIDGE, 7), (State.FROZEN, 3)):
        for body in (SLAB, BRICK):
            name = (
                f"{body.shape.value} from the {state.value}" if state is State.FRIDGE else f"frozen {body.shape.value}"
            )
            request = asked(body, state)
            budget = "budget 150 ms" if state is State.FRIDGE else ""
            # Every repeat another size, so that nothing kept from the last one helps.
            sizes = count(1.0, 1e-5)
            yield (
                f"plan: {name}",
                best(partial(_another, request, sizes), repeats),
                budget,
            )
            plan = make_plan(request)
            budget = "budget 15 ms" if state is State.FRIDGE else ""
            yield f"map 60 x 60: {name}", best(partial(make_map, plan), repeats), budget
            rushed = asked(body, state, hours=2.0)
            yield f"plan that fails, with its offers: {name}", best(partial(make_plan, rushed), 2), ""
    with tempfile.TemporaryDirectory() as folder:
        cold = partial(_command, Path(folder) / "none.db")
        for name, words, most_ms in (
            ("corebath --help, cold", ("--help",), 200),
            ("corebath plan, cold", STEAK, 1000),
            ("corebath plan --json, cold", (*STEAK, "--json"), 1000),
        ):
            begun = time.perf_counter()
            spent = [_cpu_s(partial(cold, *words)) for _ in range(5)]
            mean = (time.perf_counter() - begun) / 5
            yield name, min(spent), f"budget {most_ms} ms; {mean * 1000:.0f} ms by the clock in the mean"


def _command(store: Path, *words: str) -> None:
    program = Path(sys.executable).with_name("corebath")
    subprocess.run([program, *words], check=True, capture_output=True, env=os.environ | {"COREBATH_STORE": str(store)})


def _cpu_s(run: Callable[[], None]) -> float:
    """Processor time of the programs that a run starts [s], which a busy machine stretches less than their time."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    run()
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
