"""Closed forms of a run-down against integrals and the simplest cases."""

import numpy as np
import pytest
from scipy.integrate import quad, solve_ivp

from snath.formulas.stopping.laws import speed_before_stop, stop_time
from tests.told import refused

MIXES = [(10, 0, 0), (10, 0.3, 0), (10, 0, 0.01), (10, 0.3, 0.01), (0.1, 1.0, 0.001), (2, 0.5, 0.03125)]


@pytest.mark.parametrize(("dry", "viscous", "windage"), MIXES)
@pytest.mark.parametrize("speed", [0.5, 5.0, 55.0])
def test_stop_time_is_the_integral(dry, viscous, windage, speed):
    # Another road: numeric integral of dn / (a + b n + c n^2).
    expected, _ = quad(lambda n: 1 / (dry + viscous * n + windage * n * n), 0, speed, epsabs=1e-12)
    assert stop_time(speed=speed, dry=dry, viscous=viscous, windage=windage) == pytest.approx(
        expected, rel=1e-9
    )


@pytest.mark.parametrize(("dry", "viscous", "windage"), MIXES)
def test_speed_and_time_undo_each_other(dry, viscous, windage):
    # Property: the two formulas are one equation.
    speed = np.linspace(0, 60, 13)
    terms = {"dry": dry, "viscous": viscous, "windage": windage}
    left = stop_time(speed=speed, **terms)
    assert speed_before_stop(time_left=left, **terms) == pytest.approx(speed, rel=1e-9, abs=1e-12)


def test_a_brake_alone_stops_evenly():
    # By hand: 60 rev/s at 20 rev/s^2 stand still in 3 s; half the time, half the speed.
    assert stop_time(speed=60.0, dry=20.0, viscous=0, windage=0) == pytest.approx(3.0)
    assert speed_before_stop(time_left=1.5, dry=20.0, viscous=0, windage=0) == pytest.approx(30.0)


def test_dry_friction_and_air_follow_the_tangent():
    # By hand: n = sqrt(a/c) tan(sqrt(a c) s); a = 4, c = 0.01, s = 2: 20 tan(0.4) = 8.4559.
    got = speed_before_stop(time_left=2.0, dry=4.0, viscous=0, windage=0.01)
    assert got == pytest.approx(8.4559, abs=5e-5)


def test_it_solves_the_differential_equation():
    # Another road: scipy's integrator run backwards from standstill.
    solved = solve_ivp(lambda _, n: 3 + 0.4 * n + 0.02 * n * n, (0, 2), [0.0], rtol=1e-11, atol=1e-11)
    got = speed_before_stop(time_left=2.0, dry=3, viscous=0.4, windage=0.02)
    assert got == pytest.approx(solved.y[0, -1], rel=1e-8)


def test_no_finite_speed_takes_longer_than_the_air_allows():
    # By hand: with a = c = 1 the tangent ends at pi/2.
    assert speed_before_stop(time_left=1.58, dry=1.0, viscous=0, windage=1.0) == np.inf
    assert np.isfinite(speed_before_stop(time_left=1.57, dry=1.0, viscous=0, windage=1.0))


def test_without_dry_friction_there_is_no_stop_time():
    with refused("dry = 0 rev/s\\^2: must be over 0"):
        stop_time(speed=50.0, dry=0, viscous=0.5, windage=0)
