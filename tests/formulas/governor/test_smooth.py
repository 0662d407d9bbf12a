"""Smoothing over five neighbours beside the library's own filter."""

import numpy as np
import pytest
from scipy.signal import savgol_filter

from snath.formulas.governor.smooth import smoothed


def test_five_neighbours_are_smoothed_as_the_library_does():
    # Another road: scipy's own filter, its ends fitted as well; by hand: a parabola comes back as it was.
    generator = np.random.default_rng(12)
    values = generator.standard_normal(37)
    assert smoothed(values) == pytest.approx(savgol_filter(values, 5, 2), abs=1e-12)
    assert smoothed(values[:5]) == pytest.approx(savgol_filter(values[:5], 5, 2), abs=1e-12)
    bent = 3 - 2 * np.arange(9.0) + 0.5 * np.arange(9.0) ** 2
    assert smoothed(bent) == pytest.approx(bent, abs=1e-12)
