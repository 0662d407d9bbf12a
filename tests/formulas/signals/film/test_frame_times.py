import numpy as np
import pytest

from snath.formulas.signals.film.frame_times import (
    capture_rate_from_clock,
    capture_times,
    evened,
    folds,
    frame_rate,
    only_rounded,
)


def test_frames_at_30_a_second_show_20_40_50_and_70_hz_like_10():
    # By hand: whole multiples of 30 plus or minus 10.
    assert folds(frequency=10.0, rate=30.0, low=5.0, high=75.0) == (10.0, 20.0, 40.0, 50.0, 70.0)


def test_every_fold_gives_the_same_samples():
    # Property: cosines at the folds are equal at the frame times.
    t = np.arange(50) / 24.0
    first = np.cos(2 * np.pi * 7.3 * t)
    for frequency in folds(frequency=7.3, rate=24.0, low=0.1, high=200.0):
        assert np.cos(2 * np.pi * frequency * t) == pytest.approx(first, abs=1e-9)


def test_rounded_stamps_come_out_even_and_lost_frames_stay_lost():
    # By hand: 1/30 s rounded to milliseconds, the fifth frame dropped.
    even = np.delete(np.arange(60) / 30, 5)
    assert evened(np.round(even, 3)) == pytest.approx(even, abs=2e-4)
    assert frame_rate(np.round(even, 3)) == pytest.approx(30, rel=1e-3)


def test_stamps_that_are_only_rounded_are_told_from_uneven_ones():
    even = np.arange(120) / 30
    uneven = even + 0.002 * np.random.default_rng(1).standard_normal(120)
    assert only_rounded(even)
    assert only_rounded(np.round(even, 3))
    assert only_rounded(np.round(even * 90_000) / 90_000)
    assert not only_rounded(uneven)
    assert not only_rounded(np.round(uneven, 3))


def test_a_slow_motion_film_of_8_s_at_30_was_taken_in_1_s_at_240():
    # By hand: eight times slower.
    assert capture_times(np.array([0.0, 8.0]), stamped_rate=30, capture_rate=240)[1] == pytest.approx(1.0)
    assert capture_rate_from_clock(stamped_rate=30, film_s=8.0, clock_s=1.0) == pytest.approx(240)
