"""Why a batch is as it is: its bags, its baths, its ice, and how it keeps."""

from __future__ import annotations

from collections.abc import Iterator

from corebath.plan.batch.answer import BatchPlan, Run, Way
from corebath.plan.batch.batch import settings
from corebath.plan.data import defaults
from corebath.units import mark

from .piece import minutes, span_spread, spread_sources, spread_words
from .why import Input, Origin, Teller, Why, percent, reckoned, why

PART = "batch"


def batch_whys(plan: BatchPlan) -> tuple[Why, ...]:
    """Why every number of a batch that is not one of a bag's own plan."""
    return tuple(_whys(plan, Teller(None)))


def _whys(plan: BatchPlan, tell: Teller) -> Iterator[Why]:
    bags = settings()["bag"]
    yield why(
        "batch-bags", PART, str(len(plan.bags)),
        (Input("alike within", percent(bags["like_with_like"]), Origin.USUAL),
         Input("pieces in a bag at most", str(bags["most_pieces"]), Origin.USUAL),
         *(tell.asked(f"bag {s.bag.number}", mark(s.bag.governing_m, "m"), "thick") for s in plan.bags)),
        source=(bags["source"],),
    )  # fmt: skip
    for i, run in enumerate(plan.runs, start=1):
        yield _run(run, i)
    if plan.ice is not None:
        ice = plan.ice
        yield why(
            "batch-ice", PART, f"{mark(ice.plan_low_kg, 'kg')} to {mark(ice.plan_high_kg, 'kg')}",
            (reckoned("melted by the food", mark(ice.food_kg, "kg")),
             reckoned("melted by the water", mark(ice.water_kg, "kg"))),
            spread=f"At least {mark(ice.melts_kg, 'kg')} melts; the rest is the room and what should float.",
            source=(settings()["chill"]["source"],),
        )  # fmt: skip
    kept = [stored for stored in plan.bags if stored.way is not Way.TABLE and stored.keeping is not None]
    if kept:
        days = (
            Input(f"bag {s.bag.number}", f"{s.way.value}, by {s.use_by.isoformat()}", Origin.RULE)
            for s in kept
            if s.use_by is not None
        )
        rules = [s.keeping.rule.source for s in kept if s.keeping is not None and s.keeping.rule is not None]
        source = (*rules, settings()["thaw"]["source"])
        yield why("batch-kept", PART, f"{len(kept)} bags", days, source=source)


def _run(run: Run, number: int) -> Why:
    governing = next(cooked for cooked in run.bags if cooked.bag.number == run.governing)
    timing = governing.plan.timing
    ready = {f"bag {c.bag.number} ready": minutes(c.plan.window.ready_s) for c in run.bags}
    return why(
        "batch-run", PART, f"{mark(governing.bath_s, 's')} at {mark(run.set_point_C, 'C')}",
        (*(reckoned(name, value) for name, value in ready.items()),
         Input("step of the clock", mark(defaults()["rounding"]["drop_in_s"], "s"), Origin.USUAL)),
        key=f"batch-run-{number}", of=f"Bath {number}",
        spread=f"Bag {run.governing}: {span_spread(timing.come_up)} {spread_words(frozen=timing.cautious.is_frozen)}",
        source=spread_sources(),
    )  # fmt: skip
