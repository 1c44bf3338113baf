"""Mixed bags of chicken at 62 C, a nervous uncle, dinner at 19:00.

Bands: an independent conduction model with the published 7-log chicken figures (27.5 min at 60 C, z 6 C).
"""

from __future__ import annotations

import pytest
from tests.acceptance.kitchens import PARIS, TUESDAY, meets, minutes, plan_of

from corebath.ask.batch import understand_batch
from corebath.ask.batch_question import BatchQuestion, LotRow, Top
from corebath.log.gear import Kitchen
from corebath.plan.batch.answer import BatchPlan
from corebath.plan.batch.make import make_batch
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


def bags(thick: str) -> BatchPlan:
    lot = LotRow(food="chicken breast", thick=thick, want="62 C", days="Tue", guests="risk")
    question = BatchQuestion(Top(done="19:00"), (lot,))
    return make_batch(understand_batch(question, TUESDAY, Kitchen(zone=PARIS)))


def test_mixed_bags_are_timed_by_the_governing_one_and_not_by_the_average() -> None:
    batch = bags("22 mm x2, 28 mm x2, 38 mm x2")
    (run,) = batch.runs
    assert batch.works
    assert [s.bag.governing_m for s in batch.bags] == [0.038, 0.028, 0.022]
    assert run.governing == 1
    assert any("{0.038|m}" in line and "{0.029333333333333333|m}" in line for line in run.statements)
    # All go in and come out together: the thin ones wait inside the window of their texture.
    assert {c.enters for c in run.bags} == {run.drop_in}
    assert [c.waits for c in run.bags] == [False, True, True]
    assert all(c.bath_s <= c.plan.window.latest_s for c in run.bags)
    assert run.ends <= TUESDAY.replace(hour=19)


def test_an_overlapping_bag_is_one_thick_body_and_is_told_to_lie_flat() -> None:
    batch = bags("22 mm x2, 28 mm x2, 38 mm x2, 28 mm x2 overlapping")
    (run,) = batch.runs
    stack = next(c for c in run.bags if c.bag.layers == 2)
    assert run.governing == stack.bag.number
    assert stack.bag.lies_m == pytest.approx(0.056)
    # Band for 7-log: 2 h 25 to 3 h 5. Ours, nominal: 3 h 2; heated through it is much later, as the plan of one is.
    seven_log = next(iter(stack.plan.timing.lethality.values()))
    assert minutes(2, 25) <= seven_log.nominal_s <= minutes(3, 5)
    assert stack.flat_ready_s is not None
    assert stack.flat_ready_s < stack.bath_s
    assert any("again flat and apart" in line for line in run.statements)
    # The others cannot wait so long: they go in later, and all come out for one table.
    assert {c.pulled for c in run.bags} == {run.ends}
    assert all(c.enters > run.drop_in for c in run.bags if c is not stack)


def test_the_guest_gets_one_sentence_with_the_table_it_rests_on() -> None:
    batch = bags("22 mm x2, 28 mm x2, 38 mm x2")
    said = [line for line in batch.runs[0].statements if "FSIS" in line]
    assert len(said) == 1
    assert said[0].startswith("Bags 1 to 3: ")
