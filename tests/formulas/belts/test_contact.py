import pytest

from snath.formulas.belts.contact import line_radius
from tests.told import refused

IN = 0.0254


def test_the_datum_line_runs_at_half_the_datum_diameter_of_a_groove():
    # Published: Machinery's Handbook Table 9: A, OD less datum is 0.250 in; 3.25 in outside is 3.00 in datum.
    assert line_radius(contact="groove", outside=3.25 * IN, depth=0.125 * IN) == pytest.approx(1.5 * IN)


def test_on_its_back_the_line_lies_outside_the_flat_and_on_its_narrow_side_further_out():
    # By hand: belt 8 mm high, line 3 mm below its top: back 20 + 3, narrow side 20 + 5.
    assert line_radius(contact="flat back", outside=0.04, depth=0.003) == pytest.approx(0.023)
    assert line_radius(contact="flat inside", outside=0.04, depth=0.003, height=0.008) == pytest.approx(0.025)


def test_a_belt_that_rides_high_runs_on_a_larger_circle():
    # By hand: 1.5 mm proud of the rim.
    assert line_radius(contact="groove", outside=0.1, ride=0.0015) == pytest.approx(0.0515)


def test_what_is_missing_or_left_of_nothing_is_refused():
    with refused("needed where the belt runs on a flat"):
        line_radius(contact="flat inside", outside=0.04)
    with refused("must be one of groove, flat inside, flat back"):
        line_radius(contact="crossed", outside=0.04)
    with refused("must leave a belt line"):
        line_radius(contact="groove", outside=0.004, depth=0.003)
