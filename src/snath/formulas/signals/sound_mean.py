"""What speed does the governor hold, when cycles jitter, the set speed wanders and phases are noisy?

The phase is a straight line (the mean speed), plus a wandering of the speed, plus a wandering of the
phase (each cycle a little longer or shorter), plus noise. How strong each is, the recording says itself
by its likelihood; the mean then is the best linear unbiased estimate (docs/sound.md, equations 9 to 11).
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.linalg import cho_solve, cholesky, solve_triangular

JITTERS = (0.0, 0.002, 0.0035, 0.005, 0.007, 0.012)  # of a cycle's length, as a share
BEFORE = (-3.0, -1.2, -0.25, 0.0, -0.25, -2.0)  # belief in each before hearing; from memory, see docs [nat]
WANDERS = (0.0, 0.003, 0.02, 0.1, 0.25, 0.6)  # of the speed, as a share per root second


POOLED = 34  # phases from which jitter and wandering are judged, at most
NARROW = 0.02  # half the time over which a speed at a moment is taken [s]


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
    pace, u_pace : ndarray
        Governed cycles per second at the wanted times and their standard uncertainties. [1/s]
    """

    rate: float
    u: float
    jitter: float
    wander: float
    u_noise: float
    pace: NDArray[np.float64]
    u_pace: NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class _Solved:
    """A course fitted for one strength of jitter and wandering."""

    lower: NDArray[np.float64]
    line: NDArray[np.float64]
    normal: NDArray[np.float64]
    slope: float
    rest: NDArray[np.float64]


def _walked_speed(a, b):
    """Covariance of the integral of a random walk of rate 1 between times."""
    low, high = np.minimum.outer(a, b), np.maximum.outer(a, b)
    return low * low * (3 * high - low) / 6


def _solved(t, phase, variance, jitter, wander, rate) -> _Solved:
    """Straight line through phases whose errors walk, by generalised least squares."""
    line = np.stack([np.ones_like(t), t], axis=1)
    v = jitter**2 * rate * np.minimum.outer(t, t)
    if wander:
        v += (wander * rate) ** 2 * _walked_speed(t, t)
    v[np.diag_indices_from(v)] += variance
    lower = cholesky(v, lower=True, check_finite=False, overwrite_a=True)
    solved = solve_triangular(lower, np.c_[line, phase], lower=True, check_finite=False)
    normal = solved[:, :2].T @ solved[:, :2]
    beta = np.linalg.solve(normal, solved[:, :2].T @ solved[:, 2])
    return _Solved(lower, line, normal, float(beta[1]), phase - line @ beta)


def likeliest(t, phase, variance, rate) -> tuple[float, float]:
    """Jitter and wandering under which the phases are likeliest."""
    n = len(t)
    jitters, wanders = (grid.ravel() for grid in np.meshgrid(JITTERS, WANDERS, indexing="ij"))
    v = (jitters**2 * rate)[:, None, None] * np.minimum.outer(t, t)
    v += ((wanders * rate) ** 2)[:, None, None] * _walked_speed(t, t)
    v[:, np.arange(n), np.arange(n)] += variance
    lower = np.linalg.cholesky(v)
    sides = np.stack([np.ones(n), t, phase], axis=1)
    solved = np.linalg.solve(lower, np.broadcast_to(sides, (len(v), n, 3)))
    line, seen = solved[:, :, :2], solved[:, :, 2:]
    normal = line.transpose(0, 2, 1) @ line
    left = seen - line @ np.linalg.solve(normal, line.transpose(0, 2, 1) @ seen)
    likelihood = (
        np.repeat(BEFORE, len(WANDERS))
        - 0.5 * (left**2).sum(axis=(1, 2))
        - np.log(np.diagonal(lower, axis1=1, axis2=2)).sum(axis=1)
        - 0.5 * np.log(np.linalg.det(normal))
    )
    best = int(likelihood.argmax())
    return float(jitters[best]), float(wanders[best])


def held(t, phase, variance, ends, wanted, rate, *, even=False) -> Held:
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
    even : bool
        Whether one speed without jitter is known to explain the phases.

    Returns
    -------
    Held
        Mean, speeds and their uncertainties.
    """
    since = t - ends[0]
    group = -(-len(t) // POOLED)
    kept = len(t) // group * group
    pooled, angle = (part[:kept].reshape(-1, group).mean(axis=1) for part in (since, phase))
    jitter, wander = (0.0, 0.0) if even else likeliest(pooled, angle, variance / group, rate)
    if wander < 0.05 and not even:  # slow changes lose nothing by pooling
        since, phase, variance = pooled, angle, variance / group
    fit = _solved(since, phase, variance, jitter, wander, rate)
    span = ends[1] - ends[0]
    early = np.concatenate([[0.0], np.clip(wanted - ends[0] - NARROW, 0, span - NARROW)])
    late = np.concatenate([[span], np.clip(wanted - ends[0] + NARROW, NARROW, span)])
    strength = (wander * rate) ** 2
    cover = strength * (_walked_speed(late, since) - _walked_speed(early, since))
    own = strength * (late**3 / 3 + early**3 / 3 - early**2 * (3 * late - early) / 3)
    length = late - early
    weight = cho_solve((fit.lower, True), cover.T, check_finite=False)
    slack = np.stack([np.zeros_like(length), length], axis=1) - weight.T @ fit.line
    spread = own - (cover * weight.T).sum(axis=1)
    spread += ((slack @ np.linalg.inv(fit.normal)) * slack).sum(axis=1)
    pace = (length * fit.slope + weight.T @ fit.rest) / length
    u = np.sqrt(np.maximum(spread, 0)) / length
    noise = float(np.sqrt(max(u[0] ** 2 - jitter**2 * rate / span, 0.0)))
    return Held(float(pace[0]), float(u[0]), jitter, wander, noise, pace[1:], u[1:])
