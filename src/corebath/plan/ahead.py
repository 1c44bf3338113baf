"""The days before: what has to be thawed or bought so that the run sheet can begin."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from math import ceil
from typing import Any

from corebath.data_files import read_toml
from corebath.units import mark

from .clock import after, elapsed_s, last_evening
from .plan import Plan
from .request import State
from .run_sheet import Task


def days_ahead(plan: Plan) -> tuple[Task, ...]:
    """Tasks on the evenings before the run sheet begins, in time order; one whose evening has passed is left out.

    thaw : for food from the fridge, in case it still lies in the freezer;  ice : what a wait in ice water takes
    """
    settings, request = read_toml("corebath.plan", "ahead.toml"), plan.request
    found = (
        Task(key, at, elapsed_s(plan.drop_in, at), what)
        for key, by, what in _steps(plan, settings)
        if (at := last_evening(by, settings["evening"]["hour"])) > request.now
    )
    return tuple(sorted(found, key=lambda task: task.since_drop_in_s))


def _steps(plan: Plan, settings: dict[str, Any]) -> Iterator[tuple[str, datetime, str]]:
    """Key, the moment by which it has to be under way, and what to do."""
    request, thaw = plan.request, settings["thaw"]
    if request.state is State.FRIDGE and request.food.kind not in ("vegetable", "egg"):
        begins = min((task.at for task in plan.run_sheet if task.is_action), default=plan.drop_in)
        per_kg, day_s = thaw["per_piece_kg"], float(thaw["seconds"])
        days = 1 if request.piece_mass_kg is None else max(ceil(request.piece_mass_kg / per_kg), 1)
        allows = f"a day for each {mark(per_kg, 'kg')} of one piece, and a day for a small one"
        yield (
            "thaw",
            after(begins, -days * day_s, request.zone),
            f"Should the food still lie in the freezer, put it into the fridge now, in a dish: allow {allows}.",
        )
    if request.ice is not None:
        into_ice = min((task.at for task in plan.run_sheet if task.key == "ice"), default=plan.drop_in)
        yield "buy-ice", into_ice, f"Buy or freeze {mark(request.ice.ice_kg, 'kg')} of ice."
