"""The moment of rest by the end of a course alone."""

import math

import numpy as np
import pytest

from snath.formulas.stopping.rest import rest_moment
from tests.told import refused


def end_of(stands, *, until, slope=10.0, bend=0.0, noise=0.2, seed=0):
    t = np.arange(0, until, 0.03)
    left = np.clip(stands - t, 0, None)
    return t, np.abs(
        slope * left + bend * left**2 + noise * np.random.default_rng(seed).standard_normal(t.size)
    )


@pytest.mark.parametrize("bend", [0.0, 8.0])
def test_its_interval_covers_the_moment_of_rest(bend):
    # Truth: at rest at 1.0 s, seen for half a second after. Property: of 100 intervals at 95 %, fewer than 88
    # would cover less than once in 500.
    covered = 0
    for seed in range(100):
        t, n = end_of(1.0, until=1.5, bend=bend, seed=seed)
        got = rest_moment(t=t, rotation=n, u=0.2)
        covered += got.earliest <= 1.0 <= got.latest
        assert got.earliest <= got.standstill <= got.latest
    assert covered >= 88


def test_what_still_moves_at_the_end_has_no_latest_moment():
    # By hand: at rest after 1.0 s, seen for 0.9 s.
    t, n = end_of(1.0, until=0.9)
    assert math.isinf(rest_moment(t=t, rotation=n, u=0.2).latest)


def test_too_few_points_are_refused():
    with refused("at least 8 points about the standstill"):
        rest_moment(t=[0, 1, 2], rotation=[2, 1, 0], u=0.1)
