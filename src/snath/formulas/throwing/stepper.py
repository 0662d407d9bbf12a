"""Step many independent systems at once by a Runge-Kutta pair, each with its own step.

Arrays are (components, systems): a system that needs small steps does not slow the others down.
"""

from typing import Any

import numpy as np

# Dormand and Prince, "A family of embedded Runge-Kutta formulae", J. Comp. Appl. Math. 6 (1980) 19-26;
# from memory, held against scipy's own table in the tests. The system is autonomous: no nodes needed.
STAGES = (
    (1 / 5,),
    (3 / 40, 9 / 40),
    (44 / 45, -56 / 15, 32 / 9),
    (19372 / 6561, -25360 / 2187, 64448 / 6561, -212 / 729),
    (9017 / 3168, -355 / 33, 46732 / 5247, 49 / 176, -5103 / 18656),
    (35 / 384, 0.0, 500 / 1113, 125 / 192, -2187 / 6784, 11 / 84),
)
ERROR = (71 / 57600, 0.0, -71 / 16695, 71 / 1920, -17253 / 339200, 22 / 525, -1 / 40)
ORDER = 5
SHRINK, GROW, CARE = 0.2, 5.0, 0.9


def advance(rate: Any, state: Any, slope: Any, step: Any) -> Any:
    """Fifth-order step of every system, with the slope at its end and an estimate of its error.

    Parameters
    ----------
    rate : callable
        Time derivative of a state, same shape as the state.
    state, slope : ndarray [shape=(components, systems)]
        Where each system stands, and its derivative there. [any], [any/s]
    step : ndarray [shape=(systems,)]
        How far to go. [s]

    Returns
    -------
    tuple of (ndarray, ndarray, ndarray)
        New state, derivative there, estimated error of the new state. [any], [any/s], [any]

    References
    ----------
    .. [1] Dormand and Prince, J. Comp. Appl. Math. 6 (1980) 19-26 (from memory); held against scipy's table.
    """
    slopes = [slope]
    ahead = state
    for weights in STAGES:
        ahead = state + step * _mix(weights, slopes)
        slopes.append(rate(ahead))
    return ahead, slopes[-1], step * _mix(ERROR, slopes)


def next_step(step: Any, misfit: Any) -> Any:
    """Step that would just meet the tolerance, given the error over tolerance of this one.

    Parameters
    ----------
    step : ndarray
        The one tried. [s]
    misfit : ndarray
        Its error over what is tolerated. [1]

    Returns
    -------
    ndarray
        Between 0.2 and 5 times the one tried. [s]

    References
    ----------
    .. [1] The usual rule for a rule of order p, error to the power of -1/p, bounded (common practice, no source).
    """
    factor = CARE * np.maximum(misfit, 1e-10) ** (-1 / ORDER)
    return step * np.clip(factor, SHRINK, GROW)


def _mix(weights: Any, slopes: Any) -> Any:
    total = weights[0] * slopes[0]
    for weight, slope in zip(weights[1:], slopes[1:], strict=True):
        if weight:
            total = total + weight * slope
    return total
