"""Come-up, holds, outages and cooling, judged on made-up histories whose times are known by construction."""

from __future__ import annotations

import numpy as np
import pytest

from corebath.heat.history import History
from corebath.safety import (
    Authority,
    Finding,
    Subject,
    Verdict,
    cooling_limits,
    cooling_times,
    judge,
)
from corebath.safety.check_times import bath_C
from corebath.safety.cooling import warm_parts

BEEF = Subject("beef", fat=0.1, seared=True)


def path(*knots: tuple[float, float]) -> History:
    """A piece without gradient that follows straight lines between (hours, degrees)."""
    t = 3600.0 * np.unique(np.concatenate([np.linspace(0, knots[-1][0], 2001), [k[0] for k in knots]]))
    core = np.interp(t, [3600.0 * k[0] for k in knots], [k[1] for k in knots])
    return History(t, core, core, core, core, np.zeros(t.size, np.intp), ("bath",))


def found(history: History, key: str, authority: Authority = Authority.US, subject: Subject = BEEF) -> Finding:
    return next(f for f in judge(history, subject, authority) if f.rule == key)


def test_come_up_on_both_sides_of_six_hours() -> None:
    # 10 to 54.4 is 44.4 of 56 K; the whole rise is scaled so that this part takes 5.9 or 6.1 h.
    for hours, verdict in ((5.9, Verdict.MET), (6.1, Verdict.NOT_MET)):
        rise = hours * 56.0 / 44.4
        finding = found(path((0, 4), (rise, 60), (rise + 2, 60)), "fsis-come-up")
        assert (finding.verdict, finding.binding) == (verdict, True)


def test_a_hold_below_the_tables() -> None:
    two = path((0, 4), (0.5, 52), (1.8, 52))
    long = path((0, 4), (0.5, 52), (3.0, 52))
    too_long = path((0, 4), (0.5, 52), (4.5, 52))
    assert found(two, "hold-below-practice").verdict is Verdict.MET
    practice = found(long, "hold-below-practice")
    assert (practice.verdict, practice.binding) == (Verdict.NOT_MET, False)
    assert "C. perfringens" in practice.why
    assert found(long, "food-code-4h").verdict is Verdict.MET
    code = found(too_long, "food-code-4h")
    assert (code.verdict, code.binding) == (Verdict.NOT_MET, True)


def test_the_four_hour_rule_is_only_told_when_the_core_gets_hot() -> None:
    finding = found(path((0, 4), (5.5, 57), (8, 57)), "food-code-4h")
    assert (finding.verdict, finding.binding) == (Verdict.NOT_MET, False)


def test_a_piece_that_was_warm_before_has_an_unknown_clock() -> None:
    finding = found(path((0, 25), (1, 57), (8, 57)), "food-code-4h")
    assert finding.verdict is Verdict.NOT_KNOWN
    assert "{25|C}" in finding.why
    raw = found(path((0, 12), (0.5, 45), (1.5, 45)), "food-code-4h")
    assert (raw.verdict, raw.binding) == (Verdict.NOT_KNOWN, True)
    assert found(path((0, 12), (0.5, 45), (5, 45)), "food-code-4h").verdict is Verdict.NOT_MET


def test_warm_food_loses_the_assumption_of_the_fridge_and_its_come_up_is_not_known() -> None:
    cold, warm = path((0, 4), (1, 57), (2, 57)), path((0, 25), (1, 57), (2, 57))
    assert any("kept at or below" in a for a in found(cold, "food-code-4h").assumptions)
    assert not any("kept at or below" in a for a in found(warm, "food-code-4h").assumptions)
    assert found(cold, "fsis-come-up").verdict is Verdict.MET
    rise = found(warm, "fsis-come-up")
    assert (rise.verdict, rise.binding) == (Verdict.NOT_KNOWN, False)
    assert "{25|C}" in rise.why
    slow = found(path((0, 12), (7, 57), (8, 57)), "fsis-come-up")
    assert (slow.verdict, slow.binding) == (Verdict.NOT_MET, True)
    below = found(warm, "nsw-6h-below-54.5c", Authority.AU)
    assert (below.verdict, below.binding) == (Verdict.NOT_KNOWN, False)


@pytest.mark.parametrize("key", ["fsis-come-up", "outage"])
def test_rules_of_hot_cores_do_not_speak_of_a_core_that_never_is_hot(key: str) -> None:
    finding = found(path((0, 4), (0.5, 45), (1, 45)), key)
    assert (finding.verdict, finding.binding) == (Verdict.NOT_KNOWN, False)
    assert "does not speak of it" in finding.why


def test_the_time_from_the_pull_to_the_table_counts_for_food_that_was_never_hot() -> None:
    cool, hot = path((0, 4), (0.5, 52), (3.9, 52)), path((0, 4), (3.5, 57), (3.9, 57))

    def clock(history: History, key: str, after_s: float) -> Finding:
        findings = judge(history, BEEF, Authority.US, after_s=after_s)
        return next(f for f in findings if f.rule == key)

    assert clock(cool, "food-code-4h", 0.0).verdict is Verdict.MET
    late = clock(cool, "food-code-4h", 900.0)
    assert (late.verdict, late.binding) == (Verdict.NOT_MET, True)
    assert "{900|s} from the pull to the table" in late.why
    assert any("nothing of it is kept" in a for a in late.assumptions)
    assert clock(hot, "food-code-4h", 900.0).verdict is Verdict.MET
    quick = path((0, 4), (0.5, 52), (1.9, 52))
    assert clock(quick, "hold-below-practice", 0.0).verdict is Verdict.MET
    assert clock(quick, "hold-below-practice", 900.0).verdict is Verdict.NOT_MET


@pytest.mark.parametrize(("set_C", "verdict"), [(55.0, Verdict.MET), (54.5, Verdict.NOT_MET)])
def test_the_lowest_bath_is_read_off_the_set_point_where_it_is_known(set_C: float, verdict: Verdict) -> None:
    history = path((0, 4), (1, 54.7), (8, 54.7))
    findings = judge(history, BEEF, Authority.AU, bath_C=set_C)
    finding = next(f for f in findings if f.rule == "nsw-bath-55c")
    assert finding.verdict is verdict
    assert f"{{{set_C:g}|C}}" in finding.why


def test_a_lower_limit_is_printed_no_lower_than_it_is() -> None:
    # 136 F, the first row of this column, is 57.78 C: printed as 57.7 it would read as a lower limit.
    chicken = Subject("chicken", fat=0.005)
    finding = found(path((0, 4), (1, 55), (2, 55)), "fsis-chicken-7log-1pct", subject=chicken)
    assert "{57.8|C}" in finding.why
    assert "{57.7|C}" not in finding.why


def test_growth_while_cooling_is_not_known_where_nothing_cools() -> None:
    key = "c-perfringens-cooling"
    hot, cooled = (found(path((0, 4), (1, 57), (8, 57), *more), key) for more in ((), ((9, 3),)))
    assert (hot.verdict, hot.binding) == (Verdict.NOT_KNOWN, False)
    assert "does not cool" in hot.why
    assert cooled.verdict is Verdict.MET


def test_a_hot_hold_may_last() -> None:
    for f in judge(path((0, 4), (1, 57), (48, 57)), BEEF, Authority.US):
        if f.rule in ("fsis-come-up", "hold-below-practice", "food-code-4h", "outage"):
            assert f.verdict is Verdict.MET


@pytest.mark.parametrize(("gap_h", "verdict"), [(3.8, Verdict.MET), (4.2, Verdict.NOT_MET)])
def test_an_outage_counts_from_hot_to_hot(gap_h: float, verdict: Verdict) -> None:
    # Falls from 54.4 to 45 and back in `gap_h`; the rest of the way between 54.4 and 57 is quick.
    outage = path((0, 4), (1, 57), (3, 57), (3.01, 54.4), (3.01 + gap_h / 2, 45), (3.01 + gap_h, 54.4), (9, 57))
    finding = found(outage, "outage")
    assert (finding.verdict, finding.binding) == (verdict, True)


def test_chilling_and_reheating_is_no_outage() -> None:
    lunch = path((0, 4), (1, 62), (3, 62), (4, 20), (5, 3), (30, 3), (31, 60), (32, 60))
    parts = warm_parts(lunch)
    assert len(parts) == 2
    assert parts[0].duration_s == parts[1].time_s[0]
    chicken = Subject("chicken", fat=0.02)
    assert found(lunch, "outage", subject=chicken).verdict is Verdict.MET
    assert found(lunch, "food-code-cooling", subject=chicken).verdict is Verdict.MET
    assert found(lunch, "food-code-4h", subject=chicken).verdict is Verdict.MET


def test_a_lukewarm_reheat_is_found_in_its_own_part() -> None:
    lunch = path((0, 4), (1, 62), (3, 62), (4, 20), (5, 3), (30, 3), (31, 45), (36, 45))
    finding = found(lunch, "food-code-4h", subject=Subject("chicken", fat=0.02))
    assert (finding.verdict, finding.binding) == (Verdict.NOT_MET, True)


def test_cooling_times_are_read_at_the_crossings() -> None:
    # From 57 C straight down: 36 K to 21 C in 1 h, then 16 K to 5 C in 2 h.
    history = path((0, 4), (1, 57), (2, 57), (3, 21), (5, 5), (6, 3))
    first, total = cooling_times(history, cooling_limits("food-code-cooling"))
    # the peak is 57 C, so the stage begins half a kelvin below it
    assert first.elapsed_s == pytest.approx(3600.0 * 35.5 / 36.0, rel=1e-6)
    assert total.elapsed_s == pytest.approx(3600.0 * (35.5 / 36.0 + 2.0), rel=1e-6)
    assert first.kept
    assert total.kept


@pytest.mark.parametrize(
    ("first_h", "second_h", "verdict", "binds"),
    [
        (1.9, 3.9, Verdict.MET, True),
        (2.2, 2.0, Verdict.NOT_MET, True),
        (1.5, 5.0, Verdict.NOT_MET, True),
    ],
)
def test_food_code_cooling(first_h: float, second_h: float, verdict: Verdict, binds: bool) -> None:
    history = path((0, 4), (1, 60), (2, 60), (2.01, 57), (2 + first_h, 21), (2 + first_h + second_h, 5), (12, 2))
    finding = found(history, "food-code-cooling")
    assert (finding.verdict, finding.binding) == (verdict, binds)


def test_unfinished_cooling_is_not_known_and_overrun_cooling_is_not_met() -> None:
    early = found(path((0, 4), (1, 60), (2, 60), (3, 40)), "food-code-cooling")
    late = found(path((0, 4), (1, 60), (2, 60), (5, 40)), "food-code-cooling")
    hot = found(path((0, 4), (1, 60), (2, 60)), "food-code-cooling")
    assert (early.verdict, early.binding) == (Verdict.NOT_KNOWN, False)
    assert (late.verdict, late.binding) == (Verdict.NOT_MET, True)
    assert (hot.verdict, hot.binding) == (Verdict.NOT_KNOWN, False)


def test_victoria_and_new_south_wales() -> None:
    short = path((0, 4), (1, 57), (5, 57))
    long = path((0, 4), (1, 57), (9, 57))
    cool = path((0, 4), (1, 53), (3, 53))
    assert found(short, "victoria-6h-cook", Authority.AU).verdict is Verdict.MET
    told = found(long, "victoria-6h-cook", Authority.AU)
    assert (told.verdict, told.binding) == (Verdict.NOT_MET, False)
    bath = found(cool, "nsw-bath-55c", Authority.AU)
    assert (bath.verdict, bath.binding) == (Verdict.NOT_MET, True)
    assert found(short, "nsw-6h-below-54.5c", Authority.AU).verdict is Verdict.MET
    below = found(path((0, 4), (1, 52), (8, 52)), "nsw-6h-below-54.5c", Authority.AU)
    assert (below.verdict, below.binding) == (Verdict.NOT_MET, True)


def test_growth_without_lag_is_met_or_not_known_and_never_binds() -> None:
    quick = found(path((0, 4), (0.3, 57), (2, 57)), "c-perfringens-come-up")
    slow = found(path((0, 4), (5, 57), (7, 57)), "c-perfringens-come-up")
    assert (quick.verdict, quick.binding) == (Verdict.MET, False)
    assert (slow.verdict, slow.binding) == (Verdict.NOT_KNOWN, False)


def test_the_bath_is_found_between_fridge_and_pan() -> None:
    t = np.array([0.0, 3600.0, 3600.0, 9000.0, 9000.0, 9120.0, 9120.0, 12000.0])
    ambient = np.array([4.0, 4.0, 56.0, 56.0, 230.0, 230.0, 22.0, 22.0])
    core = np.full_like(t, 20.0)
    whole = History(t, core, core, core, ambient, np.zeros(t.size, np.intp), ("all",))
    assert bath_C(whole) == 56.0
    assert bath_C(whole.until(3000.0)) is None


def test_an_unknown_cooling_rule_is_refused() -> None:
    with pytest.raises(ValueError, match="not known"):
        cooling_limits("moon-cooling")
