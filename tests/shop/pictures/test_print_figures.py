"""Figures in print: rounded to the side that does no harm, in both systems, with the reader's marks."""

import pytest

from snath.shop.pictures.figures import bare_rpm, digits, length, limit, short, spread_rpm
from snath.shop.pictures.voice import speaking

ENGLISH, GERMAN = speaking("en"), speaking("de", "mm")


@pytest.mark.parametrize(
    ("per_minute", "printed"),
    # By hand: two digits, always up.
    [(4.01, "4.1"), (4.0, "4.0"), (0.123, "0.13"), (19.2, "20"), (123.4, "124"), (0.0, "0")],
)
def test_a_doubt_is_never_printed_smaller_than_it_is(per_minute, printed):
    assert spread_rpm(ENGLISH, per_minute / 60) == printed


@pytest.mark.parametrize(("rounding", "printed"), [("down", "3,298"), ("up", "3,299"), ("nearest", "3,299")])
def test_a_ceiling_goes_down_and_a_floor_up(rounding, printed):
    assert bare_rpm(ENGLISH, 3298.78 / 60, rounding) == printed


@pytest.mark.parametrize(
    ("metres", "printed"),
    # By hand, 1 in = 25.4 mm exactly (NIST SP 811, app. B).
    [
        (21.75 * 0.0254, "21 3/4 in (552.5 mm)"),
        (22 * 0.0254, "22 in (558.8 mm)"),
        (0.53, "20.866 in (530 mm)"),
        (18.03125 * 0.0254, "18 1/32 in (458.0 mm)"),
    ],
)
def test_a_length_is_a_fraction_where_it_lies_on_a_mark(metres, printed):
    assert length(ENGLISH, metres) == printed


def test_a_metric_reader_has_millimetres_first_and_a_comma():
    assert length(GERMAN, 21.75 * 0.0254) == "552,5 mm (21 3/4 in)"
    assert limit(GERMAN, 96.52, "surface speed", "down") == "96,52 m/s (19.000 ft/min)"


def test_each_kind_of_limit_is_told_in_the_unit_it_is_spoken_of():
    assert limit(ENGLISH, 60.0, "shaft speed") == "3,600 rpm"
    assert limit(ENGLISH, 62.5, "frequency") == "62.50 Hz"
    assert limit(ENGLISH, 3.0, "stopping time") == "3.00 s"
    assert limit(ENGLISH, 0.05, "droop") == "5.0 %"


def test_idle_zeros_are_left_out_but_not_those_of_a_whole_number():
    assert short(ENGLISH, 0.05, 4) == "0.05"
    assert short(GERMAN, 1.5, 3) == "1,5"
    assert short(ENGLISH, 1200.0, 0) == "1,200"
    assert digits(ENGLISH, 1200.0, 2) == "1,200.00"
