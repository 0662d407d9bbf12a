import math

import pytest

from snath.formulas.belts.grooves import (
    belt_height,
    datum_width,
    groove_angle,
    least_outside,
)
from snath.formulas.belts.sections import groove_offset
from tests.told import refused

IN = 0.0254


@pytest.mark.parametrize(
    ("section", "angle", "top"),
    [("A", 34, 0.494), ("A", 38, 0.504), ("B", 38, 0.650), ("C", 34, 0.879), ("C", 36, 0.887),
     ("D", 34, 1.259), ("D", 36, 1.271), ("D", 38, 1.283)],
)  # fmt: skip
def test_grooves_close_from_datum_width_to_printed_top_width(section, angle, top):
    # Published: Machinery's Handbook, 31st ed., pp. 2576-2577, Table 9, page read: columns bd, 2hd, bg.
    # By hand: the sides open by twice the offset's half, bg = bd + 2hd tan(alpha / 2).
    width = datum_width(section).value + groove_offset(section) * math.tan(math.radians(angle) / 2)
    assert width / IN == pytest.approx(top, abs=0.0006)


@pytest.mark.parametrize(
    ("section", "datum", "angle"),
    [
        ("A", 5.4, 34),
        ("A", 5.5, 38),
        ("B", 7.0, 34),
        ("C", 7.99, 34),
        ("C", 12.0, 36),
        ("C", 12.1, 38),
        ("D", 17.1, 38),
    ],
)
def test_groove_angles_step_at_the_printed_diameters(section, datum, angle):
    # Published: same table, column of datum diameter range.
    outside = datum * IN + groove_offset(section)
    assert math.degrees(groove_angle(section=section, outside=outside).value) == pytest.approx(angle)


def test_narrow_grooves_step_by_outside_diameter():
    # Published: groove table after ARPM (RMA) IP-22, 2007, read: 3V 36 deg through 3.49 in, 42 over 12.00.
    assert math.degrees(groove_angle(section="3V", outside=3.49 * IN).value) == pytest.approx(36)
    assert math.degrees(groove_angle(section="3VX", outside=12.5 * IN).value) == pytest.approx(42)


def test_least_diameters_are_datum_for_classical_and_outside_for_narrow_sheaves():
    # Published: Table 9: A 3.0 in datum, so 3.250 outside; IP-22: 3V 2.65 in outside.
    assert least_outside("A").value / IN == pytest.approx(3.25)
    assert least_outside("AX").value / IN == pytest.approx(2.45)
    assert least_outside("3V").value / IN == pytest.approx(2.65)
    assert least_outside("4L") is None


def test_heights_are_read_from_fractions():
    # Published: trade tables, read: 4L 5/16 in high.
    assert belt_height("4L").value / IN == pytest.approx(0.3125)


def test_a_light_duty_groove_angle_has_to_be_measured():
    with refused("measure it"):
        groove_angle(section="4L", outside=0.1)
