"""Estimate from the phases how much each cycle jitters and how fast the set speed wanders.

A cycle a little longer or shorter sets the phase off for good, a wandering speed bends it; both leave covariances of
their own, and the likelihood weighs a few strengths of each against each other (docs/sound.md, equations 9 and 10).
"""

from collections.abc import Sequence
from typing import Any

import numpy as np

from snath.formulas.signals.ranks import median

JITTERS = (0.0, 0.002, 0.0035, 0.005, 0.007, 0.012)  # of a cycle's length, as a share
BEFORE = (-3.0, -1.2, -0.25, 0.0, -0.25, -2.0)  # belief in each before hearing; from memory, see docs [nat]
WANDERS = (0.0, 0.003, 0.02, 0.1, 0.25, 0.6)  # of the speed, as a share per root second
PARTS, FEWEST = 3, 5  # of a recording whose jitter is judged by itself, and phases in each at least
FAR = 1e30  # so large a corner leaves a bordered matrix positive definite, and is never used


def walked_speed(a: Any, b: Any) -> Any:
    """Covariance of the integral of a random walk of rate 1 between times.

    Parameters
    ----------
    a : ndarray, shape (n,)
        Times since the walk began. [s]
    b : ndarray, shape (m,)
        Others. [s]

    Returns
    -------
    ndarray, shape (n, m)
        Covariance. [s^3]
    """
    low, high = np.minimum.outer(a, b), np.maximum.outer(a, b)
    return low * low * (3 * high - low) / 6


def whitened(v: Any, rows: Any) -> Any:
    """Cholesky factors of covariances and what they make of rows: both stand in the factor of the bordered matrix.

    Parameters
    ----------
    v : ndarray, shape (..., n, n)
        Positive definite. [any]
    rows : ndarray, shape (k, n)
        Right sides. [any]

    Returns
    -------
    tuple of (ndarray, ndarray)
        L with L L^T = v, shape (..., n, n), and rows times the inverse of L^T, shape (..., k, n). [any]
    """
    n, more = v.shape[-1], len(rows)
    bordered = np.empty((*v.shape[:-2], n + more, n + more))
    bordered[..., :n, :n] = v
    bordered[..., n:, :n] = rows
    bordered[..., n:, n:] = np.diag(np.full(more, FAR))
    factor = np.linalg.cholesky(bordered)
    return factor[..., :n, :n], factor[..., n:, :n]


def likeliest(
    t: Any, phase: Any, variance: float, rate: float, among: Sequence[float] = JITTERS
) -> tuple[float, float]:
    """Jitter and wandering under which phases are likeliest.

    Parameters
    ----------
    t : ndarray, shape (n,)
        Times, not negative. [s]
    phase : ndarray, shape (n,)
        Phases. [cycle]
    variance : float
        Noise variance of a phase. [cycle^2]
    rate : float
        About the mean. [1/s]
    among : sequence of float
        Of `JITTERS`, those that are weighed. [1]

    Returns
    -------
    tuple of (float, float)
        One of these, as a share of a cycle's length, and one of `WANDERS`, as a share of the speed per root second. [1]
    """
    n = len(t)
    jitters, wanders = (grid.ravel() for grid in np.meshgrid(among, WANDERS, indexing="ij"))
    before = [BEFORE[JITTERS.index(jitter)] for jitter in among]
    v = (jitters**2 * rate)[:, None, None] * np.minimum.outer(t, t)
    v += ((wanders * rate) ** 2)[:, None, None] * walked_speed(t, t)
    v[:, np.arange(n), np.arange(n)] += variance
    lower, solved = whitened(v, np.stack([np.ones(n), t, phase]))
    line, seen = solved[:, :2], solved[:, 2:]
    normal = line @ line.transpose(0, 2, 1)
    left = seen - np.linalg.solve(normal, line @ seen.transpose(0, 2, 1)).transpose(0, 2, 1) @ line
    likelihood = (
        np.repeat(before, len(WANDERS))
        - 0.5 * (left**2).sum(axis=(1, 2))
        - np.log(np.diagonal(lower, axis1=1, axis2=2)).sum(axis=1)
        - 0.5 * np.log(np.linalg.det(normal))
    )
    best = int(likelihood.argmax())
    return float(jitters[best]), float(wanders[best])


def of_all_parts(
    t: Any, phase: Any, variance: Any, rate: Any, jitter: Any, wander: Any
) -> tuple[float, float]:
    """Jitter that most parts show, with its wandering: what a load does in one of them is no jitter of all cycles.

    Parameters and returns are those of `likeliest`, which gave `jitter` and `wander` for the whole.
    """
    parts = np.array_split(np.arange(len(t)), PARTS)
    if len(parts[-1]) < FEWEST:
        return jitter, wander
    usual = median(np.array([likeliest(t[p] - t[p[0]], phase[p], variance, rate)[0] for p in parts]))
    return likeliest(t, phase, variance, rate, (usual,)) if usual < jitter else (jitter, wander)
