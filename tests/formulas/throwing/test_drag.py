"""Air drag of thrown objects against published curves and their known limits."""

import numpy as np
import pytest

from snath.formulas.throwing.drag import (
    SPHERE_VALID_TO,
    reynolds_number,
    slow_sphere_drag,
    sphere_drag,
    sphere_drag_2010,
)
from tests.told import refused


def test_sphere_drag_follows_the_standard_curve_to_ten_per_cent():
    # Published: standard drag curve of a smooth sphere (Lapple and Shepherd; Clift and others), values
    # from memory. Tolerance 10 %: the correlation is known to miss the curve by up to 9.4 %.
    curve = np.array([27.1, 4.26, 1.08, 0.46, 0.40, 0.47])
    assert sphere_drag(reynolds=10.0 ** np.arange(6)) == pytest.approx(curve, rel=0.10)


def test_slow_sphere_drag_gives_the_textbook_values():
    # By hand from 24/R (1 + 0.15 R^0.687) (Schiller and Naumann, from memory), digits of the sums.
    got = slow_sphere_drag(reynolds=[1, 10, 100, 800])
    assert got == pytest.approx([27.6, 4.151, 1.0917, 0.4743], abs=5e-4)


def test_slow_sphere_drag_refuses_a_thrown_ball():
    # A 1/4 in ball at a blade tip's speed is at R = 40,000, where the formula would be half of the truth.
    with refused(r"reynolds = 40000: must be at least 0\.1 and at most 800"):
        slow_sphere_drag(reynolds=40_000)


def test_the_two_roads_agree_where_both_hold():
    # Another road: independent correlations of one curve; one is good to 10 %, the other to 5 %.
    r = np.geomspace(1, 500, 20)
    assert sphere_drag(reynolds=r) == pytest.approx(slow_sphere_drag(reynolds=r), rel=0.15)


def test_the_two_editions_part_company_above_a_million():
    # Published: notes of 2010 and 2016 (read), evaluated by hand at R = 2 x 10^6.
    assert sphere_drag_2010(reynolds=2e6) == pytest.approx(0.2415, abs=5e-4)
    assert sphere_drag(reynolds=2e6) == pytest.approx(0.1699, abs=5e-4)
    assert SPHERE_VALID_TO < 2e6


def test_a_quarter_inch_ball_at_the_limit_speed_is_at_reynolds_forty_thousand():
    # By hand: 1.204 x 96.52 x 0.00635 / 1.813e-5 = 40,700. Tolerance: three digits.
    got = reynolds_number(speed=96.52, diameter=0.00635, air_density=1.204, air_viscosity=1.813e-5)
    assert got == pytest.approx(40_700, abs=150)
