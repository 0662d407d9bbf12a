import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from snath.formulas.belts.pair import SheavePair, belt_length, span, wraps
from snath.formulas.belts.speeds import rim_speed
from snath.quantities.errors import InputError
from tests.formulas.belts.textbook import series_length
from tests.told import refused, told

IN, FPM = 0.0254, 0.3048 / 60


def test_an_18_and_a_6_inch_pulley_96_inches_apart():
    # Published: Shigley's Mechanical Engineering Design, solutions, Prob. 17-4, p. 425, by Eqs. (17-1) and
    # (17-2): theta_d = 3.016 511 rad, theta_D = 3.266 674 rad, L = 230.074 in. Half the last digit.
    pair = SheavePair(driver=6 * IN, driven=18 * IN, centres=96 * IN)
    small, large = wraps(pair)
    assert small == pytest.approx(3.016511, abs=1e-6)
    assert large == pytest.approx(3.266674, abs=1e-6)
    assert belt_length(pair) / IN == pytest.approx(230.074, abs=0.0006)


def test_70_and_30_cm_pulleys_400_cm_apart_by_both_forms():
    # Derived: board-exam problem 3 (statement read, answer worked by hand):
    # 2 x 400 + pi/2 x 100 + 40^2 / 1600 = 958.08 cm; exact and series agree to 0.005 cm here.
    pair = SheavePair(driver=0.70, driven=0.30, centres=4.00)
    assert series_length(pair) * 100 == pytest.approx(958.08, abs=0.005)
    assert belt_length(pair) * 100 == pytest.approx(958.08, abs=0.005)


def test_the_largest_cast_iron_sheave_at_3600_rpm():
    # Derived: 6,500 ft/min (MPTA-B13i-2013; Practical Machinery Management vol. 4 p. 319; both read);
    # by hand 6500 x 12 / (pi 3600) = 6.897 in, and 6500 ft/min = 33.02 m/s.
    assert rim_speed(rotation=60, diameter=6.897 * IN) / FPM == pytest.approx(6500, abs=1)
    assert pytest.approx(33.02, abs=1e-6) == 6500 * FPM


@given(driver=st.floats(0.02, 1.0), driven=st.floats(0.02, 1.0), gap=st.floats(1e-6, 3.0))
def test_length_is_the_perimeter_of_the_hull_of_two_circles(driver, driven, gap):
    # Another road: Cauchy, perimeter = integral over direction of the support h, the further of the two
    # circles, integrated in closed form between the two directions in which they are equally far.
    centres = (driver + driven) / 2 + gap
    pair = SheavePair(driver=driver, driven=driven, centres=centres)
    a = math.acos((driver - driven) / 2 / centres)  # where C cos(a) + driven/2 = driver/2
    around_driven = 2 * (centres * math.sin(a) + driven / 2 * a)
    around_driver = (2 * math.pi - 2 * a) * driver / 2
    assert belt_length(pair) == pytest.approx(around_driven + around_driver, rel=1e-9)


def test_arrays_broadcast():
    # By hand: equal sheaves make L = 2 C + pi D and two half turns.
    pair = SheavePair(driver=0.1, driven=np.array([0.1, 0.1]), centres=np.array([[0.5], [0.6]]))
    assert belt_length(pair).shape == (2, 2)
    assert belt_length(pair)[:, 0] == pytest.approx([1.0 + 0.1 * math.pi, 1.2 + 0.1 * math.pi])
    assert span(pair)[:, 0] == pytest.approx([0.5, 0.6])


def test_touching_sheaves_are_refused_with_the_distance_missing():
    with pytest.raises(InputError) as refused:
        SheavePair(driver=0.1, driven=0.2, centres=0.14)
    assert (
        told(refused.value) == "centres = 0.14 m: the pulleys touch: set them at least 10.0 mm further apart"
    )


def test_inches_typed_as_metres_are_refused():
    with refused(r"driver = 18 m: must be over 0 and at most 5 m"):
        SheavePair(driver=18, driven=0.1, centres=30)
