"""Properties every lethality integral has, whatever the table."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from corebath.safety import LethalityRule, growth_log10, growth_models, lethality_rules, log10_reduction

Floats = NDArray[np.float64]
RULES = sorted(lethality_rules())

temperatures = st.lists(st.floats(-20.0, 95.0), min_size=2, max_size=25)
steps = st.floats(0.5, 4000.0)


def history(core: list[float], step_s: float) -> tuple[Floats, Floats]:
    return np.arange(len(core), dtype=np.float64) * step_s, np.array(core, dtype=np.float64)


def by_brute_force(rule: LethalityRule, t: Floats, T: Floats) -> float:
    fine = np.linspace(t[0], t[-1], 400_001)
    return float(np.trapezoid(rule.rate_per_s(np.interp(fine, t, T)), fine))


@given(core=temperatures, step_s=steps, name=st.sampled_from(RULES))
def test_achieved_never_falls(core: list[float], step_s: float, name: str) -> None:
    done = lethality_rules()[name].achieved(*history(core, step_s))
    assert done[0] >= 0.0
    assert np.all(np.diff(done) >= -1e-12 * (1.0 + done[-1]))


@given(core=temperatures, step_s=steps, rise=st.floats(0.0, 20.0), name=st.sampled_from(RULES))
def test_a_hotter_history_never_earns_less(core: list[float], step_s: float, rise: float, name: str) -> None:
    t, T = history(core, step_s)
    rule = lethality_rules()[name]
    assert np.all(rule.achieved(t, T + rise) >= rule.achieved(t, T) * (1 - 1e-7) - 1e-12)


@given(core=temperatures, step_s=steps, where=st.floats(0.01, 0.99), name=st.sampled_from(RULES))
def test_two_parts_add_up_to_the_whole(core: list[float], step_s: float, where: float, name: str) -> None:
    rule = lethality_rules()[name]
    top = 95.0 if rule.instant_C is None else rule.instant_C - 0.01  # being met at once does not add up
    t, T = history(core, step_s)
    T = np.minimum(T, top)
    cut = float(where * t[-1])
    at = np.interp(cut, t, T)
    before, after = t < cut, t > cut
    first = rule.achieved(np.append(t[before], cut), np.append(T[before], at))[-1]
    second = rule.achieved(np.append(cut, t[after]), np.append(at, T[after]))[-1]
    assert first + second == pytest.approx(rule.achieved(t, T)[-1], rel=1e-6, abs=1e-9)


@given(core=temperatures, step_s=steps, name=st.sampled_from(RULES))
def test_below_the_lowest_row_nothing_is_earned(core: list[float], step_s: float, name: str) -> None:
    rule = lethality_rules()[name]
    t, T = history(core, step_s)
    T = np.minimum(T, rule.lowest_C - 1e-6)
    assert rule.achieved(t, T)[-1] == 0.0
    assert rule.met_at_s(t, T) is None


@given(core=temperatures, step_s=steps, name=st.sampled_from(RULES))
def test_met_at_is_where_the_fraction_passes_one(core: list[float], step_s: float, name: str) -> None:
    rule = lethality_rules()[name]
    t, T = history(core, step_s)
    done, at = rule.achieved(t, T), rule.met_at_s(t, T)
    if at is None:
        assert done[-1] < 1.0
    else:
        assert done[-1] >= 1.0
        i = int(np.argmax(done >= 1.0))
        assert t[max(i - 1, 0)] - 1e-6 <= at <= t[i] + 1e-6


@pytest.mark.parametrize("name", ["fsis-meat-6.5log", "fsis-chicken-7log-12pct", "dz-meat-stec", "uk-70c-2min"])
def test_the_integral_is_exact_for_a_polyline(name: str) -> None:
    rule = lethality_rules()[name]
    t = np.array([0.0, 1800.0, 3000.0, 3000.0, 5400.0, 7200.0])
    T = np.array([4.0, 52.0, 61.3, 61.3, 64.2, 50.0])
    assert rule.achieved(t, T)[-1] == pytest.approx(by_brute_force(rule, t, T), rel=1e-4)


def test_met_at_agrees_with_a_fine_sampling() -> None:
    rule = lethality_rules()["fsis-meat-6.5log"]
    t, T = np.array([0.0, 1800.0, 3600.0]), np.array([4.0, 54.0, 62.0])
    fine = np.linspace(0.0, 3600.0, 200_001)
    done = rule.achieved(fine, np.interp(fine, t, T))
    assert rule.met_at_s(t, T) == pytest.approx(float(np.interp(1.0, done, fine)), abs=1.0)


def test_leading_axes_are_kept_and_agree_with_one_by_one() -> None:
    rule = lethality_rules()["fsis-meat-6.5log"]
    t = np.linspace(0.0, 9000.0, 250)
    cores = 60.0 - 56.0 * np.exp(-t / np.linspace(900.0, 2400.0, 6).reshape(2, 3, 1))
    together = rule.achieved(t, cores)
    assert together.shape == (2, 3, 250)
    for i in range(2):
        for j in range(3):
            np.testing.assert_allclose(together[i, j], rule.achieved(t, cores[i, j]), rtol=1e-12)


def test_above_the_last_row_its_hold_time_stands() -> None:
    rule = lethality_rules()["uk-70c-2min"]
    assert rule.hold_s([80.0, 95.0]).tolist() == pytest.approx([6.0, 6.0])


def test_met_at_once_lifts_the_fraction_to_one_and_no_further() -> None:
    rule = lethality_rules()["food-code-74c"]
    assert rule.achieved([0.0, 10.0, 20.0], [70.0, 74.0, 60.0]).tolist() == [0.0, 1.0, 1.0]
    assert rule.met_at_s([0.0, 10.0, 20.0], [72.0, 76.0, 60.0]) == pytest.approx(5.0)
    assert float(rule.hold_s(74.0)) == 0.0


@pytest.mark.parametrize(
    ("time_s", "core_C", "says"),
    [
        ([0.0, 1.0], [60.0], "do not fit"),
        ([0.0, 2.0, 1.0], [60.0] * 3, "never fall"),
        ([0.0, np.nan], [60.0] * 2, "not a number"),
        ([0.0, 1.0], [60.0, np.inf], "not a number"),
        ([], [], "do not fit"),
    ],
)
def test_a_broken_history_is_refused(time_s: list[float], core_C: list[float], says: str) -> None:
    with pytest.raises(ValueError, match=says):
        lethality_rules()["fsis-meat-6.5log"].achieved(time_s, core_C)
    with pytest.raises(ValueError, match=says):
        growth_log10(time_s, core_C, growth_models()["c-perfringens-meat"])


@pytest.mark.parametrize(
    ("temps", "dwell", "instant", "says"),
    [
        ((), (), None, "needs a row"),
        ((60.0, 59.0), (10.0, 5.0), None, "temperatures must rise"),
        ((60.0, 61.0), (10.0, 10.0), None, "hold times must fall"),
        ((60.0,), (0.0,), None, "above zero"),
        ((60.0,), (10.0,), 60.0, "instant temperature"),
        ((60.0,), (), None, "every row"),
    ],
)
def test_a_broken_table_is_refused(
    temps: tuple[float, ...], dwell: tuple[float, ...], instant: float | None, says: str
) -> None:
    with pytest.raises(ValueError, match=says):
        LethalityRule("key", "title", "body", None, "source", temps, dwell, instant)


@pytest.mark.parametrize(("D_ref_s", "z_K", "floor_C"), [(0.0, 5.0, 55.0), (60.0, -1.0, 55.0), (60.0, 5.0, 70.0)])
def test_impossible_heat_resistance_is_refused(D_ref_s: float, z_K: float, floor_C: float) -> None:
    with pytest.raises(ValueError, match="must"):
        log10_reduction([0, 1], [60, 60], D_ref_s=D_ref_s, T_ref_C=60, z_K=z_K, floor_C=floor_C, ceiling_C=66)


@given(core=temperatures, step_s=steps, key=st.sampled_from(sorted(growth_models())))
def test_growth_never_falls_and_stops_outside_its_range(core: list[float], step_s: float, key: str) -> None:
    model = growth_models()[key]
    t, T = history(core, step_s)
    assert np.all(np.diff(growth_log10(t, T, model)) >= -1e-12)
    assert growth_log10(t, np.maximum(T, model.Tmax_C), model)[-1] == pytest.approx(0.0, abs=1e-12)
    assert growth_log10(t, np.minimum(T, model.Tmin_C), model)[-1] == pytest.approx(0.0, abs=1e-12)
