"""What a plan offers and remarks on: a hotter bath with its time and rule, a set point off every step, a height."""

from __future__ import annotations

import re

import pytest
from tests.unit.plan.planning import asked, planned, slab

from corebath.food.kinds import Handling
from corebath.plan.make import make_plan
from corebath.plan.why.answer import answer_whys
from corebath.plan.why.why import Origin, Teller, Told


def test_a_hotter_bath_is_offered_with_its_time_and_the_rule_it_meets() -> None:
    request = asked(
        "beef-chuck", slab(0.04), set_point_C=54.0, handling=Handling.ROLLED, bath_s=48 * 3600.0, hours=96.0
    )
    offers = [a.change for a in make_plan(request).alternatives if a.change.startswith("Set the bath")]
    assert offers
    for offer in offers:
        assert re.search(r"\{[\d.]+\|C\} for \{[\d.]+\|s\}", offer)
        assert "met there: “meat, 6.5-log Salmonella at the core”" in offer


@pytest.mark.parametrize(("set_C", "remarked"), [(57.0, False), (57.5, False), (57.2222, False), (57.3, True)])
def test_a_set_point_between_the_steps_of_heaters_gets_a_remark(set_C: float, remarked: bool) -> None:
    plan = planned(set_point_C=set_C)
    assert any("is on neither" in note for note in plan.notes) is remarked


@pytest.mark.parametrize(("altitude_m", "said"), [(0.0, "sea level"), (1609.4, "{1609|m}"), (-300.0, "−{300|m}")])
def test_a_height_is_said_in_whole_metres(altitude_m: float, said: str) -> None:
    plan = planned(set_point_C=57.0, altitude_m=altitude_m)
    whys = {why.key: why for why in answer_whys(plan, Teller(None))}
    assert said in [i.value for i in whys["set-point"].inputs if i.name == "altitude"]


def test_a_band_is_usual_and_only_its_name_is_the_cook_s() -> None:
    result = planned(set_point_C=57.0).result
    assert result is not None
    whys = {why.key: why for why in answer_whys(planned(result=result), Teller(Told(frozenset({"want"}), frozenset())))}
    origins = {i.name: i.origin for i in whys["set-point"].inputs}
    assert origins["wanted result"] is Origin.TYPED
    assert origins[f"band of {result.words}"] is Origin.USUAL
