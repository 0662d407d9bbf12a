"""Checks of an instrument beside a reference, worked by hand."""

import math

import pytest

from snath.decisions.reading.check import Point, correction_from
from snath.quantities.errors import InputError


def test_an_instrument_that_reads_one_percent_high_is_corrected_by_that_much():
    # By hand: (60.6 - 60) / 60.6 = 0.6 / 60.6 = 0.00990099; nothing else is doubtful.
    found = correction_from([Point(read=60.6, reference=60.0)])
    assert found.correction == pytest.approx(0.6 / 60.6)
    assert found.u_correction == 0
    assert found.drift is None


def test_taking_the_correction_off_gives_the_reference_back():
    # Property: a reading is corrected by (1 - correction), see decisions/reading/budget.py.
    point = Point(read=57.31, reference=57.02)
    assert point.read * (1 - correction_from([point]).correction) == pytest.approx(57.02, rel=1e-12)


def test_reference_digit_spread_and_drift_add_in_squares():
    # By hand: errors 0.3/60.3 = 0.004975124 and 0.1/50.1 = 0.001996008, mean 0.003485566.
    # reference 0.06/50 = 0.0012 (the worse of 0.06/60 and 0.06/50); half digit 0.05/50.1 = 0.000998004;
    # half spread (0.004975124 - 0.001996008)/2 = 0.001489558; drift 0.003485566 - 0.002 = 0.001485566.
    # u^2 = 0.0012^2 + (0.000998004^2 + 0.001489558^2 + 0.001485566^2)/3
    #     = 1.44e-6 + (0.996012e-6 + 2.218783e-6 + 2.206906e-6)/3 = 1.44e-6 + 1.807234e-6 = 3.247234e-6
    points = [Point(60.3, 60.0, 0.06), Point(50.1, 50.0, 0.06)]
    found = correction_from(points, resolution=0.1, before=0.002)
    assert found.correction == pytest.approx(0.003485566, abs=5e-10)
    assert found.drift == pytest.approx(0.001485566, abs=5e-10)
    assert found.u_correction == pytest.approx(math.sqrt(3.247234e-6), rel=1e-6)


@pytest.mark.parametrize(
    ("points", "field"),
    [
        ([], "check"),
        ([Point(30.0, 60.0)], "read"),  # two marks where one was set
        ([Point(math.nan, 60.0)], "read"),
        ([Point(60.0, 0.0)], "reference"),
        ([Point(60.0, 60.0, -1.0)], "u_reference"),
    ],
)
def test_figures_that_cannot_be_a_check_are_refused_at_their_field(points, field):
    with pytest.raises(InputError) as fault:
        correction_from(points)
    assert fault.value.field == field
