"""Why the moments of the run sheet: start the bath, salt, drop in, pull, serve."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from math import isfinite

from corebath.plan.data import defaults, pace_of
from corebath.plan.plan import Plan
from corebath.plan.run_sheet import salt_share
from corebath.units import mark

from .why import Input, Origin, Teller, Why, percent, reckoned, why

PART = "sheet"


def moment_whys(plan: Plan, tell: Teller) -> Iterator[Why]:
    """The planned moments, in the order of the day."""
    request, pace, zone = plan.request, pace_of(plan.request.food.texture), plan.request.zone
    bath = reckoned("time in the bath", mark(plan.bath_s, "s"), "bath-time")
    drop_in = reckoned("drop-in", _clock(plan.drop_in), "drop-in")
    step = Input("step of the clock", mark(defaults()["rounding"]["drop_in_s"], "s"), Origin.USUAL)
    table = tell.asked("table time", _clock(request.table_time.astimezone(zone)), "eat")
    finishing = Input("from the pull to the table", mark(pace.finishing_s, "s"), Origin.USUAL)
    salt = next((task for task in plan.run_sheet if task.key == "salt"), None)
    if salt is not None:
        dose = tell.asked("dose", percent(salt_share(request, pace)), "salt", usual=request.salt_percent is None)
        lead = Input("usual wait", mark(pace.salt_lead_s, "s"), Origin.USUAL)
        yield why("salt-lead", PART, _clock(salt.at), (drop_in, lead, dose), source=(pace.source,))
    yield _preheat(plan, tell)
    window = (
        reckoned("first drop-in", _clock(plan.first_drop_in)),
        reckoned("last drop-in", _clock(plan.last_drop_in)),
    )
    yield why("drop-in", PART, _clock(plan.drop_in), (table, finishing, bath, step, *window), source=(pace.source,))
    yield why("pull", PART, _clock(plan.pull), (drop_in, bath, table, finishing), source=(pace.source,))
    steps = (("dry", pace.dry_s), ("finish", pace.sear_s), ("rest", pace.rest_s), ("carry to the table", pace.serve_s))
    usual = (Input(name, mark(seconds, "s"), Origin.USUAL) for name, seconds in steps if seconds)
    pulled = reckoned("pull", _clock(plan.pull), "pull")
    yield why("serve", PART, _clock(plan.serve), (pulled, table, *usual), source=(pace.source,))
    left = next((task for task in plan.run_sheet if task.key == "leftovers"), None)
    if left is not None:
        kind = "leftovers-none" if plan.never_hot else "leftovers"
        served = reckoned("serve", _clock(plan.serve), "serve")
        yield why(kind, PART, _clock(left.at), (served, drop_in) if plan.never_hot else (served,), key="leftovers")


def _preheat(plan: Plan, tell: Teller) -> Why:
    request, water = plan.request, plan.water
    value, drop_in = f"{mark(plan.preheat_s, 's')} before", reckoned("drop-in", _clock(plan.drop_in), "drop-in")
    if request.ice is not None:
        wait = tell.asked("wait in ice water", mark(request.ice.wait_s, "s"), "ice")
        return why("preheat-ice", PART, value, (drop_in, wait), key="preheat")
    if water is None or not isfinite(water.warm_up.time_s.nominal):
        usual = Input("usual time", mark(defaults()["preheat"]["seconds"], "s"), Origin.USUAL)
        return why("preheat-usual", PART, value, (drop_in, usual), key="preheat")
    spread = "Of the warm-up: the planned start takes its long end, so the bath is likely ready before."
    return why(
        "preheat", PART, value, (drop_in, reckoned("warm-up", mark(plan.preheat_s, "s"), "warm-up")), spread=spread
    )  # fmt: skip


def _clock(moment: datetime) -> str:
    return f"{moment:%H:%M} on {moment:%A} {moment.day} {moment:%B}"
