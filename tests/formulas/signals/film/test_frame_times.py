import numpy as np
import pytest

from snath.formulas.signals.film.frame_times import (
    capture_rate_from_clock,
    capture_times,
    evened,
    folds,
    frame_rate,
    likely_times,
    only_rounded,
    tick,
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


@pytest.mark.parametrize("per_s", [90_000, 1000, 600, 8000])
def test_the_tick_of_stamps_is_what_all_are_whole_multiples_of(per_s):
    # By hand: stamps rounded to it; 8000 a second is what milliseconds at 30 frames/s become of a film taken at 240.
    uneven = np.cumsum(1 / 60 + 0.001 * np.random.default_rng(2).standard_normal(150))
    assert tick(np.round(uneven * per_s) / per_s) == pytest.approx(1 / per_s, rel=1e-3)
    assert tick(uneven) == tick(np.arange(150) * 1001 / 30_000) == 0


def test_rounded_stamps_are_taken_back_by_what_of_their_unevenness_is_rounding():
    # Published (from memory: Fuller, Measurement Error Models, 1987): an error in the variable flattens the slope on it
    # by its share of the variance. By hand: rounding to d is d^2/12, so 0.33 ms rounded to 1 ms flattens to 0.57.
    even = np.arange(20_000) / 60
    true = even + 0.00033 * np.random.default_rng(3).standard_normal(len(even))

    def slope(stamps):
        steps = np.diff(stamps - even)
        return float(steps @ np.diff(true - even) / (steps @ steps))

    assert slope(np.round(true, 3)) == pytest.approx(0.57, abs=0.02)
    assert slope(likely_times(np.round(true, 3), folds=2)) == pytest.approx(1, abs=0.04)
    assert likely_times(true, folds=2) == pytest.approx(true, abs=1e-12)


def test_stamps_whose_unevenness_is_nearly_all_rounding_tell_no_more_than_even_ones():
    # By hand: 0.1 ms rounded to 1 ms is an eighth of the variance, known to 0.12 of it by 120 frames.
    even = np.arange(120) / 30
    rough = even + 0.0001 * np.random.default_rng(4).standard_normal(120)
    for stamps in (np.round(rough, 3), np.round(even, 3)):
        assert only_rounded(likely_times(stamps, folds=3))


def test_a_slow_motion_film_of_8_s_at_30_was_taken_in_1_s_at_240():
    # By hand: eight times slower.
    assert capture_times(np.array([0.0, 8.0]), stamped_rate=30, capture_rate=240)[1] == pytest.approx(1.0)
    assert capture_rate_from_clock(stamped_rate=30, film_s=8.0, clock_s=1.0) == pytest.approx(240)
