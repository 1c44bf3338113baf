"""Mixed bags of chicken at 62 C, a nervous uncle, dinner at 19:00.

Bands: an independent conduction model with the published 7-log chicken figures (27.5 min at 60 C, z 6 C).
"""

from __future__ import annotations

import pytest
from tests.acceptance.kitchens import TUESDAY, meets, minutes, plan_of

from corebath.plan.plan import Plan
from corebath.safety.finding import Verdict


def chicken(thick: str, **answers: str) -> Plan:
    return plan_of(TUESDAY, food="chicken breast", thick=thick, want="62 C", eat="19:00", **answers)


@pytest.mark.parametrize(
    ("thick", "low_min", "high_min"),
    # Ours (early, nominal, cautious): 44, 52, 64; 58, 69, 84; 87, 103, 124; 153, 182, 218 min.
    [("22 mm", 41, 58), ("28 mm", 55, 76), ("38 mm", 83, 110), ("56 mm", 145, 185)],
)
def test_seven_log_at_the_core(thick: str, low_min: int, high_min: int) -> None:
    plan = chicken(thick)
    assert plan.works
    (span,) = plan.timing.lethality.values()
    assert meets(span, minutes(0, low_min), minutes(0, high_min))


def test_the_thickest_bag_sets_the_time() -> None:
    bags = [chicken(t) for t in ("22 mm", "28 mm", "38 mm")]
    assert bags[2].drop_in == min(b.drop_in for b in bags)
    # In with the thickest, the thin one is still inside the window of its texture.
    assert bags[2].bath_s <= bags[0].window.latest_s


def test_overlapping_breasts_are_one_thick_piece() -> None:
    together, thick, flat = chicken("28 mm", layers="2"), chicken("56 mm"), chicken("28 mm")
    assert together.drop_in == thick.drop_in < flat.drop_in
    assert any("one block" in note for note in together.notes)
    late = plan_of(TUESDAY.replace(hour=15), food="chicken breast", thick="28 mm", want="62 C", eat="19:00", layers="2")
    assert not late.works
    assert any("flat and apart" in offer.change for offer in late.alternatives)


def test_the_uncle_gets_a_rule_with_its_source() -> None:
    plan = chicken("38 mm", guests="risk")
    seven_log = next(f for f in plan.findings if f.rule.startswith("fsis-chicken-7log") and f.binding)
    assert seven_log.verdict is Verdict.MET
    assert "FSIS" in seven_log.source
    assert seven_log.met_at_s is not None
    assert seven_log.met_at_s <= plan.bath_s
