import pytest

from snath.formulas.belts.sections import groove_offset, has_offset
from tests.told import refused


@pytest.mark.parametrize(("section", "inches"), [("A", 0.250), ("B", 0.350), ("C", 0.400), ("D", 0.600)])
def test_the_datum_circle_lies_as_deep_as_ip_20_prints(section, inches):
    # Published: Machinery's Handbook, 31st ed., Table 9 (ANSI/RMA IP-20, 1988), column 2hd; page read.
    assert groove_offset(section) == pytest.approx(inches * 0.0254, rel=1e-12)


def test_a_notched_belt_runs_in_the_plain_groove():
    # Published: same table, whose rows are headed "A, AX" and "B, BX".
    assert groove_offset("AX") == groove_offset("A")
    assert groove_offset("BX") == groove_offset("B")


def test_a_light_duty_groove_has_no_page_and_says_count_the_ratio():
    assert not has_offset("4L")
    with refused("count the ratio"):
        groove_offset("4L")


def test_an_unknown_section_is_refused_with_those_that_are_known():
    with refused("must be one of A, AX, B"):
        groove_offset("Q")
