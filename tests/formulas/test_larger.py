"""The larger of two uncertain values, against simulation and the two cases that can be worked by hand."""

import math

import numpy as np
import pytest

from snath.formulas.larger import larger_of_two
from tests.told import refused


def test_of_two_alike_the_larger_lies_u_over_root_pi_higher():
    # By hand: E max(X, Y) = E |X - Y| / 2 = (2 u / sqrt(pi)) / 2; Var = u^2 (1 - 1/pi).
    mean, u, chance = larger_of_two(first=10.0, second=10.0, u_first=1.0, u_second=1.0)
    assert mean == pytest.approx(10 + 1 / math.sqrt(math.pi))
    assert u == pytest.approx(math.sqrt(1 - 1 / math.pi))
    assert chance == 0.5


def test_far_apart_it_is_the_larger_alone():
    mean, u, chance = larger_of_two(first=3.0, second=10.0, u_first=0.2, u_second=0.1)
    assert (mean, u, chance) == (pytest.approx(10.0), pytest.approx(0.1), pytest.approx(0.0))


def test_without_doubt_it_is_the_larger():
    assert larger_of_two(first=3.0, second=2.0, u_first=0.0, u_second=0.0) == (3.0, 0.0, 1.0)


@pytest.mark.parametrize("case", [(0.0, 0.0, 1.0, 2.0), (0.5, 0.0, 1.0, 1.0), (-1.0, 0.0, 0.3, 1.5)])
def test_mean_and_spread_are_those_of_simulated_values(case):
    # Another road: 400,000 drawn pairs; the standard errors are u / 632 and about u / 894.
    first, second, u1, u2 = case
    rng = np.random.default_rng(61)
    drawn = np.maximum(rng.normal(first, u1, 400_000), rng.normal(second, u2, 400_000))
    mean, u, chance = larger_of_two(first=first, second=second, u_first=u1, u_second=u2)
    assert mean == pytest.approx(drawn.mean(), abs=4 * drawn.std() / 632)
    assert u == pytest.approx(drawn.std(), abs=5 * drawn.std() / 632)
    step = 1e-6
    more, *_ = larger_of_two(first=first + step, second=second, u_first=u1, u_second=u2)
    assert (more - mean) / step == pytest.approx(chance, abs=1e-5)


def test_a_negative_uncertainty_is_refused():
    with refused("u_first"):
        larger_of_two(first=1.0, second=1.0, u_first=-1.0, u_second=1.0)
