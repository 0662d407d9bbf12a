"""Steady band, overshoot and recovery against the simulated engine."""

from dataclasses import replace

import numpy as np
import pytest

from benchmarks.governed_engine import GovernedEngine, critical_band, measured, ride, steady_speed
from snath.formulas.governor.response import load_response, steady_band
from tests.told import refused

RATED = 60.0  # rev/s


def stepped(*, first, second, generator):
    """A stable engine whose load changes at 8 s: moments, true speed, track."""
    engine = GovernedEngine(run_up=1.0, setting=1.04)
    engine = replace(engine, band=3 * critical_band(engine))
    start = steady_speed(engine, first)
    times, speed = ride(engine, seconds=16, loads=((0.0, first), (8.0, second)), start=start)
    track = measured(times, speed[:, 0], rated=RATED, every=0.05, noise=0.001, generator=generator)
    return engine, times, speed[:, 0] * RATED, track


@pytest.mark.parametrize(("first", "second"), [(0.0, 0.7), (0.7, 0.0)])
def test_overshoot_and_recovery_are_those_of_the_ride(first, second):
    # Truth: the noise-free ride; steady ends by root finding, the extreme read off it, the recovery by
    # the same words on the fine ride: out of one band for good, into the other for good.
    engine, times, speed, track = stepped(first=first, second=second, generator=np.random.default_rng(9))
    width = 0.015 * RATED
    got = load_response(t=track.t_s, rotation=track.rev_s, change=8.0, band=width)
    before, after = steady_speed(engine, first) * RATED, steady_speed(engine, second) * RATED
    since = times >= 8
    extreme = speed[since].min() if second > first else speed[since].max()
    left = times[since][np.abs(speed[since] - before) > width / 2][0]
    back = times[since][np.abs(speed[since] - after) > width / 2][-1]
    assert got.before == pytest.approx(before, abs=0.03)
    assert got.after == pytest.approx(after, abs=0.03)
    assert got.deviation == pytest.approx(extreme - before, abs=0.003 * RATED)
    assert got.overshoot == pytest.approx(abs(extreme - after), abs=0.003 * RATED)
    assert got.recovery == pytest.approx(back - left, abs=0.12)


def test_the_steady_band_is_bracketed_by_what_is_seen_and_what_noise_leaves():
    # Truth: a triangle of 0.9 rev/s from peak to peak, read with known noise.
    generator = np.random.default_rng(10)
    t = np.arange(0, 30, 0.05)
    true = 60 + 0.9 * (np.abs((0.2 * t) % 1 - 0.5) - 0.25) * 2
    band = steady_band(t=t, rotation=true + 0.05 * generator.standard_normal(t.size), u=0.05)
    assert band.least_width <= 0.9 <= band.width
    assert band.width - band.least_width < 0.35


def test_pure_noise_leaves_next_to_no_band():
    # Property: the expected range of 600 normal points is 6.3 standard deviations (from memory: tables of
    # the range of normal samples give 6.28 at 500 to 6.48 at 1,000 points).
    generator = np.random.default_rng(11)
    t = np.arange(0, 30, 0.05)
    band = steady_band(t=t, rotation=60 + 0.05 * generator.standard_normal(t.size), u=0.05)
    assert band.noise_width == pytest.approx(6.3 * 0.05, rel=0.05)
    assert band.least_width < 0.2 * band.width


def test_a_change_too_near_the_end_is_refused():
    t = np.arange(0, 10, 0.05)
    with refused(r"load change at 9\.0 s: too short: must hold 1 s before"):
        load_response(t=t, rotation=np.full(t.size, 60.0), change=9.0, band=0.9)


def test_a_load_that_changes_nothing_needs_no_recovery():
    t = np.arange(0, 20, 0.05)
    got = load_response(t=t, rotation=np.full(t.size, 60.0), change=8.0, band=0.9)
    assert (got.recovery, got.overshoot, got.deviation) == pytest.approx((0, 0, 0), abs=1e-9)
