"""Ordinal answers on a straight line: the most likely parameters and how sure they are, in numpy alone.

Answers come in five steps, or as a range of steps when the words were loose. Behind each lies a latent value
u = offset + row . theta; an answer between two cuts has the probability that a logistic error puts u there
(ordered logit with fixed cuts). With a normal prior the log posterior is concave, so there is one mode, and
the order of the answers cannot matter. The normal curve at the mode (Laplace) stands for the whole.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import pi, sqrt

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
_STEPS, _SETTLED = 100, 1e-10


@dataclass(frozen=True, slots=True)
class Answers:
    """n answers with k parameters.

    rows : shape (n, k);  offset : shape (n,), in rating steps
    above, below : the cuts the answer lies between, shape (n,), infinite at the ends, in rating steps
    sd : standard deviation of the error, shape (n,), above 0, in rating steps
    """

    rows: Floats
    offset: Floats
    above: Floats
    below: Floats
    sd: Floats


def log_posterior(theta: Floats, answers: Answers, prior_sd: Floats) -> float:
    """Log posterior density up to a constant [-]. theta, prior_sd : shape (k,); the prior is centred on 0."""
    low, high, _ = _ends(theta, answers)
    # F(b) - F(a) = F(b) F(-a) (1 - exp(a - b)), which loses no digits far out.
    likely = -np.logaddexp(0.0, -high) - np.logaddexp(0.0, low) + np.log(-np.expm1(low - high))
    return float(np.sum(likely) - 0.5 * np.sum((theta / prior_sd) ** 2))


def laplace(answers: Answers, prior_sd: Floats) -> tuple[Floats, Floats]:
    """Mode, shape (k,), and covariance there, shape (k, k). Raises ValueError for a spread not above 0."""
    if not (np.all(prior_sd > 0) and np.all(answers.sd > 0)):
        raise ValueError("a spread must be above 0")
    theta = np.zeros(prior_sd.size)
    now = log_posterior(theta, answers, prior_sd)
    for _ in range(_STEPS):
        gradient, curvature = _slopes(theta, answers, prior_sd)
        step, share = np.linalg.solve(curvature, gradient), 1.0
        while (then := log_posterior(theta + share * step, answers, prior_sd)) < now and share > 1e-6:
            share /= 2
        theta, now = theta + share * step, max(then, now)
        if float(np.max(np.abs(share * step), initial=0.0)) < _SETTLED:
            break
    return theta, np.asarray(np.linalg.inv(_slopes(theta, answers, prior_sd)[1]), dtype=np.float64)


def _ends(theta: Floats, answers: Answers) -> tuple[Floats, Floats, Floats]:
    scale = answers.sd * sqrt(3.0) / pi
    u = answers.offset + answers.rows @ theta
    return (answers.above - u) / scale, (answers.below - u) / scale, scale


def _slopes(theta: Floats, answers: Answers, prior_sd: Floats) -> tuple[Floats, Floats]:
    """Gradient of the log posterior and minus its second derivative."""
    low, high, scale = _ends(theta, answers)
    a, b = _logistic(low), _logistic(high)
    gradient = answers.rows.T @ ((a + b - 1.0) / scale) - theta / prior_sd**2
    weight = (a * (1.0 - a) + b * (1.0 - b)) / scale**2
    return gradient, (answers.rows.T * weight) @ answers.rows + np.diag(prior_sd**-2.0)


def _logistic(x: Floats) -> Floats:
    return np.asarray(0.5 * (1.0 + np.tanh(0.5 * x)))
