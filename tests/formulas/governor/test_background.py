"""The smooth level under a spectrum: right, as sure as it says, and not lifted by a line."""

import numpy as np
import pytest
from scipy.integrate import quad

from snath.formulas.governor.background import MEAN, MOST, SCATTER, SLOPE, background

LENGTH = 20.0  # s
RATES = np.arange(0.05, 5.5, 1 / LENGTH)  # independent ones


def drawn(generator, level):
    """Powers as a track without a line gives them: exponential about their level."""
    return level * generator.exponential(size=RATES.size)


def test_mean_slope_and_scatter_of_a_held_down_power_are_its_integrals():
    # Another road: numeric integrals over the exponential distribution.
    mean = quad(lambda x: min(x, MOST) * np.exp(-x), 0, 60, points=[MOST])[0]
    square = quad(lambda x: min(x, MOST) ** 2 * np.exp(-x), 0, 60, points=[MOST])[0]
    slope = quad(lambda x: x * np.exp(-x), 0, MOST)[0]
    assert pytest.approx((mean, slope, square - mean**2), rel=1e-9) == (MEAN, SLOPE, SCATTER)


def test_the_level_is_right_and_as_sure_as_it_says():
    # Truth: a level that falls with rate as a governed engine's does; 400 spectra drawn about it. The mean of
    # the logarithm within four of its own errors and a twentieth; its variance within a third of the stated one.
    generator = np.random.default_rng(21)
    level = 1 / (RATES**2 + 1)
    off, doubt = [], None
    for _ in range(400):
        found = background(RATES, drawn(generator, level), length=LENGTH)
        off.append(np.log(found.level / level))
        doubt = found.doubt
    middle = (RATES > 0.4) & (RATES < 4.5)
    assert np.abs(np.mean(off, 0)[middle]).max() < 0.05 + 4 * np.sqrt(doubt[middle].max() / 400)
    assert np.var(off, 0)[middle] == pytest.approx(doubt[middle], rel=0.33)


def test_a_line_hardly_lifts_it():
    # Truth: a flat level; one power of a thousand times it. By hand: held down to three times the level it adds
    # at most (3 - 0.95) of some 23 powers that speak for a place, a tenth; bare it would add more than forty.
    generator = np.random.default_rng(22)
    power = drawn(generator, np.ones(RATES.size))
    without = background(RATES, power, length=LENGTH).level
    power[40] = 1000.0
    lifted = background(RATES, power, length=LENGTH).level
    assert np.max(lifted / without) < 1.25
