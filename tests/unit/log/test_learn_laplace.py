"""The normal curve at the mode, against dense grids and a general minimiser."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy.optimize import minimize
from scipy.special import expit

from corebath.log.learn_laplace import Answers, laplace, log_posterior

Floats = NDArray[np.float64]
CUTS = np.array([-np.inf, -1.5, -0.5, 0.5, 1.5, np.inf])


def answers(ratings: list[int], x: list[float], sd: float = 0.7) -> Answers:
    """Ratings at settings x of a straight line with two parameters."""
    r = np.array(ratings, dtype=np.intp) + 2
    rows = np.column_stack([-np.ones(len(x)), np.array(x)]).reshape(-1, 2)
    return Answers(rows, np.array(x), CUTS[r], CUTS[r + 1], np.full(len(x), sd))


def grid_log_posterior(a: Answers, prior: Floats, t0: Floats, t1: Floats) -> Floats:
    """The same written again, plainly, for a grid of both parameters."""
    u = a.offset + t0[:, None, None] * a.rows[:, 0] + t1[None, :, None] * a.rows[:, 1]
    scale = a.sd * np.sqrt(3) / np.pi
    share = expit((a.below - u) / scale) - expit((a.above - u) / scale)
    likely = np.log(np.maximum(share, 1e-300)).sum(axis=-1)
    return np.asarray(likely - 0.5 * (t0[:, None] / prior[0]) ** 2 - 0.5 * (t1[None, :] / prior[1]) ** 2)


CASES = [
    ([], []),
    ([-1], [-0.8]),
    ([-1, 0, 1], [-0.9, 0.1, 0.8]),
    ([-2, -1, 0, 0, 1, 1], [-1.5, -0.7, 0.0, 0.2, 0.6, 1.0]),
    ([2, 1, 1, 0, -1, -1, 0, 1, -2, 0], [1.8, 1.2, 0.7, 0.2, -0.6, -1.1, 0.4, 0.9, -1.6, -0.1]),
]


@pytest.mark.parametrize(("ratings", "x"), CASES, ids=[f"{len(r)} answers" for r, _ in CASES])
def test_mean_and_spread_against_dense_grid(ratings: list[int], x: list[float]) -> None:
    """Source: numerical integration of the same posterior, 801 x 801 points over six prior spreads (computed).

    A mode is not a mean: it may lie a quarter of a spread off, and the spread a tenth.
    """
    a, prior = answers(ratings, x), np.array([1.4, 0.8])
    mean, covariance = laplace(a, prior)
    t0, t1 = np.linspace(-8.4, 8.4, 801), np.linspace(-4.8, 4.8, 801)
    logp = grid_log_posterior(a, prior, t0, t1)
    p = np.exp(logp - logp.max())
    p /= p.sum()
    for i, (axis, marginal) in enumerate(((t0, p.sum(axis=1)), (t1, p.sum(axis=0)))):
        middle = float(axis @ marginal)
        spread = float(np.sqrt((axis - middle) ** 2 @ marginal))
        assert abs(mean[i] - middle) < 0.25 * spread
        assert covariance[i, i] ** 0.5 == pytest.approx(spread, rel=0.10)


def test_mode_against_general_minimiser() -> None:
    """Source: scipy.optimize.minimize (Nelder-Mead) on the plainly written posterior (computed)."""
    a, prior = answers(*CASES[-1]), np.array([1.4, 0.8])
    options = {"xatol": 1e-9, "fatol": 1e-12, "maxiter": 4000}
    found = minimize(  # type: ignore[call-overload]
        lambda t: -float(grid_log_posterior(a, prior, np.array([t[0]]), np.array([t[1]]))[0, 0]),
        np.zeros(2), method="Nelder-Mead", options=options,
    )  # fmt: skip
    np.testing.assert_allclose(laplace(a, prior)[0], found.x, atol=1e-6)
    assert log_posterior(found.x, a, prior) == pytest.approx(-found.fun, abs=1e-9)


@given(
    st.lists(st.tuples(st.integers(-2, 2), st.floats(-3, 3)), max_size=8),
    st.randoms(use_true_random=False),
)
@settings(deadline=None)
def test_order_of_answers_is_nothing(said: list[tuple[int, float]], random: object) -> None:
    prior, shuffled = np.array([1.4, 0.8]), list(said)
    random.shuffle(shuffled)  # type: ignore[attr-defined]
    one, other = (laplace(answers([r for r, _ in s], [x for _, x in s]), prior) for s in (said, shuffled))
    np.testing.assert_allclose(one[0], other[0], atol=1e-8)
    np.testing.assert_allclose(one[1], other[1], atol=1e-8)


@given(st.lists(st.tuples(st.integers(-2, 2), st.floats(-3, 3)), max_size=8), st.floats(-3, 3))
@settings(deadline=None)
def test_just_right_moves_nothing_away(said: list[tuple[int, float]], at: float) -> None:
    """A just-right answer pulls what is expected there towards just right, and never past it."""
    prior = np.array([1.4, 0.8])

    def expected(all_: list[tuple[int, float]]) -> float:
        theta, _ = laplace(answers([r for r, _ in all_], [x for _, x in all_]), prior)
        return float(at - theta[0] + at * theta[1])

    before, after = expected(said), expected([*said, (0, at)])
    assert abs(after) <= abs(before) + 1e-8
    assert after * before >= -1e-8


def test_far_answers_lose_no_digits() -> None:
    a = answers([2, -2], [-200.0, 200.0], sd=0.1)
    mean, covariance = laplace(a, np.array([1.0, 1.0]))
    assert np.all(np.isfinite(mean))
    assert np.all(np.isfinite(covariance))


def test_spread_of_nothing_is_refused() -> None:
    with pytest.raises(ValueError, match="above 0"):
        laplace(answers([0], [0.0]), np.array([1.0, 0.0]))
