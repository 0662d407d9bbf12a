"""Give quantiles and means of short series, of which a recording asks hundreds, without a library's overhead."""

from typing import Any

import numpy as np


def quantile(values: Any, share: float) -> float:
    """The value under which a share of all lie, on straight lines between neighbours.

    Parameters
    ----------
    values : ndarray, shape (n,)
        Without gaps, at least one. [any]
    share : float
        From 0 to 1. [1]

    Returns
    -------
    float
        As `numpy.quantile` gives it. [any]
    """
    place = share * (len(values) - 1)
    below = int(place)
    above = min(below + 1, len(values) - 1)
    ranked = np.partition(values, (below, above))
    return float(ranked[below] + (place - below) * (ranked[above] - ranked[below]))


def median(values: Any) -> float:
    """The median of values, at least one. [any]"""
    return quantile(values, 0.5)


def median_of_rows(values: Any) -> Any:
    """The median along the first axis of a table, shape (columns,)."""
    half = len(values) // 2
    if len(values) % 2:
        return np.partition(values, half, axis=0)[half]
    ranked = np.partition(values, (half - 1, half), axis=0)
    return (ranked[half - 1] + ranked[half]) / 2


def log_mean(logs: Any, weights: Any = 0.0) -> float:
    """The log of the mean of what some logs are of.

    Parameters
    ----------
    logs : ndarray, shape (n,)
        At least one, not all minus infinity. [nat]
    weights : ndarray, shape (n,), or float
        Logs of what each counts, up to a constant. [nat]

    Returns
    -------
    float
        Mean. [nat]
    """
    both = logs + weights
    most, heaviest = both.max(), np.max(weights)
    counted = np.exp(weights - heaviest).sum() if np.ndim(weights) else len(logs)
    return float(most - heaviest + np.log(np.exp(both - most).sum() / counted))


def running_rank(padded: Any, size: int, rank: int) -> Any:
    """The value of that rank, from 0, among each `size` neighbours; shape (n - size + 1,).

    Parameters
    ----------
    padded : ndarray, shape (n,)
        Series, its ends already continued as they shall be. [any]
    size, rank : int
        Neighbours, and which of them in rising order. [1]

    Returns
    -------
    ndarray
        One value for each run of neighbours. [any]
    """
    runs = padded[np.arange(len(padded) - size + 1)[:, None] + np.arange(size)]
    return np.partition(runs, rank, axis=1)[:, rank]


def running_median(values: Any, size: int) -> Any:
    """The median of each value and its neighbours, `size` in all, an odd number; ends repeated."""
    half = size // 2
    padded = np.concatenate((np.full(half, values[0]), values, np.full(half, values[-1])))
    return running_rank(padded, size, half)
