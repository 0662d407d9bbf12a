"""What keeps itself up beside what is rung: waves and noise made by hand, and a stable loop's own equation."""

import numpy as np
import pytest
from scipy.signal import lfilter

from snath.formulas.governor.hunting import find_hunting
from snath.formulas.governor.kept_up import evenness, keeps_up

EVERY, SECONDS = 0.1, 30.0


def rung(rate, damping, generator):
    """A second-order loop that forgets itself, rung by noise: 0.4 % of 60 rev/s, with 0.05 % of reading noise."""
    step = 2 * np.pi * rate * EVERY
    keeps = np.exp(-damping * step)
    back = [1, -2 * keeps * np.cos(step * np.sqrt(1 - damping**2)), keeps**2]
    count = round(SECONDS / EVERY)
    wave = lfilter([1], back, generator.standard_normal(400 + count))[400:]
    return 60 * (1 + 0.004 * wave / wave.std() + 0.0005 * generator.standard_normal(count))


def test_a_lively_but_stable_loop_is_not_called_hunting():
    # Truth: the loop's equation decays, with 10 to 18 % of critical damping. Of 24 at most one is cried.
    generator = np.random.default_rng(31)
    t = np.arange(round(SECONDS / EVERY)) * EVERY
    found = [
        find_hunting(t=t, rotation=rung(rate, damping, generator))
        for rate in np.linspace(0.6, 2.0, 8)
        for damping in (0.1, 0.14, 0.18)
    ]
    assert sum(one.chance <= 0.01 and one.depth >= 0.0025 for one in found) >= 8
    assert sum(one.found for one in found) <= 1


def test_a_wave_keeps_its_height_and_phase_and_what_is_rung_neither():
    # By hand: of a wave of height 1 beside Gaussian noise of mean square N, E = 1 / (1 + N)^2; 0 of the noise alone.
    generator = np.random.default_rng(32)
    noise = (generator.standard_normal(40_000) + 1j * generator.standard_normal(40_000)) / np.sqrt(2)
    for share in (0.1, 1.0):
        wave = np.exp(0.3j) + np.sqrt(share) * noise
        assert evenness(np.abs(wave)) == pytest.approx(1 / (1 + share) ** 2, abs=0.02)
        assert keeps_up(wave, 100.0)
    assert evenness(np.abs(noise)) == pytest.approx(0, abs=0.05)
    strayed = np.exp(1j * np.cumsum(0.3 * generator.standard_normal(4_000)))  # one height, no phase
    assert keeps_up(strayed, 100.0)
    assert not keeps_up(noise, 100.0)
    assert not keeps_up(np.zeros(9, dtype=complex), 100.0)
