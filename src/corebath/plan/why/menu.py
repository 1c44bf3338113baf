"""Why a menu is as it is: what its order costs, what is proved, who may wait, whose hands."""

from __future__ import annotations

from collections.abc import Iterator

from corebath.plan.menu.answer import MenuPlan, Proof
from corebath.plan.menu.figures import figures, wait_min
from corebath.units import mark

from .piece import minutes
from .why import Input, Origin, Why, reckoned, why

PART = "menu"
_PROOFS = {
    Proof.BEST: "proved: no other has fewer points",
    Proof.GOOD: "the best found in its time",
    Proof.NONE: "proved: these wishes cannot be had together",
    Proof.UNKNOWN: "neither an answer nor a proof in its time",
}


def menu_whys(plan: MenuPlan) -> tuple[Why, ...]:
    """Why every number of a menu that is not one of a dish's own plan."""
    return tuple(_whys(plan))


def _whys(plan: MenuPlan) -> Iterator[Why]:
    weights = figures("weights")
    costs = (
        Input(weight["words"], f"{weight['points']} points", Origin.MODEL)
        for weight in weights.values()
        if isinstance(weight, dict)
    )
    served = (reckoned(one.dish.name, minutes(one.plan.bath_s)) for one in plan.served)
    spread = "None: it is proved."
    if plan.proof is Proof.BEST and plan.coarse_s:
        spread = "None in the steps of the clock that were searched: it is proved. Finer steps were not searched."
    if plan.proof is Proof.GOOD:
        spread = f"Another answer could have up to {100 * plan.gap:.0f} % fewer points."
    if plan.proof is Proof.UNKNOWN:
        spread = "Not known: the search was stopped."
    source = (weights["source"], figures("search")["source"], figures("set_point")["source"])
    yield why("menu-order", PART, _PROOFS[plan.proof], (*served, *costs), spread=spread, source=source)
    if not plan.served:
        return
    waits = {one.dish.name: wait_min(one.plan.request.food.texture) for one in plan.served}
    longest = (Input(name, mark(60.0 * wait, "s"), Origin.USUAL) for name, wait in waits.items())
    most = mark(60.0 * max(waits.values()), "s")
    yield why("menu-waits", PART, f"up to {most}", longest, source=(figures("wait")["source"],))
    work = figures("work")
    hands = (
        Input(task.replace("_", " "), mark(60.0 * took, "s"), Origin.USUAL)
        for task, took in work.items()
        if isinstance(took, (int, float))
    )
    yield why("menu-hands", PART, f"{plan.menu.hands}", hands, source=(work["source"],))
