"""Every food, every profile: a plan is made, and nothing about it is silent."""

from __future__ import annotations

import random
from math import isfinite

import pytest
from tests.unit.plan.planning import asked, body_of, foods

from corebath.food.catalogue import catalogue
from corebath.outcome.results import results_for
from corebath.plan.basis import basis
from corebath.plan.make import make_plan
from corebath.plan.request import State
from corebath.safety.authority import Authority
from corebath.safety.finding import Verdict
from corebath.units import METRIC, US, render

# One result, profile and thickness for each food, drawn once; the state is frozen for one food in eight.
_DRAW = random.Random(45)
CASES = [
    (
        key,
        _DRAW.choice(results_for(catalogue()[key].texture)).key,
        _DRAW.choice(list(Authority)),
        _DRAW.choice([0.01, 0.02, 0.03, 0.05]),
        _DRAW.random() < 0.5,
        State.FROZEN if i % 8 == 0 and catalogue()[key].usual_shape == "slab" else State.FRIDGE,
    )
    for i, key in enumerate(foods())
]


@pytest.mark.parametrize(
    ("key", "result", "authority", "thickness_m", "at_risk", "state"),
    CASES,
    ids=[f"{k}-{r}-{a.value}-{s.value}" for k, r, a, _, _, s in CASES],
)
def test_a_plan_for_every_food(
    key: str, result: str, authority: Authority, thickness_m: float, at_risk: bool, state: State
) -> None:
    food = catalogue()[key]
    wanted = next(r for r in results_for(food.texture) if r.key == result)
    request = asked(
        key,
        body_of(food, thickness_m),
        result=wanted,
        authority=authority,
        guests_at_risk=at_risk,
        state=state,
        hours=200.0,
    )
    plan = make_plan(request, offer=False)
    assert plan.findings
    for finding in plan.findings:
        assert finding.source
        assert finding.title
        assert finding.why
        # A plan that waits for its rules has met them.
        if isfinite(plan.window.ready_s) and finding.binding and finding.achieved is not None:
            assert finding.verdict is Verdict.MET
    assert wanted.low_C <= plan.set_point_C <= wanted.high_C
    for text in (*basis(plan), *plan.notes, *(f.why for f in plan.findings), *(t.what for t in plan.run_sheet)):
        for preference in (METRIC, US):
            assert "{" not in render(text, preference)
