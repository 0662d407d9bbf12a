"""Mass, size and area of what may be thrown."""

import numpy as np
import pytest

from snath.formulas.throwing.body import frontal_area, sectional_density, sphere_diameter
from snath.quantities.errors import InputError
from tests.formulas.throwing.textbook import sphere_mass
from tests.told import told


def test_diameter_and_mass_undo_each_other():
    # Property: the two formulas are one equation.
    mass = np.geomspace(1e-4, 1, 7)
    assert sphere_mass(diameter=sphere_diameter(mass=mass, density=2600), density=2600) == pytest.approx(mass)


def test_a_17_gram_stone_is_about_23_mm():
    # Published: worked note beside the 79 J criterion, "a 17 g stone (about 23 mm)"; density of stone
    # 2,600 kg/m^3 is common practice, no source.
    assert sphere_diameter(mass=0.01688, density=2600) == pytest.approx(0.023, abs=0.0005)


def test_sectional_density_is_mass_over_area():
    # By hand: 1 kg on a circle of 1 m: 4/pi.
    assert sectional_density(mass=1, diameter=1) == pytest.approx(4 / np.pi)
    assert frontal_area(diameter=1) == pytest.approx(np.pi / 4)


def test_a_negative_mass_is_refused():
    with pytest.raises(InputError) as refused:
        sphere_diameter(mass=-0.01, density=2600)
    assert told(refused.value) == "mass = -0.01 kg: must be over 0 and at most 20 kg"
