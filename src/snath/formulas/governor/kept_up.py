"""Tell a swing that sustains itself from noise that keeps a stable loop ringing."""

import math
from typing import Any

import numpy as np

# Least evenness of what keeps itself up, what is added over the root of the cycles seen, the most that is asked:
# fitted by benchmarks/swings_kept_up.py
EVEN, EVEN_SHORT, EVEN_MOST = 0.44, 1.15, 0.98
# The same of how much of it goes on in one phase: set on lively loops and hunts of two families, docs/governor.md
ONE_PHASE, ONE_PHASE_SHORT = 0.3, 1.58


def keeps_up(felt: Any, cycles: float) -> bool:
    """Whether a swing goes on by itself: it keeps its height, whatever its phase does, or it keeps its phase.

    Parameters
    ----------
    felt : ndarray of complex [shape=(m,)]
        The swing through the record, turned back by its mean rate. [any]
    cycles : float
        How many of it were seen, over 0. [1]

    Returns
    -------
    bool
        False where nothing swings.

    Notes
    -----
    What noise keeps ringing does neither for long. Beside noise of its own strength a wave looks uneven, and yet it
    goes on in one phase; a governor that hunts may stray in phase, and its height stays. docs/governor.md.
    """
    power = float((np.abs(felt) ** 2).mean())
    if not power:
        return False
    in_phase = abs(felt.mean()) ** 2 / power
    return evenness(np.abs(felt)) >= least_evenness(cycles) or bool(in_phase >= least_in_phase(cycles))


def evenness(heights: Any) -> float:
    """How much of a swing has one height: 1 of a wave, 0 of what noise keeps ringing, less where it comes in bursts.

    Parameters
    ----------
    heights : array_like [shape=(m,)]
        Half swing through the record. [rev/s]

    Returns
    -------
    float
        What is left of the fourth moment once all that Gaussian noise makes is taken off: A^4 over (A^2 + N)^2 of
        a wave of height A beside noise of mean square N, whatever its phase does. [1]
    """
    square = np.square(np.atleast_1d(heights))
    return float(2 - (square**2).mean() / square.mean() ** 2)


def least_evenness(cycles: float) -> float:
    """Evenness from which a swing seen for so many cycles is taken to keep itself up. [1]"""
    return min(EVEN + EVEN_SHORT / math.sqrt(cycles), EVEN_MOST)


def least_in_phase(cycles: float) -> float:
    """Share of a swing's power in one phase from which it is taken to keep itself up. [1]"""
    return ONE_PHASE + ONE_PHASE_SHORT / math.sqrt(cycles)
