"""Two steaks on a Tuesday: two sirloins of 30 mm, 280 g each, 55 C, dinner at 19:30, a pot of 24 by 14 cm.

Bands: an independent conduction model (diffusivity 1.30 to 1.45e-7 m2/s, h 100 to 300 W/(m2 K), fridge 4 C), made
before this planner; common practice for the finishing times, no source.
"""

from __future__ import annotations

from datetime import datetime

import pytest
from tests.acceptance.kitchens import PARIS, TUESDAY, meets, minutes, plan_of

from corebath.plan.plan import Plan
from corebath.safety.finding import Verdict
from corebath.units import METRIC, render


@pytest.fixture(scope="module")
def plan() -> Plan:
    return plan_of(
        TUESDAY, food="sirloin", rules="UK", thick="30 mm", mass="280 g", pieces="2", want="55 C", eat="19:30",
        vessel="24 cm x 14 cm", heater="1.1 kW, 9 cm to 12 cm",
    )  # fmt: skip


def test_the_core_is_hot_when_the_band_says(plan: Plan) -> None:
    # Band 65 to 100 min; ours 68, 85 and 107 min.
    assert plan.works
    assert meets(plan.timing.come_up, minutes(1, 5), minutes(1, 40))


def test_dropped_in_by_about_25_to_6(plan: Plan) -> None:
    # Band: about 17:35, with 15 min for drying, searing and serving. Ours is 17:25: the slowest in twenty decides.
    assert datetime(2027, 5, 4, 17, 20, tzinfo=PARIS) <= plan.drop_in <= datetime(2027, 5, 4, 17, 40, tzinfo=PARIS)
    assert plan.serve == datetime(2027, 5, 4, 19, 30, tzinfo=PARIS)
    assert (plan.serve - plan.pull).total_seconds() == minutes(0, 15)


def test_intact_beef_is_heated_not_pasteurised_and_both_are_told() -> None:
    us = plan_of(TUESDAY, food="beef striploin", thick="30 mm", want="55 C", eat="19:30")
    table = next(f for f in us.findings if f.rule == "fsis-meat-6.5log")
    assert table.verdict is Verdict.NOT_MET
    assert not table.binding
    assert "would be met" in table.why
    surface = [f for f in us.findings if "surface" in f.title and f.binding]
    assert surface
    assert all(f.verdict is Verdict.MET for f in surface)


def test_the_core_is_pasteurised_later_than_the_band_says() -> None:
    # Band: 140 to 165 min by the beef table. Ours: 154, 176 and 209 min. A piece as measured takes 11 min more than the
    # band: nothing is credited below the table's first row, 54.4 C, which in water of 55 C is a long part of the way.
    us = plan_of(TUESDAY, food="beef striploin", thick="30 mm", want="55 C", eat="19:30", guests="risk")
    (span,) = us.timing.lethality.values()
    assert meets(span, minutes(2, 20), 1.1 * minutes(2, 45))
    assert span.nominal_s > minutes(2, 45)


def test_salt_for_each_steak(plan: Plan) -> None:
    salt = next(t for t in plan.run_sheet if t.key == "salt")
    assert "2.8 g" in render(salt.what, METRIC, both=False)  # 1 % of 280 g, arithmetic


def test_the_pot_is_filled_to_leave_room_for_the_steaks(plan: Plan) -> None:
    # Band: 560 g raise a pot of 24 cm by about 1.2 cm, so fill to 10.8 cm at most; 5 L from 15 C take about 13 min.
    assert plan.water is not None
    assert plan.water.fit is not None
    # 560 g of meat at 1.06 to 1.08 kg/L over a circle of 24 cm, arithmetic.
    assert 0.0113 < 0.56 / 1075 / (3.14159 * 0.12**2) < 0.0118
    told = " ".join(render(s, METRIC, both=False) for s in plan.water.statements)
    assert "Fill to 108 mm at most" in told
    assert minutes(0, 10) <= plan.water.warm_up.time_s.nominal <= minutes(0, 16)
