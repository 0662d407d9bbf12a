"""Smooth a track so that one wild point makes no overshoot: fit a parabola through each point's neighbours."""

from typing import Any

import numpy as np

# A parabola through five even points by least squares, at each of them: middle row by A. Savitzky and
# M. J. E. Golay 1964 (from memory), the others by the same normal equations.
FIVE = np.array([[31, 9, -3, -5, 3], [9, 13, 12, 6, -5], [-3, 12, 17, 12, -3]]) / 35


def smoothed(values: Any) -> Any:
    """Each of five or more even values replaced by the parabola through it and its four nearest.

    Parameters
    ----------
    values : ndarray [shape=(n,)]
        At even times. [any]

    Returns
    -------
    ndarray [shape=(n,)]
        A parabola comes back as it was. [same unit]

    References
    ----------
    .. [1] A. Savitzky and M. J. E. Golay 1964 (from memory), with the ends by the same normal equations.
    """
    first, last = FIVE[:2] @ values[:5], FIVE[:2] @ values[:-6:-1]
    return np.concatenate([first, np.convolve(values, FIVE[2], "valid"), last[::-1]])
