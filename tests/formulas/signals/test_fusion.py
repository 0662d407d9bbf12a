import math

import pytest

from snath.formulas.signals.fusion import fused
from snath.quantities.measured import Line, Measured
from tests.told import refused


def test_two_independent_values_are_weighed_by_their_inverse_variances():
    # By hand: u 1 and 2 give weights 4/5 and 1/5, mean 10 + 1/5 * 5 = 11, u = 1 / sqrt(1 + 1/4).
    result = fused(values=(Measured(10.0, (Line("a", 1.0),)), Measured(15.0, (Line("b", 2.0),))))
    assert result.weights == pytest.approx((0.8, 0.2))
    assert result.value.value == pytest.approx(11.0)
    assert result.value.u == pytest.approx(1 / math.sqrt(1.25))


def test_a_shared_cause_does_not_average_away():
    # By hand: V = [[2, 1], [1, 2]], weights 1/2 each, variance (2 + 2 + 1 + 1) / 4 = 1.5.
    one = Measured(10.0, (Line("own", 1.0), Line("clock", 1.0)))
    other = Measured(10.0, (Line("another", 1.0), Line("clock", 1.0)))
    assert fused(values=(one, other)).value.u == pytest.approx(math.sqrt(1.5))


def test_agreement_is_judged_by_chi_squared():
    # By hand: 2 apart at u = 1 each is chi^2 = 2 with one degree of freedom, p = 0.1573 (normal table, 1.414).
    result = fused(values=(Measured(0.0, (Line("a", 1.0),)), Measured(2.0, (Line("b", 1.0),))))
    assert result.p_agree == pytest.approx(0.1573, abs=1e-4)


def test_a_value_without_doubt_cannot_be_weighed():
    with refused("needs an uncertainty"):
        fused(values=(Measured(1.0),))
