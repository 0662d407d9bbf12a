"""Estimate how strongly a track would swing at each rate if it did not hunt: the level a line must stand out of.

Rough running, a lively but stable governor and the reading's own noise make a spectrum that is smooth in
rate. It is laid through all rates at once, with every single power held down, so that a line in it or a
wandering swing lifts it little. Equations: docs/governor.md.
"""

import math
from dataclasses import dataclass
from typing import Any

import numpy as np

CORNER = 1.5  # Hz; about where the inertia of a small engine takes over from its governor
FOR_EACH_TERM = 38  # independent rates for each term of the smooth level beyond the first
FEWEST_TERMS = 3
MOST = 3.0  # times the level, beyond which a power counts no more
ABOVE = math.exp(-MOST)  # share of powers beyond it without a line, for they are exponential
MEAN = 1 - ABOVE  # of a held-down power over the level
SLOPE = 1 - ABOVE * (1 + MOST)  # by which that mean falls when the level is taken too high
SCATTER = 2 * SLOPE - MEAN**2  # variance of a held-down power
EULER = 0.5772156649  # an exponential's mean logarithm lies this far under that of its mean
ROUNDS, CLOSE, STRIDE = 40, 1e-4, 2.0


@dataclass(frozen=True, slots=True)
class Background:
    """The smooth level and how well it is known.

    Attributes
    ----------
    level : ndarray [shape=(m,)]
        Power expected at each rate without a line. [(rev/s)^2]
    doubt : ndarray [shape=(m,)]
        Variance of its logarithm. [1]
    """

    level: np.ndarray
    doubt: np.ndarray


def background(rates: Any, power: Any, *, length: float, kept: Any = None) -> Background:
    """Smooth level under powers on a grid of rates, its logarithm a polynomial.

    Parameters
    ----------
    rates : ndarray [shape=(m,)]
        Evenly apart, rising, over 0. [Hz]
    power : ndarray [shape=(m,)]
        At each of them. [(rev/s)^2]
    length : float
        Of the track: independent rates lie 1 / length apart. [s]
    kept : ndarray of bool [shape=(m,)], optional
        Rates that speak for the level; all where left out.

    Returns
    -------
    Background

    References
    ----------
    .. [1] Likelihood of a spectrum through exponential powers: P. Whittle 1953; bounded influence:
       P. J. Huber 1964 (both from memory). Worked out in docs/governor.md.
    """
    spoken = np.ones(rates.size, dtype=bool) if kept is None else kept
    share = (rates[1] - rates[0]) * length  # of an independent rate that each one stands for
    terms = max(FEWEST_TERMS, round(share * rates.size / FOR_EACH_TERM)) + 1
    smooth = _polynomials(rates, terms)
    columns = smooth[spoken]
    inverse = np.linalg.pinv(share * columns.T @ columns)
    logs = np.log(np.maximum(power[spoken], np.finfo(float).tiny))
    weights = share * inverse @ columns.T @ (logs + EULER)
    for _ in range(ROUNDS):
        held = np.minimum(power[spoken] * np.exp(-columns @ weights), MOST)
        step = share * inverse @ (columns.T @ (held - MEAN)) / SLOPE
        weights = weights + np.clip(step, -STRIDE, STRIDE)
        if np.abs(step).max() < CLOSE:
            break
    doubt = np.einsum("ij,jk,ik->i", smooth, inverse, smooth) * SCATTER / SLOPE**2
    return Background(np.exp(smooth @ weights), doubt)


def _polynomials(rates: Any, terms: Any) -> Any:
    """Chebyshev polynomials in the logarithm of f^2 + corner^2: flat below the corner, a slope above it."""
    x = np.log(rates**2 + CORNER**2)
    return np.polynomial.chebyshev.chebvander(2 * (x - x[0]) / (x[-1] - x[0]) - 1, terms - 1)
