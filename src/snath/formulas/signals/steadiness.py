"""Give the uncertainty of a mean speed for an engine that wanders a little all the time."""

from typing import Any

import numpy as np

EIGHTHS = 8


def wander(t_s: Any, rev_s: Any) -> float:
    """Standard uncertainty of a mean, by the scatter of the means of eighths, a straight trend taken out.

    Neighbouring turns are alike, so the scatter of single turns over the root of their number would
    promise too much.

    Parameters
    ----------
    t_s : ndarray, shape (n,)
        Moments. [s]
    rev_s : ndarray, shape (n,)
        Speed at them. [rev/s]

    Returns
    -------
    float
        0 for fewer than two speeds. [rev/s]

    References
    ----------
    .. [1] Batch means, the usual guard for the mean of a series that is correlated (common practice, no source).
    """
    if len(rev_s) < 3 * EIGHTHS:
        return float(np.std(rev_s, ddof=1) / len(rev_s) ** 0.5) if len(rev_s) > 1 else 0.0
    flat = rev_s - np.polyval(np.polyfit(t_s, rev_s, 1), t_s)
    means = [piece.mean() for piece in np.array_split(flat, EIGHTHS)]
    return float(np.std(means, ddof=1) / EIGHTHS**0.5)
