"""The verdict after a fault, story by story, and what must hold of every verdict.

Limits are those of the named authorities in the safety room; the traces are ours. What a careful reading of those rules
says of each story stands beside it.
"""

from __future__ import annotations

import re
from datetime import timedelta
from math import inf

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.unit.log.traces import EVENING, H, Pair, failing, late, steady, without
from tests.unit.plan.planning import asked, slab

from corebath.bath.cover import Cover
from corebath.bath.heater import Heater
from corebath.bath.vessel import Vessel
from corebath.log.as_cooked import AsCooked, as_cooked
from corebath.log.cook import Cook, Event, Happening
from corebath.log.judge_cook import judge_cook
from corebath.log.verdict import Decision, Judged, verdict
from corebath.plan.equipment import Equipment
from corebath.plan.request import Request
from corebath.safety.authority import Authority
from corebath.safety.finding import Verdict

KITCHEN = Equipment(Vessel.round(0.24, 0.14), Heater(1100.0, 0.08, 0.12), Cover.named("gasketed"))
CHUCK = asked("beef chuck", slab(0.045), set_point_C=57.0)
COVERED = asked("beef chuck", slab(0.045), set_point_C=57.0, equipment=KITCHEN)
CHICKEN = asked("chicken breast", slab(0.03), set_point_C=60.0)


def judged(request: Request, set_C: float, bath: Pair, until_h: float | None = None, **told: object) -> Judged:
    until_s = float(bath[0][-1]) if until_h is None else until_h * H
    cooked = as_cooked(request, set_C, until_s=until_s, bath=bath, **told)  # type: ignore[arg-type]
    return verdict(cooked, request.subject, request.authority)


def found_at(hours: float, value_C: float) -> Pair:
    return np.array([hours * H]), np.array([value_C])


def test_nothing_happened() -> None:
    told = judged(CHICKEN, 60.0, steady(60.0, 3.0))
    assert told.decision is Decision.KEEP
    assert told.pasteurised is True
    assert not told.doubt
    assert told.left_s is None


def test_not_yet_done_is_no_fault() -> None:
    told = judged(CHICKEN, 60.0, steady(60.0, 0.75))
    assert told.decision is Decision.FINISH
    assert told.finish is not None
    assert told.finish.set_point_C == 60.0
    assert "more at least" in told.sentence


def test_a_thick_roast_on_its_way_up_is_no_fault() -> None:
    """Its core is above 5 degC for more than four hours and not hot: the six hours of come-up are what counts."""
    told = judged(asked("pork loin", slab(0.09), set_point_C=60.0), 60.0, steady(60.0, 4.6))
    assert told.decision is Decision.FINISH


def test_power_cut_at_dawn_start_unknown() -> None:
    """Last seen fine at 23:00, found at 31 degC at 07:00: up to eight hours, four are allowed."""
    told = judged(COVERED, 57.0, found_at(13.0, 31.0), seen_fine_s=5 * H)
    assert told.decision is Decision.BIN
    assert told.pasteurised is True
    assert any("4 h" in title or "14400" in title for title, _ in told.rules)
    text = " ".join(told.why)
    assert "Heating it again does not help" in text
    assert "no air" in text


def test_power_cut_that_may_have_been_short_is_doubt() -> None:
    """An uncovered pot falls to 45 degC within two hours, but it may also have been cold for all of the night."""
    told = judged(CHUCK, 57.0, found_at(13.0, 45.0), seen_fine_s=5 * H)
    assert told.decision is Decision.BIN
    assert told.doubt
    assert told.sentence.startswith("When in doubt, bin it")


def test_power_cut_seen_early_can_be_kept() -> None:
    told = judged(COVERED, 57.0, found_at(13.0, 50.0), seen_fine_s=11.5 * H)
    assert told.decision is Decision.KEEP
    assert told.left_s is not None
    assert 2 * H < told.left_s <= 4 * H
    assert told.back_s is not None
    assert told.back_s < told.left_s
    assert "another day" in told.sentence


def test_the_time_left_says_whose_clock_it_is() -> None:
    """At 40 °C to the end: the rule's figure stops where the core was last hot, ours goes on, and both stand there."""
    told = judged(CHICKEN, 60.0, failing(60.0, 6.5, 3.0, room_C=40.0, fades_h=0.1))
    assert told.decision is Decision.KEEP
    assert told.left_s is not None
    counted = re.search(r"stricter than the rule: .* and so \{([\d.]+)\|s\} below \{54\.4\|C\}", " ".join(told.why))
    assert counted is not None
    assert float(counted[1]) + told.left_s == pytest.approx(4 * H, abs=60.0)
    (rule,) = (f for f in told.findings if f.rule == "outage")
    assert "{14400|s}" in rule.why
    assert counted[1] not in rule.why
    assert not any("clock of our own" in why for why in judged(CHICKEN, 60.0, steady(60.0, 3.0)).why)


def test_a_broken_limit_is_not_told_as_met_below() -> None:
    """Cold for so long that the outage could also be read as chilling: its finding says what the verdict says."""
    bath = without(steady(57.0, 14.0), 7.0, 12.5)
    chuck = asked("beef chuck", slab(0.05), set_point_C=57.0)
    cooked = as_cooked(chuck, 57.0, until_s=14 * H, bath=bath)
    told = verdict(cooked, chuck.subject, chuck.authority)
    assert told.decision is Decision.BIN
    for title, _ in told.rules:
        assert all(f.verdict is Verdict.NOT_MET for f in told.findings if f.title == title)


def test_back_in_the_bath_only_where_there_is_time() -> None:
    """Near the end of the four hours it may be eaten still, but a thick piece is not hot again before they are over."""
    bath = failing(57.0, 8.8, 5.0, fades_h=3.0)
    told = judged(asked("beef chuck", slab(0.06), set_point_C=57.0), 57.0, bath)
    assert told.decision is Decision.KEEP
    assert told.left_s is not None
    assert told.left_s < H
    assert told.back_s is None
    assert "no time left" in told.sentence


def test_a_core_alone_that_was_never_hot_is_not_done() -> None:
    t = np.arange(0.0, 1.0 * H, 60.0)
    cooked = as_cooked(CHUCK, 57.0, until_s=float(t[-1]), core=(t, 4 + 30 * t / H))
    assert verdict(cooked, CHUCK.subject, CHUCK.authority).decision is Decision.FINISH


def test_heater_tripped_at_low_level() -> None:
    """Measured: the bath fades from 57 degC. Two hours later it is kept, eight hours later not."""
    bath = failing(57.0, 13.0, 5.0)
    early = judged(CHUCK, 57.0, (bath[0][bath[0] <= 7 * H], bath[1][bath[0] <= 7 * H]))
    assert early.decision is Decision.KEEP
    late_found = judged(CHUCK, 57.0, bath)
    assert late_found.decision is Decision.BIN
    assert late_found.pasteurised is True
    assert not late_found.doubt


def test_heater_tripped_before_chicken_was_done() -> None:
    """Survivors may grow in the fall: what was earned before it does not count, all of it is due again."""
    bath = failing(60.0, 3.5, 1.2, fades_h=2.0)
    told = judged(CHICKEN, 60.0, bath)
    assert told.decision is Decision.FINISH
    assert told.finish is not None
    assert told.pasteurised is False
    assert "nothing it earned before" in " ".join(told.why)
    rule = next(f for f in told.findings if f.rule.startswith("fsis-chicken"))
    assert rule.achieved is not None
    assert told.finish.from_now_s > told.finish.warm_up_s


def test_wrong_set_point() -> None:
    """47 instead of 57 degC: found after three hours it can be finished, after eight it cannot."""
    soon = judged(CHUCK, 57.0, steady(47.0, 2.5))
    assert soon.decision is Decision.FINISH
    night = judged(CHUCK, 57.0, steady(47.0, 8.0))
    assert night.decision is Decision.BIN
    assert not night.doubt


def test_forgot_to_switch_on_for_three_hours() -> None:
    """Cold tap water at 16 degC: found as it is switched on, chicken can be finished, a thick roast is too late."""
    found = judged(CHICKEN, 60.0, late(60.0, 3.0, 4.0))
    assert found.decision is Decision.FINISH
    thick = judged(asked("beef chuck", slab(0.07), set_point_C=57.0), 57.0, late(57.0, 3.0, 4.0))
    assert thick.decision is Decision.BIN


def test_silent_sensor_only() -> None:
    told = judged(COVERED, 57.0, without(steady(57.0, 9.0), 4.0, 5.0))
    assert told.decision is Decision.KEEP
    nothing_known = judged(CHUCK, 57.0, without(steady(57.0, 12.0), 4.0, 9.0))
    assert nothing_known.decision is Decision.BIN
    assert nothing_known.doubt
    power_held = judged(CHUCK, 57.0, without(steady(57.0, 12.0), 4.0, 9.0), held_s=inf)
    assert power_held.decision is Decision.KEEP


def test_guests_at_risk_are_held_to_the_core() -> None:
    bath = failing(57.0, 5.0, 1.5, fades_h=4.0)
    adult = judged(CHUCK, 57.0, bath)
    guest = judged(asked("beef chuck", slab(0.045), set_point_C=57.0, guests_at_risk=True), 57.0, bath)
    order = (Decision.KEEP, Decision.FINISH, Decision.BIN)
    assert order.index(guest.decision) >= order.index(adult.decision)


def test_fish_that_never_gets_hot_lives_by_the_clock() -> None:
    salmon = asked("salmon", slab(0.03), set_point_C=50.0, parasites_frozen=True)
    told = judged(salmon, 50.0, steady(50.0, 2.0))
    assert told.decision is Decision.KEEP
    assert told.left_s == pytest.approx(2 * H, abs=120)
    assert judged(salmon, 50.0, steady(50.0, 4.5)).decision is Decision.BIN


def test_vegetables_have_no_come_up_clock() -> None:
    told = judged(asked("carrot", slab(0.02), set_point_C=85.0), 85.0, failing(85.0, 8.0, 1.0))
    assert told.decision in (Decision.BIN, Decision.KEEP)
    assert told.pasteurised is None


@pytest.mark.parametrize("authority", list(Authority))
def test_every_authority_answers(authority: Authority) -> None:
    request = asked("chicken breast", slab(0.03), set_point_C=62.0, authority=authority)
    assert judged(request, 62.0, failing(62.0, 14.0, 3.0)).decision is Decision.BIN


def test_bands_add_up_to_the_whole_time() -> None:
    told = judged(CHUCK, 57.0, failing(57.0, 9.0, 5.0))
    assert sum(b.best_s for b in told.bands) == pytest.approx(9 * H, rel=1e-6)
    for band in told.bands[:-1]:
        assert band.worst_s >= band.best_s - 1e-6
    assert told.bands[-1].worst_s <= told.bands[-1].best_s + 1e-6


def carried_out(cooked: AsCooked, told: Judged) -> Judged:
    """The verdict after doing as it says, the bath warming and holding as it assumed."""
    assert told.finish is not None
    now = cooked.until_s
    t, y = cooked.worst_bath
    after = np.array([told.finish.warm_up_s, told.finish.from_now_s]) + now
    level = told.finish.set_point_C
    bath = (np.append(t[t < now], [now, *np.arange(after[0], after[1] + 61, 60.0)]),)
    values = np.append(y[t < now], [y[-1], *np.full(bath[0].size - int((t < now).sum()) - 1, level)])
    again = as_cooked(cooked.request, level, until_s=float(bath[0][-1]), bath=(bath[0], values), held_s=inf)
    return verdict(again, cooked.request.subject, cooked.request.authority)


@pytest.mark.parametrize("bath", [steady(47.0, 2.0), late(60.0, 2.0, 1.0), failing(60.0, 3.0, 1.0, fades_h=3.0)])
def test_doing_as_told_leads_to_keep(bath: Pair) -> None:
    filled = (np.arange(0.0, bath[0][-1] + 1, 60.0),)
    pair = (filled[0], np.interp(filled[0], *bath))
    cooked = as_cooked(CHICKEN, 60.0, until_s=float(pair[0][-1]), bath=pair)
    told = verdict(cooked, CHICKEN.subject, CHICKEN.authority)
    assert told.decision is Decision.FINISH
    assert carried_out(cooked, told).decision in (Decision.KEEP, Decision.FINISH)


@settings(max_examples=12, deadline=None)
@given(fails_h=st.floats(0.5, 6.0), fades_h=st.floats(1.0, 10.0), longer_h=st.floats(0.0, 4.0))
def test_waiting_never_makes_it_better(fails_h: float, fades_h: float, longer_h: float) -> None:
    """Once the answer is bin, it stays bin however long one waits."""
    bath = failing(60.0, 14.0, fails_h, fades_h=fades_h)
    first = fails_h + 4.0
    told = [
        judged(CHICKEN, 60.0, (bath[0][bath[0] <= h * H], bath[1][bath[0] <= h * H])) for h in (first, first + longer_h)
    ]
    if told[0].decision is Decision.BIN:
        assert told[1].decision is Decision.BIN


@settings(max_examples=12, deadline=None)
@given(fails_h=st.floats(1.0, 5.0), gap_h=st.floats(0.2, 4.0))
def test_knowing_less_never_makes_it_better(fails_h: float, gap_h: float) -> None:
    """A series with a hole is never judged kinder than the whole one."""
    order = (Decision.KEEP, Decision.FINISH, Decision.BIN)
    whole = failing(60.0, 9.0, fails_h, fades_h=5.0)
    holed = without(whole, fails_h + 0.5, min(fails_h + 0.5 + gap_h, 8.9))
    assert order.index(judged(CHICKEN, 60.0, holed).decision) >= order.index(judged(CHICKEN, 60.0, whole).decision)


def test_nothing_is_called_safe() -> None:
    for bath in (steady(57.0, 5.0), failing(57.0, 12.0, 3.0), steady(47.0, 3.0)):
        told = judged(CHUCK, 57.0, bath)
        text = " ".join([told.sentence, told.pasteurised_said, *told.why])
        assert not re.search(r"\bsafe\b", text, re.IGNORECASE)
        assert "local food code" in text
        assert told.rules


def test_a_cook_of_the_log() -> None:
    events = tuple(
        Event(happening, EVENING + timedelta(hours=h), EVENING + timedelta(hours=h))
        for happening, h in ((Happening.DROPPED_IN, 0), (Happening.BATH_OFF, 6), (Happening.BATH_ON, 8))
    )
    cook = Cook("food=chuck", EVENING, "chuck", "beef-chuck", 57.0, 0.045, 24 * H, events)
    start = EVENING.timestamp()
    bath = (start + np.array([2.0, 8.0, 9.0]) * H, np.array([57.0, 47.0, 57.0]))
    nothing = (np.zeros(0), np.zeros(0))
    cooked, told = judge_cook(cook, COVERED, now=EVENING + timedelta(hours=10), bath=bath, core=nothing)
    assert cooked.gaps[0].start_s == 6 * H
    assert told.decision is Decision.KEEP
    later = bath[0][[0]], bath[1][[0]]
    unread, dawn = judge_cook(cook, COVERED, now=EVENING + timedelta(hours=14), bath=later, core=nothing)
    assert dawn.decision is Decision.BIN
    assert "once a reading shows it" in " ".join(unread.assumed)
    with pytest.raises(ValueError, match="not dropped in"):
        judge_cook(
            Cook("food=chuck", EVENING, "chuck", "beef-chuck", 57.0, 0.045, 1.0),
            CHUCK,
            now=EVENING,
            bath=nothing,
            core=nothing,
        )


def test_a_raised_set_point_counts_for_nothing_it_has_not_shown() -> None:
    """Set an hour ago to 65 degC after hours at 54: the cook is not judged as one at 65 from drop-in."""

    def set_points(*told: tuple[float, float]) -> float:
        events = (
            Event(Happening.DROPPED_IN, EVENING, EVENING),
            *(
                Event(Happening.SET_POINT, EVENING + timedelta(hours=h), EVENING + timedelta(hours=h), value_C=c)
                for h, c in told
            ),
        )
        cook = Cook("food=chuck", EVENING, "chuck", "beef-chuck", 54.0, 0.045, 24 * H, events)
        nothing = (np.zeros(0), np.zeros(0))
        return judge_cook(cook, CHUCK, now=EVENING + timedelta(hours=5), bath=nothing, core=nothing)[0].set_point_C

    assert set_points((4.0, 65.0)) == 54.0
    assert set_points((2.0, 52.0), (4.0, 65.0)) == 52.0
    assert set_points((-1.0, 60.0)) == 60.0
    assert set_points((6.0, 50.0)) == 54.0
