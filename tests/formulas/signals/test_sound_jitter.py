"""Jitter and wandering, each against phases drawn here by what they mean."""

import numpy as np
import pytest
from scipy.linalg import cholesky, solve_triangular

from snath.formulas.signals.sound_jitter import likeliest, of_all_parts, walked_speed, whitened

RATE, COUNT, NOISE = 25.0, 50, 2e-3  # cycles a second, phases of a 5 s clip, u of one phase in cycles


def phases(seed, *, jitter=0.0, wander=0.0):
    """Times and phases of a clip whose cycles jitter and whose speed walks at random."""
    generator = np.random.default_rng(seed)
    cycles = np.arange(int(5 * RATE))
    t = cycles / RATE
    late = np.cumsum(jitter * generator.standard_normal(len(t)))
    pace = np.cumsum(wander * RATE / np.sqrt(RATE) * generator.standard_normal(len(t)))
    phase = late + np.cumsum(pace) / RATE + NOISE * generator.standard_normal(len(t))
    every = len(t) // COUNT
    return t[::every], phase[::every]


def test_the_integral_of_a_random_walk_varies_as_walks_do():
    # By another road: 20,000 walks in steps of 10 ms; known in closed form, s^2 (3 t - s) / 6 for s up to t.
    steps = 0.1 * np.random.default_rng(1).standard_normal((20_000, 200))
    at = np.array([49, 99, 199])
    turned = (np.cumsum(np.cumsum(steps, axis=1), axis=1) * 0.01)[:, at]
    t = (at + 1) * 0.01
    assert walked_speed(t, t) == pytest.approx(np.cov(turned.T), rel=0.06)


def test_whitening_by_one_bordered_factor_is_that_by_two_steps():
    # Peer: scipy.linalg, factor and triangular solution apart.
    generator = np.random.default_rng(2)
    root = generator.standard_normal((6, 6))
    v, rows = root @ root.T + np.eye(6), generator.standard_normal((2, 6))
    lower, solved = whitened(v, rows)
    assert lower == pytest.approx(cholesky(v, lower=True))
    assert solved == pytest.approx(solve_triangular(cholesky(v, lower=True), rows.T, lower=True).T)


@pytest.mark.parametrize("jitter", [0.0035, 0.007, 0.012])
def test_the_jitter_that_was_drawn_is_found(jitter):
    # Truth: drawn here. Neighbours on the grid are 1.4 to 1.8 times apart; the middle of nine clips is not further off.
    found = [likeliest(*phases(seed, jitter=jitter), NOISE**2, RATE)[0] for seed in range(9)]
    assert jitter / 1.5 < np.median(found) < jitter * 1.75


@pytest.mark.parametrize(("wander", "low", "high"), [(0.0, 0.0, 0.003), (0.1, 0.02, 0.25)])
def test_a_wandering_speed_is_told_from_jitter(wander, low, high):
    # Truth: drawn here, beside a usual jitter of 0.5 %.
    found = [likeliest(*phases(seed, jitter=0.005, wander=wander), NOISE**2, RATE)[1] for seed in range(9)]
    assert low <= np.median(found) <= high


def test_a_load_that_comes_on_is_no_jitter_of_all_cycles():
    # Truth: 0.35 % drawn here, and a step of half a cycle within the middle third, as a load makes it.
    t, phase = phases(3, jitter=0.0035)
    stepped = phase + 0.5 / (1 + np.exp(-(t - 2.5) / 0.05))
    whole = likeliest(t, stepped, NOISE**2, RATE)
    assert whole[0] >= 0.007
    assert of_all_parts(t, stepped, NOISE**2, RATE, *whole)[0] <= 0.005


def test_too_few_phases_are_not_parted():
    t, phase = phases(4, jitter=0.005)
    assert of_all_parts(t[:9], phase[:9], NOISE**2, RATE, 0.012, 0.1) == (0.012, 0.1)
