"""Tip circles and tip speeds against tables and worked examples of the trade."""

import math
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from snath.formulas.blades import (
    rotation_at_tip_speed,
    tip_circle_from_bar,
    tip_speed,
)
from snath.quantities.units import in_unit, parse, rounded
from tests.told import refused

INCH = 0.0254
FOOT_PER_MINUTE = 0.3048 / 60
LIMIT = 19_000 * FOOT_PER_MINUTE
OLDER = 21_000 * FOOT_PER_MINUTE


def test_the_limit_in_other_units():
    # Derived: 1 ft = 0.3048 m exactly (NIST SP 811 app. B, from memory).
    limit = parse("19,000 ft/min", dimension="speed", field="limit").value
    assert limit == pytest.approx(96.52, abs=1e-9)
    assert in_unit(limit, "m/min") == pytest.approx(5791.2, abs=1e-6)
    assert in_unit(limit, "km/h") == pytest.approx(347.472, abs=1e-6)
    assert in_unit(limit, "mph") == pytest.approx(215.909, abs=0.001)


def test_the_metric_figure_is_a_little_lower_than_the_inch_figure():
    # Derived, same source: 96.5 m/s is 18,996.063 ft/min, 3.937 ft/min less.
    metric = in_unit(parse("96.5 m/s", dimension="speed", field="limit").value, "ft/min")
    assert metric == pytest.approx(18_996.063, abs=0.01)
    assert 19_000 - metric == pytest.approx(3.937, abs=0.01)


@pytest.mark.parametrize(
    ("inches", "limit", "rpm"),
    [  # Published: table of limits in an owners' forum, 2008, all nine values read; tolerance half of the last digit
        (18, LIMIT, 4032),
        (19, LIMIT, 3820),
        (20, LIMIT, 3629),
        (21, LIMIT, 3456),
        (22, LIMIT, 3299),
        (23, LIMIT, 3155),
        (24, LIMIT, 3024),
        (19, OLDER, 4222),
        (20, OLDER, 4011),
        (21, OLDER, 3820),
        (22, OLDER, 3646),
        (23, OLDER, 3488),
        (26, OLDER, 3085),
    ],
)
def test_rpm_at_the_limit_agrees_with_the_published_table(inches, limit, rpm):
    assert rotation_at_tip_speed(speed=limit, diameter=inches * INCH) * 60 == pytest.approx(rpm, abs=0.5)


@pytest.mark.parametrize(
    ("inches", "rpm"), [(22, 3298), (21, 3455), (20, 3628), (19, 3819), (18, 4031), (28, 2591)]
)
def test_rounded_down_the_limit_is_kept_and_one_rpm_more_breaks_it(inches, rpm):
    # By hand: 19,000 x 12 / (pi x inches), cut off to whole rpm (common practice, no source).
    exactly = rotation_at_tip_speed(speed=LIMIT, diameter=inches * INCH) * 60
    assert rounded(Fraction(exactly), "down") == rpm
    assert tip_speed(rotation=rpm / 60, diameter=inches * INCH) <= LIMIT
    assert tip_speed(rotation=(rpm + 1) / 60, diameter=inches * INCH) > LIMIT


def test_a_21_inch_blade_at_3100_rpm():
    # Published: an owners' forum works 17,042 ft/min with the shop rule D n / 3.82 (read); exactly 17,043.14 (by hand).
    speed = in_unit(tip_speed(rotation=3100 / 60, diameter=21 * INCH), "ft/min")
    assert speed == pytest.approx(17_043.14, abs=0.01)
    assert speed == pytest.approx(17_042, rel=2 * abs(3.82 * math.pi / 12 - 1))


def test_a_19_inch_blade_at_4000_rpm():
    # Published: owners' forum, 19,897 ft/min (read).
    assert in_unit(tip_speed(rotation=4000 / 60, diameter=19 * INCH), "ft/min") == pytest.approx(
        19_897, abs=0.5
    )


def test_the_largest_direct_drive_blade_at_3600_rpm():
    # Derived: 12 x 19,000 / (pi x 3600) = 20.159 in; the forum that was read says "just over 20 inches".
    assert rotation_at_tip_speed(speed=LIMIT, diameter=20.159 * INCH) == pytest.approx(60, abs=0.003)


def test_the_corners_of_a_bar_draw_the_tip_circle():
    # Derived: sqrt(21^2 + 2.25^2) = 21.1202 in; tip circle as 16 CFR 1205.3(a)(2) has it (2007 and 2020 texts, read).
    circle = tip_circle_from_bar(length=21 * INCH, width=2.25 * INCH)
    assert circle / INCH == pytest.approx(21.1202, abs=0.0002)
    assert in_unit(tip_speed(rotation=3400 / 60, diameter=21 * INCH), "ft/min") == pytest.approx(
        18_692.5, abs=0.5
    )
    assert in_unit(tip_speed(rotation=3400 / 60, diameter=circle), "ft/min") == pytest.approx(
        18_799.5, abs=1.0
    )


def test_wheel_speeds_rounded_down_agree_with_the_published_table():
    # Published: table of bonded-wheel speeds by EN 12413 speed classes, read; it rounds down to 100. One entry of it
    # (4 mm at 16 m/s, printed 75,300) is a misprint: the formula gives 76,394 and its neighbour agrees with it.
    millimetres = np.array([125, 5, 6, 8, 10, 13, 13, 16])
    speeds = np.array([80, 16, 16, 16, 16, 16, 20, 16])
    printed = [12_200, 61_100, 50_900, 38_100, 30_500, 23_500, 29_300, 19_000]
    rpm = rotation_at_tip_speed(speed=speeds, diameter=millimetres / 1000) * 60
    assert [rounded(Fraction(one) / 100, "down") * 100 for one in rpm] == printed


@pytest.mark.parametrize(("sfpm", "mps"), [(9500, 48.26), (12_500, 63.5), (14_200, 72.136), (17_000, 86.36)])
def test_guard_table_speeds_in_metric(sfpm, mps):
    # Derived from Michigan R 408.10199 tables 2 and 3 (read).
    assert parse(f"{sfpm} sfpm", dimension="speed", field="wheel").value == pytest.approx(mps, abs=0.001)


def test_a_rotary_cutter_on_a_540_rpm_shaft():
    # Common practice, no source: 540 rpm through 1:1.47 to a 60 in swing is 12,469 ft/min.
    speed = tip_speed(rotation=540 / 60 * 1.47, diameter=60 * INCH)
    assert in_unit(speed, "ft/min") == pytest.approx(12_469, abs=1)


def test_idle_and_top_lie_nearly_an_octave_apart():
    # Common practice, no source: 1,750 and 3,600 rpm, 2.057 times. The same blade's tip speeds stand in that ratio.
    idle, top = (tip_speed(rotation=rpm / 60, diameter=21 * INCH) for rpm in (1750, 3600))
    assert top / idle == pytest.approx(2.057, abs=0.001)


@given(st.floats(0.01, 300), st.floats(0.01, 5))
def test_speed_and_rotation_are_each_others_inverse(rotation, diameter):
    speed = tip_speed(rotation=rotation, diameter=diameter)
    if speed <= 500:
        assert rotation_at_tip_speed(speed=speed, diameter=diameter) == pytest.approx(rotation, rel=1e-12)


def test_the_outermost_point_of_a_drawn_bar_is_on_the_circle():
    # Another road: sample the outline of the bar and take the farthest point from its centre.
    length, width = 0.55, 0.06
    along = np.linspace(-length / 2, length / 2, 2001)
    edge = np.stack([along, np.full_like(along, width / 2)])
    assert tip_circle_from_bar(length=length, width=width) == pytest.approx(
        2 * np.hypot(*edge).max(), rel=1e-12
    )


def test_shapes_broadcast():
    assert tip_speed(rotation=np.ones((3, 1)), diameter=np.ones(4)).shape == (3, 4)


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: tip_speed(rotation=3600, diameter=0.5), "rotation = 3600 rev/s"),
        (lambda: tip_speed(rotation=60, diameter=21), "diameter = 21 m"),
        (lambda: tip_speed(rotation=60, diameter=0), "over 0"),
        (lambda: tip_speed(rotation=math.nan, diameter=0.5), "rotation = nan"),
        (lambda: rotation_at_tip_speed(speed=19_000, diameter=0.5), "speed = 19000 m/s"),
        (lambda: tip_circle_from_bar(length=0.05, width=0.5), "width = 0.5 m: must be at most the length"),
    ],
)
def test_units_mixed_up_are_caught_by_the_range(call, message):
    with refused(message):
        call()
