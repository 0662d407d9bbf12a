"""Do budgets add up, and do shared causes stay shared?"""

import math

import numpy as np
import pytest
from uncertainties import ufloat

from snath.quantities.measured import Line, Measured, combine, exact, product, quotient, scaled


def measured(value: float, u: float, source: str, dof: float | None = None) -> Measured:
    return Measured(value, (Line(source, u, dof),))


def test_products_and_quotients_agree_with_a_reference_library():
    # Another road: the uncertainties package, first order with correlations.
    rng = np.random.default_rng(20260101)
    for _ in range(200):
        a, b, c = rng.uniform(0.5, 20, 3)
        ua, ub, uc = rng.uniform(0, 0.1, 3)
        ours = quotient(product(measured(a, ua, "a"), measured(b, ub, "b")), measured(c, uc, "c"))
        theirs = ufloat(a, ua) * ufloat(b, ub) / ufloat(c, uc)
        assert ours.value == pytest.approx(theirs.nominal_value, rel=1e-12)
        assert ours.u == pytest.approx(theirs.std_dev, rel=1e-9)


def test_a_value_over_itself_is_exactly_one():
    tape = measured(0.5, 0.001, "tape")
    assert quotient(tape, tape) == Measured(1.0, ())


def test_a_cause_shared_by_two_values_adds_before_it_is_squared():
    # By hand: both from one clock, 50 ppm each; their sum has 2 x 50 ppm of 1, not sqrt(2) x.
    clock = measured(1.0, 50e-6, "phone clock")
    assert combine(2.0, [(clock, 1.0), (clock, 1.0)]).u == pytest.approx(100e-6)


def test_effective_degrees_of_freedom_follow_welch_satterthwaite():
    # By hand: u = sqrt(3^2 + 4^2) = 5; nu = 5^4 / (3^4/2 + 4^4/inf) = 625/40.5 = 15.43.
    both = combine(1.0, [(measured(1, 3, "repeats", 2), 1.0), (measured(1, 4, "plate"), 1.0)])
    assert both.u == pytest.approx(5)
    assert both.dof == pytest.approx(15.432, abs=0.001)
    assert exact(1.0).dof == math.inf


def test_a_micrometer_budget_gives_its_printed_lines():
    # Published: a metrology how-to page's worked budget of a 21.500 mm reading: s = 0.00058 of 3 readings,
    # resolution 0.001 (rectangular half 0.0005), certificate U = 0.0005 (k = 2); printed u_rep 0.00033,
    # u_res 0.00029, u_c 0.00051, U 0.0010 mm.
    repeats = Line("repeats", 0.00058 / math.sqrt(3), 2)
    resolution = Line("resolution", 0.0005 / math.sqrt(3), None, "rectangular")
    certificate = Line("certificate", 0.0005 / 2)
    total = Measured(21.5, (repeats, resolution, certificate))
    assert repeats.u == pytest.approx(0.00033, abs=6e-6)
    assert resolution.u == pytest.approx(0.00029, abs=6e-6)
    assert total.u == pytest.approx(0.00051, abs=6e-6)
    assert 2 * total.u == pytest.approx(0.0010, abs=3e-5)


def test_the_dominant_line_lends_its_shape():
    flat = Line("tape", 2.0, None, "rectangular")
    assert Measured(1, (flat, Line("b", 1.0))).distribution == "rectangular"
    assert Measured(1, (flat, Line("b", 2.0))).distribution == "normal"


def test_scaling_carries_the_doubt():
    assert scaled(measured(2, 0.1, "a"), -3) == Measured(-6, (Line("a", pytest.approx(-0.3)),))
