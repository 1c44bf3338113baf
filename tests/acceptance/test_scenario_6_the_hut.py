"""The hut at 2,600 m: beetroot wanted at 90 C, and the advice to lengthen everything by a quarter.

Boiling there near 91.4 C: the scenario's figure, from the standard atmosphere, computed. The dip of each bag and the
check of the probe are not part of a plan.
"""

from __future__ import annotations

import re

import pytest
from tests.acceptance.kitchens import PARIS, TUESDAY, plan_of

from corebath.ask.question import Question
from corebath.ask.understand import Misunderstood, understand
from corebath.bath.gear import Room
from corebath.log.gear import Kitchen
from corebath.plan.make import make_plan
from corebath.units import METRIC, render

HUT = Kitchen(zone=PARIS, room=Room(altitude_m=2600.0))
POT = {"vessel": "24 cm x 14 cm", "heater": "1.1 kW, 9 cm to 12 cm"}


def beetroot(want: str) -> Question:
    return Question(food="beetroot", thick="50 mm", want=want, eat="20:00", mass="150 g", **POT)


def test_90_c_leaves_no_room_for_control() -> None:
    with pytest.raises(Misunderstood) as caught:
        understand(beetroot("90 C"), TUESDAY, HUT)
    told = render(caught.value.sentences["want"], METRIC, both=False)
    boiling = re.search(r"boiling near ([0-9.]+) °C", told)
    assert boiling is not None
    assert float(boiling[1]) == pytest.approx(91.4, abs=0.2)
    highest = re.search(r"and ([0-9.]+) °C", told)
    assert highest is not None
    assert 85.0 <= float(highest[1]) <= 87.0


def test_without_a_pot_the_altitude_counts_too() -> None:
    bare = Question(food="beetroot", thick="50 mm", want="90 C", eat="20:00")
    with pytest.raises(Misunderstood, match="boiling"):
        understand(bare, TUESDAY, HUT)


def test_85_to_86_c_takes_longer() -> None:
    plans = [make_plan(understand(beetroot(want), TUESDAY, HUT)) for want in ("85 C", "86 C")]
    assert all(plan.works for plan in plans)
    assert plans[0].window.ready_s > plans[1].window.ready_s


def test_meat_takes_no_longer_at_a_set_point() -> None:
    steak = Question(food="ribeye", thick="50 mm", want="57 C", eat="20:00")
    high = make_plan(understand(steak, TUESDAY, HUT))
    low = plan_of(TUESDAY, **steak.given())
    assert high.bath_s == low.bath_s
    assert high.timing.come_up == low.timing.come_up
