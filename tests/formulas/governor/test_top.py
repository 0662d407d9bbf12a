"""The highest speed of noisy points: swings and noise made by hand, and the expected highest beside draws."""

import numpy as np
import pytest

from snath.formulas.governor.top import highest

TIMES = np.arange(0, 30, 0.05)


def tops(clean, noise, seed):
    """What twenty tracks of one clean course are read as, over its true height above the mean."""
    generator = np.random.default_rng(seed)
    true = clean.max() - clean.mean()
    return (
        np.array(
            [highest(clean + noise * generator.standard_normal(clean.size), noise=noise) for _ in range(20)]
        )
        - true
    )


@pytest.mark.parametrize(("rate", "over"), [(0.3, 0.1), (1.4, 0.1), (3.0, 0.1), (6.0, 0.2)])
def test_a_swing_is_as_high_as_it_was_made_whatever_its_rate(rate, over):
    # Truth: 0.9 rev/s to each side; noise of 0.1 on a point. By three points a cycle neighbours tell noise badly.
    off = tops(0.9 * np.sin(2 * np.pi * rate * TIMES + 0.4), 0.1, 7)
    assert off.min() >= -0.1
    assert -0.03 <= off.mean() <= over


def test_a_single_instant_counts():
    # Truth: one point of six hundred stands 1.5 rev/s above the rest, twelve times the noise. What is given up of it is
    # what noise alone reaches in six hundred, 3.1 times its own.
    clean = np.zeros(TIMES.size)
    clean[300] = 1.5
    off = tops(clean, 0.12, 8)
    assert off.mean() == pytest.approx(-3.1 * 0.12, abs=3 * 0.12 / np.sqrt(20))


def test_noise_alone_goes_nowhere():
    # Truth: no swing; the highest of 600 points of noise stands 3.1 noises up (Blom, from memory).
    off = tops(np.zeros(TIMES.size), 0.1, 9)
    assert np.median(off) <= 0.05
    assert off.max() <= 0.3


def test_without_noise_it_is_the_highest_value():
    values = np.array([1.0, 4.0, 1.0, 2.0, 2.0])
    assert highest(values, noise=0.0) == pytest.approx(2.0)
    assert highest(np.full(9, 3.0), noise=0.0) == 0.0
    assert highest(np.full(9, 3.0), noise=0.2) == 0.0
