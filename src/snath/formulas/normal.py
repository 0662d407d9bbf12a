"""Give the share of a normal distribution that lies below a point, without loading a library for it."""

import math


def share_below(z: float) -> float:
    """How much of the standard normal distribution lies below z.

    By the complementary error function of the standard library: the special functions of scipy take longer to load
    than a first answer takes.

    Parameters
    ----------
    z : float
        Standard deviations from the mean. [1]

    Returns
    -------
    float
        0 to 1. [1]

    References
    ----------
    .. [1] M. Abramowitz and I. A. Stegun, Handbook of Mathematical Functions, 26.2.29 (from memory).
    """
    return math.erfc(-z / math.sqrt(2)) / 2
