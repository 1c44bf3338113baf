"""Batches that may not be followed: a binding rule after the bath is not met, or the days cannot be so."""

from __future__ import annotations

from datetime import date, time, timedelta

import pytest
from tests.unit.plan.test_batch_plan import SUNDAY, batch, lot

from corebath.plan.batch.answer import BatchPlan, Way
from corebath.plan.batch.make import make_batch
from corebath.plan.plan import Part
from corebath.safety.authority import Authority
from corebath.safety.finding import Verdict


def whys(plan: BatchPlan, part: Part) -> str:
    return " | ".join(failure.why for failure in plan.failures if failure.part is part)


def test_what_does_not_cool_in_time_is_not_kept_and_the_batch_says_so() -> None:
    chuck = lot("beef chuck", 90, 60.0, 1, 4, reheat_C=56.0, serve_C=55.0)
    plan = make_batch(batch(chuck, fridge_C=4.0))
    (bag,) = plan.bags
    assert not plan.works
    assert "Its cooling limits are not met" in whys(plan, Part.SAFETY)
    assert bag.keeping is not None
    assert bag.keeping.days == 0
    assert not bag.may_wait
    assert not any("7 days" in line or "use by" in line for line in plan.statements)
    assert not any(task.key == "fridge" for task in plan.run_sheet)


def test_a_bag_is_not_eaten_before_it_leaves_the_bath() -> None:
    plan = make_batch(batch(lot("beef chuck", 90, 60.0, 1, 1), fridge_C=4.0))
    (bag,) = plan.bags
    assert bag.bag.eat_on is not None
    assert bag.cooked.pulled.date() > bag.bag.eat_on
    assert "leaves the bath on Tue 4 May 2027 and cannot be eaten on Mon 3 May 2027" in whys(plan, Part.TIME)
    assert bag.warmed is None
    assert not any(task.key == "reheat" for task in plan.run_sheet)


def test_a_bag_is_not_warmed_before_it_is_cold() -> None:
    evening = SUNDAY + timedelta(hours=5)
    chicken = lot("chicken breast", 38, 62.0, 1, 1)
    plan = make_batch(batch(chicken, fridge_C=4.0, start=evening, at=time(1, 0)))
    (bag,) = plan.bags
    assert bag.warmed is not None
    assert bag.cold_at is not None
    assert bag.warmed.into < bag.cold_at
    assert "it is cold only at" in whys(plan, Part.TIME)
    assert make_batch(batch(chicken, fridge_C=4.0, start=evening, at=time(8, 0))).works


def test_a_reheating_that_breaks_its_rule_fails() -> None:
    guests = lot("chicken breast", 40, 66.0, 1, 1, guests_at_risk=True, authority=Authority.UK)
    plan = make_batch(batch(guests, fridge_C=4.0))
    assert not plan.works
    assert "not met: reheated to {70|C} for {120|s} within {7200|s}" in whys(plan, Part.SAFETY)
    assert all(f.verdict is Verdict.MET or not f.binding for f in plan.bags[0].cooked.plan.findings if "core" in f.rule)


@pytest.mark.parametrize(("food", "set_point_C"), [("salmon", 45.0), ("ribeye", 50.0), ("egg", 45.0)])
def test_what_was_never_hot_is_not_kept(food: str, set_point_C: float) -> None:
    plan = make_batch(batch(lot(food, 25, set_point_C, 1, 1, bath_s=5400.0, parasites_frozen=True), fridge_C=3.0))
    assert "do not keep leftovers" in whys(plan, Part.SAFETY)
    assert plan.bags[0].warmed is None


def test_a_steak_below_the_tables_keeps_for_a_day_inside_four_hours_only() -> None:
    quick = make_batch(batch(lot("ribeye", 20, 54.0, 1, 1, bath_s=3600.0), fridge_C=4.0))
    assert quick.works
    assert quick.bags[0].use_by == date(2027, 5, 3)
    slow = make_batch(batch(lot("ribeye", 20, 54.0, 1, 1, bath_s=3.5 * 3600), fridge_C=4.0))
    assert "bath, cooling and reheating take" in whys(slow, Part.SAFETY)


def test_a_fridge_above_its_limit_fails_after_all_else_and_one_that_holds_it_does_not() -> None:
    chicken = lot("chicken breast", 38, 62.0, 2, 1, 4)
    warm = make_batch(batch(chicken, fridge_C=6.0))
    assert [s.way for s in warm.bags] == [Way.FRIDGE, Way.FREEZER]
    assert warm.failures[-1].why.startswith("not met: cold holding at {5|C} or below.")
    assert len([f for f in warm.failures if "cold holding" in f.why]) == 1
    assert make_batch(batch(chicken, fridge_C=5.0)).works


def test_too_little_ice_leaves_the_cooling_unknown() -> None:
    chicken = lot("chicken breast", 38, 62.0, 6, 1, mass_kg=0.3)
    plan = make_batch(batch(chicken, fridge_C=4.0, ice_kg=0.2, ice_water_kg=1.0))
    (cooling,) = [f for f in plan.bags[0].findings if f.rule == "food-code-cooling"]
    assert cooling.verdict is Verdict.NOT_KNOWN
    assert cooling.binding
    assert plan.statements[0].startswith("These times hold only while ice floats")
    assert make_batch(batch(chicken, fridge_C=4.0, ice_kg=20.0)).bags[0].findings


def test_garlic_in_the_bag_keeps_for_two_days() -> None:
    plain, garlic = (
        make_batch(batch(lot("chicken breast", 25, 62.0, 1, 1, garlic_or_oil=g), fridge_C=4.0)) for g in (False, True)
    )
    assert plain.bags[0].use_by == date(2027, 5, 8)
    assert garlic.bags[0].use_by == date(2027, 5, 4)
    assert any("C. botulinum" in note for note in garlic.notes)


def test_the_thermometers_offset_reaches_the_reheating() -> None:
    true, off = (
        make_batch(batch(lot("chicken breast", 38, 64.0, 1, 1, probe_offset_K=offset_K), fridge_C=4.0))
        for offset_K in (0.0, 2.0)
    )
    first, second = (plan.bags[0].warmed for plan in (true, off))
    assert first is not None
    assert second is not None
    assert first.bath_C == second.bath_C
    assert (second.ready_s or 0.0) > (first.ready_s or 0.0)
