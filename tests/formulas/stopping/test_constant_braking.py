"""A blade braked evenly from 3,000 rpm to standstill in the 3.0 s of 16 CFR 1205.5(a)(1)(iii) (read)."""

import math

import numpy as np
import pytest

from snath.formulas.stopping.laws import speed_before_stop, stop_time


def test_three_seconds_from_3000_rpm_take_104_72_rad_per_s2():
    # By hand: 2 pi 50/3 = 104.72 rad/s^2.
    braking = 104.72 / (2 * math.pi)
    assert stop_time(speed=50.0, dry=braking, viscous=0.0, windage=0.0) == pytest.approx(3.0, rel=1e-4)


def test_it_still_turns_75_times_on_the_way():
    # By hand: 50 rev/s x 3.0 s / 2 = 75; the area under the speed by the trapezoid rule, which is exact for a line.
    left = np.linspace(0, 3, 301)
    speed = speed_before_stop(time_left=left, dry=50 / 3, viscous=0.0, windage=0.0)
    assert np.trapezoid(speed, left) == pytest.approx(75.0, abs=1e-6)
