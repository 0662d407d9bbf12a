import numpy as np
import pytest

from benchmarks.bound import comb_bound, line_bound


def test_one_line_of_a_second_at_8_khz_and_0_db_is_known_to_6_mhz():
    # Published: Kay 1993 eq. 3.41 and Rife & Boorstyn 1974 (from memory), worked out:
    # sqrt(12 * 8000^2 / (4 pi^2 * 8000 * (8000^2 - 1))) = 0.006164 Hz. Tolerance: the printed digits.
    assert line_bound(snr=1.0, samples=8000, rate=8000) == pytest.approx(0.006164, abs=1e-5)


def test_a_comb_of_one_line_is_that_line_over_its_order():
    # Property: a rotation n heard at order 3 is f/3.
    line = line_bound(snr=2.0, samples=1000, rate=1000)
    assert comb_bound(amplitudes=[2.0], orders=[3.0], noise=1.0, samples=1000, rate=1000) == pytest.approx(
        line / 3
    )


def test_no_least_squares_fit_beats_the_bound_and_a_good_one_reaches_it():
    # Another road: 300 fits of one line by the peak of a fine periodogram, whose scatter the bound limits.
    generator = np.random.default_rng(3)
    samples, rate, frequency, sigma = 400, 400.0, 50.3, 1.0
    t = np.arange(samples) / rate
    tried = frequency + np.linspace(-0.6, 0.6, 481)
    wave = np.exp(-2j * np.pi * np.outer(tried, t))
    clean = np.cos(2 * np.pi * frequency * t + 1.0)
    noisy = clean + sigma * generator.standard_normal((300, samples))
    found = tried[np.abs(wave @ noisy.T).argmax(axis=0)]
    scatter = float(np.sqrt(np.mean((found - frequency) ** 2)))
    bound = line_bound(snr=0.5, samples=samples, rate=rate)
    # 300 draws know a standard deviation to 4 %; three of those, and the grid's 0.0025 Hz.
    assert 0.88 < scatter / bound < 1.15
