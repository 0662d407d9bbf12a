"""Weighing the rates of a film that nothing explains."""

import numpy as np

from snath.formulas.signals.film.fit import follow
from snath.formulas.signals.film.rivals import judged


def test_where_nothing_explains_the_flicker_a_rate_is_left_all_the_same():
    # Property: with less than noise foretold the best has a share below nothing, and half of that lies above it.
    generator = np.random.default_rng(2)
    t, series = np.arange(120) / 30, generator.standard_normal((120, 3))
    fits = [follow(t, series, phase=rate * t) for rate in (7.0, 11.3)]
    found = judged(fits, t, series, angle=0 * t, marks=1, noise=0.99 * float((series**2).sum()))
    assert len(found.likely) >= 1
