"""Which number does a text begin with?"""

from fractions import Fraction

import pytest

from snath.quantities.numbers import in_mark, leading_number, parse_number, percentage, plain
from tests.told import refused


@pytest.mark.parametrize(
    ("line", "mark", "value", "rest"),
    [  # by hand
        ("21 3/4 in", ".", Fraction(87, 4), "in"),
        ("3,300rpm", ".", 3300, "rpm"),
        ("3.300rpm", ",", 3300, "rpm"),
        ("12 345,678 mm", ",", Fraction(12345678, 1000), "mm"),
        ("5 125/128 in", ".", 5 + Fraction(125, 128), "in"),
        ("1 000 3/4 in", ".", 1000 + Fraction(3, 4), "in"),
        ("1/min", ".", 1, "/min"),
    ],
)
def test_the_number_and_the_rest_of_the_line_come_apart(line, mark, value, rest):
    assert leading_number(line, decimal_mark=mark) == (value, rest)


@pytest.mark.parametrize(
    "line", ["", "mm", "3,5", "1.2.3", "1,23", "3/0", "21 5/3 in", "3/256 in", "..5", "9" * 16]
)
def test_what_is_only_part_of_a_longer_number_is_none(line):
    assert leading_number(line, decimal_mark=".") is None


def test_a_bare_number_or_a_percentage_is_read_whole():
    assert parse_number("3 %", field="slip") == Fraction(3, 100)
    assert parse_number("2,5", field="ratio", decimal_mark=",") == Fraction(5, 2)
    for text in ("3 mm", "nan", "3 %%", "", "1e5"):
        with refused("slip"):
            parse_number(text, field="slip")


def test_foreign_signs_become_plain_ones():
    assert plain("21¾″", field="x", allowed="") == '21 3/4"'
    assert plain("  1′\u00a09″ ", field="x", allowed="") == "1' 9\""


def test_an_example_is_rewritten_only_where_a_mark_stands_between_digits():
    assert in_mark("19,000 ft/min, 96.5 m/s or so.", ",") == "19.000 ft/min, 96,5 m/s or so."
    assert in_mark("19,000 ft/min", ".") == "19,000 ft/min"


def test_a_percentage_needs_its_sign_because_a_bare_number_could_be_a_fraction():
    assert percentage("2,5 %", field="slip", decimal_mark=",") == 0.025  # by hand
    for text in ("0.03", "3", "101 %", 3):
        with refused("from 0 % to 100 %"):
            percentage(text, field="slip")
    with refused("from 0 % to 20 %, such as 2.5 %"):
        percentage("21 %", field="slip", decimal_mark=",", most=0.2)
