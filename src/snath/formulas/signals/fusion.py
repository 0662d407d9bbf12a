"""Combine values that share some causes of error into one, and tell whether they agree."""

from dataclasses import dataclass

import numpy as np
import scipy

from snath.quantities.errors import InputError
from snath.quantities.measured import Measured, combine
from snath.quantities.message import Message


@dataclass(frozen=True, slots=True)
class Fused:
    """Several values made one.

    Attributes
    ----------
    value : Measured
        The weighted mean, its lines by source. [unit of the values]
    weights : tuple of float
        How far each counts; they add up to 1.
    p_agree : float
        Probability that values that mean the same differ by so much or more.
    """

    value: Measured
    weights: tuple[float, ...]
    p_agree: float


def fused(*, values: tuple[Measured, ...]) -> Fused:
    """Weighted mean of least variance, with the covariance that shared sources bring.

    Weights V^-1 1 / (1' V^-1 1), V_ij the sum over sources of u_i u_j [1]_; agreement by the weighted
    sum of squares about the mean against chi-squared with n - 1 degrees of freedom [1]_.

    Parameters
    ----------
    values : tuple of Measured
        At least one, each with a budget that is not empty. [any]

    Returns
    -------
    Fused
        In the same unit. [any]

    Raises
    ------
    InputError
        If there is no value, or one has no uncertainty.

    References
    ----------
    .. [1] M. G. Cox, The evaluation of key comparison data, Metrologia 39 (2002), and JCGM 100:2008, F.1.2;
       from memory.
    """
    if not values:
        raise InputError("values", "none", Message("fault.at-least-one"))
    for one in values:
        if not one.u > 0:
            raise InputError("values", f"{one.value:g}", Message("reading.no-doubt"))
    sources = list(dict.fromkeys(line.source for one in values for line in one.lines))
    share = np.zeros((len(values), len(sources)))
    for row, one in enumerate(values):
        for line in one.lines:
            share[row, sources.index(line.source)] += line.u
    covariance = share @ share.T
    covariance += 1e-9 * np.diag(np.diag(covariance))  # wholly shared causes leave it singular
    inverse = np.linalg.inv(covariance)
    weights = inverse.sum(axis=1) / inverse.sum()
    mean = float(weights @ np.array([one.value for one in values]))
    rest = np.array([one.value for one in values]) - mean
    squares = float(rest @ inverse @ rest)
    p = float(scipy.special.chdtrc(len(values) - 1, squares)) if len(values) > 1 else 1.0
    result = combine(mean, [(one, float(w)) for one, w in zip(values, weights, strict=True)])
    return Fused(result, tuple(float(w) for w in weights), p)
