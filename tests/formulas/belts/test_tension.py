import math

import pytest

from snath.formulas.belts.grip import tension_ratio
from snath.formulas.belts.tension import (
    belt_mass,
    idler_tension,
    shaft_load,
    spring_pull,
)
from tests.formulas.belts.textbook import tensions_at_slip
from tests.told import refused

LBF, FPM = 4.4482216, 0.3048 / 60


def test_flat_belt_tensions_at_the_point_of_slip():
    # Published: Shigley, 10th ed., solutions Prob. 17-1 (data of Ex. 17-2), p. 1/39, read: exp = 11.35,
    # F1 = 802, F2 = 138, Fi = 396.6 lbf, friction back 0.80.
    ratio = tension_ratio(friction=0.8, wrap=3.037)
    pulls = tensions_at_slip(pull=664 * LBF, ratio=ratio, centrifugal=73.4 * LBF)
    assert ratio == pytest.approx(11.35, abs=0.01)
    assert pulls.tight / LBF == pytest.approx(802, abs=0.6)
    assert pulls.slack / LBF == pytest.approx(138, abs=0.6)
    assert pulls.static / LBF == pytest.approx(396.6, abs=0.6)
    gripping = (pulls.tight - 73.4 * LBF) / (pulls.slack - 73.4 * LBF)
    assert math.log(gripping) / 3.037 == pytest.approx(0.80, abs=0.005)


def test_centrifugal_pull_of_a_d_belt():
    # Published: Shigley, solutions ch. 17, p. 437, read: 3.498 (2722.7 / 1000)^2 = 25.9 lbf.
    pull = belt_mass("D").value * (2722.7 * FPM) ** 2
    assert pull / LBF == pytest.approx(25.9, abs=0.05)


def test_an_a_belt_weighs_about_a_tenth_of_a_kilogram_a_metre():
    # By hand: 0.561 x 4.44822 / 5.08^2 = 0.0967 kg/m (constant from memory: Shigley).
    assert belt_mass("AX").value == pytest.approx(0.0967, abs=0.0001)


def test_shaft_load_is_the_sum_at_half_a_turn_and_less_otherwise():
    # By hand: parallel runs add; at a right angle of wrap 300 and 400 make 500.
    assert shaft_load(one=300, other=400, wrap=math.pi) == pytest.approx(700)
    assert shaft_load(one=300, other=400, wrap=math.pi / 2) == pytest.approx(500)


def test_an_idler_pulls_by_its_wrap():
    # By hand: over 60 deg each run takes F / (2 sin 30 deg) = F.
    assert idler_tension(push=80, wrap=math.pi / 3) == pytest.approx(80)


def test_a_spring_hooked_in_shorter_than_free_hangs_loose():
    # By hand: 20 N + 2000 N/m x 30 mm = 80 N.
    assert spring_pull(rate=2000, initial=20, free=0.10, length=0.13) == pytest.approx(80)
    with refused("hangs loose"):
        spring_pull(rate=2000, initial=20, free=0.10, length=0.09)
