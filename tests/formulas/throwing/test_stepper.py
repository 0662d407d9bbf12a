"""The Runge-Kutta step by itself."""

import numpy as np
import pytest
from scipy.integrate import RK45

from snath.formulas.throwing.stepper import ERROR, STAGES, advance, next_step


def test_the_table_is_the_published_one():
    # Another road: scipy carries the same pair; its error row has the opposite sign convention.
    for row, stage in enumerate(STAGES[:-1], start=1):
        assert stage == pytest.approx(RK45.A[row, :row])
    assert STAGES[-1] == pytest.approx(RK45.B)
    assert pytest.approx(-RK45.E, abs=1e-15) == ERROR


def test_one_step_is_of_fifth_order():
    # Property: halving the step of a fifth-order rule cuts its error by 2^6 a step; y' = y, y(h) = e^h.
    def error(h):
        y = np.ones((1, 1))
        return abs(advance(lambda s: s, y, y, np.array([h]))[0][0, 0] - np.exp(h))

    assert np.log2(error(0.2) / error(0.1)) == pytest.approx(6, abs=0.15)


def test_the_next_step_stays_between_a_fifth_and_five_times():
    step = next_step(np.ones(3), np.array([0.0, 1.0, 1e9]))
    assert step == pytest.approx([5.0, 0.9, 0.2])
