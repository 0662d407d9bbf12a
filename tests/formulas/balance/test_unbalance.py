"""Force of a missing bit, and what to grind off."""

import numpy as np
import pytest

from snath.formulas.balance.unbalance import (
    grind_off,
    hole_play_unbalance,
    unbalance,
    unbalance_force,
    weight_ratio,
)
from tests.told import refused


def test_ten_grams_missing_at_250_mm_pull_with_246_74_newtons_at_3000_rpm():
    # By hand: U = 10 g x 250 mm = 2,500 g mm; omega = 100 pi; 2.5e-3 x (100 pi)^2 = 246.74 N.
    u = unbalance(mass=0.010, radius=0.250)
    assert u * 1e6 == pytest.approx(2500)
    assert unbalance_force(unbalance=u, rotation=3000 / 60) == pytest.approx(246.74, abs=0.02)


def test_ten_per_cent_faster_pulls_21_per_cent_harder():
    # By hand: 1.1^2 = 1.21.
    f = unbalance_force(unbalance=1e-3, rotation=np.array([50.0, 55.0]))
    assert f[1] / f[0] == pytest.approx(1.21)


def test_what_is_ground_off_makes_up_for_what_is_missing():
    # By hand: 2,500 g mm at 200 mm take 12.5 g.
    assert grind_off(unbalance=2.5e-3, radius=0.2) == pytest.approx(0.0125)


def test_a_hole_half_a_millimetre_too_wide_is_a_quarter_of_a_millimetre_off():
    # By hand: 0.8 kg x 0.25 mm = 200 g mm.
    assert hole_play_unbalance(mass=0.8, play=0.0005) * 1e6 == pytest.approx(200)


def test_force_beside_weight():
    # By hand: 246.74 / (0.8 x 9.80665) = 31.45.
    assert weight_ratio(force=246.74, mass=0.8, gravity=9.80665) == pytest.approx(31.45, abs=0.01)


def test_grinding_at_the_hole_is_refused():
    with refused(r"radius = 0 m: must be over 0"):
        grind_off(unbalance=1e-3, radius=0)


def test_a_negative_mass_is_refused():
    with refused(r"mass = -0\.01 kg"):
        unbalance(mass=-0.01, radius=0.2)
