"""Rows of the records held to limits: what few readings prove, never more than the whole course shows."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from functools import cache
from itertools import product
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.unit.log.cooks import NOON, a_record

from corebath.food.catalogue import catalogue
from corebath.heat.body import Body, Shape
from corebath.heat.engine import simulate
from corebath.heat.history import History
from corebath.heat.stage import Stage
from corebath.log.record import Entry, Measured, Point, Record, Step
from corebath.log.record_heat import _CHECKS, core_treated
from corebath.log.record_judge import RowVerdict, judge_record, still_open
from corebath.plan.piece import thermal_of
from corebath.safety.authority import Authority
from corebath.safety.finding import Finding, Verdict
from corebath.safety.rules import judge, rules_for
from corebath.safety.subject import HANDLINGS, KINDS, Subject

ZONE = ZoneInfo("Europe/Paris")
CHICKEN = Subject("chicken", fat=0.05)
MET, MISSED, OPEN = Verdict.MET, Verdict.NOT_MET, Verdict.NOT_KNOWN


def judged(step: Step, *read: tuple[float, float], **other: object) -> RowVerdict:
    """The verdict on readings, minutes from noon."""
    measured = tuple(Measured(NOON + timedelta(minutes=m), c) for m, c in read)
    return judge_record(replace(a_record(step), measured=measured, **other), ZONE)  # type: ignore[arg-type]


def finding(found: RowVerdict, rule: str) -> Finding:
    return next(f for f in found.findings if f.rule == rule)


def test_every_rule_that_can_bind_a_cook_is_read_off_a_row() -> None:
    flags = (False, True)
    for kind, handling, fat, authority in product(KINDS, HANDLINGS, (0.01, 0.05, 0.2), Authority):
        for risk, seared, frozen, garlic in product(flags, flags, flags, flags):
            subject = Subject(kind, handling, fat, risk, seared, frozen, garlic)
            for rule in rules_for(subject, authority):
                assert not rule.binding or rule.check in {*_CHECKS, "cooling"}, rule.key


@cache
def course(bath_C: float, hours: float, thick_m: float) -> History:
    """A slab from the fridge in a bath, then in ice water."""
    body = Body(Shape.SLAB, thick_m)
    thermal = thermal_of(catalogue()["chicken-breast"].composition, -1.0, 40)
    stages = [Stage.constant("bath", 3600 * hours, bath_C, 120.0), Stage.constant("ice", 6 * 3600, 1.0, 120.0)]
    return simulate(body, thermal, 4.0, stages).history


HOTTEST_START_C = 60.0  # of the cooling limits of all profiles
READS = st.lists(st.floats(0.0, 1.0), min_size=1, max_size=12, unique=True)
SETTINGS = st.tuples(st.sampled_from([50.0, 58.0, 60.0, 63.0]), st.sampled_from([1.0, 2.0, 7.0]),
                     st.sampled_from([0.02, 0.05, 0.09]))  # fmt: skip


@settings(max_examples=150)
@given(SETTINGS, READS, st.sampled_from(Authority))
def test_readings_of_a_cook_prove_no_more_than_its_whole_course_shows(
    setting: tuple[float, float, float], shares: list[float], authority: Authority
) -> None:
    whole = course(*setting)
    pull_s = setting[1] * 3600
    cook = whole.until(pull_s)
    times = sorted({round(share * pull_s) for share in shares})
    measured = tuple(Measured(NOON + timedelta(seconds=t), float(cook.core_at(t))) for t in times)
    record = Record(Step.COOK, "x", NOON + timedelta(hours=9), "JM", authority, measured, NOON,
                    NOON + timedelta(seconds=pull_s), setting[0], subject=CHICKEN)  # fmt: skip
    truth = {f.rule: f for f in judge(cook, CHICKEN, authority)}
    for found in judge_record(record, ZONE).findings:
        true = truth[found.rule]
        if found.verdict is MET and true.achieved is not None and len(times) == 1:
            continue  # one reading counts for the time a probe takes to stand still
        if found.verdict is not OPEN:
            assert found.verdict is true.verdict, (found, true)


@settings(max_examples=150)
@given(SETTINGS, READS, st.sampled_from([Authority.US, Authority.AU]))
def test_readings_of_a_chill_prove_no_more_than_its_whole_course_shows(
    setting: tuple[float, float, float], shares: list[float], authority: Authority
) -> None:
    whole = course(*setting)
    pull_s = setting[1] * 3600
    times = sorted({round(share * 6 * 3600) for share in shares} - {0})
    measured = tuple(Measured(NOON + timedelta(seconds=t), float(whole.core_at(pull_s + t))) for t in times)
    record = Record(Step.CHILL, "x", NOON + timedelta(hours=9), "JM", authority, measured, NOON, subject=CHICKEN)
    truth = {f.rule: f for f in judge(whole, CHICKEN, authority)}
    for found in judge_record(record, ZONE).findings:
        if found.verdict is MET:
            assert truth[found.rule].verdict is MET
        # A core that never was where the limits begin has no moment from which they count: a row counts from its own
        # beginning, a whole course from its peak a little later, so that a row is the stricter of the two.
        if found.verdict is MISSED and float(whole.core_at(pull_s)) > HOTTEST_START_C:
            assert truth[found.rule].verdict is MISSED


@settings(max_examples=60)
@given(st.floats(-3.0, 3.0), st.lists(st.floats(-5.0, 80.0), min_size=1, max_size=6), st.sampled_from(Step))
def test_a_thermometer_known_to_be_off_never_makes_a_row_better(
    offset_K: float, values: list[float], step: Step
) -> None:
    if step in (Step.ACTION, Step.PROBE):
        return
    read = tuple((20.0 * i, c) for i, c in enumerate(values))
    other = {"began": NOON, "subject": CHICKEN, "held_hot": True, "set_C": 60.0, "pasteurised": True}
    order = [MISSED, OPEN, MET]
    plain, off = judged(step, *read, **other), judged(step, *read, offset_K=offset_K, **other)
    met = {f.rule for f in off.findings if f.verdict is MET} - {f.rule for f in plain.findings if f.verdict is MET}
    assert all(rule.startswith(("food-code-4h", "keep-", "outage")) for rule in met)
    if step in (Step.BAG, Step.CHILL, Step.REHEAT):
        assert order.index(off.verdict) <= order.index(plain.verdict)


def test_a_cook_without_readings_or_food_is_not_known() -> None:
    assert judge_record(replace(a_record(Step.COOK), measured=()), ZONE).verdict is OPEN
    untold = judge_record(replace(a_record(Step.COOK), measured=(), subject=CHICKEN), ZONE)
    assert {f.verdict for f in untold.findings} == {OPEN}
    for step in (Step.BAG, Step.KEEP, Step.REHEAT):
        assert judge_record(replace(a_record(step), measured=()), ZONE).verdict is OPEN
    probe = a_record(Step.PROBE, point=Point.ICE, altitude_m=0.0)
    assert judge_record(replace(probe, measured=()), ZONE).verdict is OPEN


def test_a_cook_pulled_long_after_its_last_reading_is_left_open() -> None:
    read = ((60.0, 40.0),)
    ended = {"began": NOON, "subject": CHICKEN}
    assert judged(Step.COOK, *read, ended=NOON + timedelta(minutes=62), **ended).verdict is MISSED
    assert judged(Step.COOK, *read, ended=NOON + timedelta(minutes=160), **ended).verdict is OPEN


def test_an_intact_steak_needs_its_sear_and_its_come_up() -> None:
    steak = Subject("beef", fat=0.1, seared=True)
    other = {"began": NOON, "subject": steak, "ended": NOON + timedelta(minutes=90)}
    found = judged(Step.COOK, (60.0, 54.6), (90.0, 55.0), **other)
    assert found.verdict is MET
    assert finding(found, "surface-seared").verdict is MET
    assert not core_treated(replace(a_record(Step.COOK), subject=steak))
    unseared = judged(Step.COOK, (60.0, 54.6), (90.0, 55.0), **(other | {"subject": replace(steak, seared=False)}))
    assert finding(unseared, "surface-bath").verdict is OPEN


def test_a_warm_water_bath_below_the_australian_minimum_is_missed() -> None:
    other = {"began": NOON, "subject": CHICKEN, "authority": Authority.AU}
    assert finding(judged(Step.COOK, (60.0, 54.0), set_C=54.9, **other), "nsw-bath-55c").verdict is MISSED
    assert finding(judged(Step.COOK, (60.0, 54.0), set_C=55.0, **other), "nsw-bath-55c").verdict is MET
    assert finding(judged(Step.COOK, (60.0, 54.0), **other), "nsw-bath-55c").verdict is OPEN


def test_a_core_that_fell_back_for_hours_is_missed() -> None:
    other = {"began": NOON, "subject": CHICKEN}
    cold = judged(Step.COOK, (60.0, 61.0), (70.0, 50.0), (330.0, 50.0), (340.0, 61.0), **other)
    assert finding(cold, "outage").verdict is MISSED
    short = judged(Step.COOK, (60.0, 61.0), (70.0, 50.0), (130.0, 61.0), **other)
    assert finding(short, "outage").verdict is MET


def test_a_vegetable_is_told_where_nothing_binds_its_core() -> None:
    found = judged(Step.COOK, (60.0, 84.0), began=NOON, subject=Subject("vegetable"))
    assert finding(found, "food-code-57c").verdict is MET
    assert not finding(found, "food-code-57c").binding


def test_frozen_food_has_no_days_and_warm_food_no_rule() -> None:
    frozen = judged(Step.KEEP, (0.0, -18.0), began=NOON, pasteurised=True)
    assert frozen.verdict is MET
    assert finding(frozen, "keep-days").verdict is OPEN
    assert judged(Step.KEEP, (0.0, 25.0), began=NOON, pasteurised=True).verdict is MISSED
    assert judged(Step.KEEP, (0.0, 4.0), pasteurised=True).verdict is MET  # no day of cooking was told


def test_days_are_those_of_the_kitchen_s_zone() -> None:
    late = NOON.replace(hour=23, minute=30)  # past midnight in Paris
    found = judged(Step.KEEP, (24 * 60.0, 4.0), began=late, pasteurised=True)
    assert "Cooked on 2026-11-26" in finding(found, "keep-food-code-7d").why


def test_served_warm_has_four_hours_from_the_cold() -> None:
    other = {"began": NOON, "subject": CHICKEN}
    for minutes, expected in ((240.0, MET), (241.0, MISSED)):
        assert finding(judged(Step.REHEAT, (minutes, 50.0), **other), "reheat-time-out").verdict is expected
    assert finding(judged(Step.REHEAT, (10.0, 50.0), subject=CHICKEN), "reheat-time-out").verdict is OPEN
    assert not finding(judged(Step.REHEAT, (10.0, 50.0), **other), "reheat-hot-holding").binding
    risk = judged(Step.REHEAT, (10.0, 50.0), began=NOON, subject=replace(CHICKEN, guests_at_risk=True))
    assert finding(risk, "reheat-hot-holding").verdict is MISSED


def test_a_row_asks_until_something_is_done_about_it() -> None:
    warm = replace(a_record(Step.BAG, 9.0), id=1)
    assert still_open(Entry(warm), ZONE)
    assert not still_open(Entry(replace(warm, action="Thrown away")), ZONE)
    assert not still_open(Entry(warm, (a_record(Step.ACTION, action="Thrown away", points_at=1),)), ZONE)
    assert not still_open(Entry(warm, corrected_by=2), ZONE)
    assert not still_open(Entry(replace(warm, measured=())), ZONE)
    with pytest.raises(ValueError, match="held to no limit"):
        judge_record(a_record(Step.ACTION, action="x", points_at=1), ZONE)


def test_every_sentence_of_a_verdict_is_whole() -> None:
    told = [f for step in Step if step not in (Step.ACTION, Step.PROBE)
            for values in ((), ((0.0, 3.0),), ((0.0, 61.0), (30.0, 20.0), (400.0, 4.0)), ((30.0, 75.0),))
            for f in judged(step, *values, subject=CHICKEN, began=NOON).findings]  # fmt: skip
    for found in told:
        assert found.title
        assert found.source
        assert found.why.endswith("."), found.why


def test_a_core_that_is_not_hot_yet_is_said_so_and_leaves_its_come_up_open() -> None:
    steak = Subject("beef", fat=0.1, seared=True)
    going = judged(Step.COOK, (0.0, 10.0), (141.0, 50.0), began=NOON, subject=steak)
    come_up = finding(going, "fsis-come-up")
    assert come_up.verdict is OPEN
    assert come_up.why.startswith(
        "By the last moment recorded {8460|s} had passed since {10|C}, and the core was not yet at {54.4|C}; the limit"
    )
    assert going.verdict is OPEN
    done = judged(Step.COOK, (0.0, 10.0), (141.0, 50.0), began=NOON, subject=steak, ended=NOON + timedelta(minutes=142))
    silent = finding(done, "fsis-come-up")
    assert silent.verdict is OPEN
    assert not silent.binding
    assert silent.why.endswith("this rule does not speak of it.")


def test_a_sear_that_nobody_recorded_is_said_to_be_assumed() -> None:
    steak = Subject("beef", fat=0.1, seared=True)
    found = finding(judged(Step.COOK, (60.0, 54.6), began=NOON, subject=steak), "surface-seared")
    assert found.why.startswith("Assumed, not measured: a hot sear of the whole surface follows")
