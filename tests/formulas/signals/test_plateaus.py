import numpy as np
import pytest

from snath.formulas.signals.plateaus import plateaus
from tests.told import refused


def track(*parts, noise=0.001):
    """Points each 0.1 s: (seconds, first speed, last speed) one after the other, with white noise as a share."""
    speed = np.concatenate([np.linspace(a, b, round(s / 0.1)) for s, a, b in parts])
    speed = speed * (1 + noise * np.random.default_rng(4).standard_normal(len(speed)))
    return {"t_s": np.arange(len(speed)) * 0.1, "rev_s": speed, "u": np.full(len(speed), 0.02)}


def told(found):
    return [(one.begin, one.end) for one in found]


def test_idle_and_two_governed_speeds_are_three_plateaus_with_their_means_and_times():
    # By hand: 50 points at 30 rev/s, 100 at 55 and 100 at 53; the mean of 100 points off by 0.1 % / 10.
    found = plateaus(**track((5, 30, 30), (10, 55, 55), (10, 53, 53)))
    assert [one.rev_s for one in found] == pytest.approx([30, 55, 53], rel=5e-4)
    assert np.ravel(told(found)) == pytest.approx([0, 4.9, 5.0, 14.9, 15.0, 24.9], abs=0.25)
    assert all(abs(one.rev_s - true) < 3 * one.u for one, true in zip(found, (30, 55, 53), strict=True))


def test_a_step_under_one_percent_is_one_plateau():
    # By hand: 0.6 % is under the 1 % that makes two; the mean of equal halves is 50.15.
    (one,) = plateaus(**track((6, 50, 50), (6, 50.3, 50.3)))
    assert one.rev_s == pytest.approx(50.15, rel=5e-4)


@pytest.mark.parametrize("percent", [4, 8, 12])
def test_a_load_step_and_what_the_governor_gives_back_are_told_apart(percent):
    low = 50 * (1 - percent / 100)
    found = plateaus(**track((3, 50, 50), (0.4, 50, low), (4, low, low), (0.4, low, 50), (3, 50, 50)))
    assert [one.rev_s for one in found] == pytest.approx([50, low, 50], rel=5e-3)


def test_warming_up_by_a_percent_in_five_seconds_is_one_plateau():
    # By hand: 0.2 % a second; the mean of 50 to 51 is 50.5.
    (one,) = plateaus(**track((10, 50, 51)))
    assert one.rev_s == pytest.approx(50.5, rel=5e-4)
    assert told([one]) == [(0.0, pytest.approx(9.9))]


@pytest.mark.parametrize("rate", [0.4, 1.0, 1.7, 2.5, 4.0])
def test_a_hunting_engine_holds_one_speed(rate):
    # By hand: whole periods swing about 50 and cancel.
    t = np.arange(0, 15, 0.1)
    speed = 50 * (1 + 0.04 * np.sin(2 * np.pi * rate * t + 0.3))
    (one,) = plateaus(t_s=t, rev_s=speed, u=np.full(len(t), 0.02))
    assert one.rev_s == pytest.approx(50, rel=3e-3)
    assert one.end - one.begin > 12


def test_a_ramp_and_a_fall_hold_nothing():
    assert plateaus(**track((10, 30, 60))) == ()
    t = np.arange(0, 5, 0.1)
    assert plateaus(t_s=t, rev_s=50 * np.exp(-0.5 * t), u=np.full(len(t), 0.02)) == ()


def test_lost_points_make_no_plateau():
    given = track((10, 50, 50))
    given["rev_s"][[20, 55, 80]] *= 2
    assert len(plateaus(**given)) == 1


def test_a_long_track_is_thinned_and_keeps_its_steps():
    # By hand: 7,200 s at 0.1 s, thinned to each 36th point, 3.6 s.
    first, second = plateaus(**track((3000, 50, 50), (4200, 47, 47)))
    assert (first.rev_s, second.rev_s) == pytest.approx((50, 47), rel=2e-3)
    assert second.begin == pytest.approx(3000, abs=8)


def test_a_track_told_turn_by_turn_gives_the_plateaus_of_its_tenths_of_a_second():
    # By hand: 250 points of 50 and 250 of 47 rev/s at 50 a second, neighbours 6 % apart as a four-stroke's turns are.
    t = np.arange(500) / 50
    speed = np.where(t < 5, 50.0, 47.0) * (1 + 0.03 * (-1.0) ** np.arange(500))
    first, second = plateaus(t_s=t, rev_s=speed, u=np.zeros(500))
    assert (first.rev_s, second.rev_s) == pytest.approx((50, 47), rel=2e-3)
    assert told([first, second]) == [pytest.approx((0, 4.9), abs=0.15), pytest.approx((5, 9.9), abs=0.15)]


def test_a_track_of_a_few_points_holds_nothing_and_uneven_lists_are_refused():
    assert plateaus(t_s=(), rev_s=(), u=()) == ()
    with refused("equally many"):
        plateaus(t_s=(1.0,), rev_s=(), u=())
