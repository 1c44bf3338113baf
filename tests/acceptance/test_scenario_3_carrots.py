"""Carrots at 85 C and a ribeye of 35 mm at 54 C: what one food at a time can answer of it so far.

Bands: an independent conduction model; common practice for the carrots, no source.
"""

from __future__ import annotations

from datetime import datetime

from tests.acceptance.kitchens import PARIS, TUESDAY, meets, minutes, plan_of

from corebath.plan.plan import Part


def test_carrots_at_54_c_are_refused_and_85_c_is_not() -> None:
    cool = plan_of(TUESDAY, food="carrots", thick="20 mm", want="54 C", eat="20:00")
    assert not cool.works
    assert {f.part for f in cool.failures} == {Part.RESULT}
    assert "no softening at {54|C}" in cool.failures[0].why
    assert any("{83|C}" in offer.change for offer in cool.alternatives)
    hot = plan_of(TUESDAY, food="carrots", thick="20 mm", want="85 C", eat="20:00")
    assert hot.works
    # "85 C for 1 h", practice: ours asks for 72 min.
    assert minutes(0, 45) <= hot.bath_s <= minutes(1, 30)


def test_the_steak_s_time() -> None:
    # Band 85 to 125 min, in by 17:35. Ours 89, 110 and 138 min, in by 17:25.
    plan = plan_of(TUESDAY, food="ribeye", thick="35 mm", want="54 C", eat="20:00")
    assert plan.works
    assert meets(plan.timing.come_up, minutes(1, 25), minutes(2, 5))
    assert datetime(2027, 5, 4, 17, 20, tzinfo=PARIS) <= plan.drop_in <= datetime(2027, 5, 4, 17, 40, tzinfo=PARIS)
