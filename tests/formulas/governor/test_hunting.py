"""Hunting against the simulated engine as truth: found when there, not cried when not, its rate right."""

from dataclasses import replace

import numpy as np
import pytest

from benchmarks.governed_engine import (
    STEP,
    GovernedEngine,
    critical_band,
    measured,
    ride,
    roots_at,
    side_by_side,
    slowed,
)
from snath.formulas.governor import spectrum
from snath.formulas.governor.hunting import find_hunting
from snath.formulas.governor.spectrum import Swings
from snath.quantities.errors import InputError
from tests.told import refused, told

RATED = 60.0  # rev/s
STEADY = 500
SETTLE = 5.0  # s left out at the start of a ride


def drawn(generator, *, low, high):
    """One engine whose band is so many times the band at which it begins to hunt."""
    engine = GovernedEngine(
        run_up=generator.uniform(0.4, 1.5),
        lag=generator.uniform(0.03, 0.1),
        natural=generator.uniform(20, 60),
        damping=generator.uniform(0.3, 0.8),
        rest=generator.uniform(0.15, 0.3),
        setting=1.0,
        drag=0.15,
    )
    return replace(engine, band=critical_band(engine) * generator.uniform(low, high))


def read(times, speed, generator):
    """A 20 s track as a reader would hand it over: 10 or 20 points a second, 0.03 to 0.3 % noise."""
    return measured(
        times,
        speed,
        rated=RATED,
        every=generator.choice([0.05, 0.1]),
        noise=generator.uniform(0.0003, 0.003),
        generator=generator,
    )


@pytest.fixture(scope="module")
def steady_rides():
    """500 stable engines of every liveliness, running rough: times and speeds over 20 s."""
    generator = np.random.default_rng(20_06)
    engines = [drawn(generator, low=2.5, high=6.0) for _ in range(STEADY)]
    roughness = generator.uniform(0.005, 0.03, STEADY)
    times, speeds = ride(side_by_side(engines), seconds=20 + SETTLE, roughness=roughness, generator=generator)
    settled = round(SETTLE / STEP)
    return times[settled:] - SETTLE, speeds[settled:]


def test_hunting_is_cried_on_at_most_two_in_a_hundred_steady_tracks(steady_rides):
    # Truth: the engines are stable (every root of the loop decays). At most 2 % of 500.
    generator = np.random.default_rng(1)
    times, speeds = steady_rides
    cried = 0
    for column in range(STEADY):
        track = read(times, speeds[:, column], generator)
        cried += find_hunting(t=track.t_s, rotation=track.rev_s).found
    assert cried <= 0.02 * STEADY


def test_the_stated_chance_is_honest_on_white_noise():
    # Property: of 400 tracks of pure noise about 10 % show a chance under 0.1; the sum of 400 such
    # draws stays under 16 % but for one in ten thousand.
    generator = np.random.default_rng(2)
    t = np.arange(0, 20, 0.1)
    chances = [
        find_hunting(t=t, rotation=RATED + 0.1 * generator.standard_normal(t.size)).chance for _ in range(400)
    ]
    assert np.mean(np.array(chances) < 0.1) <= 0.16


@pytest.mark.parametrize("rate", [0.5, 0.8, 1.3, 2.0, 3.0])
def test_a_swing_of_one_per_cent_is_found_in_19_of_20(steady_rides, rate):
    # Truth: the swing added, 1 % of speed to each side over 20 s on the rough running of stable engines.
    generator = np.random.default_rng(3)
    times, speeds = steady_rides
    found, off, depths = 0, [], []
    for column in range(100):
        swing = 1 + 0.01 * np.sin(2 * np.pi * rate * times + column)
        track = read(times, speeds[:, column] * swing, generator)
        hunting = find_hunting(t=track.t_s, rotation=track.rev_s)
        found += hunting.found
        off.append(abs(hunting.rate / rate - 1))
        depths.append(hunting.depth)
    assert found >= 95
    assert np.quantile(off, 0.95) <= 0.02
    assert np.median(depths) == pytest.approx(0.01, rel=0.05)


@pytest.mark.parametrize("rate", [0.5, 1.0, 2.0, 3.0])
def test_even_one_per_cent_from_peak_to_peak_is_found_in_19_of_20(steady_rides, rate):
    # Truth: as above, half a per cent to each side. A detector that knew every engine's spectrum beforehand
    # would find 98 % of them at 0.5 Hz (noncentral chi-square over the loops' own transfer functions).
    generator = np.random.default_rng(4)
    times, speeds = steady_rides
    found, tried = 0, 250
    for column in range(tried):
        swing = 1 + 0.005 * np.sin(2 * np.pi * rate * times + column)
        track = read(times, speeds[:, column] * swing, generator)
        found += find_hunting(t=track.t_s, rotation=track.rev_s).found
    assert found >= 0.95 * tried


def test_many_rates_are_worked_in_pieces_without_a_difference(monkeypatch):
    # Property: powers do not depend on how many rates are worked on together.
    generator = np.random.default_rng(9)
    t = np.sort(generator.uniform(0, 30, 600))
    speed = RATED + 0.2 * generator.standard_normal(t.size)
    rates = np.arange(0.3, 5, 0.01)
    whole = Swings(t, speed).power(rates)
    monkeypatch.setattr(spectrum, "AT_ONCE", 10_000)
    assert Swings(t, speed).power(rates) == pytest.approx(whole, rel=1e-12)


def test_a_swing_taken_out_leaves_none_of_it():
    # Property: what is left has no power at that rate, and no trend; two of the same make nothing more.
    t = np.arange(0, 20, 0.05)
    speed = RATED + 0.01 * t + 0.5 * np.sin(2 * np.pi * 1.23 * t + 1)
    left = Swings(t, speed).without(1.23)
    assert np.abs(left.values).max() < 1e-9
    assert Swings(t, speed).power(np.array([1.23]))[0] == pytest.approx(0.5**2 / 2 * t.size, rel=0.01)


def counted_rate(speed, near):
    """Rate of a clean ride by counting its upward passages, a quarter cycle smoothed: another road."""
    width = round(0.25 / near / STEP)
    smooth = np.convolve(speed - speed.mean(), np.ones(width) / width, "same")[width:-width]
    up = np.flatnonzero((smooth[:-1] < 0) & (smooth[1:] >= 0))
    return (up.size - 1) / ((up[-1] - up[0]) * STEP)


def test_the_rate_of_a_hunting_governor_is_within_two_per_cent():
    # Truth: engines whose loop grows until the throttle meets its stops; passages counted on the
    # ride itself before it was sampled and made noisy.
    generator = np.random.default_rng(5)
    engines = []
    for _ in range(80):
        engine = drawn(generator, low=0.3, high=0.8)
        growing = max(roots_at(engine), key=lambda root: root.real)
        engines.append(slowed(engine, abs(growing.imag) / (2 * np.pi) / generator.uniform(0.5, 3.0)))
    times, speeds = ride(side_by_side(engines), seconds=50, start=1.02, roughness=0.01, generator=generator)
    settled = round(30 / STEP)
    times, speeds = times[settled:] - 30, speeds[settled:]
    off = []
    for column in range(80):
        track = measured(times, speeds[:, column], rated=RATED, every=0.05, noise=0.001, generator=generator)
        hunting = find_hunting(t=track.t_s, rotation=track.rev_s)
        if hunting.depth >= 0.0025:
            assert hunting.found
            off.append(hunting.rate / counted_rate(speeds[:, column], hunting.rate) - 1)
    assert len(off) >= 70
    assert np.abs(off).max() <= 0.02


def test_gaps_and_uneven_times_do_not_matter():
    # Truth: a swing of 0.6 rev/s at 1.7 Hz, a third of the points lost and 2 s missing.
    generator = np.random.default_rng(6)
    t = np.sort(generator.uniform(0, 20, 260))
    t = t[(t < 8) | (t > 10)]
    speed = RATED + 0.6 * np.sin(2 * np.pi * 1.7 * t) + 0.1 * generator.standard_normal(t.size)
    hunting = find_hunting(t=t, rotation=speed)
    assert hunting.found
    assert hunting.rate == pytest.approx(1.7, rel=0.005)
    assert hunting.half_swing == pytest.approx(0.6, abs=3 * hunting.u_half_swing + 0.02)


def test_warming_up_is_not_hunting():
    # Truth: a bend of 2 % over 20 s, no swing.
    generator = np.random.default_rng(7)
    t = np.arange(0, 20, 0.05)
    speed = RATED * (1 + 0.02 * (1 - np.exp(-t / 6))) + 0.1 * generator.standard_normal(t.size)
    assert not find_hunting(t=t, rotation=speed).found


def test_a_swing_too_shallow_to_matter_is_measured_but_not_cried():
    # Truth: 0.1 % to each side with hardly any noise: no chance, yet inside every steady band.
    t = np.arange(0, 20, 0.05)
    generator = np.random.default_rng(8)
    speed = RATED * (1 + 0.001 * np.sin(2 * np.pi * 1.1 * t)) + 0.01 * generator.standard_normal(t.size)
    hunting = find_hunting(t=t, rotation=speed)
    assert hunting.chance < 0.005
    assert hunting.depth == pytest.approx(0.001, rel=0.05)
    assert not hunting.found


def test_a_track_too_short_is_refused_with_what_is_needed():
    t = np.arange(61) * 0.05
    with pytest.raises(InputError) as refused:
        find_hunting(t=t, rotation=np.full(t.size, RATED))
    assert told(refused.value) == (
        "track = 3.0 s, 61 points: too short: must hold at least 6 s and 40 points of steady running"
    )


def test_a_track_too_coarse_and_one_stepping_back_are_refused():
    # By hand: a point every 6 s shows 1 / (2.5 x 6 s) = 0.067 Hz at most, less than twice the slowest 0.05 Hz.
    t = np.arange(0, 300, 6.0)
    with refused("too coarse"):
        find_hunting(t=t, rotation=np.full(t.size, RATED))
    with refused("times must rise"):
        find_hunting(t=[0.0, 2.0, 1.0], rotation=[60.0, 60.0, 60.0])
