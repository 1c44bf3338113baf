"""Readings of made-up histories: what applies, what is said, and what is left open."""

from __future__ import annotations

import re

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from corebath.heat.history import History
from corebath.outcome import doneness, egg, tenderness, vegetables
from corebath.outcome.estimate import Estimate
from corebath.outcome.hold import arrhenius, integral, sustained_hold
from corebath.outcome.reading import read_outcome
from corebath.outcome.results import find_result
from corebath.units import METRIC, render


def history(*points: tuple[float, float], ambient_C: float | None = None) -> History:
    """A core temperature in straight lines between (hour, degC) points."""
    t = np.array([hour * 3600.0 for hour, _ in points])
    core = np.array([value for _, value in points])
    ambient = np.full_like(core, core.max() if ambient_C is None else ambient_C)
    return History(t, core, core, ambient, ambient, np.zeros(t.size, np.intp), ("bath",))


def flat(core_C: float, hours: float) -> History:
    return history((0.0, core_C), (hours, core_C))


def read(cook: History, texture: str, kind: str, wanted: str | None = None) -> dict[str, Estimate]:
    result = find_result(texture, wanted) if wanted else None
    return {e.name: e for e in read_outcome(cook, texture, kind, result)}


def test_a_hold_is_read_without_its_warm_up() -> None:
    hold = sustained_hold(history((0, 4), (1, 56), (3, 56), (4, 10)))
    assert hold.core_C == pytest.approx(56.0)
    assert hold.hours == pytest.approx(2.0 + 1 / 52 + 1 / 46)


def test_a_short_peak_is_not_the_hold() -> None:
    hold = sustained_hold(history((0, 4), (1, 56), (3, 56), (3.05, 62), (3.1, 56), (3.2, 20)))
    assert hold.core_C == pytest.approx(56.0, abs=0.7)


def test_only_the_hottest_step_counts() -> None:
    hold = sustained_hold(history((0, 50), (4, 50), (4.5, 60), (6.5, 60)))
    assert hold.core_C == pytest.approx(60.0)
    assert hold.hours == pytest.approx(2.05)


def test_integral_along_a_ramp_agrees_with_a_general_solver() -> None:
    # Independent: scipy's solver on dy/dt = rate(T(t)), steepest rate of the room, two rows for 60 K.
    t, T = np.array([0.0, 3600.0]), np.array([10.0, 70.0])

    def rate(
        x: np.ndarray[tuple[int, ...], np.dtype[np.float64]],
    ) -> np.ndarray[tuple[int, ...], np.dtype[np.float64]]:
        return arrhenius(x, 470.0, 63.0)

    solved = solve_ivp(lambda s, _: rate(np.interp(np.array([s]), t, T)), (0.0, 3600.0), [0.0], rtol=1e-9, atol=1e-9)
    assert integral(t, T, rate) == pytest.approx(float(solved.y[0, -1]), rel=1e-6)


def test_flat_histories_give_the_isothermal_models() -> None:
    assert doneness.pigment_browned_along(flat(57, 4)) == pytest.approx(float(doneness.pigment_browned(57, 4)))
    left = vegetables.firmness_along(flat(85, 1), "root-vegetable")
    assert left == pytest.approx(float(vegetables.firmness("root-vegetable", 85, 1)))
    assert tenderness.done_share(flat(66, 10)) == pytest.approx(10 / tenderness.tough_done_hours(66)[0])
    assert egg.yolk_minutes_along(flat(63, 1)) == pytest.approx(60.0)


def test_steak_is_read_in_full() -> None:
    steak = read(history((0, 4), (1, 56), (3, 56)), "tender-red", "beef", "medium rare")
    assert list(steak) == ["result", "doneness", "pigment", "juiciness", "tenderness"]
    assert "inside the band of medium rare ({54|C} to {58|C})" in steak["result"].words
    assert steak["doneness"].words.startswith("Looks medium rare ({54|C} to {58|C})")
    assert all(e.known for e in steak.values())
    loss = steak["juiciness"]
    assert loss.value is not None
    assert loss.low == max(loss.value - 7, 0)
    assert loss.high == loss.value + 7


def test_short_and_long_holds_are_bounded_not_guessed() -> None:
    short = read(history((0, 4), (1, 56), (1.2, 56)), "tender-red", "beef")["juiciness"]
    assert (short.value, short.low, short.known) == (None, None, False)
    assert "at most" in short.words
    long = read(flat(57, 48), "tough-red", "beef")["juiciness"]
    assert (long.value, long.high, long.known) == (None, None, False)
    assert "at least" in long.words


def test_tough_cut_comes_done() -> None:
    assert read(flat(78, 3), "tough-red", "beef")["tenderness"].words.startswith("Far from done")
    done = read(flat(78, 14), "tough-red", "beef")["tenderness"]
    assert done.value == 1.0
    assert done.words.startswith("Done")
    over = read(flat(78, 30), "tough-red", "beef")["tenderness"]
    assert "mushy" in over.words
    assert not read(flat(54, 30), "tough-red", "beef")["tenderness"].known
    assert not read(flat(88, 3), "tough-red", "beef")["tenderness"].known


def test_what_does_not_apply_is_absent_and_what_is_not_known_says_so() -> None:
    assert set(read(flat(63, 1), "egg-in-shell", "egg")) == {"yolk", "white"}
    assert set(read(flat(85, 1), "root-vegetable", "vegetable")) == {"firmness"}
    assert set(read(flat(57, 1), "crustacean", "shellfish")) == {"tenderness"}
    duck = read(flat(57, 2), "duck-breast", "duck")
    assert "pigment" not in duck
    assert not duck["tenderness"].known
    assert "no duck measured" in duck["juiciness"].basis
    assert not read(flat(88, 1), "potato", "vegetable")["firmness"].known
    assert not read(flat(42, 1), "tender-red", "beef")["tenderness"].known
    assert not read(flat(41, 1), "tender-red", "beef")["doneness"].known


def test_carrots_at_steak_temperature_are_refused() -> None:
    carrots = read(flat(54, 2), "root-vegetable", "vegetable", "tender")
    assert not carrots["firmness"].known
    assert "below the band" in carrots["result"].words


def test_eggs_are_judged_by_their_water() -> None:
    short = history((0, 4), (0.23, 60), ambient_C=75.0)
    eggs = read(short, "egg-in-shell", "egg", "runny yolk")
    assert "The water held {75|C}, inside the band" in eggs["result"].words
    assert not eggs["yolk"].known
    assert read(flat(63, 1), "egg-in-shell", "egg")["yolk"].words.startswith("Yolk like mayonnaise")
    assert read(flat(60.5, 0.6), "egg-in-shell", "egg")["yolk"].words.startswith("Yolk thinner than")
    assert not read(flat(63, 0.4), "egg-in-shell", "egg")["yolk"].known


@pytest.mark.parametrize(("hours", "said"), [(0.5, "shorter than"), (2.0, "inside"), (5.0, "longer than")])
def test_the_texture_window_is_compared(hours: float, said: str) -> None:
    assert (
        f"is {said} its usual texture window"
        in read(flat(56, hours), "tender-red", "beef", "medium rare")["result"].words
    )


def test_the_grill_scale_is_a_choice() -> None:
    readings = read_outcome(flat(60, 1), "tender-red", "beef", scale=doneness.Scale.GRILL)
    assert readings[0].words.startswith("Looks rare ({57|C} to {61.5|C})")
    assert "Prill" in readings[0].source


def test_words_carry_quantities_as_marks_and_never_say_safe() -> None:
    for texture, kind in (("tender-red", "beef"), ("tough-red", "lamb"), ("oily-fish", "fish")):
        for e in read_outcome(history((0, 4), (1, 56), (3, 56)), texture, kind):
            assert not re.search(r"\d\s*(°|C\b|h\b|min\b)", re.sub(r"\{[^}]*\}", "", e.words))
            assert "{" not in render(e.words, METRIC)
            assert "safe" not in e.words
            assert e.basis
            assert e.source
