import numpy as np
import pytest

from snath.formulas.signals.sound_evidence import OrderSpectrum
from snath.formulas.signals.sound_unlike import fires_evenly, log_odds_unlike, neighbours_differ

SPAN = 12


def spectrum(levels):
    """Lines 1, 2, 3, ... of these levels on an otherwise empty spectrum."""
    level = np.zeros(SPAN * (len(levels) + 1))
    level[SPAN * np.arange(1, len(levels) + 1)] = levels
    return OrderSpectrum(level, np.ones_like(level), np.zeros_like(level), level, SPAN)


def test_lines_that_alternate_differ_by_that_much_from_their_neighbours():
    # By hand: 3 between 5 and 5, 5 between 3 and 3: two either way.
    assert neighbours_differ(spectrum([5.0, 3.0] * 6), np.arange(1, 13)) == pytest.approx(2.0)


def test_lines_on_a_slope_do_not_differ():
    # By hand: the middle of a straight line is the mean of its ends.
    assert neighbours_differ(spectrum(np.linspace(8, 3, 12)), np.arange(1, 13)) == pytest.approx(
        0.0, abs=1e-9
    )


def test_too_few_clear_lines_leave_the_odds_open():
    assert neighbours_differ(spectrum([5.0, 3.0, 5.0]), np.arange(1, 4)) is None
    assert -0.1 < log_odds_unlike(None) <= 0


def test_unlike_cylinders_are_never_believed_for_certain():
    # Property: rough pipes make lines differ too, so at most even odds.
    assert all(log_odds_unlike(differ) <= 0 for differ in np.linspace(0, 5, 60))
    assert log_odds_unlike(0.1) < log_odds_unlike(0.45) < log_odds_unlike(1.0)


@pytest.mark.parametrize(
    ("firings", "even"),
    [((0.0,), False), ((0.0, 0.5), True), ((0.0, 0.375), False), ((0.0, 0.25, 0.5, 0.75), True)],
)
def test_only_firings_at_even_distances_cancel_lines(firings, even):
    # By hand: a single cancels none; a 270-degree crank fires at 0.375 of the cycle.
    assert fires_evenly(firings) is even
