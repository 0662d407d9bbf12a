"""Is everything that makes a typed reading doubtful in its budget, with the right size and sign?"""

import pytest

from snath.decisions.reading.budget import taken, typed_budget
from snath.decisions.reading.instruments import Instrument, overdue
from tests.machines import RPM


def budget(repeats, **plate):
    instrument = Instrument("T1", "tachometer", **plate)
    return typed_budget(
        [r * RPM for r in repeats],
        instrument=instrument,
        stated_u=None,
        taken=taken("crankshaft", "blades in air", "now"),
    )


def test_scatter_is_that_of_the_mean_with_one_degree_less_than_readings():
    # By hand: 3,290, 3,300, 3,310: deviation 10 rpm, of the mean 10 / sqrt(3) = 5.774; 3 - 1 = 2 degrees.
    (line,) = budget((3290, 3300, 3310)).lines
    assert line.u == pytest.approx(5.774 * RPM, abs=0.001 * RPM)
    assert line.dof == 2


def test_a_tachometer_that_reads_too_much_has_its_error_taken_off():
    # By hand: it reads 1 % of its reading too much, so 3,300 shown are 3,267 true.
    assert budget((3300,), correction=0.01).value == pytest.approx(3267 * RPM)
    assert budget((3300,), correction=-0.01).value == pytest.approx(3333 * RPM)


def test_plate_and_last_digit_are_rectangles():
    # By hand: 0.1 % of 3,000 and 2 rpm make 5 rpm, / sqrt(3) = 2.887; the last digit is 2 rpm, a half width of 1,
    # / sqrt(3) = 0.577.
    plate, digit = budget((3000,), accuracy=0.001, digits=2 * RPM, resolution=2 * RPM).lines
    assert plate.u == pytest.approx(2.887 * RPM, abs=0.001 * RPM)
    assert digit.u == pytest.approx(0.577 * RPM, abs=0.001 * RPM)
    assert {plate.distribution, digit.distribution} == {"rectangular"}


def test_the_checks_own_doubt_grows_with_the_reading():
    # By hand: 0.2 % of 3,000 rpm.
    (line,) = budget((3000,), u_correction=0.002).lines
    assert line.u == pytest.approx(6 * RPM)


def test_an_instrument_is_good_on_its_day_and_overdue_the_day_after_and_where_no_day_is_set():
    checked = Instrument("T1", "tachometer", due_on="2026-06-01")
    assert not overdue(checked, "2026-06-01")
    assert overdue(checked, "2026-06-02")
    assert overdue(Instrument("T2", "tachometer"), "2026-06-01")
