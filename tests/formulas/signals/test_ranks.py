"""Quantiles of short series, beside the routines of the library they stand in for."""

import numpy as np
import pytest
from scipy.ndimage import median_filter
from scipy.special import logsumexp

from snath.formulas.signals.ranks import (
    log_mean,
    median,
    median_of_rows,
    quantile,
    running_median,
    running_rank,
)

SIZES = (1, 2, 5, 8, 50)


def series(size, seed=1):
    return np.random.default_rng((seed, size)).normal(size=size)


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("share", [0.0, 0.05, 0.5, 0.8, 1.0])
def test_a_quantile_is_that_of_numpy(size, share):
    assert quantile(series(size), share) == pytest.approx(np.quantile(series(size), share), rel=1e-12)


@pytest.mark.parametrize("size", SIZES)
def test_medians_are_those_of_numpy(size):
    assert median(series(size)) == pytest.approx(np.median(series(size)), rel=1e-12)
    rows = np.random.default_rng(size).normal(size=(size, 3))
    assert median_of_rows(rows) == pytest.approx(np.median(rows, axis=0), rel=1e-12)


@pytest.mark.parametrize("size", SIZES)
def test_the_log_of_a_mean_is_that_of_scipy(size):
    logs, weights = 300 * series(size), 5 * series(size, 2)
    assert log_mean(logs) == pytest.approx(logsumexp(logs) - np.log(size), rel=1e-12)
    weighted = logsumexp(logs + weights) - logsumexp(weights)
    assert log_mean(logs, weights) == pytest.approx(weighted, rel=1e-12)


def test_a_running_median_is_that_of_scipy_and_a_rank_counts_from_the_smallest():
    values = series(40)
    assert np.array_equal(running_median(values, 7), median_filter(values, 7, mode="nearest"))
    assert running_rank(np.array([3.0, 1.0, 2.0, 9.0]), 3, 0).tolist() == [1, 1]  # by hand
