"""What speed does the governor hold, when cycles jitter, the set speed wanders and phases are noisy?

The phase is a straight line (the mean speed), plus a wandering of the speed, plus a wandering of the
phase (each cycle a little longer or shorter), plus noise. How strong each is, the recording says itself
by its likelihood; the mean then is the best linear unbiased estimate (docs/sound.md, equations 9 to 11).
"""

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.linalg import cho_solve, cholesky, solve_triangular

JITTERS = (0.0, 0.002, 0.0035, 0.005, 0.007, 0.012)  # of a cycle's length, as a share
BEFORE = (-3.0, -1.2, -0.25, 0.0, -0.25, -2.0)  # belief in each before hearing; from memory, see docs [nat]
WANDERS = (0.0, 0.003, 0.02, 0.1, 0.5)  # of the speed, as a share per root second


@dataclass(frozen=True, slots=True)
class Held:
    """Mean speed and what it was found from.

    Attributes
    ----------
    rate, u : float
        Mean cycles per second of the governed speed, and its standard uncertainty. [1/s]
    jitter, wander : float
        Likeliest of `JITTERS` and `WANDERS`.
    u_noise : float
        The part of `u` that is left when cycles do not jitter. [1/s]
    pace : ndarray
        Governed cycles per second at the wanted times. [1/s]
    u_pace : ndarray
        Their standard uncertainty. [1/s]
    """

    rate: float
    u: float
    jitter: float
    wander: float
    u_noise: float
    pace: NDArray[np.float64]
    u_pace: NDArray[np.float64]


def _walk(a, b):
    """Covariance of a random walk of rate 1 between times."""
    return np.minimum.outer(a, b)


def _walked_speed(a, b):
    """Covariance of the integral of a random walk of rate 1 between times."""
    low, high = np.minimum.outer(a, b), np.maximum.outer(a, b)
    return low * low * (3 * high - low) / 6


def held(t, phase, variance, ends, wanted, rate) -> Held:
    """Best estimate of the mean and of the governed speed over time.

    Parameters
    ----------
    t, phase : ndarray, shape (blocks,)
        Times [s] and phases [cycle].
    variance : float
        Noise variance of a phase. [cycle^2]
    ends : tuple of float
        Between which times the mean is wanted. [s]
    wanted : ndarray
        Times at which the speed is wanted. [s]
    rate : float
        About the mean. [1/s]

    Returns
    -------
    Held
        Mean, speeds and their uncertainties.
    """
    from_start = t - ends[0]
    walk, speed = _walk(from_start, from_start), _walked_speed(from_start, from_start)
    line = np.stack([np.ones_like(t), from_start], axis=1)
    best: tuple[Any, ...] = (-np.inf,)
    for jitter, before in zip(JITTERS, BEFORE, strict=True):
        for wander in WANDERS:
            v = jitter**2 * rate * walk + (wander * rate) ** 2 * speed
            v[np.diag_indices_from(v)] += variance
            lower = cholesky(v, lower=True, check_finite=False)
            solved = solve_triangular(lower, np.c_[line, phase], lower=True, check_finite=False)
            normal = solved[:, :2].T @ solved[:, :2]
            beta = np.linalg.solve(normal, solved[:, :2].T @ solved[:, 2])
            rest = solved[:, 2] - solved[:, :2] @ beta
            likelihood = (
                before
                - 0.5 * rest @ rest
                - np.log(np.diag(lower)).sum()
                - 0.5 * np.log(np.linalg.det(normal))
            )
            if likelihood > best[0]:
                best = (likelihood, jitter, wander, lower, normal, beta, phase - line @ beta)
    _, jitter, wander, lower, normal, beta, rest = best
    strength = (wander * rate) ** 2
    span = ends[1] - ends[0]
    half = np.minimum(0.05, span / 4)
    early = np.concatenate([[ends[0]], np.maximum(wanted - half, ends[0])]) - ends[0]
    late = np.concatenate([[ends[1]], np.minimum(wanted + half, ends[1])]) - ends[0]
    cover = strength * (_walked_speed(late, from_start) - _walked_speed(early, from_start))
    own = strength * (late**3 / 3 + early**3 / 3 - early**2 * (3 * late - early) / 3)
    length = late - early
    weight = cho_solve((lower, True), cover.T, check_finite=False)
    value = length * beta[1] + weight.T @ rest
    slack = np.stack([np.zeros_like(length), length], axis=1) - weight.T @ line
    spread = own - (cover * weight.T).sum(axis=1) + ((slack @ np.linalg.inv(normal)) * slack).sum(axis=1)
    pace, u = value / length, np.sqrt(np.maximum(spread, 0)) / length
    u_jitter = jitter * np.sqrt(rate / span)
    return Held(
        rate=float(pace[0]),
        u=float(u[0]),
        jitter=jitter,
        wander=wander,
        u_noise=float(np.sqrt(max(u[0] ** 2 - u_jitter**2, 0))),
        pace=pace[1:],
        u_pace=u[1:],
    )
