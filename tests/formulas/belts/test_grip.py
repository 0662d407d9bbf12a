import math

import pytest

from snath.formulas.belts.grip import (
    figure,
    tension_ratio,
)
from snath.formulas.belts.speeds import rim_speed
from tests.formulas.belts.textbook import wedge_friction

LBF, IN, HP, FPM = 4.4482216, 0.0254, 745.69987, 0.3048 / 60


def test_five_to_one_over_half_a_turn():
    # Published: Shigley ch. 17 and an equation sheet, read: "use 0.5123 for V-belts". By hand ln 5 / pi.
    assert tension_ratio(friction=0.5123, wrap=math.pi) == pytest.approx(5, abs=5e-4)
    assert figure("friction in the groove").value == pytest.approx(math.log(5) / math.pi, abs=5e-5)


def test_a_groove_wedges():
    # From memory: any machine-design text; by hand exp(0.13 pi / sin 17 deg) = 4.04 and exp(0.13 pi) = 1.504.
    acting = wedge_friction(friction=0.13, groove_angle=math.radians(34))
    assert tension_ratio(friction=acting, wrap=math.pi) == pytest.approx(4.04, abs=0.02)
    assert tension_ratio(friction=0.13, wrap=math.pi) == pytest.approx(1.504, abs=0.001)


def test_power_of_a_v_belt_at_the_point_of_slip():
    # Published: university homework key (ME 312), Prob. 19.14, read: 339 in/s = 1695 ft/min,
    # 0.2 / sin 18 deg = 0.647, (257.1 - 42.9) lbf gives 11.0 hp.
    assert pytest.approx(1695, abs=0.5) == 339 * IN / FPM
    assert wedge_friction(friction=0.2, groove_angle=math.radians(36)) == pytest.approx(0.647, abs=0.0005)
    assert pytest.approx(11.0, abs=0.05) == (257.1 - 42.9) * LBF * 339 * IN / HP


def test_a_flat_belt_over_210_degrees():
    # Published: Theory of Machines, ch. 11 ex. 4, read in published solutions: 25.13 m/s, ratio 2.2396,
    # 298.44 N; width 67.4 mm from memory of the answer line.
    speed = rim_speed(rotation=1600 / 60, diameter=0.3)
    ratio = tension_ratio(friction=0.22, wrap=math.radians(210))
    pull = 7500 / speed
    assert speed == pytest.approx(25.13, abs=0.005)
    assert ratio == pytest.approx(2.2396, abs=0.0003)
    assert pull == pytest.approx(298.44, abs=0.05)
    assert pull * ratio / (ratio - 1) / 8 == pytest.approx(67.4, abs=0.05)
