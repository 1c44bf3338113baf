"""What little or odd evidence is worth: fewer readings never earn a kinder verdict, and no reading of a broken sensor
counts for heat that a bath cannot have had.

Why: docs/decisions/0010-verdict.md. The traces are ours; 85 degC is what a common sensor reads as it wakes (value from
memory).
"""

from __future__ import annotations

from math import inf

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.unit.log.traces import H, Pair, steady
from tests.unit.plan.planning import asked, slab

from corebath.log.as_cooked import AsCooked, as_cooked
from corebath.log.faults import Failed
from corebath.log.gaps import Silence
from corebath.log.verdict import Decision, Judged, verdict

CHICKEN = asked("chicken breast", slab(0.03), set_point_C=60.0)
COOL = asked("chicken breast", slab(0.03), set_point_C=57.0)
ORDER = (Decision.KEEP, Decision.FINISH, Decision.BIN)


def logger(every_s: float, hours: float, value_C: float = 60.0) -> Pair:
    t = np.arange(0.0, hours * H + 1, every_s)
    return t, np.full(t.size, value_C)


def judged(bath: Pair, until_h: float | None = None, **told: object) -> tuple[AsCooked, Judged]:
    until_s = float(bath[0][-1]) if until_h is None else until_h * H
    cooked = as_cooked(CHICKEN, 60.0, until_s=until_s, bath=bath, logged=True, **told)  # type: ignore[arg-type]
    return cooked, verdict(cooked, CHICKEN.subject, CHICKEN.authority)


def pair(*read: tuple[float, float]) -> Pair:
    return np.array([h * H for h, _ in read]), np.array([c for _, c in read])


@pytest.mark.parametrize(
    ("bath", "until_h"),
    [
        (pair((0.0, 60.0)), 24.0),
        (pair((0.0, 60.0), (48.0, 60.0)), None),
        (pair((0.0, 60.0), (5.0, 60.0), (5.02, 60.0), (5.04, 60.0), (5.06, 60.0)), None),
        (logger(3600.0, 8.0), None),
        (logger(300.0, 3.0), 9.0),  # it ends six hours before the food is found
        (pair((-10.0, 60.0), (-9.9, 60.0)), 8.0),  # and so early that nothing of the cook is in it
    ],
)
def test_a_silence_is_a_gap_however_few_the_readings(bath: Pair, until_h: float | None) -> None:
    cooked, told = judged(bath, until_h)
    assert cooked.gaps
    assert told.decision is Decision.BIN
    assert told.pasteurised is False or cooked.gaps[0].start_s >= 3 * H
    assert told.doubt
    assert "even in the worst case" not in told.sentence


def test_a_logger_without_a_reading_before_the_end_is_refused() -> None:
    with pytest.raises(ValueError, match="no reading lies before"):
        judged(pair((5.0, 60.0)), 2.0)


def test_the_power_held_is_the_word_that_carries_a_last_reading_on() -> None:
    for bath in (logger(300.0, 3.0), logger(3600.0, 3.0)):
        assert judged(bath, 9.0)[1].decision is Decision.BIN
        assert judged(bath, 9.0, held_s=inf)[1].decision is Decision.KEEP
    cold = (logger(300.0, 3.0)[0], np.append(np.full(36, 60.0), 40.0))
    assert judged(cold, 12.0, held_s=inf)[1].decision is Decision.BIN


def test_a_look_in_a_silence_counts_as_a_reading() -> None:
    bath = pair(*((h / 12, 60.0) for h in range(36)), (9.0, 40.0))
    plain, seen = judged(bath)[0], judged(bath, seen_fine_s=8 * H)[0]
    assert len(plain.gaps) == 1
    assert [g.end_s for g in seen.gaps] == [8 * H, 9 * H]
    assert "counts as a reading" in " ".join(seen.assumed)
    beside = judged(bath, seen_fine_s=H + 60.0)[0]
    assert len(beside.gaps) == 1


@settings(max_examples=15, deadline=None)
@given(st.sets(st.integers(1, 95), max_size=90))
def test_dropping_rows_of_a_file_never_makes_it_better(dropped: set[int]) -> None:
    """Every five minutes for eight hours, and the same file with rows taken out."""
    t, y = logger(300.0, 8.0)
    kept = np.array([i not in dropped for i in range(t.size)])
    whole, thinned = judged((t, y))[1], judged((t[kept], y[kept]), 8.0)[1]
    assert ORDER.index(thinned.decision) >= ORDER.index(whole.decision)
    assert not thinned.pasteurised or whole.pasteurised


def test_a_slow_logger_is_no_silent_sensor() -> None:
    cooked = judged(logger(3600.0, 6.0))[0]
    assert {gap.kind for gap in cooked.gaps} == {Silence.BETWEEN}
    assert all("reads every {3600|s}" in gap.why for gap in cooked.gaps)
    missing = judged(pair(*((h, 60.0) for h in (0, 1, 2, 3, 6, 7, 8))))[0]
    assert [gap.kind for gap in missing.gaps].count(Silence.SENSOR) == 1


def spiked(rows: tuple[int, ...], every_s: float, value_C: float = 85.0, core: bool = False) -> AsCooked:
    t = np.arange(10) * every_s
    y = np.full(10, 57.0)
    y[list(rows)] = value_C
    place = {"core": (t, y)} if core else {"bath": (t, y)}
    return as_cooked(COOL, 57.0, until_s=float(t[-1]), logged=True, **place)  # type: ignore[arg-type]


@pytest.mark.parametrize("every_s", [60.0, 600.0])
@pytest.mark.parametrize("rows", [(5,), (5, 6), (0,), (9,), (2, 7)])
def test_an_absurd_reading_earns_nothing(rows: tuple[int, ...], every_s: float) -> None:
    plain, cooked = spiked((), every_s), spiked(rows, every_s)
    told, before = (verdict(c, COOL.subject, COOL.authority) for c in (cooked, plain))
    assert told.decision is before.decision
    assert told.pasteurised is before.pasteurised is False
    assert float(cooked.worst_bath[1].max()) <= 57.5
    same = np.interp(cooked.worst.time_s, plain.worst.time_s, plain.worst.core_C)
    assert float(np.max(cooked.worst.core_C - same)) < 0.5  # what a stirred bath may swing by
    said = " ".join(cooked.assumed)
    assert f"{{85|C}} {{{round(rows[0] * every_s)}|s}} after drop-in" in said


def test_an_absurd_core_reading_earns_nothing_either() -> None:
    cooked = spiked((5, 6), 600.0, core=True)
    assert cooked.only_core
    assert float(cooked.worst.core_C.max()) <= 57.5


def test_a_bath_that_is_too_hot_is_a_fault_and_has_its_price() -> None:
    t, y = steady(67.0, 5.0)
    cooked = as_cooked(COOL, 57.0, until_s=5 * H, bath=(t, y), logged=True)
    (fault,) = cooked.faults
    assert fault.kind is Failed.TOO_HOT
    assert fault.end_s is None
    assert cooked.cold_faults == ()
    told = verdict(cooked, COOL.subject, COOL.authority)
    assert any("cooked further" in line for line in told.why)
    at_60 = as_cooked(CHICKEN, 60.0, until_s=5 * H, bath=(t, y), logged=True)
    kept = verdict(at_60, CHICKEN.subject, CHICKEN.authority)
    assert kept.decision is Decision.KEEP
    assert "too hot" in kept.sentence
    assert "as planned" not in kept.sentence


def test_water_is_neither_ice_nor_steam() -> None:
    t, y = steady(60.0, 5.0)
    odd = y.copy()
    odd[100:102] = 149.0, -20.0
    cooked = as_cooked(CHICKEN, 60.0, until_s=5 * H, bath=(t, odd), logged=True)
    assert "2 readings of the bath are left out, the first {149|C}" in cooked.assumed[0]
    assert cooked.faults == ()
    high = asked("chicken breast", slab(0.03), set_point_C=60.0, altitude_m=3000.0)
    odd[100:102] = 97.0, 60.0
    assert "left out" in as_cooked(high, 60.0, until_s=5 * H, bath=(t, odd), logged=True).assumed[0]


def test_a_bath_that_fell_had_no_wrong_set_point() -> None:
    """At 60 degC for three hours, then at 40 until the end."""
    t = np.arange(0.0, 7 * H, 300.0)
    (fault,) = judged((t, np.where(t <= 3 * H, 60.0, 40.0)))[0].faults
    assert fault.kind is Failed.LOST_HEAT
    assert "fell" in fault.why


def test_food_that_was_not_cold_is_asked_about() -> None:
    warm = asked("chicken breast", slab(0.03), set_point_C=60.0, start_C=25.0)
    for hours in (0.5, 3.0):
        cooked = as_cooked(warm, 60.0, until_s=hours * H, bath=steady(60.0, hours), logged=True)
        told = verdict(cooked, warm.subject, warm.authority)
        assert told.decision is not Decision.BIN
        assert "dropped in at {25|C}" in told.sentence
        assert "not known" in told.sentence
    assert "dropped in at" not in judged(steady(60.0, 3.0))[1].sentence


def looked(*read: tuple[float, float], until_h: float, **told: object) -> tuple[AsCooked, Judged]:
    bath = pair(*read) if read else None
    cooked = as_cooked(CHICKEN, 60.0, until_s=until_h * H, bath=bath, **told)  # type: ignore[arg-type]
    return cooked, verdict(cooked, CHICKEN.subject, CHICKEN.authority)


def test_looks_that_found_nothing_wrong_are_trusted_and_not_called_a_worst_case() -> None:
    for read in ((), ((2.0, 60.0),)):
        cooked, told = looked(*read, until_h=6.0)
        assert cooked.known.on_trust
        assert told.decision is Decision.KEEP
        assert "if the bath held" in told.sentence
        assert "If the bath held" in told.pasteurised_said
        assert "worst case" not in told.sentence + told.pasteurised_said
        assert "no readings show" in " ".join(cooked.assumed)


def test_looks_after_a_fault_are_trusted_for_a_night_at_most_and_never_carried_forward() -> None:
    off = ((3.0 * H, 3.5 * H),)
    cooked, told = looked((3.5, 55.0), (4.0, 60.0), (10.0, 60.0), until_h=10.2, off=off)
    assert told.decision is Decision.KEEP
    assert [g.end_s for g in cooked.gaps] == [3.5 * H, 4.0 * H]
    later = looked((3.5, 55.0), (4.0, 60.0), (20.0, 60.0), until_h=20.2, off=off)
    assert later[1].decision is Decision.BIN
    unseen = looked((3.5, 55.0), (4.0, 60.0), until_h=10.2, off=off)
    assert unseen[0].gaps[-1].start_s == 4.0 * H
    assert unseen[1].decision is Decision.BIN
    assert looked((3.5, 55.0), (4.0, 60.0), until_h=10.2, off=off, held_s=inf)[1].decision is Decision.KEEP


@pytest.mark.parametrize("rhythm_s", [300.0, 3600.0])
def test_the_word_that_the_power_held_counts_for_what_lies_before_it(rhythm_s: float) -> None:
    """Silent from 3 h on, said at 8.9 h: believed for that silence from then on; for the one after it, half an hour."""
    bath = logger(rhythm_s, 3.0)
    assert judged(bath, 9.0)[1].decision is Decision.BIN
    for until_h in (9.0, 9.4):
        cooked, told = judged(bath, until_h, held_s=8.9 * H)
        assert told.decision is Decision.KEEP
        assert not cooked.faults
    cooked, told = judged(bath, 10.4, held_s=8.9 * H)
    assert cooked.faults
    assert cooked.gaps[-1].start_s == pytest.approx(8.9 * H)
    assert told.pasteurised is True
    assert judged(bath, 16.0, held_s=8.9 * H)[1].decision is Decision.BIN
    cold = (logger(300.0, 3.0)[0], np.append(np.full(36, 60.0), 40.0))
    assert judged(cold, 12.0, held_s=11.9 * H)[1].decision is Decision.BIN


def test_the_word_that_the_power_held_counts_after_looks_and_not_against_a_bath_said_to_be_off() -> None:
    off = ((3.0 * H, 3.5 * H),)
    seen = ((3.5, 55.0), (4.0, 60.0))
    assert looked(*seen, until_h=10.2, off=off)[1].decision is Decision.BIN
    assert looked(*seen, until_h=10.2, off=off, held_s=9.5 * H)[1].decision is not Decision.BIN
    again_off = (*off, (5.0 * H, None))
    assert looked(*seen, until_h=10.2, off=again_off, held_s=10.2 * H)[1].decision is Decision.BIN
