"""The share of a normal distribution below a point: a handbook's table, and scipy by another road, tails and all."""

import numpy as np
import pytest
import scipy

from snath.formulas.normal import share_below


# published: M. Abramowitz and I. A. Stegun, Handbook of Mathematical Functions, table 26.1, from memory
@pytest.mark.parametrize(("z", "share"), [(0, 0.5), (1, 0.841344746068543), (2, 0.977249868051821)])
def test_shares_of_the_handbook(z, share):
    assert share_below(z) == pytest.approx(share, abs=1e-14)


def test_shares_far_out_are_those_of_scipy():
    # another road: rounding z by half a digit of a double moves a share at -37 by z squared as much, 1.5e-13
    for z in np.linspace(-37, 9, 401):
        assert share_below(float(z)) == pytest.approx(float(scipy.special.ndtr(z)), rel=5e-13)
